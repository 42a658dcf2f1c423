"""May it be given, and the walk: 15 medicines and a year of entries, beside a plain scan of the same list."""

import time
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from datetime import time as clock_time
from statistics import median
from typing import Any

from fillmark.core.day.steps import DrawnMedicine, SessionOrders
from fillmark.core.day.walk import plan_walk
from fillmark.core.doses.giving import NOT_TAKEN, Decision, Giving, History, planned_times, shortest_gap
from fillmark.core.doses.may_give import may_give
from fillmark.core.orders.drawing import draw
from fillmark.core.orders.medicine import Medicine, hours_apart
from fillmark.core.record.medicine_entries import Outcome
from fillmark.core.tube.mark import fills
from fillmark.core.tube.syringe import Syringe

MEDICINES = 15
DAYS = 365
PROMISE_SECONDS = 0.001
RUNS = 300
ZONE = "Europe/Dublin"
NOW = datetime(2026, 11, 25, 7, 50, tzinfo=UTC)

SHELF = (
    Syringe(id="one", size_ml=1, step_ml=0.01, numbered_every_ml=0.1, tip="low-dose enteral"),
    Syringe(id="ten", size_ml=10, step_ml=0.2, numbered_every_ml=1, tip="enteral"),
    Syringe(id="sixty", size_ml=60, step_ml=1, numbered_every_ml=10, tip="catheter"),
)


def _orders() -> list[Medicine]:
    """Three of each kind: with food, before food, four times a day, apart from another, with a most for the day."""
    kinds: list[dict[str, Any]] = [
        {"clocks": (8, 20), "food": {"relation": "with"}},
        {"clocks": (7, 19), "food": {"relation": "before", "minutes": 30}},
        {"clocks": (2, 8, 14, 20), "late_window_minutes": 90},
        {"clocks": (10, 22), "apart": True},
        {"clocks": (6, 14, 22), "max_per_day": 3},
    ]
    orders = []
    for number in range(MEDICINES):
        kind = dict(kinds[number % len(kinds)])
        clocks = tuple(clock_time(hour) for hour in kind.pop("clocks"))
        if kind.pop("apart", False):
            kind["apart_from"] = ({"medicine": f"drug-{(number + 1) % MEDICINES}", "hours": 1.5},)
        orders.append(
            Medicine.model_validate(
                {
                    "id": f"drug-{number}",
                    "name": f"Drug {number}",
                    "form": "liquid",
                    "strength": "1 mg/mL",
                    "dose": f"{number + 1} mg",
                    "route": "tube",
                    "every_hours": 24 / len(clocks),
                    "clocks": clocks,
                    **kind,
                }
            )
        )
    return orders


def _year(orders: list[Medicine]) -> list[Giving]:
    """Every planned dose of a year up to now, given a few minutes late, one in fifty missed."""
    found: list[Giving] = []
    first = NOW.date() - timedelta(days=DAYS)
    for day in range(DAYS + 1):
        for order in orders:
            for planned_at in planned_times(order, on=first + timedelta(days=day), time_zone=ZONE):
                number = len(found)
                at = planned_at + timedelta(minutes=number % 12)
                if at < NOW:
                    outcome = Outcome.MISSED if number % 50 == 7 else Outcome.GIVEN
                    found.append(Giving(medicine_id=order.id, at=at, by="Noor", outcome=outcome, planned_at=planned_at))
    return sorted(found, key=lambda giving: giving.at)


def _seconds(call: Callable[[], object], *, runs: int = RUNS) -> float:
    taken = []
    for _ in range(runs):
        start = time.perf_counter()
        call()
        taken.append(time.perf_counter() - start)
    return median(taken)


def _scan(orders: list[Medicine], givings: list[Giving]) -> list[bool]:
    """The two plainest of the questions, gap and distance, by reading the whole list for each medicine."""
    answers = []
    for order in orders:
        waits = {other.id: timedelta(hours=hours_apart(order, other)) for other in orders}
        waits[order.id] = shortest_gap(order)
        answers.append(
            all(giving.outcome in NOT_TAKEN or giving.at + waits[giving.medicine_id] <= NOW for giving in givings)
        )
    return answers


def rows() -> list[dict[str, Any]]:
    """All 15 questions at once, all of it with the history read anew, and the walk of a session with all 15."""
    orders = _orders()
    givings = _year(orders)
    history = History(givings)

    def decide(known: History = history) -> list[Decision]:
        return [may_give(order, now=NOW, time_zone=ZONE, history=known, others=orders) for order in orders]

    decisions, plain = decide(), _scan(orders, givings)
    for decision, is_free in zip(decisions, plain, strict=True):
        if decision.may_be_given and not is_free:
            raise SystemExit(f"the scan forbids what was allowed: {decision.because}")
    peer = _seconds(lambda: _scan(orders, givings), runs=5)
    asked = _seconds(decide)
    read_anew = _seconds(lambda: decide(History(givings)), runs=10)

    drawn = [
        DrawnMedicine(medicine=order, drawn=draw(order, weight_kg=17, syringes=SHELF).value)
        for order in (order.model_copy(update={"apart_from": ()}) for order in orders)
    ]
    meal = fills(total_ml=190, syringe=SHELF[2])

    ordered = SessionOrders(
        flush_before_ml=10,
        flush_between_ml=5,
        flush_after_ml=20,
        pace_ml_per_minute=20,
        upright_minutes=20,
        tube_kind="gastrostomy",
        mark_at_skin_cm=6.5,
        by_mouth="nothing",
    )

    def walk() -> object:
        return plan_walk(orders=ordered, medicines=drawn, meal_ml=190, fills=meal)

    walked = _seconds(walk)
    size = f"{MEDICINES} medicines, {len(givings)} givings"
    return [
        {
            "name": f"may each be given now, {size}",
            "value": 1000 * asked,
            "unit": "ms",
            "promise": f"<= {1000 * PROMISE_SECONDS:g}",
            "peer": f"a scan of the list for gaps alone {1000 * peer:.3g} ms",
            "ratio": asked / peer,
            "ok": asked <= PROMISE_SECONDS,
        },
        {
            "name": "the same, with the year read anew",
            "value": 1000 * read_anew,
            "unit": "ms",
            "promise": None,
            "peer": f"a scan of the list for gaps alone {1000 * peer:.3g} ms",
            "ratio": read_anew / peer,
            "ok": None,
        },
        {
            "name": f"the walk of a session with {len(drawn)} medicines and a meal",
            "value": 1000 * walked,
            "unit": "ms",
            "promise": f"<= {1000 * PROMISE_SECONDS:g}",
            "peer": None,
            "ratio": None,
            "ok": walked <= PROMISE_SECONDS,
        },
    ]
