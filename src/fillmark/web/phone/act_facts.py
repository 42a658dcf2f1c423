"""The table that a phone asks its gate by, without a signal: what the plan says of meals and doses, as plain values.

`phone/gate.js` reads it, and finds what core/gates/act_gate.py finds; tests/scripts/test_gate.py holds both to the
same histories.
"""

from collections.abc import Iterable
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

from fillmark.core.day.values import PlannedDose, PlannedSession
from fillmark.core.doses.bottles import drawn_dose, ordered_mass
from fillmark.core.doses.dose_clock import DoseClock
from fillmark.core.doses.giving import day_maximum, shortest_gap
from fillmark.core.doses.may_give import find_dose_clock
from fillmark.core.gates.act_gate import say_over_cap
from fillmark.core.gates.stomach import find_feed_rules
from fillmark.core.orders.dosing_days import rhythms
from fillmark.core.orders.medicine import Medicine, hours_apart
from fillmark.core.orders.tablets import TabletParts
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.tube.syringe import Mark, exact
from fillmark.published.medicine import LATE_IS_FINE_HOURS
from fillmark.published.record_rules import MEAL_TIMES_THE_PLAN, SECOND_CHECK_MINUTES
from fillmark.published.shelf_life import (
    BEYOND_USE_DAYS,
    OPENED_ANTIBIOTIC_DAYS,
    OPENED_LIQUID_MONTHS,
    OPENED_WEEKLY_BOX_MONTHS,
)


def millis(at: datetime) -> int:
    """An instant as JavaScript counts it [ms since 1970]."""
    return round(at.astimezone(UTC).timestamp() * 1000)


def act_facts(plan: CarePlan, sessions: Iterable[PlannedSession], *, today: date) -> dict[str, Any]:
    """What the gate on a phone goes by.

    Args:
        plan: The plan in force.
        sessions: Those that the phone keeps, as they are to come.
        today: The household's day, for what is drawn of a medicine outside of any session.
    """
    feed, doses = find_feed_rules(plan, None), {one.id: _dose_rules(one, plan, today=today) for one in plan.medicines}
    return {
        "feed": {
            "gapMinutes": feed.gap.total_seconds() / 60,
            "gapWords": feed.gap_words,
            "gapAsk": feed.gap_ask,
            "mostMl": feed.most_ml,
            "weightKg": feed.weight_kg,
            "waterMl": feed.water_ml,
            "beforeFood": feed.before_food,
            "mealsADay": feed.meals_a_day,
            "dayMinutes": feed.day.total_seconds() / 60,
        },
        "doses": doses,
        "sessions": {one.key: _session_rules(plan, one, doses=doses) for one in sessions},
        "lateHours": LATE_IS_FINE_HOURS.value,
        "checkMinutes": SECOND_CHECK_MINUTES.value,
        "mealTimes": MEAL_TIMES_THE_PLAN.value,
        "keepsAs": {
            **{kind: {"days": limit.value} for kind, limit in BEYOND_USE_DAYS.items()},
            "single dose": {"days": 1},
            "antibiotic mixed up": {"days": OPENED_ANTIBIOTIC_DAYS.low},
            "liquid": {"months": OPENED_LIQUID_MONTHS.value},
            "tablets in a weekly box": {"months": OPENED_WEEKLY_BOX_MONTHS.value},
        },
    }


def _dose_rules(medicine: Medicine, plan: CarePlan, *, today: date) -> dict[str, Any]:
    drawn = drawn_dose(medicine, plan, on=today)
    return {
        "name": medicine.name,
        "held": medicine.held,
        "startOn": medicine.start_on and medicine.start_on.isoformat(),
        "stopOn": medicine.stop_on and medicine.stop_on.isoformat(),
        "rhythms": [_rhythm(order, is_first=place == 0) for place, order in enumerate(rhythms(medicine))],
        "apart": {
            other.id: hours
            for other in plan.medicines
            if other.id != medicine.id and (hours := hours_apart(medicine, other))
        },
        "afterFood": medicine.food.after_minutes if medicine.food.relation == "empty stomach" else None,
        "secondCheck": medicine.second_check,
        "drawn": _drawn(drawn) if medicine.second_check else None,
        "isByTube": medicine.route == "tube",
        "ordered": _ordered(ordered_mass(medicine, plan, on=today), drawn),
    }


def _ordered(mg: Decimal | None, drawn: Mark | TabletParts | None) -> dict[str, str]:
    """What one dose is by the order, and to what it is drawn, as the record keeps both."""
    told = {"mg": mg, "ml": drawn.drawn.ml if isinstance(drawn, Mark) else None}
    return {name: f"{amount.normalize():f}" for name, amount in told.items() if amount is not None}


def _rhythm(order: Medicine, *, is_first: bool) -> dict[str, Any]:
    """From a day on, the least time between two doses and the most of them; the first one holds from ever on."""
    most = day_maximum(order)
    return {
        "fromOn": None if is_first else order.start_on and order.start_on.isoformat(),
        "gapMinutes": shortest_gap(order).total_seconds() / 60,
        "most": most and most[0],
        "mostMinutes": most and most[1].total_seconds() / 60,
    }


def _session_rules(plan: CarePlan, session: PlannedSession, *, doses: dict[str, Any]) -> dict[str, Any]:
    rules = find_feed_rules(plan, session)
    over = say_over_cap(rules, session)
    may_be_given = {one.id for one in plan.medicines if one.held is None}
    return {
        "at": millis(session.at),
        "mealMl": session.meal_ml,
        "totalMl": round(session.load.value.total_ml, 6),
        **({"marks": [float(mark.drawn.ml) for mark in session.fills]} if session.meal_ml else {}),
        **({"overCap": {"text": over.text, "weight": over.weight.value}, "mostMl": rules.most_ml} if over else {}),
        "doses": {
            one.medicine.id: _due(plan, session, one, usual=doses.get(one.medicine.id, {})) for one in session.medicines
        },
        # on hold by the version of that day, and by the plan as it is now: what was on hold then may be given since
        **_named("held", [one.medicine.id for one in session.medicines if one not in session.to_give]),
        **_named("shut", [one.medicine.id for one in session.medicines if one.medicine.id not in may_be_given]),
    }


def _named(name: str, ids: list[str]) -> dict[str, list[str]]:
    """A list that is left out where it is empty, as it mostly is: a page is small."""
    return {name: ids} if ids else {}


def _due(plan: CarePlan, session: PlannedSession, dose: PlannedDose, *, usual: dict[str, Any]) -> dict[str, Any]:
    home = plan.household
    clock = find_dose_clock(dose.medicine, planned_at=session.at, time_zone=home.time_zone, day_starts=home.day_starts)
    drawn = {"drawn": drawn_facts(dose)} if dose.medicine.second_check else {}
    ordered = _ordered(dose.mass.mg if dose.mass else None, dose.drawn)
    return {**_minutes_off(clock), **drawn, **({"ordered": ordered} if ordered != usual.get("ordered") else {})}


def _minutes_off(clock: DoseClock) -> dict[str, float]:
    """The instants of a dose as minutes from its session: a page is small."""
    told = {
        "following": clock.following,
        "earlyUntil": clock.early_until,
        "dueUntil": clock.due_until,
        "askAfter": clock.ask_after,
        "tooLateAfter": clock.too_late_after,
        "tooCloseAfter": clock.too_close_after,
    }
    off = {name: (at - clock.planned_at).total_seconds() / 60 for name, at in told.items() if at is not None}
    return {name: int(minutes) if minutes.is_integer() else minutes for name, minutes in off.items()}


def drawn_facts(dose: PlannedDose | None) -> dict[str, str] | None:
    """What a second person must read for a dose, exact: so much by the lines of its syringe, or so many pieces."""
    return _drawn(dose.drawn if dose else None)


def _drawn(drawn: Mark | TabletParts | None) -> dict[str, str] | None:
    if drawn is None:
        return None
    if isinstance(drawn, Mark):
        return {"ml": f"{drawn.drawn.ml:f}", "step_ml": f"{exact(drawn.syringe.step_ml):f}"}
    return {"pieces": f"{drawn.count.numerator}/{drawn.count.denominator}", "piece": drawn.piece}
