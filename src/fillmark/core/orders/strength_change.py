"""A bottle of another strength: by how much, and what a slip would look like."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from fillmark.core.orders.dose_text import number_of
from fillmark.core.orders.drawing import draw
from fillmark.core.orders.medicine import Medicine, read_strength
from fillmark.core.orders.tablets import TabletParts
from fillmark.core.tube.syringe import Mark, Syringe
from fillmark.core.values.explain import Explained


@dataclass(frozen=True, kw_only=True, slots=True)
class StrengthChange:
    """Old and new side by side, for a medicine that stays locked until two people have read the label.

    Attributes:
        old: What the hand did with the old bottle.
        new: What it does with the new one, for the same dose.
        same_amount_ratio: How many times the dose the old amount would be from the new bottle.
    """

    old: Explained[Mark | TabletParts]
    new: Explained[Mark | TabletParts]
    same_amount_ratio: float


def strength_change(
    *, old: Medicine, new: Medicine, weight_kg: float, syringes: Sequence[Syringe], on: date | None = None
) -> StrengthChange | None:
    """What a new bottle changes for the hand; None when its strength is the same or unknown.

    Args:
        old: The order from the old bottle.
        new: The same order from the new one.
        weight_kg: The newest weight [kg].
        syringes: What medicines are drawn with in this household.
        on: The day it is for, where doses change by day.
    Raises:
        CannotDraw: the dose cannot be drawn from one of them.
        NotStated: the dose hangs on something that is not stated.
    Source:
        arithmetic only
    """
    before, after = read_strength(old), read_strength(new)
    if before is None or after is None or before == after:
        return None
    return StrengthChange(
        old=draw(old, weight_kg=weight_kg, syringes=syringes, on=on),
        new=draw(new, weight_kg=weight_kg, syringes=syringes, on=on),
        same_amount_ratio=float(number_of(after) / number_of(before)),
    )
