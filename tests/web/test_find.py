"""Looking something up in the record, by the words that a person would type."""

import re
from datetime import timedelta

import pytest
import time_machine

from fillmark.core.record.care_entries import Note
from fillmark.core.record.session_entries import CameBack
from tests.journeys.household import Household, quarry_lane
from tests.support.builders import EVENING
from tests.web.test_screens import a_phone


@pytest.fixture
def home(db: None) -> Household:
    with time_machine.travel(EVENING, tick=True):
        made = quarry_lane(now=EVENING)
        made.write(CameBack(ml=20), at=EVENING - timedelta(hours=2), by=made.noor, device="noor-phone")
        made.write(
            Note(text="She licked the bowl."), at=EVENING - timedelta(hours=1), by=made.noor, device="noor-phone"
        )
        return made


@pytest.mark.parametrize(
    ("words", "found", "not_found"),
    [("came back", "20 mL", "licked"), ("Came Back ", "20 mL", "licked"), ("licked", "licked", "20 mL came back")],
)
def test_what_happened_is_found_by_its_name_and_by_its_words(
    home: Household, words: str, found: str, not_found: str
) -> None:
    """ "Came back" is no word of any entry: it is what such an entry is."""
    with time_machine.travel(EVENING, tick=True):
        page = a_phone(home).get(f"/{home.animal_id}/find/", {"words": words}).content.decode()
    shown = " ".join(re.sub(r"<[^>]*>", " ", page.partition("<main")[2]).split())

    assert found in shown
    assert not_found not in shown
