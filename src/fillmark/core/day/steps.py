"""The steps of a walk."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from fillmark.core.orders.medicine import Medicine
from fillmark.core.orders.tablets import TabletParts
from fillmark.core.tube.syringe import Mark
from fillmark.core.values.quantities import Mass

VET = "the vet's order"
PLAN = "the care plan"
PRACTICE = "common practice, no source"


WASH = "wash-hands"
"""The id of the first step of every walk."""


class StepKind(StrEnum):
    """What a step is."""

    WASH = "wash"
    LOOK = "look"
    CHECK_MARK = "check mark"
    CHECK_SKIN = "check skin"
    FLUSH = "flush"
    MEDICINE = "medicine"
    WAIT = "wait"
    STIR = "stir"
    FILL = "fill"
    CLOSE = "close"
    UPRIGHT = "upright"
    TASK = "task"
    CLEAN = "clean"


@dataclass(frozen=True, kw_only=True, slots=True)
class DrawnMedicine:
    """A medicine that is due in this session, with what the hand does for one dose.

    Attributes:
        mass: The dose as ordered; none where the order counts pieces.
        notes: What a person must hear while giving it, such as a dose that is new; each a sentence.
        why: Why it is due now, besides its order.
        problem: Why it cannot be drawn; none where it can.
    """

    medicine: Medicine
    drawn: Mark | TabletParts
    mass: Mass | None = None
    notes: tuple[str, ...] = ()
    why: str = ""
    problem: str | None = None

    @property
    def is_to_give(self) -> bool:
        """Whether it is given at all: neither on hold nor without a mark."""
        return self.medicine.held is None and self.problem is None


@dataclass(frozen=True, kw_only=True, slots=True)
class TaskNow:
    """A task that is due in this session.

    Attributes:
        id: Its handle in the plan.
        is_after: Whether it comes after the meal.
        minutes: How long it takes [minutes].
        how: How it is done, in the words of the plan.
        weighs: Whether it is a weighing.
    """

    id: str
    name: str
    weighs: bool = False
    is_after: bool = False
    minutes: float | None = None
    how: str | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class SessionOrders:
    """What the vet ordered that holds of every session of this animal. None is "not stated".

    Attributes:
        flush_before_ml: Water before anything else [mL].
        flush_between_ml: Water after each medicine [mL].
        flush_after_ml: Water at the end [mL].
        pace_ml_per_minute: How fast a meal goes in.
        upright_minutes: How long the animal stays upright after a meal.
        tube_kind: What tube it is.
        mark_at_skin_cm: What the tube's length mark at the skin should read [cm].
        by_mouth: What may go by mouth ("nothing", "water", "food and water").
        residual_ml: Over so much drawn back from the stomach, the meal is left out [mL].
        food_celsius: How warm the food is to be, low and high [°C].
        is_low_profile: Whether the tube ends flat at the skin, without a length mark to read.
    """

    flush_before_ml: float | None
    flush_between_ml: float | None
    flush_after_ml: float | None
    pace_ml_per_minute: float | None = None
    upright_minutes: float | None = None
    tube_kind: str | None
    mark_at_skin_cm: float | None
    by_mouth: str | None = None
    is_low_profile: bool = False
    residual_ml: float | None = None
    food_celsius: tuple[float, float] | None = None

    @property
    def may_use_tube(self) -> bool:
        """Whether the tube can be checked: its kind is on record, and its mark at the skin where it has one."""
        return self.tube_kind is not None and (self.is_low_profile or self.mark_at_skin_cm is not None)


@dataclass(frozen=True, kw_only=True, slots=True)
class Step:
    """One step of a session.

    Attributes:
        id: Stable within the session ("flush-before", "fill-2", "medicine-metoclopramide").
        title: What to do, verb first, short.
        detail: How, where that is not plain.
        reason: Why this step is here.
        ask: What must be answered with yes before the next step; a no stops everything through the tube.
        if_no: What to do when the answer is no.
        ml: What goes in with this step [mL].
        mark: The line to fill the syringe to.
        fill_number: Which fill of the meal it is, the first being 1.
        minutes: How long it takes [minutes].
        source: Whose word this step is.
        why: Whose word its reason is.
        notes: What a person must hear before they act: what is new in a course, and what the mark cautions of.
        label: The dose as ordered, its way, and what the label of its bottle or box must say, each a sentence.
        hold: Why the vet has the medicine stopped; then none of it is given.
        weighs: Whether it is a weighing.
    """

    id: str
    kind: StepKind
    title: str
    detail: str = ""
    reason: str
    ask: str | None = None
    if_no: str | None = None
    ml: float | None = None
    mark: Mark | None = None
    fill_number: int | None = None
    fill_count: int | None = None
    minutes: float | None = None
    medicine_id: str | None = None
    source: str = ""
    why: str = PRACTICE
    notes: tuple[str, ...] = ()
    label: tuple[str, ...] = ()
    hold: str | None = None
    weighs: bool = False


def water_ml(steps: Sequence[Step]) -> float:
    """The water of a session: all flushes, and the water that crushed medicines are given in [mL]."""
    return sum(step.ml or 0.0 for step in steps if step.kind is StepKind.FLUSH) + sum(
        step.ml or 0.0 for step in steps if step.kind is StepKind.MEDICINE and step.mark is None
    )
