"""Core values as plain lists, numbers and texts, for machines that read JSON."""

from dataclasses import fields, is_dataclass
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from enum import Enum
from fractions import Fraction
from typing import Any
from uuid import UUID

from pydantic import BaseModel

from fillmark.core.values.explain import Explained
from fillmark.core.values.other_amounts import OtherAmount, OtherStrength
from fillmark.core.values.quantities import Mass, Strength, Volume
from fillmark.published import Band, Fact, Figure


def to_plain(value: object) -> Any:
    """The value in JSON's own types. An explained number keeps its working, its figures' ids and its cautions.

    Lengths of time are in seconds; parts of a tablet are decimals.

    Raises:
        TypeError: the value is of a kind that nothing here knows.
    """
    match value:
        case None | bool() | int() | float():
            return value
        case Enum():
            return value.value
        case str():
            return value
        case Decimal() | Fraction():
            return float(value)
        case timedelta():
            return value.total_seconds()
        case UUID():
            return str(value)
        case datetime() | date():
            return value.isoformat()
        case time():
            return f"{value:%H:%M}"
        case Figure() | Band() | Fact():
            return value.id
        case Mass() | Volume() | Strength() | OtherAmount() | OtherStrength():
            return str(value)
        case Explained():
            return {
                "value": to_plain(value.value),
                "working": list(value.working()),
                "figures": [figure.id for figure in value.all_figures()],
                "cautions": list(value.all_cautions()),
            }
        case BaseModel():
            return value.model_dump(mode="json")
        case dict():
            return {str(key): to_plain(item) for key, item in value.items()}
        case tuple() | list() | frozenset():
            return [to_plain(item) for item in value]
    if is_dataclass(value):
        return {field.name: to_plain(getattr(value, field.name)) for field in fields(value)}
    raise TypeError(f"no plain form for {type(value).__name__}")
