"""A changed tube locks feeding until a lead writes that the vet saw it in place."""

import re
from html import unescape

import pytest
from django.test import Client
from django.urls import reverse

from fillmark.services import record
from tests.journeys.household import Household
from tests.support.builders import EVENING
from tests.support.sides import side_of
from tests.web.test_by_telephone import keep, open_dose, read
from tests.web.test_screens import a_phone
from tests.web.test_take_in import confirmed, shown

pytestmark = pytest.mark.hazard("H12")


def change_tube(client: Client, quarry: Household, **typed: str):
    """From the plan's page through the gate."""
    second = keep(client, open_dose(client, quarry, "tube"), **typed)["Location"]
    third = read(client, quarry, second)
    keys = [unescape(key) for key in re.findall(r'name="meant" value="([^"]+)"', third.content.decode())]
    sent = {"telephone": "yes", "vet_words": "", "meant": keys}
    return third, confirmed(client, reverse("take_in", args=[quarry.animal_id]), third, **sent)


def test_another_tube_is_asked_about_and_locks_feeding_until_a_lead_clears_it(quarry: Household) -> None:
    """A thinner one: what is still said of the old one is named; nothing is fed before the vet has seen it."""
    client = a_phone(quarry)
    third, done = change_tube(client, quarry, french="18")
    assert "Still as for the old one: the mark at the skin 6.5 cm, the length 30 cm, the flush before 10 mL" in shown(
        third
    )
    assert done.status_code == 302, shown(done, status=400)
    lock = side_of(**quarry.ids, now=EVENING).lock
    assert lock is not None
    assert lock.words == "Another tube by version 2 of the plan. Nothing until the vet has seen it in place."
    assert "Feeding is locked" in shown(client.get(f"/{quarry.animal_id}/"))
    sent = {"zone": "Europe/Dublin", "who": "Dr. Marsh", "lock": [str(one) for one in lock.entry_ids]}
    sent |= {"entry_id": str(record.new_entry_id(now=EVENING))}
    path = reverse("lock", args=[quarry.animal_id])
    assert a_phone(quarry, quarry.sam).post(path, {**sent, "vet_words": "Seen in place."}).status_code == 403
    assert side_of(**quarry.ids, now=EVENING).lock is not None
    client.post(path, {**sent, "vet_words": "Seen in place."})
    assert side_of(**quarry.ids, now=EVENING).lock is None


def test_a_mark_read_otherwise_is_no_other_tube(quarry: Household) -> None:
    """It is in force at once, and locks nothing."""
    client = a_phone(quarry)
    third, done = change_tube(client, quarry, mark_at_skin_cm="7")
    assert "The tube is another one" not in shown(third)
    assert done.status_code == 302
    assert side_of(**quarry.ids, now=EVENING).lock is None
