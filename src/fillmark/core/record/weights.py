"""What did the animal weigh, and may the plan follow?"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, time
from uuid import UUID
from zoneinfo import ZoneInfo

from fillmark.core.plan.answers import Raw
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record.care_entries import Weighed
from fillmark.core.record.corrections import counting_entries
from fillmark.core.record.entries import KeptEntry
from fillmark.published.input_limits import WEIGHT_JUMP_FRACTION

WEIGHT_KINDS = ("weight",)


@dataclass(frozen=True, kw_only=True, slots=True)
class ScaleReading:
    """One weighing [kg].

    Attributes:
        entry_id: Which entry says it; none for one of the plan.
        at: When it was.
        on: On which day of the household.
        meal: "before" or "after" the meal; none where nobody said.
        by: Who wrote it.
    """

    kg: float
    at: datetime
    on: date
    scale: str | None = None
    meal: str | None = None
    checked: bool = False
    entry_id: UUID | None = None
    by: str = ""


def read_weights(entries: Iterable[KeptEntry]) -> tuple[ScaleReading, ...]:
    """Every weighing that counts, oldest first, whenever it was written down."""
    found = [
        ScaleReading(
            kg=one.entry.payload.weight_kg,
            at=one.entry.at,
            on=one.day,
            scale=one.entry.payload.scale,
            meal=one.entry.payload.meal,
            checked=bool(one.entry.payload.checked),
            entry_id=one.entry.id,
            by=one.by_name,
        )
        for one in counting_entries(entries)
        if isinstance(one.entry.payload, Weighed)
    ]
    return tuple(sorted(found, key=lambda one: one.at))


def plans_weight(plan: CarePlan) -> ScaleReading:
    """The weight that a plan counts with, as of the beginning of its day."""
    weighing = plan.animal.weight
    at = datetime.combine(weighing.on, time(), tzinfo=ZoneInfo(plan.household.time_zone))
    return ScaleReading(
        kg=weighing.weight_kg, at=at, on=weighing.on, scale=weighing.scale or None, checked=weighing.checked
    )


def newest_weight(weights: Iterable[ScaleReading], plan: CarePlan | None) -> ScaleReading | None:
    """The newest weighing of the record and of the plan; none where there is neither.

    Args:
        weights: Those of the record.
        plan: The plan in force.
    """
    known = [*([plans_weight(plan)] if plan is not None else []), *weights]
    return max(known, key=lambda one: one.at, default=None)


def weight_to_follow(weights: Iterable[ScaleReading], plan: CarePlan) -> ScaleReading | None:
    """The newest weighing that is not the plan's own yet; none where the plan counts with it already.

    Args:
        weights: Those of the record.
        plan: The newest plan.
    Source:
        arithmetic only
    """
    newest = newest_weight(weights, plan)
    mine = plans_weight(plan)
    if newest is None or newest.entry_id is None or (newest.on, newest.kg) == (mine.on, mine.kg):
        return None
    return newest


def with_weight(document: Raw, weight: ScaleReading, *, last_kg: float) -> Raw:
    """A plan's document that counts with one more weighing.

    Args:
        document: The plan's document.
        weight: The weighing.
        last_kg: What the plan counts with until then [kg].
    Source:
        input.weight_jump_fraction
    """
    is_jump = abs(weight.kg / last_kg - 1) > WEIGHT_JUMP_FRACTION.value
    part: Raw = {"on": weight.on.isoformat(), "kg": weight.kg}
    part |= {"scale": weight.scale} if weight.scale else {}
    part |= {"checked": True} if weight.checked and is_jump else {}
    animal = document["animal"]
    return document | {"animal": animal | {"weights": [*animal["weights"], part]}}
