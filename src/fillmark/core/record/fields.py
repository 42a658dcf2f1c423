"""What the fields of an entry may hold."""

import re
from datetime import datetime
from decimal import Decimal
from typing import Annotated, Literal
from uuid import UUID

from pydantic import (
    AfterValidator,
    BeforeValidator,
    Field,
    PlainSerializer,
    StringConstraints,
)
from pydantic_core import PydanticCustomError

from fillmark.core.orders.dose_text import bare_amount, read_given
from fillmark.core.values.errors import BadNumber
from fillmark.core.values.other_amounts import OtherAmount, OtherStrength
from fillmark.core.values.quantities import Strength

NOT_KNOWN = "not known"
"""How a caregiver says "I don't know"."""


_DECIMAL = re.compile(r"\d{1,9}(\.\d{1,30})?")


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


_SESSION = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d")


def _session(value: str) -> str:
    try:
        datetime.fromisoformat(value if _SESSION.fullmatch(value) else "")
    except ValueError:
        raise PydanticCustomError("session", 'a day and a planned time, such as "2026-11-25T07:00"') from None
    return value


EntryId = Annotated[UUID, AfterValidator(_version_7)]


SessionId = Annotated[str, AfterValidator(_session)]
"""One session of one animal: its local day and planned time. Two people who start the 7:00 meal meet in it."""


MOST_ML = 5000.0


MOST_FOOD_G = 20000.0


Ml = Annotated[float, Field(ge=0, le=MOST_ML, strict=True)]


Exact = Annotated[Decimal, BeforeValidator(_exact), PlainSerializer(lambda value: f"{value.normalize():f}")]


Label = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=80)]


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
