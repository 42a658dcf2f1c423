"""The meals of a day that is under way: what became of each, and what is still to come."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum

from fillmark.core.record.amounts import Amount
from fillmark.core.record.sessions import SessionRecord, Standing
from fillmark.core.values.limits import check_range
from fillmark.published.blend import VOLUME_LIMITS_ML
from fillmark.published.record_rules import STAYS_NEXT_MINUTES

DUST_ML = 1e-6  # a nanoliter: binary dust is no milliliter


@dataclass(frozen=True, kw_only=True, slots=True)
class MealToday:
    """One meal of the day: what was planned, beside what the record says of its session.

    Attributes:
        session: Its identity.
        planned_at: The planned instant.
        planned_ml: Blend planned [mL]; 0 for a session that no plan names.
        beside_ml: Flushes, medicines and their water planned with it [mL].
        record: The session, as the record has it.
    """

    session: str
    planned_at: datetime
    planned_ml: float
    beside_ml: float
    record: SessionRecord


class MealState(StrEnum):
    """Where a meal of today stands."""

    BEHIND = "behind"
    NOT_KNOWN = "not known"
    IN_HAND = "in hand"
    TO_COME = "to come"


@dataclass(frozen=True, kw_only=True, slots=True)
class MealAhead:
    """A meal still to come: as planned, and as it would be.

    Attributes:
        planned_ml: Blend planned for it [mL].
        at: When, not before its planned time.
        blend_ml: Blend it would hold [mL].
        most_ml: The most blend it may hold under the vet's cap [mL]; None without a cap.
    """

    session: str
    planned_at: datetime
    planned_ml: float
    at: datetime
    blend_ml: float
    most_ml: float | None

    @property
    def is_moved(self) -> bool:
        """Whether it has another time than planned."""
        return self.at != self.planned_at

    @property
    def is_changed(self) -> bool:
        """Whether it holds another amount than planned."""
        return abs(self.blend_ml - self.planned_ml) > DUST_ML


@dataclass(frozen=True, kw_only=True, slots=True)
class RestOfToday:
    """The day from now on. Volumes are blend unless they say water.

    Attributes:
        day_ml: What the whole day needs [mL].
        kept_ml: What went in and stayed in, as far as is known [mL].
        due_ml: What the day still needs, at the least [mL].
        due_kcal: The energy of that [kcal].
        in_hand_ml: What the meal in hand still brings [mL].
        meals: The meals still to come, in order.
        dropped: Meals for which no time is left today; their blend is spread or left out like the rest.
        carried_ml: What the meals to come take on beyond their plan, less what they hold below it [mL].
        let_go_ml: What the day goes without [mL].
        let_go_kcal: The energy of that [kcal].
        water_due_ml: Water that the day still needs [mL].
        water_short_ml: Water that the meals and sessions to come do not bring [mL].
        water_room_ml: Room under the vet's cap that these meals leave for it [mL]; None without a cap.
        ask: Sessions of which nobody knows whether they went in; nothing is made up for them.
    """

    day_ml: float
    kept_ml: Amount
    due_ml: float
    due_kcal: float
    in_hand_ml: float
    meals: tuple[MealAhead, ...]
    dropped: tuple[str, ...]
    carried_ml: float
    let_go_ml: float
    let_go_kcal: float
    water_due_ml: float
    water_short_ml: float
    water_room_ml: float | None
    ask: tuple[str, ...]

    @property
    def is_as_planned(self) -> bool:
        """Whether the day goes on as the plan has it: nothing moves, grows, shrinks or is left out."""
        return not (self.dropped or self.ask or any(meal.is_moved or meal.is_changed for meal in self.meals))


@dataclass(frozen=True, kw_only=True, slots=True)
class WaterToday:
    """Water of the day beside its meals, which bring their own.

    Attributes:
        planned_ml: All water the day is planned to bring, food, blend and flushes together [mL].
        per_blend_ml: Water in each mL of blend [mL/mL].
        beside_so_far_ml: Flushes, medicines and their water that went in so far [mL].
        beside_to_come_ml: The same, planned with sessions still to come that hold no meal [mL].
    """

    planned_ml: float
    per_blend_ml: float
    beside_so_far_ml: float
    beside_to_come_ml: float

    def __post_init__(self) -> None:
        for field in ("planned_ml", "beside_so_far_ml", "beside_to_come_ml"):
            check_range(field=f"water.{field}", value=getattr(self, field), limits=VOLUME_LIMITS_ML)


@dataclass(frozen=True, kw_only=True, slots=True)
class MealRules:
    """What holds of every meal of today, by the vet's orders and the syringe.

    Attributes:
        weight_kg: Weight today [kg].
        kcal_per_ml: Energy of the blend [kcal/mL].
        step_ml: Distance between two marks of the syringe [mL].
        shortest_gap: Least time from one meal to the next.
        last_meal_by: No meal of today after this: the end of the day, or so long before tomorrow's first meal.
        cap_ml_per_kg: What the vet allows at most in one session [mL/kg]; without it no meal is made larger.
        warn_ml_per_kg: From where on the vet wants to be asked [mL/kg]; a meal planned above it stays as planned.
        may_grow: Whether what was missed may be made up; the vet may have said that it is skipped.
    """

    weight_kg: float
    kcal_per_ml: float
    step_ml: float
    shortest_gap: timedelta
    last_meal_by: datetime
    cap_ml_per_kg: float | None
    warn_ml_per_kg: float | None = None
    may_grow: bool = True


def meal_state(meal: MealToday, *, now: datetime) -> MealState:
    """Where a meal stands. One past its time stays to come as long as it is offered as the next.

    Args:
        meal: One meal of today, with its record.
        now: The present instant.
    Source:
        record.stays_next_minutes
    """
    match meal.record.standing:
        case Standing.NO_ENTRY:
            is_late = now - meal.planned_at > timedelta(minutes=STAYS_NEXT_MINUTES.value)
            return MealState.NOT_KNOWN if is_late else MealState.TO_COME
        case Standing.IN_HAND | Standing.PAUSED:
            return MealState.IN_HAND
        case Standing.NOT_KNOWN:
            return MealState.NOT_KNOWN
        case Standing.ENDED if meal.record.blend is None and meal.planned_ml:
            return MealState.NOT_KNOWN
    return MealState.BEHIND
