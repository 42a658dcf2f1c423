"""What the fields of an entry may hold."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from functools import cache, lru_cache
from typing import Annotated, Any, Literal, get_args
from uuid import UUID

from annotated_types import Ge, Gt, Le, MaxLen
from pydantic import (
    AfterValidator,
    AwareDatetime,
    BaseModel,
    BeforeValidator,
    Field,
    PlainSerializer,
    StringConstraints,
)
from pydantic.fields import FieldInfo
from pydantic_core import PydanticCustomError

from fillmark.core.orders.dose_text import bare_amount, read_given
from fillmark.core.values.document import Day, plain_text
from fillmark.core.values.errors import BadNumber
from fillmark.core.values.other_amounts import OtherAmount, OtherStrength
from fillmark.core.values.quantities import Strength, write_number
from fillmark.core.values.typed import IN_THESE_YEARS, is_in_these_years, read_clock, read_day
from fillmark.core.values.words import say_date
from fillmark.published.record_rules import LABEL_DAY_YEARS, MADE_DAYS, SHEET_DAYS, YEAR_LIMITS

NOT_KNOWN = "not known"
"""How a caregiver says "I don't know"."""


_DECIMAL = re.compile(r"[0-9]{1,9}(\.[0-9]{1,30})?")


def _exact(value: object) -> object:
    """A decimal written as a text, so that no digit is lost or added on the way."""
    if isinstance(value, str) and _DECIMAL.fullmatch(value):
        return Decimal(value)
    if not isinstance(value, Decimal) or not value.is_finite() or value < 0:
        raise PydanticCustomError("exact", 'a decimal in quotes, 0 or more, such as "0.5"')
    return value


def _version_7(value: UUID) -> UUID:
    if value.version != 7:
        raise PydanticCustomError("uuid7", "a UUID of version 7")
    return value


_SESSION = re.compile(r"[0-9-]{10}T[0-9]{2}:[0-9]{2}")


@lru_cache
def _session(value: str) -> str:
    is_one = _SESSION.fullmatch(value) and read_day(value[:10]) and read_clock(value[11:]) is not None
    if not is_one:
        raise PydanticCustomError("session", 'a day and a planned time, such as "2026-11-25T07:00"')
    return value


def _moment(value: datetime) -> datetime:
    # a day from either end, so that every clock of the world reads it in these years
    if YEAR_LIMITS.low < value.year < YEAR_LIMITS.high:
        return value
    if not is_in_these_years(value) or not all(is_in_these_years(value + timedelta(days=days)) for days in (-2, 2)):
        raise PydanticCustomError("moment", "an instant in the years {years}", {"years": IN_THESE_YEARS})
    return value


Moment = Annotated[AwareDatetime, AfterValidator(_moment)]
"""When something happened, or is to happen."""


EntryId = Annotated[UUID, AfterValidator(_version_7)]


SessionId = Annotated[str, AfterValidator(_session)]
"""One session of one animal: its local day and planned time. Two people who start the 7:00 meal meet in it."""


MOST_ML = 5000.0


MOST_CANS = 100.0
"""More cans than this in a batch are a slip."""
MOST_FOOD_G = 20000.0


Ml = Annotated[float, Field(ge=0, le=MOST_ML, strict=True)]


def _at_most(most: float) -> AfterValidator:
    def check(value: Decimal) -> Decimal:
        if value > Decimal(str(most)):
            raise PydanticCustomError("most", "{most} or less", {"most": write_number(most)})
        return value

    return AfterValidator(check)


Exact = Annotated[Decimal, BeforeValidator(_exact), PlainSerializer(lambda value: f"{value.normalize():f}")]


MOST_MG = 100_000.0
"""One dose, in mg: a hundred grams."""


MOST_PIECES = 10_000.0


ExactMg = Annotated[Exact, _at_most(MOST_MG), Le(MOST_MG)]


ExactMl = Annotated[Exact, _at_most(MOST_ML), Le(MOST_ML)]


Pieces = Annotated[Exact, _at_most(MOST_PIECES), Le(MOST_PIECES)]


@dataclass(frozen=True, kw_only=True, slots=True)
class Near:
    """How far a day may lie from the day on which it is written down [days]."""

    behind: int
    ahead: int


_LABEL_DAYS = int(LABEL_DAY_YEARS.value * 366)


LabelDay = Annotated[Day, Near(behind=_LABEL_DAYS, ahead=_LABEL_DAYS)]
"""A day that a label names: it may be over, or to come."""


FilledDay = Annotated[Day, Near(behind=_LABEL_DAYS, ahead=0)]
"""The day on which a pharmacy filled or made something."""


MadeDay = Annotated[Day, Near(behind=int(MADE_DAYS.value), ahead=0)]
"""The day on which a batch was made, or thawed."""


SheetDay = Annotated[Day, Near(behind=int(SHEET_DAYS.value), ahead=int(SHEET_DAYS.value))]


Label = Annotated[
    str, StringConstraints(strip_whitespace=True, min_length=1, max_length=80), AfterValidator(plain_text)
]


Count = Annotated[int, Field(ge=0, le=100)]


Number = Annotated[int, Field(ge=1, le=100)]


Unknown = Literal["not known"]


_PIECE_STRENGTH = re.compile(r"(.*)/\s*(?:tablet|capsule|sachet|drop|vial)\s*")


def printed_strength(text: str) -> str:
    """A strength that can be compared with the plan's: a mass in a volume, in percent, or in a piece.

    Raises:
        BadNumber, WrongUnit: it is none, or invites a tenfold slip.
    Source:
        arithmetic only
    """
    piece = _PIECE_STRENGTH.fullmatch(text)
    if piece is None and OtherAmount.stands_in(text.partition("/")[0]):
        OtherStrength.read(text, field="strength")
    elif piece is None:
        Strength.read(text, field="strength")
    elif bare_amount(read_given(piece[1], "strength")) == 0:
        raise BadNumber(
            field="strength",
            got=f'"{text[:40]}" for strength',
            allowed='a strength above 0, such as "5 mg/tablet"',
            remedy="Copy the strength from the label.",
        )
    return text


# What the fields of a kind allow, for the forms that make one


@dataclass(frozen=True, kw_only=True, slots=True)
class Limits:
    """What one field of an entry allows, as its type declares it; none where it does not limit.

    Attributes:
        low: The least.
        above: What it must be more than.
        high: The most.
        most_characters: How long a text may be.
        near: How far a day may lie from the day on which it is written down.
    """

    low: float | None = None
    above: float | None = None
    high: float | None = None
    most_characters: int | None = None
    near: Near | None = None


@cache
def limits_of(kind: type[BaseModel], field: str) -> Limits:
    """The limits that a kind of entry declares for one of its fields.

    Args:
        kind: The kind's model.
        field: The field's name.
    """
    found: dict[str, Any] = {}
    for one in _declared(kind.model_fields[field]):
        match one:
            case Ge(ge=value):
                found["low"] = value
            case Gt(gt=value):
                found["above"] = value
            case Le(le=value):
                found["high"] = value
            case MaxLen(max_length=value):
                found["most_characters"] = value
            case StringConstraints(max_length=int(value)):
                found["most_characters"] = value
            case Near():
                found["near"] = one
    return Limits(**found)


def _declared(field: FieldInfo) -> Iterator[object]:
    yield from field.metadata
    waiting: list[Any] = [field.annotation]
    while waiting:
        one = waiting.pop()
        told = getattr(one, "__metadata__", ())
        for declared in told:
            yield from declared.metadata if isinstance(declared, FieldInfo) else (declared,)
        waiting += get_args(one)[:1] if told else get_args(one)


@cache
def _near_fields(kind: type[BaseModel]) -> tuple[tuple[str, Near], ...]:
    fields = ((name, limits_of(kind, name).near) for name in kind.model_fields)
    return tuple((name, near) for name, near in fields if near is not None)


def check_days_anywhere(payload: BaseModel, *, at: datetime) -> None:
    """`check_days` by every clock of the world; the door knows the household's own.

    Args:
        payload: What happened.
        at: When it was written down.
    Raises:
        PydanticCustomError: as there.
    """
    if _near_fields(type(payload)):  # most kinds name no day
        first, last = ((at.astimezone(UTC) + timedelta(hours=hours)).date() for hours in (-12, 14))
        check_days(payload, first=first, last=last)


def check_days(payload: BaseModel, *, first: date, last: date) -> None:
    """Refuse a day of an entry that lies too far from the day on which it was written down.

    Args:
        payload: What happened.
        first: The earliest day that it can have been where it happened.
        last: The latest.
    Raises:
        PydanticCustomError: one lies too far away; it is named.
    """
    for name, near in _near_fields(type(payload)):
        day = getattr(payload, name)
        if day is None:
            continue
        earliest, latest = first - timedelta(days=near.behind), last + timedelta(days=near.ahead)
        if not earliest <= day <= latest:
            raise PydanticCustomError(
                "near",
                "a day from {first} to {last}",
                {"first": say_date(earliest), "last": say_date(latest), "name": name, "day": say_date(day)},
            )
