"""Two people walked through one meal without a signal: one question about the walks, and one answer."""

from datetime import timedelta

import pytest
import time_machine
from django.test import Client

from fillmark.core.record.amounts import Amount
from fillmark.core.record.session_entries import FillGiven, FlushGiven, MealEnded, SessionEnded, SessionStarted
from fillmark.services import once_or_twice, record, sign_in
from tests.support.builders import NOON, SEVEN, Home, an_entry
from tests.support.sides import side_of

pytestmark = [pytest.mark.django_db, pytest.mark.hazard("H1")]
DAY = NOON.date()


@pytest.fixture
def walked(home: Home) -> Home:
    """Noor's walk of 180 mL, and Sam's of 175 mL, each whole, sent one after the other."""
    for person, last, device in ((home.noor, 60.0, "noor-phone"), (home.sam, 55.0, "sam-phone")):
        payloads = [
            SessionStarted(session=SEVEN),
            FlushGiven(session=SEVEN, step="flush-before", ml=5),
            *(FillGiven(session=SEVEN, fill=number, ml=ml) for number, ml in ((1, 60.0), (2, 60.0), (3, last))),
            FlushGiven(session=SEVEN, step="flush-after", ml=5),
            MealEnded(session=SEVEN, total_ml=120 + last, fills=3),
            SessionEnded(session=SEVEN),
        ]
        at = NOON - timedelta(hours=4)
        entries = [an_entry(one, animal_id=home.animal_id, at=at, device=device) for one in payloads]
        answers = record.record_entries(household_id=home.id, by=person, entries=entries, now=NOON)
        assert all(isinstance(one, record.Recorded) for one in answers)
    return home


def questions(home: Home) -> tuple[once_or_twice.OpenQuestion, ...]:
    return once_or_twice.open_questions(side_of(**home.ids, now=NOON), first=DAY, last=DAY)


def settle(home: Home, *, once: object) -> None:
    (asked,) = questions(home)
    said = {"day": DAY, "entry_ids": sorted(asked.ids), "once": once, "reason": "", "device": "x", "now": NOON}
    assert once_or_twice.answer(**home.ids, by=home.noor, **said)


def test_two_walks_of_one_meal_are_one_question(walked: Home) -> None:
    """Not one for each of five steps; until it is answered, the total is a range."""
    (asked,) = questions(walked)
    assert asked.what == "the walk"
    assert len(asked.entries) == 10
    ledger = record.day_ledger(side_of(**walked.ids, now=NOON), day=DAY)
    assert ledger.blend is not None
    assert (ledger.blend.low_ml, ledger.blend.high_ml) == (175, 355)
    assert [clash.what for clash in ledger.clashes] == ["the walk"]


def test_only_one_of_them_happened(walked: Home) -> None:
    """Its steps stay, and the other's go with their closing total."""
    (asked,) = questions(walked)
    settle(walked, once=next(one.entry.id for one in asked.entries if one.by == walked.sam))

    ledger = record.day_ledger(side_of(**walked.ids, now=NOON), day=DAY)
    assert ledger.blend == Amount(175, 175)
    assert ledger.flush == Amount(10, 10)
    assert questions(walked) == ()


def test_both_happened(walked: Home) -> None:
    """Two meals went in: nothing is asked again."""
    settle(walked, once=None)

    assert questions(walked) == ()
    ledger = record.day_ledger(side_of(**walked.ids, now=NOON), day=DAY)
    assert ledger.blend is not None
    assert ledger.blend.high_ml == 355


def test_the_page_shows_one_side_for_each_walk(walked: Home) -> None:
    """Each with its steps in a row, and one button; the answer settles all of them."""
    client = Client()
    client.force_login(sign_in.user_of(walked.noor), backend="django.contrib.auth.backends.ModelBackend")
    with time_machine.travel(NOON, tick=False):
        where = f"/{walked.animal_id}/once-or-twice/"
        (asked,) = client.get(where).context["asked"]
        assert [side.words.count("Fill") for side in asked.sides] == [3, 3]
        form = {"day": str(asked.day), "entry": [str(one) for one in asked.ids], "answer": str(asked.sides[1].id)}
        assert client.post(where, form).status_code == 302
    assert questions(walked) == ()
