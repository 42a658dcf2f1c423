"""What is kept beside the entries is what they say: after any history, in whatever order it arrived."""

import random
from collections.abc import Iterator
from datetime import date, timedelta
from decimal import Decimal
from typing import Any
from uuid import UUID

import pytest
from django.db import transaction

from fillmark.core.doses.bottle_in_use import newest_bottles
from fillmark.core.plan.foods import Food
from fillmark.core.record.care_entries import FeedingCleared, FeedingLocked, FlowTested, FoodKept, Note, SheetPrinted
from fillmark.core.record.corrections import counting_entries
from fillmark.core.record.day_entries import Withdrawn
from fillmark.core.record.entries import Entry, KeptEntry, make_entry_id
from fillmark.core.record.flow_check import SHOWN_TESTS
from fillmark.core.record.locks import open_lock
from fillmark.core.record.medicine_entries import BottleOpened, StockCounted
from fillmark.core.record.session_entries import FillGiven
from fillmark.core.record.standing import BOTTLE_KINDS, FOR_EVER, SHEET_KINDS, TOGETHER, what_stands
from fillmark.records import models, rollups, standing, written
from fillmark.services import flow, mixes, record
from tests.support.builders import NOON, Home, a_home, a_kept, adopt, an_entry, junipers_plan
from tests.support.sides import side_of

pytestmark = pytest.mark.hazard("H27")
FIRST = NOON - timedelta(days=40)
LABEL = {"strength": "2 mg/mL", "ml": Decimal(120), "filled_on": FIRST.date(), "keeps_as": "water, preserved"}


def a_payload(chance: random.Random, at: Any, written_before: list[Entry], foods: tuple[Food, ...]) -> Any:
    """Something of a rare kind, or a fill or a note between."""
    locks = tuple(one.id for one in written_before if isinstance(one.payload, FeedingLocked))
    bottles = [one.id for one in written_before if isinstance(one.payload, BottleOpened)]
    medicine = chance.choice(["omeprazole", "metoclopramide"])
    day = at.date()
    ways: list[Any] = [
        FeedingLocked(trouble=chance.choice(["cough", "vomiting"])),
        *[BottleOpened(medicine=medicine, **LABEL)] * 2,
        SheetPrinted(version=1, first_on=day, last_on=day + timedelta(days=6)),
        FoodKept(food=foods[0].model_copy(update={"id": f"tin-{chance.randint(1, 9)}"})),
        *[
            FlowTested(
                foods=(foods[0].id,),
                food_g=820.0,
                water_ml=160.0,
                left_ml=chance.choice([3.0, 8.5]),
                sieved=chance.random() < 0.5,
                frozen=False,
            )
        ]
        * 3,
        FillGiven(session=f"{day}T07:00", fill=chance.randint(1, 3), ml=60),
        Note(text="Calm"),
    ]
    if locks:
        named = tuple(chance.sample(locks, chance.randint(1, len(locks))))[:5]
        ways += [FeedingCleared(locks=named, who="Dr. Marsh", vet_words="Go on.")] * 2
    if bottles:
        ways.append(StockCounted(medicine=medicine, bottle=chance.choice(bottles), ml=Decimal(40)))
    return chance.choice(ways)


def a_history(chance: random.Random, *, animal_id: UUID, many: int) -> Iterator[Entry]:
    """Forty days of a household, with corrections of whatever was written before."""
    foods, before, at = junipers_plan().foods, [], FIRST
    for _ in range(many):
        at += timedelta(hours=chance.randint(1, 20))
        corrects = chance.choice(before).id if before and chance.random() < 0.25 else None
        payload = a_payload(chance, at, before, foods)
        if corrects and chance.random() < 0.6:
            payload = Withdrawn(reason="Not so")
        entry_id = make_entry_id(at=at, chance=chance.randbytes(10))
        before.append(an_entry(payload, at=at, animal_id=animal_id, id=entry_id, corrects=corrects))
    yield from before


def arrive(home: Home, entries: list[Entry], chance: random.Random) -> None:
    """In lists of one to six."""
    while entries:
        some, entries = entries[: (size := chance.randint(1, 6))], entries[size:]
        answers = record.record_entries(household_id=home.id, by=home.noor, entries=some, now=NOON)
        assert all(isinstance(one, record.Recorded) for one in answers), answers


@pytest.mark.django_db
@pytest.mark.parametrize("many", [8, pytest.param(100, marks=pytest.mark.long)], ids=["8 histories", "100 histories"])
def test_what_is_kept_is_what_the_entries_say_in_whatever_order_they_came(many: int) -> None:
    """The lock, the bottles, the foods, the tests and the sums of the days; and a rebuild changes nothing."""
    chance = random.Random(1209)
    for number in range(many):
        with transaction.atomic():
            home = a_home(name=f"Home {number}")
            adopt(home, junipers_plan(), from_at=FIRST - timedelta(days=1))
            history = list(a_history(chance, animal_id=home.animal_id, many=chance.randint(5, 45)))
            arrive(home, chance.sample(history, len(history)), chance)

            assert list(standing.standing_that_differs(household_id=home.id)) == []
            record.days(**home.ids, first=FIRST.date(), last=NOON.date() + timedelta(days=20), now=NOON)
            assert rollups.days_that_do_not_add_up(household_id=home.id, now=NOON) == ()
            whole = record.entries_since(household_id=home.id, seq=0)
            asks_for_all_or_for_what_stands(home, whole)
            before = kept_rows(home)
            standing.rebuild_standing(household_id=home.id)
            assert kept_rows(home) == before
            transaction.set_rollback(True)


def kept_rows(home: Home) -> set[tuple[UUID, str, date]]:
    rows = models.Standing.objects.filter(household_id=home.id)
    return set(rows.values_list("entry_id", "kind", "until"))


def asks_for_all_or_for_what_stands(home: Home, whole: tuple[KeptEntry, ...]) -> None:
    """What is read of what stands is what is read of everything."""
    side = side_of(**home.ids, now=NOON)
    counting = counting_entries(whole)
    of_kind = {kind: [one for one in counting if one.entry.kind == kind] for kinds in TOGETHER for kind in kinds}
    tests = of_kind["flow_test"]

    assert side.lock == open_lock(whole)
    assert newest_bottles(counting_entries(side.of_kinds(BOTTLE_KINDS))) == newest_bottles(counting)
    assert list(counting_entries(side.of_kinds(SHEET_KINDS)))[-1:] == of_kind["sheet_printed"][-1:]
    assert list(mixes.food_entries(**home.ids)) == of_kind["food_kept"]
    assert list(flow.flow_tests(**home.ids))[-SHOWN_TESTS:] == tests[-SHOWN_TESTS:]
    for is_sieved in (False, True):
        asked = {"foods": (junipers_plan().foods[0].id,), "handling": flow.Handling(sieved=is_sieved)}
        assert flow.tests_of(flow.flow_tests(**home.ids), **asked) == flow.tests_of(tuple(tests), **asked)
    for ago in (0, 9, 30):
        since = NOON.date() - timedelta(days=ago)
        wanted = written.Wanted(standing=BOTTLE_KINDS, standing_since=since)
        loaded = {one.entry.id for one in written.read_wanted(wanted, household_id=home.id, animal_id=home.animal_id)}
        for medicine in ("omeprazole", "metoclopramide"):
            opened = [one for one in of_kind["bottle_opened"] if one.entry.payload.medicine == medicine]
            before = [one for one in opened if one.day < since][-1:]
            assert {one.entry.id for one in (*before, *(one for one in opened if one.day >= since))} <= loaded


def test_a_bottle_stands_until_the_next_of_its_medicine() -> None:
    """Of each medicine for itself; taken back, it never stood, and its count stands as long as it does."""
    first = a_kept(BottleOpened(medicine="omeprazole", **LABEL), minute=0)
    count = a_kept(StockCounted(medicine="omeprazole", bottle=first.entry.id, ml=Decimal(40)), minute=1)
    other = a_kept(BottleOpened(medicine="metoclopramide", **LABEL), minute=2)
    second = a_kept(BottleOpened(medicine="omeprazole", **LABEL), minute=3)
    gone = a_kept(Withdrawn(reason="the wrong one"), minute=4, corrects=second.entry.id)

    day_after = first.day + timedelta(days=1)
    assert what_stands([first, count, other, second]) == {
        first.entry.id: day_after,
        count.entry.id: day_after,
        other.entry.id: FOR_EVER,
        second.entry.id: FOR_EVER,
    }
    assert what_stands([first, count, other, second, gone]) == dict.fromkeys(
        (first.entry.id, count.entry.id, other.entry.id), FOR_EVER
    )


def test_the_newest_tests_of_each_blend_stand() -> None:
    """As many as are shown; an older one comes back where a newer is taken back."""
    tests = [
        a_kept(
            FlowTested(foods=("stew",), food_g=820.0, water_ml=160.0, left_ml=3.0, sieved=False, frozen=False),
            minute=minute,
        )
        for minute in range(SHOWN_TESTS + 2)
    ]
    gone = a_kept(Withdrawn(reason="another jar"), minute=90, corrects=tests[-1].entry.id)

    assert set(what_stands(tests)) == {one.entry.id for one in tests[2:]}
    assert set(what_stands([*tests, gone])) == {one.entry.id for one in tests[1:-1]}
