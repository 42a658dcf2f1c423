"""The first screen reminds a lead, and nobody else, that no archive was made for some days."""

import os
from datetime import datetime, timedelta
from pathlib import Path
from uuid import UUID

import pytest
import time_machine
from django.test import Client

from fillmark.services import backup, sign_in
from fillmark.services.home import prepare_home
from tests.journeys.household import quarry_lane
from tests.support.builders import EVENING

pytestmark = pytest.mark.django_db(transaction=True)
WORDS = b"No backup was made for more than 7 days."


def shows_it(animal: UUID, person: UUID, *, at: datetime) -> bool:
    with time_machine.travel(at, tick=False):
        phone = Client()
        phone.force_login(sign_in.user_of(person))
        return WORDS in phone.get(f"/{animal}/").content


@pytest.mark.hazard("H27")
def test_a_lead_is_reminded_until_an_archive_is_made(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Not in the first week, not a helper, and not after a backup."""
    monkeypatch.setenv("FILLMARK_HOME", str(tmp_path))
    home = quarry_lane(now=EVENING)
    prepare_home()
    os.utime(tmp_path / "secret_key", (EVENING.timestamp(),) * 2)
    later = EVENING + timedelta(days=8)

    assert not shows_it(home.animal_id, home.noor, at=EVENING + timedelta(days=6))
    assert shows_it(home.animal_id, home.noor, at=later)
    assert not shows_it(home.animal_id, home.sam, at=later)
    backup.back_up(tmp_path / "one.zip", now=later)
    assert not shows_it(home.animal_id, home.noor, at=later + timedelta(days=7))
    assert shows_it(home.animal_id, home.noor, at=later + timedelta(days=8))
