"""One household day of one animal."""

from datetime import date, time, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fillmark.core.day.due import instant_of
from fillmark.core.day.plan_day import plan_day
from fillmark.core.day.questions import open_questions
from fillmark.core.day.steps import StepKind
from fillmark.core.plan.reading import read_plan
from fillmark.core.plan.vet import TroubleWords
from fillmark.core.tube.meals import LoadLevel
from fillmark.core.values.trouble import Trouble
from fillmark.examples import example_plan
from tests.support.builders import junipers_plan

ON = date(2026, 11, 25)
JUNIPER = junipers_plan()
SORREL = read_plan(example_plan("sorrel"), kind="toml")


def varied(**replacements: str):
    text = example_plan("juniper").decode()
    for old, new in replacements.values():
        assert old in text
        text = text.replace(old, new, 1)
    return read_plan(text.encode(), kind="toml")


def test_the_day_of_the_dog():
    """Worked by hand: 70 × 17.4^0.75 = 596.4; × 1.5 = 894.6 kcal; 996 ÷ 935 = 1.0652 kcal/mL; 840 mL; 4 × 210 mL."""
    day = plan_day(JUNIPER, on=ON)

    assert day.energy.value == pytest.approx(894.6, abs=0.1)
    assert day.kcal_per_ml.value == pytest.approx(996 / 935)
    assert day.day_ml.value == pytest.approx(839.8, abs=0.1)
    assert day.meals.value == (210, 210, 210, 210)
    assert day.water.value.total_ml == pytest.approx(
        840 / 935 * (820 * 0.74 + 160) + (35 + 30 + 30 + 30 + 30 + 30 + 30 + 30) + 3 * 5.2 + 2 * 6, abs=0.1
    )


def test_the_day_of_the_cat():
    """Worked by hand: 70 × 4.1^0.75 × 1.1 = 221.9 kcal; 349 g at 1.03 g/mL are 338.8 mL with 361.9 kcal; 208 mL."""
    day = plan_day(SORREL, on=ON)

    assert day.energy.value == pytest.approx(221.9, abs=0.1)
    assert day.kcal_per_ml.value == pytest.approx(2 * 0.156 * 1160 / (349 / 1.03))
    assert day.meals.value == (42, 42, 42, 41, 41)
    assert str(day.sessions[0].medicines[0].working.value.drawn) == "2.6 mL"


@pytest.mark.parametrize("plan", [JUNIPER, SORREL])
def test_every_session_adds_up(plan):
    """Fills are the meal, the meals are the day, and the load counts all that the steps bring in."""
    day = plan_day(plan, on=ON)

    assert sum(session.meal_ml for session in day.sessions) == sum(day.meals.value)
    for session in day.sessions:
        steps_ml = sum(step.ml or 0 for step in session.steps)
        assert sum(float(mark.drawn.ml) for mark in session.fills) == session.meal_ml
        assert session.load.value.total_ml == pytest.approx(steps_ml)
    keys = [session.key for session in day.sessions]
    assert len(set(keys)) == len(keys)
    assert all(before.at < after.at for before, after in pairwise(day.sessions))


@pytest.mark.hazard("H12")
def test_the_tube_is_checked_before_anything_goes_in():
    """Mark, then a flush, then all the rest."""
    for session in plan_day(JUNIPER, on=ON).sessions:
        kinds = [step.kind for step in session.steps]
        first_in = min(kinds.index(kind) for kind in (StepKind.MEDICINE, StepKind.FILL) if kind in kinds)
        assert kinds.index(StepKind.CHECK_MARK) < kinds.index(StepKind.FLUSH) < first_in


@pytest.mark.hazard("H10")
def test_a_meal_over_the_cap_is_said():
    """The cap counts flushes and medicine water."""
    day = plan_day(varied(cap=("cap_ml_per_kg = 20", "cap_ml_per_kg = 13"), warn=("warn_ml_per_kg = 17\n", "")), on=ON)

    assert [session.load.value.level for session in day.sessions if session.meal_ml] == [LoadLevel.OVER_CAP] * 4
    assert any("More than the vet allows" in caution for caution in day.cautions())


@pytest.mark.hazard("H8")
def test_a_blend_that_was_not_measured_is_marked_as_predicted():
    """Without a jug's reading the volume is a prediction, and says so."""
    day = plan_day(varied(measured=("measured = { on = 2026-11-24, ml = 935 }\n", "")), on=ON)

    assert day.kcal_per_ml.value == pytest.approx(996 / (2 * 392 + 160))
    assert any("Predicted, not measured" in caution for caution in day.cautions())


@pytest.mark.hazard("H8")
@given(st.floats(700, 1800))
def test_a_thinner_mix_never_keeps_the_same_meals(ml):
    """The same cans in more water need more mL for the same energy."""
    thin = plan_day(varied(measured=("ml = 935", f"ml = {ml:.0f}")), on=ON)
    assert sum(thin.meals.value) == pytest.approx(thin.energy.value / (996 / round(ml)), abs=0.51)


@pytest.mark.hazard("H26")
@pytest.mark.parametrize(
    ("zone", "on"),
    [
        ("Europe/Dublin", date(2026, 3, 28)),
        ("Europe/Dublin", date(2026, 10, 24)),
        ("America/Denver", date(2026, 3, 7)),
        ("America/Denver", date(2026, 10, 31)),
        ("Australia/Lord_Howe", date(2026, 4, 4)),
        ("Australia/Lord_Howe", date(2026, 10, 3)),
    ],
)
def test_a_clock_change_loses_and_doubles_no_session(zone, on):
    """Every time of the day line is one instant, in order, inside a day of 23, 23.5, 24.5 or 25 hours."""
    plan = varied(
        zone=("Europe/Dublin", zone),
        meals=('meals = ["07:00", "11:30", "15:00", "20:00"]', 'meals = ["20:00", "01:30", "02:00", "02:30"]'),
    )
    sessions = plan_day(plan, on=on).sessions

    assert [session.clock for session in sessions if session.meal_ml] == [time(20), time(1, 30), time(2), time(2, 30)]
    assert len({session.key for session in sessions}) == len(sessions) == 8
    instants = [session.at.timestamp() for session in sessions]
    assert instants == sorted(instants)
    starts = instant_of(plan, on=on, clock=time(4))
    assert all(starts.timestamp() <= instant < starts.timestamp() + 25 * 3600 for instant in instants)


@pytest.mark.hazard("H26")
def test_a_time_that_the_clock_skips_falls_on_the_change():
    """In Dublin 1:30 does not exist on 29 March 2026: the clock goes from 1:00 to 2:00."""
    plan = varied()
    skipped = instant_of(plan, on=date(2026, 3, 28), clock=time(1, 30))
    assert (skipped.hour, skipped.minute, skipped.utcoffset()) == (2, 0, timedelta(hours=1))


def test_a_course_that_ended_is_no_longer_given():
    """stop_on is the last day."""
    plan = varied(course=('dose = "12 mg"', 'dose = "12 mg"\nstop_on = 2026-11-25'))

    def names(day: date) -> set[str]:
        return {dose.medicine.id for session in plan_day(plan, on=day).sessions for dose in session.medicines}

    assert names(ON) == {"metoclopramide", "omeprazole"}
    assert names(ON + timedelta(days=1)) == {"metoclopramide"}


EVERY_48_HOURS = (
    'every_hours = 12\nclocks = ["06:30", "18:30"]',
    'every_hours = 48\nclocks = ["06:30"]\nstart_on = 2026-11-25',
)


@pytest.mark.hazard("H1")
def test_a_medicine_every_48_hours_is_planned_every_other_day():
    """From its first day on: the 25th, the 27th; not on the days between."""
    plan = varied(rare=EVERY_48_HOURS)

    for day, is_due in ((24, False), (25, True), (26, False), (27, True), (28, False)):
        sessions = plan_day(plan, on=date(2026, 11, day)).sessions
        doses = [dose.medicine.id for session in sessions for dose in session.medicines]
        assert doses.count("omeprazole") == is_due


def test_a_medicine_every_48_hours_without_its_first_day_is_asked_about():
    """Nothing says which of two days is the right one, so no day is worked out before it is answered."""
    days, without = EVERY_48_HOURS[1].partition("\nstart_on")[0], EVERY_48_HOURS[0]
    asked = [question for question in open_questions(varied(rare=(without, days))) if question.blocks]

    assert [(question.field, question.ask) for question in asked] == [
        (
            "medicines[2].start_on",
            "On which day is Omeprazole given first? Its days are counted from there.",
        )
    ]


def test_every_number_has_its_working():
    """No explained number of the day comes without a line of working."""
    day = plan_day(JUNIPER, on=ON)
    assert all(list(number.working()) and all(number.working()) for number in day.explained())


@pytest.mark.parametrize(
    ("orders", "clocks", "is_asked"),
    [
        ({"meal_gap_hours": 3.0}, JUNIPER.timetable.meals, False),
        ({"meal_gap_hours": None}, JUNIPER.timetable.meals, True),
        ({"meal_gap_hours": None, "meals_per_day": 2}, (), True),
        ({"meal_gap_hours": None, "meals_per_day": 1}, (time(7),), False),
    ],
)
def test_the_shortest_time_between_meals_is_asked_for_and_holds_nothing_up(orders, clocks, is_asked):
    """Only where there are two meals to keep apart, and the vet has not said."""
    plan = JUNIPER.model_copy(
        update={
            "orders": JUNIPER.orders.model_copy(update=orders),
            "timetable": JUNIPER.timetable.model_copy(update={"meals": clocks}),
        }
    )
    asked = [question for question in open_questions(plan) if question.field == "orders.meal_gap_hours"]

    assert [(question.ask, question.blocks) for question in asked] == [
        ("What is the shortest time from one meal to the next?", False)
    ] * is_asked


@pytest.mark.hazard("H29")
def test_a_flush_between_medicines_that_does_not_fill_the_tube_is_asked_about():
    """A tube of 4 mm and 100 cm holds 12.6 mL; 5 mL leave some of the medicine in it."""
    long_tube = JUNIPER.animal.tube.model_copy(update={"inner_diameter_mm": 4.0, "length_cm": 100.0})
    plan = JUNIPER.model_copy(update={"animal": JUNIPER.animal.model_copy(update={"tube": long_tube})})
    asked = [question for question in open_questions(plan) if question.field == "orders.flush_between_ml"]

    assert [question.ask for question in asked] == [
        "5 mL is less than the tube holds (12.6 mL): some of a medicine stays inside it. "
        "Ask the vet whether the flush after a medicine should be larger."
    ]
    assert not asked[0].blocks
    assert "orders.flush_between_ml" not in [question.field for question in open_questions(JUNIPER)]


def about_calls(plan) -> list[tuple[str, str]]:
    return [(one.field, one.ask) for one in open_questions(plan) if one.field.startswith("vet.")]


POISON_LINE = ("vet.call", "Which poison line for animals can be called here?")
COMES_BACK = ("vet.troubles", "When should we call about food that comes back?")


@pytest.mark.hazard("H31")
def test_whom_to_call_and_when_is_asked_where_the_plan_leaves_it_open():
    """Until when a number answers, who answers in the gaps, the poison line, and what is usual for this animal."""
    assert about_calls(JUNIPER) == [POISON_LINE, COMES_BACK]
    assert about_calls(SORREL) == [
        (
            "vet.call[1].hours",
            "Until when does Millrace Veterinary Practice answer? The plan has it only in words: weekdays 8:30 to "
            "18:30.",
        ),
        POISON_LINE,
        COMES_BACK,
    ]
    by_day = JUNIPER.model_copy(update={"vet": JUNIPER.vet.model_copy(update={"call": JUNIPER.vet.call[:1]})})
    assert about_calls(by_day)[0] == ("vet.call", "Whom to call at night, when no number of the plan answers?")
    nobody = JUNIPER.model_copy(update={"vet": JUNIPER.vet.model_copy(update={"call": ()})})
    assert about_calls(nobody) == [("vet.call", "Whom to call by day and by night?"), POISON_LINE, COMES_BACK]


def test_what_was_said_about_poisons_and_food_that_comes_back_is_not_asked_again():
    """A poison line alone leaves the clinic to be named."""
    line = JUNIPER.vet.call[1].model_copy(update={"who": "Poison line"})
    said = TroubleWords(trouble=Trouble.VOMITING, words="From the third time in a day.")
    vet = JUNIPER.vet.model_copy(update={"call": (*JUNIPER.vet.call, line), "troubles": (said,)})
    assert about_calls(JUNIPER.model_copy(update={"vet": vet})) == []

    alone = vet.model_copy(update={"call": (line,)})
    assert about_calls(JUNIPER.model_copy(update={"vet": alone})) == [("vet.call", "Whom to call by day and by night?")]
