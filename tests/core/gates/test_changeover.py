"""Where two versions of a plan meet, word for word."""

from datetime import UTC, date, datetime, timedelta

import pytest

from fillmark.core.day.plan_day import plan_day
from fillmark.core.gates.changeover import check_changeover, last_times
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record.entries import KeptEntry
from fillmark.core.record.medicine_entries import MedicineGiven, Outcome
from fillmark.core.record.session_entries import SessionSkipped
from tests.core.plan.test_words import a_plan
from tests.support.builders import a_kept

DAY = date(2026, 11, 25)
NEXT_DAY = datetime(2026, 11, 26, 4, tzinfo=UTC)
TWICE = 'every_hours = 12\nclocks = ["06:30", "18:30"]'


def once_at(clock: str, more: str = "") -> CarePlan:
    return a_plan((TWICE, f'every_hours = 24\nclocks = ["{clock}"]{more}'))


def changeover(
    new: CarePlan, *, old: CarePlan | None = None, at: datetime = NEXT_DAY, entries: tuple[KeptEntry, ...] = ()
) -> tuple[str, ...]:
    before = old or a_plan()
    sessions = [one for offset in (-1, 0) for one in plan_day(before, on=DAY + timedelta(days=offset)).sessions]
    last = last_times(sessions, entries, time_zone="Europe/Dublin", before=at)
    return tuple(one.text for one in check_changeover(new, before, last=last, from_at=at))


@pytest.mark.hazard("H1")
def test_a_change_in_the_middle_of_a_day_tells_what_comes_too_close() -> None:
    """Omeprazole at 18:30 by the old version and at 20:30 by the new one, from 19:00 on."""
    new = a_plan(('clocks = ["06:30", "18:30"]', 'clocks = ["08:30", "20:30"]'))
    evening = datetime(2026, 11, 25, 19, tzinfo=UTC)

    assert changeover(new, at=evening) == (
        "Omeprazole at 20:30 by this version comes 2 hours after the one at 18:30 by the version before, less than "
        "10 hours. Ask the vet how to change over.",
    )
    assert changeover(a_plan(), at=evening) == ()


@pytest.mark.hazard("H1")
def test_a_daily_medicine_moved_to_the_morning_would_come_twice_in_half_a_day() -> None:
    """20:00 today and 7:00 tomorrow are too close for once a day."""
    assert changeover(once_at("07:00"), old=once_at("20:00")) == (
        "Omeprazole at 07:00 by this version comes 11 hours after the one at 20:00 by the version before, less than "
        "20 hours. Ask the vet how to change over.",
    )


@pytest.mark.hazard("H2")
@pytest.mark.parametrize(
    ("clock", "more", "told"),
    [
        ("21:00", "", "37 hours after the one at 08:00 by the version before, more than 26 hours"),
        ("10:15", "", "26 hours 15 minutes after the one at 08:00 by the version before, more than 26 hours"),
        ("10:00", "", None),
        ("20:00", "\nlate_window_minutes = 720", None),
    ],
    ids=["13 hours later", "just outside", "just inside", "the vet allows to be so late"],
)
def test_a_daily_medicine_moved_to_the_evening_leaves_too_long_without(clock: str, more: str, told: str | None) -> None:
    """From 8:00 today; two hours either way are on time for once a day (medicine.window_daily)."""
    found = changeover(once_at(clock, more), old=once_at("08:00"))

    assert found == (
        (f"Omeprazole at {clock} by this version comes {told}. Ask the vet how to change over.",) * bool(told)
    )


@pytest.mark.hazard("H2")
def test_twice_a_day_has_its_own_longest_time() -> None:
    """18:30 to 8:30 is 14 hours; an hour either way is on time for every 12 (medicine.window_several)."""
    new = a_plan(('clocks = ["06:30", "18:30"]', 'clocks = ["08:30", "20:30"]'))

    assert changeover(new) == (
        "Omeprazole at 08:30 by this version comes 14 hours after the one at 18:30 by the version before, more than "
        "13 hours. Ask the vet how to change over.",
    )


@pytest.mark.hazard("H2")
def test_every_other_day_is_held_against_its_own_interval() -> None:
    """From 25 November at 8:00 to 27 November at 21:00: 61 hours, and 50 are the most for every 48."""
    old, new = (
        a_plan((TWICE, f'every_hours = 48\nstart_on = 2026-11-23\nclocks = ["{clock}"]'))
        for clock in ("08:00", "21:00")
    )

    assert "comes 61 hours after the one at 08:00" in changeover(new, old=old)[0]


@pytest.mark.hazard("H2")
def test_what_was_really_given_counts_and_what_was_not_does_not() -> None:
    """Today's 8:00 dose was missed: the last one is yesterday's. Given at 10:30, it counts from there."""
    old, new = once_at("08:00"), once_at("10:00")

    def dose(outcome: Outcome, hour: int, minute: int = 0) -> KeptEntry:
        told = {"session": "2026-11-25T08:00", "medicine": "omeprazole", "amount": "6 mL", "reason": "asleep"}
        return a_kept(MedicineGiven(**told, outcome=outcome), minute=60 * (hour - 7) + minute)

    assert changeover(new, old=old) == ()
    assert "comes 50 hours after" in changeover(new, old=old, entries=(dose(Outcome.MISSED, 8),))[0]
    skipped = a_kept(SessionSkipped(session="2026-11-25T08:00", reason="away"), minute=60)
    assert "comes 50 hours after" in changeover(new, old=old, entries=(skipped,))[0]
    assert "comes 37 hours after" in changeover(once_at("21:00"), old=old)[0]
    assert (
        "comes 34 hours 30 minutes after"
        in changeover(once_at("21:00"), old=old, entries=(dose(Outcome.GIVEN, 10, 30),))[0]
    )


def test_what_the_vet_begins_anew_or_holds_is_not_called_late() -> None:
    """A course that starts on that day has no dose before it to be late after."""
    assert changeover(once_at("21:00", "\nstart_on = 2026-11-26"), old=once_at("08:00")) == ()
    assert changeover(once_at("21:00", '\nheld = "until the blood test"'), old=once_at("08:00")) == ()


@pytest.mark.hazard("H11")
def test_meals_that_come_too_close_at_the_change_are_told() -> None:
    """Fed at 15:00 by the old version, 16:00 by the new one; the vet wants 3 hours."""
    meals = 'meals = ["07:00", "11:30", "15:00", "20:00"]'
    new = a_plan((meals, 'meals = ["08:00", "12:00", "16:00", "20:00"]'))

    assert changeover(new, at=datetime(2026, 11, 25, 15, 30, tzinfo=UTC)) == (
        "The meal at 16:00 by this version comes 1 hour after the one at 15:00 by the version before, less than "
        "3 hours. Ask the vet how to change over.",
    )
