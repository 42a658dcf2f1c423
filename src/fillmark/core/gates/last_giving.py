"""What stands on the draw screen: when it last went in, and when it may again."""

from datetime import UTC, timedelta

from fillmark.core.bedside.side import Side
from fillmark.core.chart.givings import RecordedGiving
from fillmark.core.doses.giving import gap_between
from fillmark.core.gates.stomach import find_meals
from fillmark.core.orders.medicine import Medicine
from fillmark.core.record.corrections import counting_entries
from fillmark.core.record.medicine_entries import Outcome
from fillmark.core.today.duties import shortest_meal_gap
from fillmark.core.values.words import say_time


def say_last_meal(side: Side, *, session: str | None = None) -> str:
    """When the last meal began, and when the next may begin, in words.

    Args:
        side: The animal's side, with every entry since yesterday.
        session: A session whose own meal is not meant.
    Source:
        the vet's order; timetable.meal_gap where it states no gap
    """
    entries = counting_entries(side.of_days(side.today - timedelta(days=1), side.today + timedelta(days=1)))
    meals = [meal for meal in find_meals(entries) if meal.session != session]
    if not meals:
        return "No meal in the record since yesterday."
    last = max(meals, key=lambda meal: meal.began_at)
    told = f"Last meal {say_time(last.began_at, side.zone, beside=side.now)}, {last.by_name}"
    gap = shortest_meal_gap(side.stored.plan).value if side.stored else 0
    if not gap:
        return told
    free_at = last.began_at + timedelta(minutes=gap)
    return f"{told} · earliest next {say_time(free_at, side.zone, beside=side.now)}"


def say_last_dose(side: Side, medicine: Medicine, *, last: RecordedGiving | None) -> str:
    """When a medicine was last given, and when it may be again, in words.

    Args:
        side: The animal's side.
        medicine: Its order.
        last: The newest dose of which something may have gone in.
    Source:
        the vet's order; medicine.window_*
    """
    if last is None:
        return "No entry of it in the last days."
    outcome = last.payload.outcome
    how = "given" if outcome is Outcome.GIVEN else outcome.value
    free_at = last.at + gap_between(medicine, earlier_on=last.kept.day, later_on=side.today)
    by = last.payload.given_by or last.kept.by_name
    told = f"Last {how} {say_time(last.at.astimezone(UTC), side.zone, beside=side.now)}, {by}"
    return f"{told} · not before {say_time(free_at, side.zone, beside=side.now)}"
