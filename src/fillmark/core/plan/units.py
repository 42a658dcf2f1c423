"""In which unit a number of the plan stands, and in which others it may be printed or said."""

from dataclasses import dataclass
from decimal import Decimal, localcontext

from fillmark.core.values.quantities import KG_PER_LB

UNITS = (
    ("ml_per_kg_per_day", "mL/kg a day"),
    ("ml_per_minute", "mL/min"),
    ("ml_per_kg", "mL/kg"),
    ("kcal_per_day", "kcal a day"),
    ("kcal_per_kg", "kcal/kg"),
    ("times_a_day", "times a day"),
    ("per_minute", "a minute"),
    ("percent", "%"),
    ("minutes", "minutes"),
    ("hours", "hours"),
    ("days", "days"),
    ("french", "Fr"),
    ("cm", "cm"),
    ("mm", "mm"),
    ("kg", "kg"),
    ("lb", "lb"),
    ("ml", "mL"),
    ("g", "g"),
    ("c", "°C"),
)
"""What the last words of a key say about its number, the longest first."""
ENDINGS = frozenset(ending for ending, _ in UNITS)


@dataclass(frozen=True, slots=True)
class OtherUnit:
    """A unit that a sheet or a label may use in place of ours: ours = (theirs - `zero`) × `factor`."""

    name: str
    factor: Decimal
    zero: Decimal = Decimal(0)


_G_PER_OZ = KG_PER_LB * 1000 / 16
_ML_PER_CUP = Decimal("236.5882365")
_KCAL_PER_KJ = 1 / Decimal("4.184")
OTHERS = {
    "kg": (OtherUnit("lb", KG_PER_LB), OtherUnit("g", Decimal("0.001")), OtherUnit("oz", _G_PER_OZ / 1000)),
    "g": (OtherUnit("oz", _G_PER_OZ), OtherUnit("lb", KG_PER_LB * 1000), OtherUnit("kg", Decimal(1000))),
    "mL": (
        OtherUnit("L", Decimal(1000)),
        OtherUnit("cups", _ML_PER_CUP),
        OtherUnit("fl oz", _ML_PER_CUP / 8),
        OtherUnit("tablespoons", _ML_PER_CUP / 16),
        OtherUnit("teaspoons", _ML_PER_CUP / 48),
    ),
    "cm": (OtherUnit("in", Decimal("2.54")), OtherUnit("mm", Decimal("0.1"))),
    "mm": (OtherUnit("in", Decimal("25.4")), OtherUnit("cm", Decimal(10))),
    "°C": (OtherUnit("°F", Decimal(5) / 9, Decimal(32)),),
    "hours": (OtherUnit("days", Decimal(24)), OtherUnit("minutes", Decimal(1) / 60)),
    "minutes": (OtherUnit("hours", Decimal(60)),),
    "days": (OtherUnit("weeks", Decimal(7)), OtherUnit("hours", Decimal(1) / 24)),
    "mL/kg": (OtherUnit("mL/lb", 1 / KG_PER_LB),),
    "mL/kg a day": (OtherUnit("mL/lb a day", 1 / KG_PER_LB),),
    "mL/min": (OtherUnit("mL/hour", Decimal(1) / 60),),
    "kcal a day": (OtherUnit("kJ a day", _KCAL_PER_KJ),),
    "kcal/kg": (OtherUnit("kcal/lb", 1 / KG_PER_LB),),
}
"""For each of our units, the others that are understood; cups and spoons are the measures of United States labels.

Source:
    NIST Special Publication 811, appendix B: the pound, the inch, the cup, the thermochemical calorie, °F
"""
_DIGITS = 6


def unit_of_key(key: str) -> str:
    """The unit that a key names at its end ("flush_before_ml"); empty where it names none."""
    return next((unit for ending, unit in UNITS if key == ending or key.endswith(f"_{ending}")), "")


def key_without_unit(key: str) -> str:
    """A key without the unit at its end; the key itself where nothing else is left."""
    for ending, _ in UNITS:
        if key != ending and key.endswith(f"_{ending}"):
            return key.removesuffix(f"_{ending}")
    return key


def in_our_unit(number: Decimal, *, unit: str, ours: str) -> Decimal:
    """A number in our unit, to six digits where it had to be worked out.

    Args:
        number: As it was printed or said.
        unit: The unit it was printed or said in.
        ours: The unit of the plan.
    Raises:
        KeyError: that unit is not one of those understood in place of ours.
    Source:
        NIST Special Publication 811, appendix B
    """
    if unit in ("", ours):
        return number
    other = {one.name: one for one in OTHERS.get(ours, ())}[unit]
    with localcontext() as context:
        exact = (number - other.zero) * other.factor
        context.prec = _DIGITS
        return +exact
