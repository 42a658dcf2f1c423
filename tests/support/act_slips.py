"""One slip at the animal's side, by kind: what was written before the act, the act, or when it comes."""

import random
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import UTC, datetime, time, timedelta
from decimal import Decimal

from fillmark.core.record.care_entries import FeedingLocked
from fillmark.core.record.medicine_entries import BottleOpened, MedicineGiven, Outcome, SecondCheck
from fillmark.core.record.session_entries import (
    CameBack,
    FillGiven,
    FlushGiven,
    MealEnded,
    SessionEnded,
    SessionStarted,
    SessionStopped,
)
from tests.support.builders import NOOR, SAM
from tests.support.gated import TODAY
from tests.support.ordered import Ordered
from tests.support.random_acts import Story, a_story, a_test, with_dose

Made = tuple[Story, Story] | None
Maker = Callable[[Ordered, random.Random], Made]


@dataclass(frozen=True, kw_only=True)
class Kind:
    """One kind of slip.

    Attributes:
        hazards: Those it belongs to.
        codes: What the gate may call it by.
        make: A right story, and the same with the slip; none where these orders leave no room for it.
    """

    hazards: tuple[str, ...]
    codes: tuple[str, ...]
    make: Maker


KINDS: dict[str, Kind] = {}
"""Each kind of slip, by the name that the words of the orders give it."""


def _kind(name: str, *hazards: str, codes: tuple[str, ...]) -> Callable[[Maker], Maker]:
    def keep(make: Maker) -> Maker:
        KINDS[name] = Kind(hazards=hazards, codes=codes, make=make)
        return make

    return keep


def _two(sheet: Ordered, chance: random.Random, what: str, medicine: str | None = None) -> tuple[Story, Story]:
    right = a_story(sheet, chance, what=what, medicine=medicine)
    return right, right.copy()


def _minutes(chance: random.Random, low: int, high: int) -> timedelta:
    return timedelta(minutes=chance.randint(low, high))


# The session


@_kind("feeding is locked", "H12", "H39", codes=("feeding-locked",))
def _locked(sheet: Ordered, chance: random.Random) -> Made:
    right, wrong = _two(sheet, chance, chance.choice(["start", "fill", "dose"]))
    wrong.add(FeedingLocked(trouble="cough"), wrong.now - timedelta(minutes=chance.choice([0, 2, 300])))
    return right, wrong


@_kind("the session before was stopped", "H12", codes=("already-recorded",))
def _stopped(sheet: Ordered, chance: random.Random) -> Made:
    right, wrong = _two(sheet, chance, "start")
    before = max((one for one in wrong.sessions if one.at < wrong.session.at), key=lambda one: one.at)
    at = max(line.at for line in wrong.lines if getattr(line.payload, "session", None) == before.key)
    wrong.lines = [line for line in wrong.lines if line.payload != SessionEnded(session=before.key)]
    wrong.add(SessionStopped(session=before.key, reason="She coughs"), at)
    return right, wrong


@_kind("another person has it in hand", "H1", codes=("held-by-another", "already-recorded"))
def _in_hand(sheet: Ordered, chance: random.Random) -> Made:
    right, wrong = _two(sheet, chance, chance.choice(["start", "fill", "dose"]))
    key = wrong.session.key
    wrong.lines = [line for line in wrong.lines if line.payload != SessionStarted(session=key)]
    at = min((line.at for line in wrong.lines if getattr(line.payload, "session", None) == key), default=wrong.now)
    wrong.add(SessionStarted(session=key), at - timedelta(minutes=1), by=SAM)
    return right, wrong


@_kind("the session was given", "H1", codes=("already-recorded",))
def _given(sheet: Ordered, chance: random.Random) -> Made:
    right, wrong = _two(sheet, chance, "start")
    wrong.now = wrong.do(wrong.session, at=wrong.now) + _minutes(chance, 1, 200)
    return right, wrong


@_kind("the fill was given", "H1", "H10", codes=("already-recorded",))
def _fill_twice(sheet: Ordered, chance: random.Random) -> Made:
    right, wrong = _two(sheet, chance, "fill")
    wrong.add(wrong.payload, wrong.now - timedelta(seconds=20))
    return right, wrong


@_kind("food came back", "H38", codes=("already-recorded",))
def _came_back(sheet: Ordered, chance: random.Random) -> Made:
    right, wrong = _two(sheet, chance, "fill")
    key = wrong.session.key
    if not any(isinstance(line.payload, FillGiven) and line.payload.session == key for line in wrong.lines):
        return None
    wrong.add(CameBack(session=key, ml=float(chance.randint(5, 40))), wrong.now - timedelta(seconds=10))
    return right, wrong


@_kind("more came back than was in", "H38", codes=("more-came-back",))
def _more_back(sheet: Ordered, chance: random.Random) -> Made:
    right, wrong = _two(sheet, chance, "fill")
    key = wrong.session.key
    in_ml = sum(line.payload.ml for line in wrong.lines if isinstance(line.payload, FillGiven | FlushGiven)
                and line.payload.session == key)  # fmt: skip
    right.payload = CameBack(session=key, ml=in_ml)
    wrong.payload = CameBack(session=key, ml=in_ml * chance.choice([10, 2]) + 15)
    return right, wrong


# The meal


@_kind("inside the meal gap", "H10", "H37", codes=("meal-too-soon",))
def _inside_the_gap(sheet: Ordered, chance: random.Random) -> Made:
    """The meal before was fed late, so that this one comes too close to it."""
    right, wrong = _two(sheet, chance, chance.choice(["start", "fill"]))
    meals = [one for one in wrong.sessions if one.meal_ml and one.at < wrong.session.at]
    key = meals[-1].key
    kept = [line for line in wrong.lines if getattr(line.payload, "session", None) != key]
    wrong.lines = kept
    wrong.do(meals[-1], at=wrong.now - timedelta(minutes=chance.choice([9, 27, 60, 100, 140])))
    return right, wrong


@_kind("one meal more than a day has", "H10", codes=("meals-a-day",))
def _one_more(sheet: Ordered, chance: random.Random) -> Made:
    """Tomorrow's first meal is begun late in the evening."""
    right, wrong = _two(sheet, chance, "start")
    meals = [one for one in wrong.sessions if one.meal_ml]
    last = next(place for place, one in enumerate(meals) if one.key[:10] > TODAY.isoformat())
    wrong.lines = []
    wrong.live_until(meals[last])
    right.lines = list(wrong.lines)
    right.session = wrong.session = meals[last]
    right.payload = wrong.payload = SessionStarted(session=meals[last].key)
    right.now = right.begins(meals[last])
    wrong.now = datetime.combine(TODAY, time(23, chance.randint(25, 59)), tzinfo=UTC)
    wrong.lines = [line for line in wrong.lines if line.at <= wrong.now]
    return right, wrong


@_kind("over the most at once", "H10", codes=("over-cap",))
def _over_the_most(sheet: Ordered, chance: random.Random) -> Made:
    """The vet's most is less than the meal that the plan comes to."""
    what = chance.choice(["start", "fill"])
    right = a_story(sheet, chance, what=what)
    per_kg = right.session.load.value.total_ml / sheet.weight_kg
    low = replace(sheet, most_ml_per_kg=round(per_kg * chance.choice([0.6, 0.8, 0.95]), 1))
    return right, right.copy(low)


@_kind("over the most with what was just given", "H10", "H37", codes=("over-cap-together",))
def _over_together(sheet: Ordered, chance: random.Random) -> Made:
    """Water, or a meal written down as one amount, went in shortly before."""
    right, wrong = _two(sheet, chance, chance.choice(["start", "fill"]))
    room_ml = sheet.most_ml_per_kg * sheet.weight_kg - wrong.session.load.value.total_ml
    before = max((one for one in wrong.sessions if one.at < wrong.session.at), key=lambda one: one.at)
    ml = room_ml + chance.choice([15.0, 60.0, 150.0])
    wrong.lines = [line for line in wrong.lines if getattr(line.payload, "session", None) != before.key]
    at = wrong.now - timedelta(minutes=chance.choice([10, 40, 70]))
    wrong.add(SessionStarted(session=before.key), at)
    wrong.add(
        chance.choice(
            [
                FlushGiven(session=before.key, step="flush-after", ml=ml),
                MealEnded(session=before.key, total_ml=ml, fills=0),
            ]
        ),
        at,
    )
    wrong.add(SessionEnded(session=before.key), at)
    return right, wrong


@_kind("food too soon after a medicine", "H22", codes=("before-food",))
def _food_too_soon(sheet: Ordered, chance: random.Random) -> Made:
    right, wrong = _two(sheet, chance, "start")
    medicine = chance.choice(["acid", "empty"])
    wrong.add(wrong.given(medicine, None), wrong.now - _minutes(chance, 1, 28))
    return right, wrong


@_kind("the batch failed its test", "H9", codes=("batch-not-to-be-given",))
def _failed(sheet: Ordered, chance: random.Random) -> Made:
    right, wrong = _two(sheet, chance, "fill")
    wrong.add(a_test(TODAY, has_flowed=False), wrong.now - timedelta(minutes=chance.choice([20, 90])))
    return right, wrong


@_kind("the batch is past its day", "H15", codes=("batch-not-to-be-given",))
def _past(sheet: Ordered, chance: random.Random) -> Made:
    right, wrong = _two(sheet, chance, "fill")
    made_on = TODAY - timedelta(days=sheet.keeps_days + chance.choice([0, 0, 3]))
    wrong.add(a_test(made_on), wrong.now - timedelta(minutes=chance.choice([20, 90])))
    return right, wrong


@_kind("more than the syringe was to hold", "H4", "H10", codes=("more-than-planned",))
def _ten_fills(sheet: Ordered, chance: random.Random) -> Made:
    right, wrong = _two(sheet, chance, "fill")
    times = chance.choice([10, 10, 2, 1.5])
    wrong.payload = wrong.payload.model_copy(update={"ml": round(wrong.payload.ml * times, 1)})
    return right, wrong


@_kind("more than the meal", "H4", "H10", codes=("more-than-planned",))
def _ten_meals(sheet: Ordered, chance: random.Random) -> Made:
    """Written down afterwards, with a slip of the finger."""
    right, wrong = _two(sheet, chance, "start")
    for story, times in ((right, 1.0), (wrong, chance.choice([10.0, 10.0, 2.0]))):
        story.payload = MealEnded(
            session=story.session.key, total_ml=round(story.session.meal_ml * times, 1) // 1, fills=0
        )
        story.now += timedelta(minutes=20)
    return right, wrong


# The dose


@_kind("the dose was given", "H1", codes=("already-recorded",))
def _dose_twice(sheet: Ordered, chance: random.Random) -> Made:
    right, wrong = _two(sheet, chance, "dose")
    wrong.add(wrong.payload, wrong.now - timedelta(seconds=25), by=chance.choice([NOOR, SAM]))
    return right, wrong


@_kind("too soon after the last dose", "H1", "H3", codes=("too-soon",))
def _too_soon(sheet: Ordered, chance: random.Random) -> Made:
    """Someone gave it outside of the walk."""
    medicine = chance.choice([one.id for one in sheet.doses])
    right, wrong = _two(sheet, chance, "needed" if medicine == "needed" else "dose", medicine)
    outcome = chance.choice([Outcome.GIVEN, Outcome.GIVEN, Outcome.SPILLED, Outcome.NOT_KNOWN])
    wrong.add(
        wrong.given(medicine, None).model_copy(update={"outcome": outcome}),
        wrong.now - _minutes(chance, 5, 290),
        by=chance.choice([NOOR, SAM]),
    )
    return right, wrong


@_kind("before its time", "H1", codes=("early",))
def _early(sheet: Ordered, chance: random.Random) -> Made:
    right, wrong = _two(sheet, chance, "dose")
    hours = sheet.dose(wrong.payload.medicine).hours or 0
    back = _minutes(chance, 145, 290) if hours >= 24 else _minutes(chance, 75, 170)
    mine = [line for line in wrong.lines if getattr(line.payload, "session", None) == wrong.session.key]
    wrong.now -= back
    wrong.lines = [line for line in wrong.lines if line not in mine and line.at < wrong.now]
    wrong.lines += [replace(line, at=line.at - back) for line in mine]
    return right, wrong


@_kind("after its time", "H1", codes=("late", "too-late"))
def _late(sheet: Ordered, chance: random.Random) -> Made:
    right, wrong = _two(sheet, chance, "dose")
    wrong.now += _minutes(chance, 200, 420)
    return right, wrong


@_kind("over the most a day", "H1", "H3", codes=("over-maximum",))
def _over_the_most_a_day(sheet: Ordered, chance: random.Random) -> Made:
    right, wrong = _two(sheet, chance, "needed")
    for hours in chance.sample([7, 9, 11, 13, 15, 17, 19, 21], 2):
        wrong.add(wrong.given("needed", None), wrong.now - timedelta(hours=hours))
    return right, wrong


@_kind("the medicine is on hold", "H1", codes=("held",))
def _held(sheet: Ordered, chance: random.Random) -> Made:
    right = a_story(sheet, chance, what="dose")
    return right, right.copy(with_dose(sheet, right.payload.medicine, held="Constipated. Dr. Marsh"))


@_kind("the course is over", "H1", codes=("course-ended",))
def _over(sheet: Ordered, chance: random.Random) -> Made:
    right = a_story(sheet, chance, what="dose")
    last_on = TODAY - timedelta(days=chance.choice([1, 2, 5]))
    return right, right.copy(with_dose(sheet, right.payload.medicine, last_on=last_on, first_on=None))


@_kind("the course has not begun", "H1", codes=("not-started",))
def _not_begun(sheet: Ordered, chance: random.Random) -> Made:
    right = a_story(sheet, chance, what="dose")
    first_on = TODAY + timedelta(days=chance.choice([1, 3]))
    return right, right.copy(with_dose(sheet, right.payload.medicine, last_on=None, first_on=first_on, then=None))


@_kind("the bottle has another strength", "H5", codes=("locked",))
def _strength(sheet: Ordered, chance: random.Random) -> Made:
    medicine = chance.choice([one.id for one in sheet.doses])
    right, wrong = _two(sheet, chance, "needed" if medicine == "needed" else "dose", medicine)
    strength = sheet.dose(medicine).mg_per_ml * chance.choice([2, 5, 10])
    label = {"strength": f"{strength} mg/mL", "ml": Decimal(50)}
    wrong.add(BottleOpened(medicine=medicine, **label), wrong.now - _minutes(chance, 1, 600))
    return right, wrong


@_kind("the bottle is past its last day", "H6", codes=("past-use",))
def _bottle_past(sheet: Ordered, chance: random.Random) -> Made:
    medicine = chance.choice([one.id for one in sheet.doses])
    right, wrong = _two(sheet, chance, "needed" if medicine == "needed" else "dose", medicine)
    label = {
        "strength": f"{sheet.dose(medicine).mg_per_ml} mg/mL",
        "ml": Decimal(50),
        "discard_on": TODAY - timedelta(days=chance.choice([1, 1, 30])),
    }
    wrong.add(BottleOpened(medicine=medicine, **label), wrong.now - _minutes(chance, 1, 600))
    return right, wrong


@_kind("too close to another medicine", "H22", codes=("keep-apart",))
def _too_close(sheet: Ordered, chance: random.Random) -> Made:
    one, other = chance.choice([("acid", "binder"), ("binder", "acid")])
    right, wrong = _two(sheet, chance, "dose", one)
    wrong.add(wrong.given(other, None), wrong.now - _minutes(chance, 2, 80))
    return right, wrong


@_kind("too soon after food", "H22", codes=("after-food",))
def _after_food(sheet: Ordered, chance: random.Random) -> Made:
    """The meal before was fed late."""
    right, wrong = _two(sheet, chance, "dose", "empty")
    meals = [one for one in wrong.sessions if one.meal_ml and one.at < wrong.session.at]
    wrong.lines = [line for line in wrong.lines if getattr(line.payload, "session", None) != meals[-1].key]
    wrong.do(meals[-1], at=wrong.now - _minutes(chance, 25, 50))
    return right, wrong


@_kind("no second person has read it", "H3", "H4", codes=("not-checked",))
def _not_read(sheet: Ordered, chance: random.Random) -> Made:
    """Nobody has read the syringe, or only the one who gives it."""
    right, wrong = _two(sheet, chance, "dose", "checked")
    read = [line for line in wrong.lines if isinstance(line.payload, SecondCheck)]
    mine = [line for line in read if line.payload.session == wrong.session.key]
    wrong.lines = [line for line in wrong.lines if line not in mine]
    if chance.random() < 0.5:
        wrong.lines += [replace(line, by=NOOR) for line in mine]
    return right, wrong


@_kind("the second person read another amount", "H3", "H4", codes=("not-checked",))
def _read_otherwise(sheet: Ordered, chance: random.Random) -> Made:
    right, wrong = _two(sheet, chance, "dose", "checked")
    times = chance.choice([Decimal(10), Decimal(2), Decimal("0.1"), Decimal("1.2")])
    wrong.lines = [
        replace(line, payload=line.payload.model_copy(update={"ml": line.payload.ml * times}))
        if isinstance(line.payload, SecondCheck) and line.payload.session == wrong.session.key
        else line
        for line in wrong.lines
    ]
    return right, wrong


@_kind("another dose than the order's", "H3", "H4", codes=("another-dose",))
def _another_dose(sheet: Ordered, chance: random.Random) -> Made:
    """Ten times as much, or that of the step before: an old page, an older plan."""
    medicine = chance.choice([one.id for one in sheet.doses] + ["taper"] * 3)
    right, wrong = _two(sheet, chance, "needed" if medicine == "needed" else "dose", medicine)
    dose = sheet.dose(medicine)
    mg = Decimal(dose.mg) if medicine == "taper" else wrong.payload.dose_mg * 10
    wrong.payload = MedicineGiven.model_validate(
        {**wrong.payload.model_dump(), "dose_mg": mg, "ml": mg / dose.mg_per_ml, "outcome": Outcome.GIVEN}
    )
    return right, wrong
