"""A day's intake: what went in, came back and stayed, its energy and its water, and what is still to come."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest

from fillmark.core.day.plan_day import plan_day
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.reading import read_plan
from fillmark.core.record.amounts import Amount
from fillmark.core.record.care_entries import Drank
from fillmark.core.record.entries import KeptEntry
from fillmark.core.record.ledger import read_day
from fillmark.core.record.medicine_entries import MedicineGiven, Outcome
from fillmark.core.record.session_entries import CameBack, FillGiven, FlushGiven, SessionEnded
from fillmark.core.today.intake import DayIntake, Drunk, read_intake, water_drunk
from fillmark.core.tube.water import WaterLevel
from fillmark.examples import example_plan
from tests.support.builders import a_kept, junipers_plan

TODAY = date(2026, 11, 25)
MORNING, NOON = "2026-11-25T07:00", "2026-11-25T11:30"
AFTER_NOON = datetime(2026, 11, 25, 13, 0, tzinfo=UTC)


def juniper() -> CarePlan:
    return junipers_plan()


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


EARLY = "2026-11-25T06:30"


def a_dose(*, session: str = EARLY, outcome: Outcome = Outcome.GIVEN, minute: int = -28) -> KeptEntry:
    """12 mg of omeprazole, which the plan draws as 6 mL; reasons are given wherever they may be asked for."""
    payload = MedicineGiven(
        session=session, medicine="omeprazole", dose_mg=Decimal(12), outcome=outcome, reason="As it was."
    )
    return a_kept(payload, minute=minute)


def whole_water() -> float:
    return plan_day(juniper(), on=TODAY).water.value.total_ml


@pytest.mark.hazard("H30")
def test_a_day_that_goes_as_planned_ends_where_the_plan_ends():
    """In the middle of a session, with a flush and one of two doses in: nothing counts twice, nothing is lost."""
    begun = [a_kept(FlushGiven(session=EARLY, step="flush-before", ml=10), minute=-29), a_dose()]
    least, most = intake_of(begun, now=begun[-1].entry.at + timedelta(minutes=1)).water_by_the_end

    assert least.value.total_ml == pytest.approx(whole_water())
    assert most.value.total_ml == pytest.approx(whole_water())


def test_more_than_planned_is_counted_and_not_taken_back_from_what_is_to_come():
    """A flush of 60 mL in place of 35, and 240 mL of a meal of 210: the rest of the day stays as it is."""
    flushed = [a_kept(FlushGiven(session=EARLY, step="flush-before", ml=60), minute=-29)]
    least, _ = intake_of(flushed, now=flushed[-1].entry.at + timedelta(minutes=1)).water_by_the_end
    fed = [a_kept(FillGiven(session=MORNING, fill=place, ml=60), minute=place) for place in (1, 2, 3, 4)]

    assert least.value.total_ml == pytest.approx(whole_water() + 25)
    assert intake_of(fed, now=fed[-1].entry.at + timedelta(minutes=1)).to_come_ml == 630


@pytest.mark.hazard("H19")
def test_a_session_that_nobody_wrote_about_brings_no_water():
    """At 13:00 with nothing recorded, only what is still to come is counted, to the milliliter."""
    day = plan_day(juniper(), on=TODAY)
    least, _ = intake_of([]).water_by_the_end
    batch_kcal, batch_water_ml = day.batch.value
    per_ml = batch_water_ml * day.kcal_per_ml.value / batch_kcal
    expected = sum(
        session.meal_ml * per_ml + session.load.value.total_ml - session.meal_ml
        for session in day.sessions
        if session.at > AFTER_NOON
    )

    assert least.value.total_ml == pytest.approx(expected)


def test_at_its_own_minute_a_session_is_no_longer_to_come():
    """Still to come is what lies ahead."""
    at_noon = datetime(2026, 11, 25, 11, 30, tzinfo=UTC)
    meals = {meal.session: meal for meal in intake_of([], now=at_noon).meals}
    before = {meal.session: meal for meal in intake_of([], now=at_noon - timedelta(seconds=1)).meals}

    assert not meals[NOON].is_to_come
    assert before[NOON].is_to_come


def test_both_ends_of_the_day_are_told_where_how_much_stayed_is_not_known():
    """With all of a meal perhaps come back, the ends lie a meal's water apart."""
    least, most = intake_of(
        [*a_meal(MORNING), a_kept(CameBack(session=MORNING, ml="not known"), minute=30)]
    ).water_by_the_end

    assert most.value.total_ml - least.value.total_ml == pytest.approx(172, abs=1)


@pytest.mark.hazard("H30")
def test_the_vets_band_stands_where_there_is_one_and_print_where_there_is_none():
    """50 to 80 mL/kg for 17.4 kg; without the vet's word the span of print, and the question."""
    text = example_plan("juniper").decode().replace("water_ml_per_kg_per_day = { low = 50, high = 80 }\n", "")
    vets, _ = intake_of([]).water_by_the_end
    prints, _ = intake_of([], plan=read_plan(text.encode(), kind="toml")).water_by_the_end

    assert vets.value.is_vets_band
    assert (vets.value.low_ml, vets.value.high_ml) == pytest.approx((870, 1392))
    assert not prints.value.is_vets_band
    assert prints.cautions[0].startswith("The vet stated no amount of water.")


def test_a_dose_that_may_have_gone_in_twice_brings_its_water_once_or_twice():
    """Until someone says which; one whose outcome nobody knows, from nothing to both."""
    twice = dict(intake_of([a_dose(), a_dose(minute=-20)]).water_parts)["with medicines"]
    unsure = [a_dose(outcome=Outcome.NOT_KNOWN), a_dose(outcome=Outcome.NOT_KNOWN, minute=-20)]

    assert twice == Amount(6, 12)
    assert dict(intake_of(unsure).water_parts)["with medicines"] == Amount(0, 12)


def test_a_dose_outside_any_planned_session_has_no_water_that_is_known():
    """The plan draws up nothing for a session it does not know."""
    dose = a_dose(session="2026-11-25T09:00", minute=120)

    assert dict(intake_of([dose]).water_parts)["with medicines"] == Amount(0, 0)


def test_a_day_without_a_plan_has_nothing_planned_and_nothing_drunk():
    """Nothing is made up where nothing was written."""
    day = plan_day(juniper(), on=TODAY)
    ledger = read_day(day=TODAY, entries=[], planned_ml={}, now=AFTER_NOON)
    intake = read_intake(ledger, plan=juniper(), day=day, now=AFTER_NOON)

    assert intake.planned_ml == 0
    assert Drunk() == Drunk(ml=0, unmeasured=0)
