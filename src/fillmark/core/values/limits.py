"""One way to refuse a number that nobody can have meant."""

import math

from fillmark.core.values.errors import BadNumber, OutOfRange
from fillmark.core.values.quantities import write_number
from fillmark.published import Band


def check_finite(*, field: str, value: float, unit: str = "") -> float:
    """The value, if it is a real number.

    Args:
        field: What the message calls it.
        value: The number that came.
        unit: Its unit, for the message.
    Raises:
        BadNumber: it is NaN or infinite.
    Source:
        arithmetic only
    """
    if not math.isfinite(value):
        raise BadNumber(
            field=field,
            got=f'"{value}" for {field}',
            allowed=f"an ordinary number{f' in {unit}' if unit else ''}",
            remedy="Enter the number that was measured or printed.",
        )
    return value


def check_range(*, field: str, value: float, limits: Band, remedy: str = "Check the number and its unit.") -> float:
    """The value, if it lies inside the limits, ends included.

    Args:
        field: Where the value stands, as a dotted path.
        value: What came, in the unit of the limits.
        limits: What is allowed.
        remedy: What to do when it is outside.
    Raises:
        BadNumber: it is NaN or infinite.
        OutOfRange: it lies outside.
    Source:
        the limits given
    """
    check_finite(field=field, value=value, unit=limits.unit)
    if not limits.holds(value):
        raise OutOfRange(
            field=field,
            got=f"{field} = {write_number(value)} {limits.unit}",
            allowed=f"{write_number(limits.low)} to {write_number(limits.high)} {limits.unit}",
            remedy=remedy,
        )
    return value


def check_at_least(*, field: str, value: float, least: float, unit: str, remedy: str) -> float:
    """The value, if it is not below the least.

    Args:
        field: What the message calls it.
        value: The number that came.
        least: The least that is allowed.
        unit: The unit of both, for the message.
        remedy: What to do about a number below it.
    Raises:
        BadNumber: it is NaN or infinite.
        OutOfRange: it is below.
    Source:
        arithmetic only
    """
    check_finite(field=field, value=value, unit=unit)
    if value < least:
        raise OutOfRange(
            field=field,
            got=f"{field} = {write_number(value)} {unit}".rstrip(),
            allowed=" ".join(f"{write_number(least)} {unit} or more".split()),
            remedy=remedy,
        )
    return value
