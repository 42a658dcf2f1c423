"""Slips of a pen: a point that moved, mg and mcg, kg and lb."""

from collections.abc import Sequence

from fillmark.core.values.quantities import KG_PER_LB
from fillmark.published import Band
from fillmark.published.energy import RESTING_POWER
from fillmark.published.medicine import SLIP_CLOSENESS_FRACTION, WEIGHT_ROUNDING_FRACTION

LB_PER_KG = float(1 / KG_PER_LB)

SLIPS = (
    (10.0, "ten times", "a point may have moved"),
    (100.0, "a hundred times", "a point may have moved"),
    (1000.0, "a thousand times", "mg and mcg may be swapped"),
    (LB_PER_KG, "2.2 times", "kg and lb may be swapped"),
)
"""The slips of a pen that turn one number into another: how many times, in words, and what may have happened."""

ENERGY_SLIPS = (*SLIPS, (LB_PER_KG**RESTING_POWER.value, "1.8 times", "lb may have been taken for kg in it"))
"""Those of a day's energy: it is worked out from the weight to a power."""

TENFOLDS = SLIPS[:3]
"""Those of a point, or of mg and mcg."""

LAST_DIGITS = 1e-6
"""Within this share of a printed limit a value stands on the limit: the last digits of the arithmetic are no dose."""


def find_slip(*, value: float, reference: float, slips: Sequence[tuple[float, str, str]] = SLIPS) -> str | None:
    """Which slip would turn one number into the other, in words; None for none.

    Args:
        value: The number that came.
        reference: The number it is held against, in the same unit.
        slips: Those that may have happened.
    Source:
        medicine.slip_closeness
    """
    if reference <= 0:
        return None
    ratio = value / reference
    for times, words, why in slips:
        for found, way in ((ratio / times, "as much"), (ratio * times, "less")):
            if abs(found - 1) <= SLIP_CLOSENESS_FRACTION.value:
                return f"{words} {way}: {why}"
    return None


def find_slip_into_print(value: float, band: Band) -> str | None:
    """Which slip would have turned a dose inside print into this one, in words.

    Args:
        value: The dose, in the unit of the range.
        band: The printed range.
    """
    for times, words, why in SLIPS:
        for meant, way in ((value / times, "as much as"), (value * times, "less than")):
            if is_inside(meant, band):
                return f"{words} {way} print says: {why}"
    return None


def is_inside(value: float, band: Band) -> bool:
    """Whether a value lies in a printed range, its ends included, and what a rounded weight makes of them.

    Args:
        value: The dose, in the unit of the range.
        band: The printed range.
    Source:
        medicine.weight_rounding
    """
    off = WEIGHT_ROUNDING_FRACTION.value
    return not is_above(band.low * (1 - off), value) and not is_above(value, band.high * (1 + off))


def is_above(value: float, limit: float) -> bool:
    """Whether a value is over a limit by more than the last digits of the arithmetic.

    Args:
        value: The value.
        limit: The limit, in the same unit.
    """
    return value > limit * (1 + LAST_DIGITS)
