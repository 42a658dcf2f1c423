"""May this be given now?"""

from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fillmark.core.doses.giving import (
    Answer,
    History,
    Verdict,
    day_maximum,
    planned_times,
    shortest_gap,
    window_minutes,
)
from fillmark.core.doses.may_give import may_give
from fillmark.core.record.medicine_entries import Outcome
from fillmark.core.values.errors import BadEntry
from fillmark.published.medicine import LATE_IS_FINE_HOURS, WINDOW_SEVERAL_MINUTES
from tests.support.medicines import a_giving, a_medicine

DUBLIN = ZoneInfo("Europe/Dublin")
TWICE = a_medicine(clocks=(time(8), time(20)))
WHEN_NEEDED = a_medicine(when_needed={"reason": "retching", "min_gap_hours": 6, "max_per_day": 4})


def at(clock, *, day=25, month=11):
    """A time of day in Dublin."""
    return datetime.combine(date(2026, month, day), time.fromisoformat(clock), tzinfo=DUBLIN)


def ask(medicine, clock, *givings, **changed):
    """What the answer is at a time of day, after these givings."""
    values = {"now": at(clock), "time_zone": "Europe/Dublin", "history": History(givings)}
    return may_give(medicine, **{**values, **changed})


@pytest.mark.parametrize(
    ("clock", "answer", "verdict", "because"),
    [
        ("06:30", Answer.WAIT, Verdict.EARLY, "It is planned for 08:00. Not before 07:00."),
        ("07:00", Answer.GIVE, Verdict.DUE, "It is planned for 08:00."),
        ("09:00", Answer.GIVE, Verdict.DUE, "It is planned for 08:00."),
        ("09:01", Answer.GIVE, Verdict.LATE, "It was planned for 08:00. Give it now and keep the next time."),
        ("10:00", Answer.GIVE, Verdict.LATE, "It was planned for 08:00. Give it now and keep the next time."),
        (
            "10:01",
            Answer.LEAVE_OUT,
            Verdict.TOO_LATE,
            "It was planned for 08:00, too long ago. The next is due at 20:00. Leave this one out, write it down, and "
            "never give two at once.",
        ),
        ("19:00", Answer.GIVE, Verdict.DUE, "It is planned for 20:00."),
    ],
)
@pytest.mark.hazard("H11")
def test_a_dose_by_the_clock(clock, answer, verdict, because):
    """Early waits, due and a little late are given, too late is left out and never made up for."""
    yesterday = a_giving(at("20:00", day=24))
    decision = ask(TWICE, clock, yesterday)

    assert (decision.answer, decision.verdict, decision.because) == (answer, verdict, because)


def test_a_daily_dose_that_is_hours_late_is_asked_about():
    """Neither print nor the vet has said: a person asks."""
    decision = ask(a_medicine(every_hours=24, clocks=(time(8),)), "12:00")

    assert (decision.answer, decision.verdict) == (Answer.ASK, Verdict.LATE)
    assert "Ask the vet whether to give it; never give two at once." in decision.because


def test_the_vets_word_on_late_doses_goes_first():
    """Print is only for where the vet has not spoken."""
    order = a_medicine(
        every_hours=24, clocks=(time(8),), late_window_minutes=300, missed_dose_words="Skip it after lunch."
    )

    assert ask(order, "12:00").answer is Answer.GIVE
    assert ask(order, "13:00").answer is Answer.GIVE
    late = ask(order, "13:01")
    assert (late.answer, late.verdict) == (Answer.LEAVE_OUT, Verdict.TOO_LATE)
    assert late.because.endswith("The vet said: Skip it after lunch.")


@pytest.mark.hazard("H1")
@pytest.mark.hazard("H11")
def test_a_dose_that_was_given_is_never_given_again():
    """The second person reads who and when."""
    decision = ask(TWICE, "08:20", a_giving(at("08:02"), planned_at=at("08:00")), planned_at=at("08:00"))

    assert (decision.answer, decision.verdict) == (Answer.LEAVE_OUT, Verdict.ALREADY_GIVEN)
    assert decision.because == "Noor gave it at 08:02. Never give it twice."


@pytest.mark.hazard("H2")
def test_a_dose_nobody_knows_about_is_asked_about():
    """It may be in the animal: neither given nor forgotten."""
    unknown = a_giving(at("08:02"), outcome=Outcome.NOT_KNOWN, planned_at=at("08:00"))
    decision = ask(TWICE, "08:20", unknown, planned_at=at("08:00"))

    assert (decision.answer, decision.verdict) == (Answer.ASK, Verdict.NOT_KNOWN)
    assert decision.because == (
        "Nobody knows whether the dose of 08:02 (Noor) went in. Ask the vet before giving any more of it."
    )


@pytest.mark.parametrize("outcome", [Outcome.PARTIAL, Outcome.SPILLED, Outcome.CAME_BACK])
@pytest.mark.hazard("H11")
def test_what_went_in_partly_is_not_topped_up_without_asking(outcome):
    """Nobody can see how much is left inside."""
    decision = ask(
        TWICE, "08:20", a_giving(at("08:02"), outcome=outcome, planned_at=at("08:00")), planned_at=at("08:00")
    )

    assert decision.answer is Answer.ASK
    assert "Ask the vet before giving any more of it." in decision.because


@pytest.mark.parametrize("outcome", [Outcome.HELD, Outcome.REFUSED, Outcome.MISSED])
def test_what_did_not_go_in_does_not_count(outcome):
    """The dose is still open."""
    assert ask(TWICE, "08:20", a_giving(at("08:02"), outcome=outcome, planned_at=at("08:00"))).answer is Answer.GIVE


@pytest.mark.hazard("H1")
def test_too_soon_after_the_last_says_who_when_and_until():
    """Two phones, one dose: the minimum gap holds whatever the dose is called."""
    decision = ask(a_medicine(every_hours=8), "12:00", a_giving(at("07:40"), by="Sam"))

    assert (decision.answer, decision.verdict) == (Answer.WAIT, Verdict.TOO_SOON)
    assert decision.because == "Sam gave it at 07:40. At least 6 hours lie between two doses. Not before 14:40."
    assert decision.free_at == at("14:40")  # on time for a dose planned at 15:40


def test_a_dose_dated_ahead_of_now_counts_too():
    """A phone's clock may run fast; a dose is a dose."""
    assert ask(a_medicine(every_hours=8), "12:00", a_giving(at("12:05"))).verdict is Verdict.TOO_SOON


def test_the_vets_gap_goes_before_ours():
    """Stated is stated."""
    assert shortest_gap(a_medicine(min_gap_hours=11)) == timedelta(hours=11)
    assert shortest_gap(a_medicine()) == timedelta(hours=10)
    assert shortest_gap(a_medicine(every_hours=24)) == timedelta(hours=20)
    assert shortest_gap(a_medicine(every_hours=4)) == timedelta(hours=2)
    assert shortest_gap(a_medicine(every_hours=2)) == timedelta(hours=1)
    assert shortest_gap(a_medicine(with_each_meal=True)) == timedelta(hours=1)
    assert shortest_gap(a_medicine(time_critical=True)) == timedelta(hours=11)


def test_when_needed_opens_with_its_reason():
    """And only for it."""
    decision = ask(WHEN_NEEDED, "12:00")

    assert (decision.answer, decision.verdict) == (Answer.GIVE, Verdict.WHEN_NEEDED)
    assert decision.because == "Only for: retching"


def test_the_most_in_a_day_is_counted_over_24_hours_gone_by():
    """Midnight opens nothing."""
    givings = [a_giving(at(clock)) for clock in ("00:00", "06:00", "12:00", "18:00")]
    order = a_medicine(when_needed={"reason": "retching", "min_gap_hours": 4, "max_per_day": 4})
    decision = ask(order, "23:00", *givings)

    assert (decision.verdict, decision.free_at) == (Verdict.OVER_MAXIMUM, at("00:00", day=26))
    assert decision.because == "Drug: 4 in 24 hours, and 4 is the most. Not before 00:00 on 26 November."


def test_a_stated_maximum_lets_doses_on_time_through():
    """A little early every day is no larger dose; one too many is."""
    order = a_medicine(max_per_day=2, clocks=(time(8), time(20)))
    day_before = [a_giving(at("08:00", day=24)), a_giving(at("20:00", day=24))]

    assert ask(order, "07:10", *day_before).answer is Answer.GIVE
    third = a_medicine(max_per_day=2, min_gap_hours=1)
    assert ask(third, "07:10", *day_before, a_giving(at("05:00"))).verdict is Verdict.OVER_MAXIMUM


@pytest.mark.parametrize(
    ("changed", "answer", "verdict", "because"),
    [
        ({"held": "until the blood test."}, Answer.ASK, Verdict.HELD, "Drug is on hold: until the blood test."),
        ({"start_on": date(2026, 11, 26)}, Answer.WAIT, Verdict.NOT_STARTED, "Drug starts on 26 November."),
        (
            {"stop_on": date(2026, 11, 24)},
            Answer.LEAVE_OUT,
            Verdict.COURSE_ENDED,
            "The last day of Drug was 24 November.",
        ),
    ],
)
def test_outside_its_course_nothing_is_given(changed, answer, verdict, because):
    """Held, not started, ended."""
    decision = ask(a_medicine(**changed), "08:00")

    assert (decision.answer, decision.verdict, decision.because) == (answer, verdict, because)
    assert not decision.may_be_given


def test_the_first_and_the_last_day_belong_to_the_course():
    """Both ends count."""
    assert ask(a_medicine(start_on=date(2026, 11, 25), stop_on=date(2026, 11, 25)), "08:00").may_be_given


@pytest.mark.hazard("H22")
def test_another_medicine_keeps_its_distance():
    """Whichever of the two says so; the longest wait is named."""
    binder = a_medicine(id="binder", name="Binder")
    iron = a_medicine(id="iron", name="Iron", apart_from=({"medicine": "drug", "hours": 3},))
    order = a_medicine(apart_from=({"medicine": "binder", "hours": 2},))
    givings = (a_giving(at("07:30"), medicine_id="binder"), a_giving(at("07:00"), medicine_id="iron"))
    decision = ask(order, "08:00", *givings, others=(order, binder, iron))

    assert (decision.answer, decision.verdict) == (Answer.WAIT, Verdict.KEEP_APART)
    assert decision.because == "Iron was given at 07:00; 3 hours belong between them. Not before 10:00."
    assert ask(order, "10:00", *givings, others=(order, binder, iron)).may_be_given


@pytest.mark.hazard("H22")
def test_an_empty_stomach_is_waited_for():
    """As long as the order says."""
    order = a_medicine(food={"relation": "empty stomach", "minutes": 30, "after_minutes": 120})
    decision = ask(order, "08:00", last_meal_at=at("07:00"))

    assert (decision.verdict, decision.free_at) == (Verdict.AFTER_FOOD, at("09:00"))
    assert ask(order, "09:00", last_meal_at=at("07:00")).may_be_given
    assert ask(order, "08:00").may_be_given
    assert ask(a_medicine(food={"relation": "with"}), "08:00", last_meal_at=at("07:59")).may_be_given


def test_an_instant_without_a_zone_is_refused():
    """Nobody can say which one it is."""
    with pytest.raises(BadEntry, match="The time 08:00 on 25 November 2026 without a zone"):
        may_give(TWICE, now=datetime(2026, 11, 25, 8), time_zone="Europe/Dublin", history=History(()))  # noqa: DTZ001
    with pytest.raises(BadEntry, match="without a zone"):
        History([a_giving(datetime(2026, 11, 25, 8))])  # noqa: DTZ001


def test_an_order_without_times_of_day_counts_from_the_last():
    """Every so many hours is every so many hours."""
    order = a_medicine(every_hours=8)

    assert ask(order, "08:00").verdict is Verdict.DUE
    assert ask(order, "15:30", a_giving(at("07:40"))).verdict is Verdict.DUE
    assert ask(order, "14:00", a_giving(at("07:40"))).verdict is Verdict.EARLY
    assert ask(order, "17:00", a_giving(at("07:40"))).verdict is Verdict.LATE


@pytest.mark.hazard("H26")
@pytest.mark.parametrize(
    ("zone", "day"),
    [
        ("Europe/Dublin", date(2026, 3, 29)),
        ("Europe/Dublin", date(2026, 10, 25)),
        ("America/Denver", date(2026, 3, 8)),
        ("America/Denver", date(2026, 11, 1)),
        ("Australia/Lord_Howe", date(2026, 4, 5)),
    ],
)
@pytest.mark.parametrize(
    "clocks",
    [
        ("08:00",),
        ("08:00", "20:00"),
        ("06:30", "14:30", "22:30"),
        ("00:30", "06:30", "12:30", "18:30"),
        ("01:30", "13:30"),
    ],
)
def test_the_days_of_a_clock_change_lose_and_double_nothing(zone, day, clocks):
    """Someone who looks every ten minutes gives each planned dose once, never inside the gap."""
    order = a_medicine(every_hours=24 / len(clocks), clocks=tuple(time.fromisoformat(clock) for clock in clocks))
    start = datetime.combine(day - timedelta(days=1), time(), tzinfo=ZoneInfo(zone)).astimezone(UTC)
    last = planned_times(order, on=day - timedelta(days=2), time_zone=zone)[-1]
    givings = [a_giving(last, planned_at=last)]
    for minute in range(0, 3 * 24 * 60, 10):
        now = start + timedelta(minutes=minute)
        decision = may_give(order, now=now, time_zone=zone, history=History(givings))
        if decision.may_be_given:
            givings.append(a_giving(now, planned_at=decision.planned_at))

    planned = [
        at for offset in (-1, 0, 1) for at in planned_times(order, on=day + timedelta(days=offset), time_zone=zone)
    ]
    answered = [giving.planned_at for giving in givings[1:]]
    assert len(planned) == len(set(planned)) == 3 * len(clocks)
    assert answered[: len(planned)] == planned[: len(answered)]
    assert len(answered) >= len(planned) - 1  # a day of 25 hours ends after the 72 hours of the test
    gaps = [later.at - earlier.at for earlier, later in pairwise(givings)]
    assert min(gaps) >= shortest_gap(order)


@given(
    minutes=st.lists(st.integers(0, 3 * 24 * 60), min_size=1, max_size=60),
    hours=st.sampled_from([2, 4, 6, 8, 12, 24]),
    outcomes=st.lists(st.sampled_from(list(Outcome)), min_size=60, max_size=60),
)
@pytest.mark.hazard("H1")
def test_no_dose_is_ever_allowed_inside_its_gap(minutes, hours, outcomes):
    """Whoever asks whenever, with whatever became of the doses before."""
    order = a_medicine(every_hours=hours)
    givings = []
    for minute, outcome in zip(sorted(minutes), outcomes, strict=False):
        now = datetime(2026, 3, 28, tzinfo=UTC) + timedelta(minutes=minute)
        decision = may_give(order, now=now, time_zone="Europe/Dublin", history=History(givings))
        if decision.free_at is not None:
            later = may_give(order, now=decision.free_at, time_zone="Europe/Dublin", history=History(givings))
            assert later.may_be_given
        if decision.may_be_given:
            givings.append(a_giving(now, outcome=outcome))

    taken = [giving for giving in givings if giving.outcome not in (Outcome.HELD, Outcome.REFUSED, Outcome.MISSED)]
    assert all(later.at - earlier.at >= shortest_gap(order) for earlier, later in pairwise(taken))


def test_the_smaller_of_two_maxima_binds():
    """The gate of a medicine given when needed, and the order's own maximum."""
    order = a_medicine(when_needed={"reason": "retching", "min_gap_hours": 1, "max_per_day": 4}, max_per_day=2)

    assert ask(order, "12:00", a_giving(at("04:00")), a_giving(at("08:00"))).verdict is Verdict.OVER_MAXIMUM
    assert ask(order, "12:00", a_giving(at("08:00"))).may_be_given


def test_a_medicine_with_each_meal_is_due_at_a_meal():
    """Once a meal."""
    order = a_medicine(with_each_meal=True)

    assert ask(order, "12:00", planned_at=at("12:00")).verdict is Verdict.DUE
    assert ask(order, "12:30", a_giving(at("12:00"))).verdict is Verdict.TOO_SOON
    assert ask(order, "16:00", a_giving(at("12:00"))).verdict is Verdict.DUE
    assert ask(order, "09:00", planned_at=at("12:00")).verdict is Verdict.EARLY


def test_without_a_planned_time_the_newest_open_one_is_meant():
    """An older one is past; a given one is done."""
    assert ask(TWICE, "09:00").planned_at == at("08:00")
    assert ask(TWICE, "19:10").planned_at == at("20:00")
    done = a_giving(at("08:02"), planned_at=at("08:00"))
    decision = ask(TWICE, "18:10", done)
    assert (decision.verdict, decision.planned_at) == (Verdict.EARLY, at("20:00"))
    unplanned = ask(TWICE, "18:10", a_giving(at("08:02")))
    assert (unplanned.verdict, unplanned.planned_at) == (Verdict.EARLY, at("20:00"))


def test_where_two_things_stand_in_the_way_the_later_time_is_named():
    """Nobody comes back at a time that is wrong again."""
    binder = a_medicine(id="binder", name="Binder", apart_from=({"medicine": "drug", "hours": 6},))
    decision = ask(
        a_medicine(every_hours=4, min_gap_hours=3),
        "12:00",
        a_giving(at("10:00")),
        a_giving(at("11:00"), medicine_id="binder"),
        others=(binder,),
    )

    assert (decision.verdict, decision.free_at) == (Verdict.TOO_SOON, at("17:00"))
    assert decision.because == "Noor gave it at 10:00. At least 3 hours lie between two doses. Not before 17:00."


def test_so_many_times_a_day_is_an_interval_too():
    """Three times a day is every 8 hours."""
    assert shortest_gap(a_medicine(times_per_day=3)) == shortest_gap(a_medicine(every_hours=8)) == timedelta(hours=6)


def test_a_dose_every_third_day_counts_from_the_last():
    """No planned time of the days between stands in its way, and being late never means losing it."""
    order = a_medicine(every_hours=72, clocks=(time(8),))
    last = a_giving(at("08:00", day=22))

    assert ask(order, "03:59", last).verdict is Verdict.TOO_SOON
    assert ask(order, "06:00", last).verdict is Verdict.DUE
    assert ask(order, "10:00", last).verdict is Verdict.DUE
    late = ask(order, "11:59", a_giving(at("10:00", day=22)))
    assert (late.answer, late.verdict) == (Answer.GIVE, Verdict.DUE)
    late = ask(order, "11:00", a_giving(at("08:30", day=22)))
    assert (late.answer, late.verdict) == (Answer.ASK, Verdict.LATE)


def test_a_dose_every_third_day_is_planned_from_its_first_day():
    """And nowhere while the first day is not stated."""
    order = a_medicine(every_hours=72, clocks=(time(8),), start_on=date(2026, 11, 22))
    planned = [day for day in range(20, 30) if planned_times(order, on=date(2026, 11, day), time_zone="Europe/Dublin")]

    assert planned == [22, 25, 28]
    assert planned_times(a_medicine(every_hours=72), on=date(2026, 11, 25), time_zone="Europe/Dublin") == ()


def test_a_late_dose_without_times_of_day_moves_the_next_one():
    """There is no next time to keep."""
    decision = ask(a_medicine(every_hours=8), "17:00", a_giving(at("07:40")))

    assert decision.because == "It was planned for 15:40. Give it now and count the next one from now."


def test_even_the_vets_late_window_never_brings_two_doses_together():
    """A window as long as the interval was not meant to skip the next one."""
    order = a_medicine(clocks=(time(8), time(20)), late_window_minutes=720)

    assert ask(order, "11:00", planned_at=at("08:00")).answer is Answer.GIVE
    assert ask(order, "11:01", planned_at=at("08:00")).answer is Answer.LEAVE_OUT


def test_after_a_dose_given_late_the_next_one_is_not_lost():
    """It waits for its gap and is still on time."""
    order = a_medicine(every_hours=24, clocks=(time(8),), late_window_minutes=300)
    late = a_giving(at("13:00", day=24), planned_at=at("08:00", day=24))

    assert ask(order, "08:00", late).free_at == at("09:00")
    assert ask(order, "09:00", late).verdict is Verdict.DUE


@pytest.mark.hazard("H1")
def test_the_history_is_the_same_in_any_order():
    """A phone that was off line sends yesterday's dose last."""
    decision = ask(a_medicine(every_hours=8), "12:00", a_giving(at("07:40"), by="Sam"), a_giving(at("20:00", day=24)))

    assert decision.because.startswith("Sam gave it at 07:40.")


@pytest.mark.hazard("H1")
def test_the_planned_dose_is_found_behind_others():
    """Yesterday evening's giving does not hide this morning's."""
    evening = a_giving(at("20:00", day=24), planned_at=at("20:00", day=24))
    morning = a_giving(at("08:02"), planned_at=at("08:00"))
    unplanned = a_giving(at("07:00", day=24))

    decision = ask(TWICE, "19:30", unplanned, evening, morning, planned_at=at("08:00"))
    assert decision.verdict is Verdict.ALREADY_GIVEN


def test_what_became_of_a_dose_is_told_in_its_own_word():
    """By whom and when."""
    partly = a_giving(at("08:02"), outcome=Outcome.PARTIAL, by="Ilse", planned_at=at("08:00"))

    assert ask(TWICE, "08:20", partly, planned_at=at("08:00")).because == (
        "Ilse wrote at 08:02: partial. Ask the vet before giving any more of it."
    )


def test_a_day_of_24_hours_ends_with_its_last_minute():
    """What was given exactly a day ago counts no longer."""
    order = a_medicine(when_needed={"reason": "retching", "min_gap_hours": 1, "max_per_day": 2})
    day_ago = (a_giving(at("12:00", day=24)), a_giving(at("20:00", day=24)))

    assert ask(order, "12:00", *day_ago).may_be_given
    assert ask(order, "11:59", *day_ago).verdict is Verdict.OVER_MAXIMUM


def test_the_span_of_the_days_maximum():
    """Doses on time may come one window early and the first one window late."""
    gate = {"reason": "retching", "min_gap_hours": 1, "max_per_day": 4}

    assert day_maximum(a_medicine(max_per_day=2)) == (2, timedelta(hours=22))
    assert day_maximum(a_medicine(with_each_meal=True, max_per_day=3)) == (3, timedelta(hours=24))
    assert day_maximum(a_medicine(when_needed=gate)) == (4, timedelta(hours=24))
    assert day_maximum(a_medicine(when_needed=gate, max_per_day=2)) == (2, timedelta(hours=24))
    assert day_maximum(a_medicine(when_needed=gate, max_per_day=6)) == (4, timedelta(hours=24))
    assert day_maximum(a_medicine()) is None


def test_every_four_hours_has_the_window_of_several_a_day():
    """The quarter rule begins below it; both give an hour."""
    assert window_minutes(interval_hours=4, is_time_critical=False) == (60, WINDOW_SEVERAL_MINUTES)
    assert window_minutes(interval_hours=3.9, is_time_critical=False)[0] == pytest.approx(58.5)


def test_the_gate_of_half_an_hour_is_half_an_hour():
    """And the longer of two stated gaps binds."""
    gate = {"reason": "retching", "min_gap_hours": 0.5, "max_per_day": 4}

    assert shortest_gap(a_medicine(when_needed=gate)) == timedelta(minutes=30)
    assert shortest_gap(a_medicine(when_needed=gate, min_gap_hours=2)) == timedelta(hours=2)


def test_a_day_between_two_doses_has_no_planned_time():
    """Neither before the first day."""
    order = a_medicine(every_hours=72, clocks=(time(8),), start_on=date(2026, 11, 22))

    assert planned_times(order, on=date(2026, 11, 23), time_zone="Europe/Dublin") == ()
    assert planned_times(order, on=date(2026, 11, 21), time_zone="Europe/Dublin") == ()
    assert len(planned_times(order, on=date(2026, 11, 22), time_zone="Europe/Dublin")) == 1


def test_after_the_evening_dose_the_next_one_is_tomorrow_morning():
    """The day after today is looked at too."""
    evening = a_giving(at("20:00"), planned_at=at("20:00"))

    assert ask(TWICE, "23:00", evening).free_at == at("07:00", day=26)


def test_a_dose_given_early_yesterday_answers_yesterday():
    """Before dawn the next one is today's."""
    order = a_medicine(every_hours=24, clocks=(time(8),))
    early = a_giving(at("07:30", day=24), planned_at=at("08:00", day=24))

    decision = ask(order, "05:00", early)
    assert (decision.verdict, decision.planned_at) == (Verdict.EARLY, at("08:00"))
    assert decision.free_at == at("06:00")


def test_an_older_open_time_is_past_once_a_newer_one_was_given():
    """The next one is tomorrow's, not the one that was left out."""
    order = a_medicine(times_per_day=2, clocks=(time(8), time(9, 30)), min_gap_hours=0.5)
    newer = a_giving(at("08:55"), planned_at=at("09:30"))

    assert ask(order, "08:58", newer).free_at == at("07:00", day=26)


def test_print_is_named_only_where_the_vet_has_not_spoken():
    """The vet's late window needs no other source."""
    assert ask(TWICE, "09:30").figures == (LATE_IS_FINE_HOURS,)
    own = a_medicine(clocks=(time(8), time(20)), late_window_minutes=120)
    assert (ask(own, "09:30").verdict, ask(own, "09:30").figures) == (Verdict.LATE, ())


@pytest.mark.hazard("H22")
def test_of_others_only_those_to_be_kept_apart_count():
    """And only where they were given."""
    order = a_medicine(apart_from=({"medicine": "binder", "hours": 2},))
    binder, other = a_medicine(id="binder", name="Binder"), a_medicine(id="other", name="Other")
    given_other = a_giving(at("11:59"), medicine_id="other")

    assert ask(order, "12:00", given_other, others=(binder, other)).may_be_given
    assert ask(order, "11:59", a_giving(at("10:00"), medicine_id="binder"), others=(binder,)).free_at == at("12:00")
    assert ask(order, "12:00", a_giving(at("10:00"), medicine_id="binder"), others=(binder,)).may_be_given


COUNTED = a_medicine(every_hours=36, first_dose=datetime(2026, 11, 22, 6, 30))  # noqa: DTZ001 - the household's clock
"""In Dublin in November: on the 22nd at 6:30, the 23rd at 18:30, the 25th at 6:30, the 26th at 18:30."""


@pytest.mark.parametrize(
    ("clock", "answer", "verdict"),
    [
        ("04:29", Answer.WAIT, Verdict.EARLY),
        ("04:30", Answer.GIVE, Verdict.DUE),
        ("08:30", Answer.GIVE, Verdict.DUE),
        ("08:31", Answer.ASK, Verdict.LATE),
        ("10:30", Answer.ASK, Verdict.LATE),
        ("10:31", Answer.LEAVE_OUT, Verdict.TOO_LATE),
    ],
)
@pytest.mark.hazard("H11")
def test_a_dose_counted_in_hours_is_early_due_and_late_like_any_other(clock, answer, verdict):
    """Two hours either way; too late where the next one, 36 hours later, would come too close."""
    last = a_giving(at("18:30", day=23), planned_at=at("20:00", day=23))
    decision = ask(COUNTED, clock, last)

    assert (decision.answer, decision.verdict, decision.planned_at) == (answer, verdict, at("06:30"))


@pytest.mark.hazard("H1")
@pytest.mark.parametrize("session", ["06:30", "07:00", "05:15"])
def test_a_dose_given_with_another_session_answers_its_own_time(session):
    """The meal at 7:00 took it along; what is next is the evening of the next day."""
    given_now = a_giving(at(session), planned_at=at(session))
    decision = ask(COUNTED, "07:30", given_now)

    assert decision.verdict is Verdict.TOO_SOON
    decision = ask(COUNTED, "16:45", given_now, now=at("16:45", day=26))
    assert (decision.verdict, decision.planned_at) == (Verdict.DUE, at("18:30", day=26))
    again = ask(COUNTED, "07:30", given_now, planned_at=at("06:30"))
    assert again.verdict is Verdict.ALREADY_GIVEN


def test_after_a_late_dose_the_next_keeps_its_time_unless_the_vet_moves_it():
    """Nothing is shifted in silence: the order's own next time is named, and the vet's word or the question with it."""
    last = a_giving(at("18:30", day=23))
    allowed = COUNTED.model_copy(update={"late_window_minutes": 240})
    assert ask(allowed, "09:30", last).because == (
        "It was planned for 06:30. Give it now and keep the next time, 18:30 on 26 November; ask the vet whether the "
        "doses after it move too."
    )
    told = allowed.model_copy(update={"missed_dose_words": "Count 36 hours from the late one."})
    assert ask(told, "09:30", last).because == (
        "It was planned for 06:30. Give it now and keep the next time, 18:30 on 26 November. The vet said: Count 36 "
        "hours from the late one."
    )
    assert ask(COUNTED, "09:30", last).because == (
        "It was planned for 06:30, more than 2 hours ago. Ask the vet whether to give it, and whether the next one "
        "keeps its time, 18:30 on 26 November; never give two at once."
    )


@pytest.mark.hazard("H1")
def test_after_a_late_dose_the_gap_still_guards():
    """Given at 12:30 with the vet's word: 32 hours later is 20:30, inside the next one's window."""
    order = COUNTED.model_copy(update={"late_window_minutes": 600})
    late = a_giving(at("12:30"), planned_at=at("07:00"))
    decision = ask(order, "18:30", late, now=at("18:30", day=26))

    assert (decision.verdict, decision.free_at) == (Verdict.TOO_SOON, at("20:30", day=26))
    assert ask(order, "20:30", late, now=at("20:30", day=26)).verdict is Verdict.DUE


@pytest.mark.hazard("H26")
def test_counted_hours_are_true_hours_where_the_clock_changes():
    """Dublin, 25 October 2026, a day of 25 hours: 36 hours from 18:30 end at 5:30."""
    order = a_medicine(every_hours=36, first_dose=datetime(2026, 10, 24, 18, 30))  # noqa: DTZ001
    found = [
        planned_times(order, on=date(2026, 10, day), time_zone="Europe/Dublin", day_starts=time(4))
        for day in (24, 25, 26)
    ]

    assert [len(times) for times in found] == [1, 0, 1]
    assert found[2][0] - found[0][0] == timedelta(hours=36)
    assert found[2][0] == at("05:30", day=26, month=10)


def test_a_day_of_the_household_reaches_past_midnight():
    """The 2:00 dose of the 25th is that of the 26th by the calendar; of an order every other day too."""
    order = a_medicine(clocks=(time(14), time(2)))
    assert planned_times(order, on=date(2026, 11, 25), time_zone="Europe/Dublin", day_starts=time(4)) == (
        at("14:00"),
        at("02:00", day=26),
    )
    rare = a_medicine(every_hours=48, clocks=(time(2),), start_on=date(2026, 11, 24))
    assert planned_times(rare, on=date(2026, 11, 24), time_zone="Europe/Dublin", day_starts=time(4)) == (at("02:00"),)
    assert ask(rare, "02:00", day_starts=time(4)).verdict is Verdict.DUE


def test_a_course_ends_with_the_households_day():
    """The dose at 2:00 in the night after the last day still belongs to it."""
    order = a_medicine(clocks=(time(14), time(2)), start_on=date(2026, 11, 20), stop_on=date(2026, 11, 24))

    assert ask(order, "02:00", day_starts=time(4)).verdict is Verdict.DUE
    assert ask(order, "04:00", day_starts=time(4)).verdict is Verdict.COURSE_ENDED
    assert ask(order, "02:00").verdict is Verdict.COURSE_ENDED


def test_the_last_dose_of_a_course_has_no_next_one():
    """So being late for it loses no other."""
    order = a_medicine(clocks=(time(8), time(20)), start_on=date(2026, 11, 20), stop_on=date(2026, 11, 25))
    late = ask(order, "22:00", a_giving(at("08:00"), planned_at=at("08:00")))

    assert (late.verdict, late.because) == (
        Verdict.LATE,
        "It was planned for 20:00. Give it now and keep the next time.",
    )
    too_late = ask(order, "23:50", a_giving(at("08:00"), planned_at=at("08:00")))
    assert "The next is due" not in too_late.because


def test_a_dose_every_other_day_by_the_clock_keeps_its_days():
    """Given hours late two days ago, it is due at its own time all the same, when its gap is over."""
    order = a_medicine(every_hours=48, clocks=(time(6, 30),), start_on=date(2026, 11, 21))
    late = a_giving(at("09:30", day=23), planned_at=at("06:30", day=23))

    assert ask(order, "05:00", late).free_at == at("05:30")
    assert ask(order, "06:30", late).verdict is Verdict.DUE
    assert ask(order, "06:30", late, now=at("06:30", day=24)).verdict is Verdict.TOO_SOON


def test_a_dose_every_third_day_that_nobody_wrote_about_is_still_the_one_asked_about():
    """Two days later it is too late, and nothing else is due; also where a taper became so rare."""
    order = a_medicine(every_hours=72, clocks=(time(8),), start_on=date(2026, 11, 22))
    steps = ({"from_on": date(2026, 11, 22), "dose": "5 mg", "every_hours": 72, "clocks": (time(8),)},)
    taper = a_medicine(every_hours=12, clocks=(time(8), time(20)), start_on=date(2026, 11, 1), steps=steps)

    for one in (order, taper):
        decision = ask(one, "08:00", now=at("08:00", day=24))
        assert (decision.planned_at, decision.may_be_given) == (at("08:00", day=22), False)


def test_the_day_begins_at_its_hour_and_else_at_midnight():
    """A dose at that very hour is the new day's."""
    order = a_medicine(clocks=(time(0, 30), time(4)))

    assert planned_times(order, on=date(2026, 11, 25), time_zone="Europe/Dublin") == (at("00:30"), at("04:00"))
    assert planned_times(order, on=date(2026, 11, 25), time_zone="Europe/Dublin", day_starts=time(4)) == (
        at("04:00"),
        at("00:30", day=26),
    )
