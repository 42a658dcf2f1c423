"""What the chart says in words: the same on screen and on paper."""

from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest

from fillmark.core.chart.chart import ChartEntry
from fillmark.core.chart.read_chart import course_of
from fillmark.core.chart.words import (
    say_chart_entry,
    say_check,
    say_correction,
    say_course_day,
    say_dose,
    say_doses,
    say_effect,
    say_outcome,
    say_recorded_amount,
    say_row,
    say_schedule,
    say_short_clock,
    say_state,
    say_timing,
)
from fillmark.core.orders.rhythm import DoseStep, FoodRule, WhenNeeded
from fillmark.core.record.day_entries import Withdrawn
from fillmark.core.record.medicine_entries import EffectSeen, MedicineGiven, Outcome, SecondCheck
from fillmark.core.record.session_entries import SessionSkipped
from tests.support.builders import SEVEN, a_kept
from tests.support.charts import DRUG, cell, chart, given, in_force
from tests.support.medicines import a_medicine, a_tablet

DUBLIN = ZoneInfo("Europe/Dublin")


def an_entry(*, minute: int = 0, **changed) -> ChartEntry:
    """One dose of Drug as the chart has it."""
    return cell(chart(a_kept(given(**changed), minute=minute))).entries[0]


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"every_hours": 8}, "every 8 hours"),
        (
            {"every_hours": 36, "first_dose": datetime(2026, 11, 25, 6, 30)},  # noqa: DTZ001 - the household's clock
            "every 36 hours, counted from Wed 25 Nov, 06:30",
        ),
        (
            {"steps": (DoseStep(from_on=date(2026, 12, 1), dose="2 mg", every_hours=48),)},
            "every 12 hours, from Tue 1 Dec every 48 hours",
        ),
        ({"times_per_day": 3}, "3 times a day"),
        ({"times_per_day": 2}, "2 times a day"),
        ({"times_per_day": 1}, "once a day"),
        ({"with_each_meal": True}, "with each meal"),
        ({"food": FoodRule(relation="before", minutes=30)}, "every 12 hours, 30 minutes before food"),
        ({"food": FoodRule(relation="any", minutes=30)}, "every 12 hours"),
        ({"food": FoodRule(relation="with")}, "every 12 hours, with food"),
        (
            {"food": FoodRule(relation="empty stomach", minutes=60)},
            "every 12 hours, on an empty stomach, 60 minutes before food",
        ),
        ({"route": "mouth"}, "every 12 hours, by mouth"),
        ({"route": "nebulizer"}, "every 12 hours, by nebulizer"),
        ({"route": "ear"}, "every 12 hours, into the ear"),
        ({"route": "skin"}, "every 12 hours, on the skin"),
        (
            {"when_needed": WhenNeeded(reason="Wheezing.", min_gap_hours=4, max_per_day=3)},
            "when needed: Wheezing, at least 4 hours apart, at most 3 in 24 hours",
        ),
    ],
)
def test_how_often_and_how_it_stands_to_food(changed, words):
    """In plain words, never an abbreviation."""
    assert say_schedule(a_medicine(**changed)) == words


@pytest.mark.hazard("H3")
def test_a_dose_is_told_as_mass_volume_and_syringe():
    """The mass first: the same mL of another bottle is another dose."""
    assert say_dose(cell(chart()).dose) == "5 mg = 5 mL in the 10 mL syringe"


def test_a_counted_dose_is_told_in_pieces_and_water():
    """A tablet with the water it is given in; drops without a mass."""
    tablet = a_tablet(id="drug", route="tube", crush="allowed", carrier_water_ml=5, clocks=(time(7), time(19)))
    drops = a_medicine(id="drug", form="drops", strength="not stated", dose="2 drops", clocks=(time(7), time(19)))

    assert say_dose(cell(chart(plans=[in_force(tablet)])).dose) == "10 mg = one tablet in 5 mL water"
    assert say_dose(cell(chart(plans=[in_force(drops)])).dose) == "two drops"


@pytest.mark.parametrize(
    ("changed", "amount", "outcome"),
    [
        ({}, "5 mg, 5 mL", "given"),
        ({"ml": None}, "5 mg", "given"),
        ({"dose_mg": None, "ml": None, "amount": "one vial"}, "one vial", "given"),
        ({"outcome": Outcome.PARTIAL, "given_mg": "2"}, "5 mg, 5 mL", "part of it given: 2 mg"),
        ({"outcome": Outcome.PARTIAL, "given_mg": "not known"}, "5 mg, 5 mL", "part of it given: not known"),
        ({"outcome": Outcome.MISSED, "reason": "Asleep"}, "5 mg", "not given"),
        ({"outcome": Outcome.HELD, "reason": "Vomiting"}, "5 mg", "held"),
        ({"outcome": Outcome.CAME_BACK}, "5 mg, 5 mL", "came back"),
        ({"outcome": Outcome.NOT_KNOWN}, "5 mg, 5 mL", "not known whether it went in"),
    ],
)
def test_a_record_tells_its_amount_and_what_became_of_it(changed, amount, outcome):
    """As it was recorded, not as it was planned."""
    entry = an_entry(**changed)

    assert (say_recorded_amount(entry), say_outcome(entry)) == (amount, outcome)


def test_an_order_says_its_dose_once_where_it_does_not_change():
    """Also one that is given when needed; a changing dose is said day by day."""
    taper = DRUG.model_copy(update={"steps": (DoseStep(from_on=date(2026, 11, 26), dose="2 mg"),)})
    changing = chart(plans=[in_force(taper)], last=date(2026, 11, 26)).rows[0]
    drug, puff = chart().rows

    assert say_row(drug, zone=DUBLIN) == ("5 mg = 5 mL in the 10 mL syringe", "every 12 hours")
    assert say_row(puff, zone=DUBLIN)[0] == "5 mg = 5 mL in the 10 mL syringe"
    assert say_row(changing, zone=DUBLIN) == ("every 12 hours",)
    assert say_doses(changing) == ("5 mg = 5 mL in the 10 mL syringe", "2 mg = 2 mL in the 3 mL syringe")


@pytest.mark.parametrize(
    ("says_given", "is_alone", "what", "notes"),
    [(True, True, "5 mg, 5 mL, given", ("once or twice?",)), (False, False, "5 mg, 5 mL", ())],
)
def test_a_record_is_told_for_its_place(says_given, is_alone, what, notes):
    """Beside a mark that says "given", and in a square that asks, words need not say it again."""
    entries = cell(chart(a_kept(given(), minute=1), a_kept(given(), minute=4))).entries
    told = say_chart_entry(entries[0], zone=DUBLIN, is_alone=is_alone, says_given=says_given)

    assert (told.clock, told.by_name, told.what, told.notes) == ("07:01", "Noor", what, notes)


def test_what_follows_on_another_day_names_it():
    """A time alone would be read as the same day's."""
    at = datetime(2026, 11, 25, 23, 30, tzinfo=UTC)

    assert say_short_clock(at, zone=DUBLIN, beside=at - timedelta(hours=1)) == "23:30"
    assert say_short_clock(at, zone=DUBLIN, beside=at - timedelta(hours=24)) == "Wed 25 Nov, 23:30"


@pytest.mark.parametrize(("minute", "words"), [(-90, "early"), (0, ""), (90, "late")])
def test_only_what_was_not_on_time_is_said(minute, words):
    """A dose on time needs no praise."""
    assert say_timing(an_entry(minute=minute)) == words


@pytest.mark.parametrize(
    ("ml", "words"),
    [("5", "checked by Sam: 5 mL"), ("4.4", "checked by Sam: 4.4 mL, which is not the dose")],
)
def test_a_second_check_tells_who_read_what(ml, words):
    """And whether that is the dose."""
    check = a_kept(SecondCheck(session=SEVEN, medicine="drug", ml=ml), minute=1, by_name="Sam")
    plans = [in_force(DRUG.model_copy(update={"second_check": True}))]

    assert say_check(cell(chart(check, a_kept(given(), minute=2), plans=plans)).entries[0]) == words
    assert say_check(an_entry()) == ""


def test_effects_and_corrections_are_told():
    """With what someone wrote beside them."""
    dose = a_kept(given(), minute=1)
    wrong = a_kept(given(), minute=2)
    entries = cell(
        chart(
            dose,
            a_kept(EffectSeen(of=dose.entry.id, effect="eased", words="Sleeps"), minute=9),
            a_kept(EffectSeen(of=dose.entry.id, effect="no change"), minute=10),
            wrong,
            a_kept(Withdrawn(reason="Pressed twice"), minute=3, corrects=wrong.entry.id, by_name="Sam"),
        )
    ).entries
    replaced = cell(chart(dose, a_kept(given(outcome=Outcome.SPILLED), minute=3, corrects=dose.entry.id))).entries[0]

    assert [say_effect(seen) for seen in entries[0].effects] == ["eased. Sleeps", "no change"]
    assert entries[1].correction is not None
    assert say_correction(entries[1].correction) == "taken back by Sam: Pressed twice"
    assert replaced.correction is not None
    assert say_correction(replaced.correction) == "replaced by Noor"


@pytest.mark.parametrize(
    ("changed", "day", "with_dose", "words"),
    [
        ({"start_on": date(2026, 11, 23), "stop_on": date(2026, 12, 2)}, 25, True, "day 3 of 10, 5 mg"),
        ({"start_on": date(2026, 11, 23), "stop_on": date(2026, 12, 2)}, 25, False, "day 3 of 10"),
        ({"start_on": date(2026, 11, 23)}, 25, False, "day 3"),
        ({"stop_on": date(2026, 11, 25)}, 25, True, "last day, 5 mg"),
        ({"steps": (DoseStep(from_on=date(2026, 11, 25), dose="2 mg"),)}, 25, True, "2 mg"),
    ],
)
def test_a_day_of_a_course_is_told(changed, day, with_dose, words):
    """As far as the vet has said where it begins and ends."""
    course = course_of(DRUG.model_copy(update=changed))
    assert course is not None
    found = course.on(date(2026, 11, day))
    assert found is not None

    assert say_course_day(found, with_dose=with_dose) == words


def test_the_words_hold_for_a_record_from_outside_the_plan():
    """A dose that answers no planned one."""
    kept = a_kept(MedicineGiven(medicine="drug", dose_mg=Decimal("0.5"), outcome=Outcome.REFUSED, reason="Fled"))
    entry = chart(kept).rows[0].others[0]

    assert (say_recorded_amount(entry), say_outcome(entry), say_timing(entry)) == ("0.5 mg", "refused", "")


def test_a_record_says_all_that_was_said_about_it_in_order():
    """The check, the reason, what it did, and what took its place."""
    plans = [in_force(DRUG.model_copy(update={"second_check": True}))]
    check = a_kept(SecondCheck(session=SEVEN, medicine="drug", ml="5"), minute=1, by_name="Sam")
    dose = a_kept(given(reason="The vet agreed on the phone"), minute=2)
    effect = a_kept(EffectSeen(of=dose.entry.id, effect="eased"), minute=40)
    wrong = a_kept(given(reason="Second try"), minute=3)
    back = a_kept(Withdrawn(reason="Pressed twice"), minute=5, corrects=wrong.entry.id)
    told = [
        say_chart_entry(entry, zone=DUBLIN, is_alone=True, says_given=True)
        for entry in cell(chart(check, dose, effect, wrong, back, plans=plans)).entries
    ]

    assert [one.notes for one in told] == [
        ("checked by Sam: 5 mL", "The vet agreed on the phone", "eased (07:40)"),
        ("checked by Sam: 5 mL", "Second try", "taken back by Noor: Pressed twice (07:05)"),
    ]
    assert [(one.is_struck, one.went_in) for one in told] == [(False, True), (True, True)]


def test_each_state_of_a_dose_has_its_words():
    """Nothing beside a record that says it all; who left it out and why; why it is on hold; else its name."""
    held = [in_force(DRUG.model_copy(update={"held": "The vet said to wait"}))]
    left_out = a_kept(SessionSkipped(session=SEVEN, reason="Vomiting"))

    assert say_state(cell(chart(a_kept(given())))) == ""
    assert say_state(cell(chart(left_out))) == "left out by Noor: Vomiting"
    assert say_state(cell(chart(plans=held))) == "on hold: The vet said to wait"
    assert say_state(cell(chart(left_out, plans=held))) == "left out by Noor: Vomiting"
    assert say_state(cell(chart())) == "no entry"
    assert say_state(cell(chart(), clock=time(19))) == "still to come"
    twice = [a_kept(given()), a_kept(given(), minute=1)]
    assert say_state(cell(chart(*twice))) == "once or twice?"
    assert say_state(cell(chart(*twice, left_out, plans=held))) == "once or twice?"


def test_an_order_says_what_a_person_must_know_of_it():
    """A second check, a hold, and the moments it changed."""
    noon = datetime(2026, 11, 25, 12, tzinfo=UTC)
    order = DRUG.model_copy(update={"second_check": True, "held": "Wait"})
    plans = [
        in_force(order, from_at=noon - timedelta(hours=6), until_at=noon),
        in_force(number=2, from_at=noon),
    ]
    stranger = a_kept(given(session=None, medicine="stranger"))

    row, outsider = chart(stranger, plans=plans).rows
    assert say_row(row, zone=DUBLIN) == (
        "every 12 hours",
        "a second person checks the mark",
        "on hold: Wait",
        "from Wed 25 Nov, 06:00",
        "until Wed 25 Nov, 12:00",
    )
    assert say_row(outsider, zone=DUBLIN) == ("in no plan of these days",)
