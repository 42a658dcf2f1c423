"""The chart of medicines: each dose with all that was written about it, and nothing added up."""

from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal

import pytest

from fillmark.core.chart.chart import CellState, Timing
from fillmark.core.chart.read_chart import course_of, read_chart
from fillmark.core.day.plan_day import plan_day
from fillmark.core.orders.rhythm import DoseStep
from fillmark.core.record.day_entries import BothGiven, Withdrawn
from fillmark.core.record.medicine_entries import EffectSeen, Outcome, SecondCheck
from fillmark.core.record.session_entries import SessionSkipped, StepSkipped
from fillmark.core.record.two_walks import PossibleDouble
from fillmark.core.values.quantities import Mass
from tests.support.builders import NOON, SEVEN, a_kept
from tests.support.charts import DRUG, LONG_AGO, PUFF, WEDNESDAY, cell, chart, given, in_force
from tests.support.medicines import a_medicine


def test_a_dose_shows_who_when_what_and_how_it_stood_to_its_time():
    """One record in its square: the order's mg, the mL, who, when it happened and when it was written."""
    kept = a_kept(given(), minute=3, by_name="Sam")
    found = cell(chart(kept))
    entry = found.entries[0]

    assert found.state is CellState.RECORDED
    assert (entry.by_name, entry.at, entry.recorded_at) == ("Sam", kept.entry.at, kept.recorded_at)
    assert (entry.dose_mg, entry.ml, entry.outcome, entry.timing) == (5, 5, Outcome.GIVEN, Timing.ON_TIME)
    assert (found.dose.mass, found.dose.amount, found.version) == (Mass(Decimal(5)), "5 mL", 1)


@pytest.mark.parametrize(
    ("minute", "timing"), [(-61, Timing.EARLY), (-60, Timing.ON_TIME), (60, Timing.ON_TIME), (61, Timing.LATE)]
)
def test_early_and_late_follow_the_published_window(minute, timing):
    """An order every 12 hours has an hour either way."""
    assert cell(chart(a_kept(given(), minute=minute))).entries[0].timing is timing


def test_a_dose_that_did_not_go_in_is_neither_early_nor_late():
    """Held is an outcome with a reason, not a time kept or missed."""
    entry = cell(chart(a_kept(given(outcome=Outcome.HELD, reason="Vomiting")))).entries[0]

    assert (entry.timing, entry.reason) == (None, "Vomiting")


@pytest.mark.hazard("H19")
@pytest.mark.parametrize(
    ("hour", "minute", "state"),
    [
        (6, 59, CellState.STILL_TO_COME),
        (7, 0, CellState.DUE),
        (8, 0, CellState.DUE),
        (8, 1, CellState.NO_ENTRY),
    ],
)
def test_silence_is_shown_as_silence(hour, minute, state):
    """Before its time a dose is still to come; past its window with nothing written it is "no entry", not "missed"."""
    found = cell(chart(now=datetime(2026, 11, 25, hour, minute, tzinfo=UTC)))

    assert (found.state, found.entries) == (state, ())


@pytest.mark.hazard("H1")
def test_two_records_of_one_dose_are_a_question_until_someone_answers_it():
    """Both stand in the square; "both happened" settles it, and so does taking one back."""
    one, other = a_kept(given(), minute=1), a_kept(given(), minute=9, by_name="Sam")
    both = a_kept(BothGiven(session=SEVEN, entries=(one.entry.id, other.entry.id)), minute=12)
    back = a_kept(Withdrawn(reason="Sam had given it"), minute=13, corrects=one.entry.id)

    asked = cell(chart(other, one))
    assert asked.state is CellState.ONCE_OR_TWICE
    assert [(entry.by_name, entry.is_open) for entry in asked.entries] == [("Noor", True), ("Sam", True)]
    assert cell(chart(one, other, both)).state is CellState.RECORDED
    settled = cell(chart(one, other, back))
    assert settled.state is CellState.RECORDED
    assert [entry.counts for entry in settled.entries] == [False, True]


def test_a_question_from_beyond_the_session_opens_the_square_too():
    """What asks about two doses of different sessions is handed in."""
    one = a_kept(given(), minute=1)
    clash = PossibleDouble(what="two doses", entry_ids=(one.entry.id,))

    assert cell(chart(one, clashes=(clash,))).state is CellState.ONCE_OR_TWICE


def test_a_correction_leaves_what_it_corrects_in_sight():
    """The old record is struck, with who corrected it and when; the new one counts."""
    old = a_kept(given(), minute=1)
    new = a_kept(given(outcome=Outcome.SPILLED), minute=5, by_name="Sam", corrects=old.entry.id)
    first, second = cell(chart(old, new)).entries

    assert first.correction is not None
    assert (first.correction.by_name, first.correction.at) == ("Sam", new.entry.at)
    assert not first.correction.is_withdrawn
    assert second.counts
    assert second.outcome is Outcome.SPILLED


def test_a_dose_taken_back_leaves_its_square_without_an_entry():
    """With the reason why it was taken back."""
    old = a_kept(given(), minute=1)
    found = cell(chart(old, a_kept(Withdrawn(reason="Wrong animal"), minute=5, corrects=old.entry.id)))

    assert found.state is CellState.NO_ENTRY
    assert found.entries[0].correction is not None
    assert (found.entries[0].correction.is_withdrawn, found.entries[0].correction.reason) == (True, "Wrong animal")


@pytest.mark.parametrize(
    "payload",
    [SessionSkipped(session=SEVEN, reason="Vomiting"), StepSkipped(session=SEVEN, step="medicine-drug", reason="Out")],
    ids=["the session", "the step"],
)
def test_a_dose_left_out_says_why(payload):
    """Left out with its whole session, or alone."""
    found = cell(chart(a_kept(payload)))

    assert found.state is CellState.LEFT_OUT
    assert found.left_out is not None
    assert (found.left_out.reason, found.left_out.by_name) == (payload.reason, "Noor")


def test_another_step_left_out_says_nothing_about_the_dose():
    """Only the step of this medicine does."""
    skipped = a_kept(StepSkipped(session=SEVEN, step="medicine-other", reason="Out"))

    assert cell(chart(skipped)).state is CellState.NO_ENTRY


def test_an_order_on_hold_is_not_a_gap():
    """Unless someone wrote something all the same."""
    held = in_force(DRUG.model_copy(update={"held": "The vet said to wait"}))

    assert cell(chart(plans=[held])).state is CellState.HELD
    assert cell(chart(a_kept(given()), plans=[held])).state is CellState.RECORDED


@pytest.mark.hazard("H3")
def test_a_changed_order_has_a_row_of_its_own_below_the_old_one():
    """Half of the day by the old bottle, half by the new; what did not change stays one row."""
    at_noon = datetime(2026, 11, 25, 12, tzinfo=UTC)
    stronger = DRUG.model_copy(update={"strength": "2 mg/mL"})
    other = a_medicine(id="other", name="Other", clocks=(time(8), time(20)))
    plans = [
        in_force(DRUG, other, until_at=at_noon),
        in_force(stronger, other, number=2, from_at=at_noon),
    ]
    found = chart(a_kept(given()), plans=plans)

    assert [(row.medicine_id, row.versions) for row in found.rows] == [
        ("drug", (1,)),
        ("drug", (2,)),
        ("other", (1, 2)),
    ]
    old, new, same = found.rows
    assert (old.from_at, old.until_at) == (None, at_noon)
    assert (new.from_at, new.until_at) == (at_noon, None)
    assert (same.from_at, same.until_at) == (None, None)
    assert [one.clock for one in old.cells] == [time(7)]
    assert [(one.clock, one.dose.mass) for one in new.cells] == [(time(19), Mass(Decimal(5)))]
    assert (old.cells[0].dose.amount, new.cells[0].dose.amount) == ("5 mL", "2.5 mL")
    assert [line.clock for line in same.lines] == [time(8), time(20)]


def test_an_order_that_comes_back_after_a_pause_is_a_new_row():
    """In between, the plan did not name it."""
    moments = [LONG_AGO, NOON - timedelta(hours=4), NOON - timedelta(hours=2)]
    plans = [
        in_force(*medicines, number=number + 1, from_at=moments[number], until_at=[*moments, None][number + 1])
        for number, medicines in enumerate([(DRUG,), (), (DRUG,)])
    ]

    assert [row.versions for row in chart(plans=plans).rows] == [(1,), (3,)]


@pytest.mark.hazard("H27")
def test_no_record_of_a_medicine_is_missing_from_the_chart():
    """One at another time, one when needed, one of a medicine that no plan names: each stands in it, once."""
    kept = [
        a_kept(given(), minute=2),
        a_kept(given(session="2026-11-25T15:00"), minute=480),
        a_kept(given(session=None, medicine="puff", ml=None), minute=30),
        a_kept(given(session=None, medicine="stranger"), minute=40),
        a_kept(given(session="2026-11-24T19:00"), minute=-600),
    ]
    found = chart(*kept)

    assert sorted(entry.entry_id for entry in found.entries()) == sorted(one.entry.id for one in kept[:4])
    assert [(row.name, len(row.others)) for row in found.rows] == [("Drug", 1), ("Puff", 1), ("stranger", 1)]
    assert found.rows[-1].order is None
    assert found.rows[0].others_on(WEDNESDAY)[0].timing is None


def test_a_record_at_another_time_stands_with_the_order_then_in_force():
    """Not with the one that followed."""
    plans = [
        in_force(PUFF, until_at=NOON),
        in_force(PUFF.model_copy(update={"dose": "10 mg"}), number=2, from_at=NOON),
    ]
    early = a_kept(given(session=None, medicine="puff"), minute=30)
    late = a_kept(given(session=None, medicine="puff"), minute=400)

    assert [[entry.entry_id for entry in row.others] for row in chart(early, late, plans=plans).rows] == [
        [early.entry.id],
        [late.entry.id],
    ]


def test_what_a_dose_did_stands_beside_it_whenever_it_was_seen():
    """Also when the dose was corrected afterwards, and when it was seen after midnight."""
    puff = a_kept(given(session=None, medicine="puff", reason="Wheezing"), minute=30)
    again = a_kept(given(session=None, medicine="puff", reason="Coughing"), minute=31, corrects=puff.entry.id)
    later = a_kept(EffectSeen(of=puff.entry.id, effect="worse"), minute=90)
    first = a_kept(EffectSeen(of=again.entry.id, effect="eased", words="Sleeps"), minute=60, by_name="Sam")
    tomorrow = a_kept(EffectSeen(of=again.entry.id, effect="no change"), minute=60 * 24)
    old, new = chart(puff, again, later, first, tomorrow).rows[1].others

    assert old.effects == ()
    assert [(seen.effect, seen.words, seen.by_name) for seen in new.effects] == [
        ("eased", "Sleeps", "Sam"),
        ("worse", None, "Noor"),
        ("no change", None, "Noor"),
    ]


@pytest.mark.hazard("H26")
@pytest.mark.parametrize(("day", "real_hours"), [(date(2026, 3, 28), 11.5), (date(2026, 10, 24), 12)])
def test_a_day_with_a_changed_clock_has_each_dose_once(day, real_hours):
    """Dublin: 1:00 to 2:00 does not exist in one night and comes twice in the other; the 1:30 dose stays one."""
    plan = in_force(a_medicine(clocks=(time(1, 30), time(13, 30))))
    row = chart(plans=[plan], first=day - timedelta(days=1), last=day + timedelta(days=1)).rows[0]
    afternoon, night = (line.on(day) for line in row.lines)

    assert [(one.day, one.clock) for one in row.cells] == [
        (day + timedelta(days=away), clock) for away in (-1, 0, 1) for clock in (time(13, 30), time(1, 30))
    ]
    assert afternoon is not None
    assert night is not None
    assert night.planned_at.astimezone(UTC) - afternoon.planned_at.astimezone(UTC) == timedelta(hours=real_hours)


@pytest.mark.hazard("H26")
def test_a_window_across_a_changed_clock_is_time_that_really_went_by():
    """Dublin, 25 October: the 0:30 dose is due until 1:30, which is not yet the second 1:30."""
    plan = in_force(a_medicine(id="drug", clocks=(time(0, 30), time(12, 30))))
    day = date(2026, 10, 24)
    planned = datetime(2026, 10, 24, 23, 30, tzinfo=UTC)

    def state(minutes):
        return cell(
            chart(plans=[plan], first=day, last=day, now=planned + timedelta(minutes=minutes)),
            on=day,
            clock=time(0, 30),
        ).state

    assert [state(minutes) for minutes in (60, 61)] == [CellState.DUE, CellState.NO_ENTRY]


def test_the_times_of_a_row_run_with_the_day_of_the_household():
    """A dose after midnight is the last of its day, not the first."""
    plan = in_force(a_medicine(clocks=(time(1), time(13))))

    assert [line.clock for line in chart(plans=[plan]).rows[0].lines] == [time(13), time(1)]


def test_a_course_is_told_in_days_and_a_taper_in_steps():
    """Day 3 of 10, half the dose from the fifth day on."""
    order = DRUG.model_copy(
        update={
            "start_on": date(2026, 11, 23),
            "stop_on": date(2026, 12, 2),
            "steps": (DoseStep(from_on=date(2026, 11, 27), dose="2.5 mg"),),
        }
    )
    course = course_of(order)

    assert course is not None
    assert (course.first_on, course.last_on, course.days) == (date(2026, 11, 23), date(2026, 12, 2), 10)
    assert [(step.from_on, step.until_on, step.dose, step.amount) for step in course.steps] == [
        (date(2026, 11, 23), date(2026, 11, 26), "5 mg", 5),
        (date(2026, 11, 27), date(2026, 12, 2), "2.5 mg", Decimal("2.5")),
    ]
    assert chart(plans=[in_force(order)]).rows[0].course == course


def test_each_day_of_a_course_is_a_piece_of_its_line():
    """Its number, its dose as a share of the largest, and where the line begins, steps and ends."""
    order = DRUG.model_copy(
        update={
            "start_on": date(2026, 11, 23),
            "stop_on": date(2026, 11, 26),
            "steps": (DoseStep(from_on=date(2026, 11, 25), dose="2.5 mg"),),
        }
    )
    course = course_of(order)
    assert course is not None
    found = [course.on(date(2026, 11, day)) for day in range(22, 28)]

    assert found[0] is None
    assert found[-1] is None
    assert [(one.number, one.of, one.dose, one.share) for one in found[1:-1]] == [
        (1, 4, "5 mg", 1),
        (2, 4, "5 mg", 1),
        (3, 4, "2.5 mg", 0.5),
        (4, 4, "2.5 mg", 0.5),
    ]
    assert [(one.is_first, one.is_new_dose, one.is_last) for one in found[1:-1]] == [
        (True, False, False),
        (False, False, False),
        (False, True, False),
        (False, False, True),
    ]


@pytest.mark.parametrize(("ml", "agrees", "by_name"), [("5", True, "Sam"), ("4", False, "Sam"), ("5", None, "Noor")])
def test_a_second_check_stands_beside_the_dose_it_read(ml, agrees, by_name):
    """Within half a step of the mark or not; a reading by the giver is none."""
    plans = [in_force(DRUG.model_copy(update={"second_check": True}))]
    check = a_kept(SecondCheck(session=SEVEN, medicine="drug", ml=ml), minute=1, by_name=by_name)
    entry = cell(chart(check, a_kept(given(), minute=2), plans=plans)).entries[0]

    assert (entry.checked.agrees if entry.checked else None) is agrees
    if entry.checked:
        assert (entry.checked.by_name, entry.checked.read) == ("Sam", f"{ml} mL")


def test_a_check_that_no_order_asks_for_is_not_shown():
    """It stays in the record."""
    check = a_kept(SecondCheck(session=SEVEN, medicine="drug", ml="5"), minute=1, by_name="Sam")

    assert cell(chart(check, a_kept(given(), minute=2))).entries[0].checked is None


def test_a_medicine_given_when_needed_has_its_dose_ready():
    """What the hand does, though no time is planned; a dose that cannot be drawn is left to the plan's own page."""
    unread = PUFF.model_copy(update={"strength": None})

    dose = chart().rows[1].needed_dose
    assert dose is not None
    assert (dose.mass, dose.amount) == (Mass(Decimal(5)), "5 mL")
    assert chart().rows[0].needed_dose is None
    assert chart(plans=[in_force(unread)]).rows[0].needed_dose is None


@pytest.mark.parametrize(
    ("outcome", "went_in"),
    [
        (Outcome.GIVEN, True),
        (Outcome.CAME_BACK, True),
        (Outcome.HELD, False),
        (Outcome.REFUSED, False),
        (Outcome.MISSED, False),
        (Outcome.NOT_KNOWN, None),
    ],
)
def test_whether_some_of_a_dose_went_in(outcome, went_in):
    """What came back had gone in; what nobody knows is not known."""
    assert cell(chart(a_kept(given(outcome=outcome, reason="Why")))).entries[0].went_in is went_in


def test_the_last_time_a_medicine_may_have_gone_in_is_found():
    """Held and taken back do not count; a dose nobody knows about does."""
    early = a_kept(given(), minute=1)
    held = a_kept(given(session="2026-11-25T19:00", outcome=Outcome.HELD, reason="Vomiting"), minute=700)
    wrong = a_kept(given(session=None), minute=710)
    back = a_kept(Withdrawn(reason="Wrong animal"), minute=711, corrects=wrong.entry.id)
    unknown = a_kept(given(session=None, outcome=Outcome.NOT_KNOWN), minute=90)

    def last(*entries):
        found = chart(*entries).rows[0].last_given
        return found and found.entry_id

    assert last(early, held, wrong, back) == early.entry.id
    assert last(early, held, wrong, back, unknown) == unknown.entry.id
    assert last() is None


@pytest.mark.parametrize(
    ("changed", "steps"),
    [
        ({"stop_on": date(2026, 12, 2)}, [(None, date(2026, 12, 2), 5)]),
        ({"start_on": date(2026, 12, 2)}, [(date(2026, 12, 2), None, 5)]),
        (
            {"dose": "0.5 mg/kg", "steps": (DoseStep(from_on=date(2026, 12, 2), dose="0.25 mg/kg"),)},
            [(None, date(2026, 12, 1), Decimal("0.5")), (date(2026, 12, 2), None, Decimal("0.25"))],
        ),
        (
            {
                "form": "drops",
                "dose": "4 drops",
                "strength": None,
                "steps": (DoseStep(from_on=date(2026, 12, 2), dose="2 drops"),),
            },
            [(None, date(2026, 12, 1), 4), (date(2026, 12, 2), None, 2)],
        ),
    ],
    ids=["no first day", "no last day", "per kg", "counted"],
)
def test_a_course_without_both_ends_has_no_length(changed, steps):
    """What nobody stated stays open."""
    course = course_of(DRUG.model_copy(update=changed))

    assert course is not None
    assert course.days is None
    assert [(step.from_on, step.until_on, step.amount) for step in course.steps] == steps


def test_an_order_without_end_has_no_course():
    """Nothing is drawn for it."""
    assert course_of(DRUG) is None


def test_planned_doses_alone_make_the_sheet_for_the_week_ahead():
    """Nothing recorded, everything still to come, each with what the hand will do."""
    found = chart(first=WEDNESDAY + timedelta(days=1), last=WEDNESDAY + timedelta(days=7))

    assert len(found.days) == 7
    assert [one.state for one in found.rows[0].cells] == [CellState.STILL_TO_COME] * 14
    assert {one.dose.amount for one in found.rows[0].cells} == {"5 mL"}
    assert not list(found.entries())


@pytest.mark.parametrize(("seconds", "versions"), [(-1, [1, 1]), (0, [1, 2]), (1, [1, 1])])
def test_a_version_holds_from_its_first_instant_to_the_last_before_the_next(seconds, versions):
    """A dose at the very moment of the change belongs to the new version, and to one only."""
    at_seven = datetime(2026, 11, 25, 19, 0, tzinfo=UTC) - timedelta(seconds=min(seconds, 0))
    changes_at = at_seven + timedelta(seconds=max(seconds, 0))
    plans = [
        in_force(DRUG, until_at=changes_at),
        in_force(DRUG.model_copy(update={"dose": "4 mg"}), number=2, from_at=changes_at),
    ]
    found = chart(plans=plans)

    assert sorted(one.version for row in found.rows for one in row.cells) == versions


def test_a_version_that_began_with_the_first_day_or_ends_with_the_last_is_whole():
    """From and until are said only where an order changed in between."""
    starts_at = datetime(2026, 11, 25, 4, tzinfo=UTC)
    for from_at, until_at, told in [
        (starts_at, starts_at + timedelta(days=1), (None, None)),
        (
            starts_at + timedelta(seconds=1),
            starts_at + timedelta(hours=23, minutes=59),
            (starts_at + timedelta(seconds=1), starts_at + timedelta(hours=23, minutes=59)),
        ),
    ]:
        row = chart(plans=[in_force(DRUG, from_at=from_at, until_at=until_at)]).rows[0]
        assert (row.from_at, row.until_at) == told


def test_sessions_of_other_days_or_of_no_version_are_left_aside():
    """Whatever is handed in, the chart holds its own days."""
    plan = in_force(DRUG, from_at=datetime(2026, 11, 25, 12, tzinfo=UTC))
    sessions = [session for day in range(24, 28) for session in plan_day(plan.plan, on=date(2026, 11, day)).sessions]
    found = read_chart(
        first=WEDNESDAY,
        last=WEDNESDAY,
        plans=[plan],
        sessions=sessions,
        entries=[],
        now=NOON,
        time_zone="Europe/Dublin",
        day_starts=time(4),
    )

    assert [(one.day, one.clock) for one in found.rows[0].cells] == [(WEDNESDAY, time(19))]


def test_the_first_dose_of_a_taper_without_a_first_day_is_its_own():
    """Before the first step the dose is the one ordered first."""
    order = DRUG.model_copy(
        update={"start_on": date(2026, 11, 27), "steps": (DoseStep(from_on=date(2026, 11, 29), dose="2 mg"),)}
    )
    course = course_of(order)
    assert course is not None

    assert [course.on(date(2026, 11, day)).dose for day in (27, 28, 29)] == ["5 mg", "5 mg", "2 mg"]


def test_orders_that_stay_keep_their_rows_when_others_change():
    """The second of three changes; the first and the last stay whole."""
    one, three = (a_medicine(id=name, name=name, clocks=(time(7), time(19))) for name in ("one", "three"))
    plans = [
        in_force(one, DRUG, three, until_at=NOON),
        in_force(one, DRUG.model_copy(update={"dose": "4 mg"}), three, number=2, from_at=NOON),
    ]

    assert [(row.medicine_id, row.versions) for row in chart(plans=plans).rows] == [
        ("one", (1, 2)),
        ("drug", (1,)),
        ("drug", (2,)),
        ("three", (1, 2)),
    ]


def test_doses_by_the_hour_stand_in_one_line_for_each_of_a_day():
    """Every 16 hours no time of day comes back: 7:00 and 22:30 on Wednesday, 15:00 on Thursday, 7:00 again."""
    order = a_medicine(every_hours=16, first_dose=datetime(2026, 11, 25, 6, 30))  # noqa: DTZ001
    row = chart(plans=[in_force(order)], last=WEDNESDAY + timedelta(days=2)).rows[0]
    days = [WEDNESDAY + timedelta(days=number) for number in range(3)]

    shown = [[(line.on(day).clock if line.on(day) else None) for day in days] for line in row.lines]
    assert shown == [[time(7), time(15), time(7)], [time(22, 30), None, time(22, 30)]]
    assert [(line.clock, line.due) for line in row.lines] == [(None, "by the hour")] * 2
    assert [line.due for line in chart().rows[0].lines] == ["07:00", "19:00"]


def test_a_dose_by_the_hour_is_early_or_late_by_its_own_time():
    """Due at 6:30 and given with the meal of 7:00: 7:31 is more than an hour after its own time."""
    order = a_medicine(id="drug", every_hours=16, first_dose=datetime(2026, 11, 25, 6, 30))  # noqa: DTZ001
    late = a_kept(given(), minute=31)
    assert cell(chart(late, plans=[in_force(order)])).entries[0].timing is Timing.LATE
    on_time = a_kept(given(), minute=30)
    assert cell(chart(on_time, plans=[in_force(order)])).entries[0].timing is Timing.ON_TIME


def test_a_course_counts_from_its_first_dose_and_names_its_rhythms():
    """Where no first day is stated; a taper that becomes rarer says so."""
    first = datetime(2026, 11, 24, 6, 30)  # noqa: DTZ001
    counted = course_of(a_medicine(every_hours=36, first_dose=first, stop_on=date(2026, 12, 3)))
    assert counted is not None
    assert (counted.first_on, counted.days) == (date(2026, 11, 24), 10)
    taper = course_of(
        a_medicine(steps=({"from_on": date(2026, 12, 1), "dose": "2 mg", "every_hours": 48},), start_on=WEDNESDAY)
    )
    assert taper is not None
    assert [step.dose for step in taper.steps] == ["5 mg", "2 mg every 48 hours"]


def test_a_dose_every_other_day_of_a_taper_has_the_window_of_its_rhythm():
    """Daily doses, or rarer, are on time two hours either way; those twice a day one hour."""
    steps = ({"from_on": WEDNESDAY, "dose": "5 mg", "every_hours": 48, "clocks": (time(7),)},)
    taper = a_medicine(id="drug", clocks=(time(7), time(19)), steps=steps)
    late = a_kept(given(), minute=119)
    found = chart(late, plans=[in_force(taper)])
    assert cell(found).entries[0].timing is Timing.ON_TIME
    silent = chart(plans=[in_force(taper)], now=datetime(2026, 11, 25, 9, 0, tzinfo=UTC))
    assert cell(silent).state is CellState.DUE
