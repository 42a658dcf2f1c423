"""A day's intake: what went in, came back and stayed, its energy and its water, and what is still to come."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest

from fillmark.core.day import plan_day
from fillmark.core.entries import (
    CameBack,
    Drank,
    FillGiven,
    FlushGiven,
    KeptEntry,
    MedicineGiven,
    Outcome,
    SessionEnded,
)
from fillmark.core.intake import DayIntake, Drunk, read_intake, water_drunk
from fillmark.core.ledger import Amount, read_day
from fillmark.core.plan import CarePlan, read_plan
from fillmark.core.water import WaterLevel
from fillmark.examples import example_plan
from tests.support.builders import a_kept

TODAY = date(2026, 11, 25)
MORNING, NOON = "2026-11-25T07:00", "2026-11-25T11:30"
AFTER_NOON = datetime(2026, 11, 25, 13, 0, tzinfo=UTC)


def juniper() -> CarePlan:
    return read_plan(example_plan("juniper"), kind="toml")


def a_meal(session: str, *, fills: tuple[float, ...] = (60, 60, 60, 30), minute: int = 0) -> list[KeptEntry]:
    payloads = [FillGiven(session=session, fill=place, ml=ml) for place, ml in enumerate(fills, start=1)]
    return [
        a_kept(payload, minute=minute + place)
        for place, payload in enumerate([*payloads, SessionEnded(session=session)])
    ]


def intake_of(entries: list[KeptEntry], *, now: datetime = AFTER_NOON, plan: CarePlan | None = None) -> DayIntake:
    plan = plan or juniper()
    day = plan_day(plan, on=TODAY)
    planned = {session.key: session.meal_ml for session in day.sessions}
    ledger = read_day(day=TODAY, entries=entries, planned_ml=planned, now=now)
    return read_intake(ledger, plan=plan, day=day, now=now)


def test_what_stayed_in_has_the_energy_of_the_plans_mix():
    """210 mL of 996 kcal in 935 mL."""
    intake = intake_of(a_meal(MORNING))

    assert intake.kept == Amount(210, 210)
    assert intake.kcal(intake.kept) == pytest.approx((223.7, 223.7), abs=0.05)
    assert (intake.planned_ml, round(intake.goal_kcal)) == (840, 895)


@pytest.mark.hazard("H19")
def test_silence_is_silence_and_never_nothing():
    """A meal that nobody wrote about has no amount; one whose time has not come is not silent."""
    intake = intake_of([])
    morning, noon, afternoon, evening = intake.meals

    assert intake.went_in is None
    assert intake.kept is None
    assert (morning.is_silent, noon.is_silent, afternoon.is_silent, evening.is_silent) == (True, True, False, False)
    assert (afternoon.is_to_come, evening.is_to_come) == (True, True)
    assert intake.silent == 3  # 06:30, 07:00 and 11:30
    assert intake.to_come_ml == 420


def test_what_came_back_is_taken_off_with_its_water_and_its_energy():
    """60 of 210 mL came back: 150 mL are kept, and five sevenths of the water."""
    whole = intake_of(a_meal(MORNING))
    less = intake_of([*a_meal(MORNING), a_kept(CameBack(session=MORNING, ml=60), minute=30)])

    assert less.kept == Amount(150, 150)
    assert less.meals[0].back == Amount(60, 60)
    assert less.water_so_far.low_ml == pytest.approx(whole.water_so_far.low_ml * 150 / 210)


def test_how_much_came_back_may_not_be_known():
    """Then all of it may have stayed, or none: a range, in mL, kcal and water."""
    intake = intake_of([*a_meal(MORNING), a_kept(CameBack(session=MORNING, ml="not known"), minute=30)])

    assert intake.kept == Amount(0, 210)
    assert intake.kcal(intake.kept)[0] == 0
    assert intake.water_so_far.low_ml == 0
    assert intake.water_so_far.high_ml == pytest.approx(172, abs=1)


@pytest.mark.hazard("H30")
def test_the_days_water_adds_up_from_where_it_came():
    """Food and blend by the batch, flushes as recorded, a dose by what was drawn up for it."""
    dose = MedicineGiven(
        session="2026-11-25T06:30", medicine="omeprazole", dose_mg=Decimal(12), ml=Decimal(6), outcome=Outcome.GIVEN
    )
    intake = intake_of(
        [*a_meal(MORNING), a_kept(FlushGiven(session=MORNING, step="flush-before", ml=10), minute=20), a_kept(dose)]
    )
    parts = dict(intake.water_parts)

    # 2 cans of 410 g with 74 % moisture in 935 mL of blend, 160 mL of them stirred in
    assert parts["in the food"].low_ml == pytest.approx(210 * 820 * 0.74 / 935, abs=0.1)
    assert parts["stirred into the blend"].low_ml == pytest.approx(210 * 160 / 935, abs=0.1)
    assert parts["flushes"] == Amount(10, 10)
    assert parts["with medicines"] == Amount(6, 6)
    assert intake.water_so_far.low_ml == pytest.approx(sum(part.low_ml for part in parts.values()))


@pytest.mark.parametrize(
    ("outcome", "expected"),
    [
        (Outcome.GIVEN, Amount(6, 6)),
        (Outcome.NOT_KNOWN, Amount(0, 6)),
        (Outcome.SPILLED, Amount(0, 6)),
        (Outcome.HELD, Amount(0, 0)),
    ],
)
def test_a_dose_brings_the_water_that_went_in_with_it(outcome, expected):
    """All of it, none, or anything between."""
    dose = MedicineGiven(
        session="2026-11-25T06:30", medicine="omeprazole", dose_mg=Decimal(12), outcome=outcome, reason="As it was."
    )

    assert dict(intake_of([a_kept(dose)]).water_parts)["with medicines"] == expected


@pytest.mark.hazard("H30")
def test_the_end_of_the_day_is_what_went_in_and_what_is_still_planned():
    """In the early morning all of the plan is still to come: its own water, inside the band."""
    plan = juniper()
    early = datetime(2026, 11, 25, 4, 30, tzinfo=UTC)
    least, most = intake_of([], now=early).water_by_the_end

    assert least.value == most.value
    assert least.value.total_ml == pytest.approx(plan_day(plan, on=TODAY).water.value.total_ml)
    assert least.value.level is WaterLevel.INSIDE


@pytest.mark.hazard("H30")
def test_too_little_by_the_end_is_seen_while_there_is_time():
    """Nothing recorded all day: at noon the day already ends below the band."""
    least, _ = intake_of([]).water_by_the_end

    assert least.value.level is WaterLevel.TOO_LITTLE
    assert least.cautions[-1].endswith("ask the vet how to give the rest.")


def test_a_meal_in_hand_still_brings_what_is_not_in():
    """Two of four fills are in: 90 mL are to come, beside the meals after it."""
    fills = [FillGiven(session=NOON, fill=place, ml=60) for place in (1, 2)]
    begun = [a_kept(payload, minute=280 + place) for place, payload in enumerate(fills)]
    now = begun[-1].entry.at + timedelta(minutes=2)

    assert intake_of(begun, now=now).to_come_ml == 90 + 420


def test_water_that_the_body_makes_counts_in_no_band():
    """10 to 16 g for each 100 kcal kept, told beside the ledger."""
    intake = intake_of(a_meal(MORNING))
    low, high = intake.metabolic_ml.value

    assert (low, high) == pytest.approx((22.4, 35.8), abs=0.1)
    assert intake.water_so_far.high_ml == pytest.approx(172, abs=1)


@pytest.mark.hazard("H30")
def test_what_the_animal_drinks_counts_as_far_as_it_was_measured():
    """40 and 25 mL from the bowl, once nobody knows how much; yesterday's is yesterday's."""
    entries = [
        a_kept(Drank(ml=40)),
        a_kept(Drank(ml=25), minute=5),
        a_kept(Drank(ml="not known"), minute=6),
        a_kept(Drank(ml=99), day=date(2026, 11, 24)),
    ]
    drunk = water_drunk(entries, day=TODAY)
    alone, with_bowl = (
        read_intake(
            read_day(day=TODAY, entries=[], planned_ml={}, now=AFTER_NOON),
            plan=juniper(),
            day=plan_day(juniper(), on=TODAY),
            now=AFTER_NOON,
            drunk=one,
        )
        for one in (Drunk(), drunk)
    )

    assert drunk == Drunk(ml=65, unmeasured=1)
    assert with_bowl.water_so_far == Amount(65, 65)
    assert dict(with_bowl.water_parts)["by mouth"] == Amount(65, 65)
    ends = [intake.water_by_the_end[0].value.total_ml for intake in (alone, with_bowl)]
    assert ends[1] == pytest.approx(ends[0] + 65)
