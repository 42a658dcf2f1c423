"""How a part of the care plan document is declared and read: strict, frozen, and with "not stated" as a value.

Parts are pydantic models; what pydantic finds is told to people in our own words by `read_document`.
"""

import re
from collections.abc import Callable, Mapping
from datetime import date, datetime, time
from decimal import Decimal
from typing import Annotated, Any, TypeVar

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    GetJsonSchemaHandler,
    PlainSerializer,
    StringConstraints,
    ValidationError,
    WithJsonSchema,
    WrapSerializer,
)
from pydantic_core import CoreSchema, ErrorDetails, PydanticCustomError

from fillmark.core.values.errors import BadNumber, BadPlan, FillmarkError
from fillmark.core.values.limits import check_range
from fillmark.core.values.quantities import Mass, Strength, Volume, write_number
from fillmark.core.values.typed import (
    IN_THESE_YEARS,
    can_be_seen,
    has_controls,
    is_in_these_years,
    read_clock,
    read_day,
    read_day_and_clock,
    time_zones,
)
from fillmark.published import Band

NOT_STATED = "not stated"
"""How a document says that the vet's answer, or a fact, is not known. Inside the program it is `None`."""

T = TypeVar("T")
PartT = TypeVar("PartT", bound="Part")


class Part(BaseModel):
    """One part of a document: unknown keys are refused, values never change."""

    model_config = ConfigDict(
        frozen=True, extra="forbid", strict=True, allow_inf_nan=False, arbitrary_types_allowed=True
    )


def refuse(*errors: FillmarkError) -> PydanticCustomError:
    """The same errors in a form that pydantic carries to `read_document`, with the place where they happened."""
    return PydanticCustomError("fillmark", "{message}", {"message": str(errors[0]), "errors": errors})


class NotStatedSchema:
    """Shows `null` as the words "not stated" in the published JSON Schema."""

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        shown = handler(schema)
        for choice in shown.get("anyOf", []):
            if choice.get("type") == "null":
                choice.clear()
                choice["const"] = NOT_STATED
        if shown.get("default", NOT_STATED) is None:
            shown["default"] = NOT_STATED
        return shown


def _read_stated(value: object) -> object:
    if value is None:
        raise refuse(
            BadPlan(field="", got="An empty value", allowed='a value, or "not stated"', remedy='Write "not stated".')
        )
    return None if isinstance(value, str) and value.strip().lower() == NOT_STATED else value


def _write_stated(value: object, write: Callable[[object], object]) -> object:
    return NOT_STATED if value is None else write(value)


Stated = Annotated[T | None, BeforeValidator(_read_stated), WrapSerializer(_write_stated), NotStatedSchema()]
"""A value that may be "not stated". Give it `= None` where it may also be left out."""


def _read_date(value: object) -> object:
    if isinstance(value, str):
        value = read_day(value) or value[:40]
    if type(value) is date and is_in_these_years(value):
        return value
    raise refuse(
        BadPlan(
            field="",
            got=f'"{value}" for a date',
            allowed=f"a day that exists, as year-month-day (2026-03-28), in the years {IN_THESE_YEARS}",
            remedy="Check the day, the month and the year.",
        )
    )


def _read_clock(value: object) -> object:
    if isinstance(value, time) and value.tzinfo is None and not value.second and not value.microsecond:
        return value
    clock = read_clock(value) if isinstance(value, str) else None
    if clock is not None:
        return clock
    raise refuse(
        BadPlan(
            field="",
            got=f'"{str(value)[:40]}" for a time of day',
            allowed='"00:00" to "23:59"',
            remedy="Write the local time of day in 24 hours.",
        )
    )


def _read_day_and_clock(value: object) -> object:
    if isinstance(value, str):
        value = read_day_and_clock(value) or value
    is_one = isinstance(value, datetime) and value.tzinfo is None and is_in_these_years(value)
    if isinstance(value, datetime) and is_one and not value.second and not value.microsecond:
        return value
    raise refuse(
        BadPlan(
            field="",
            got=f'"{str(value)[:40]}" for a day and a time of day',
            allowed='a day that exists and a local time, such as "2026-03-28 06:30"',
            remedy="Write the day, a space, and the time of day in 24 hours.",
        )
    )


def _read_zone(value: str) -> str:
    if value not in time_zones():
        raise refuse(
            BadPlan(
                field="",
                got=f'"{value}" for a time zone',
                allowed='a name from the time zone database, such as "Europe/Dublin" or "America/Denver"',
                remedy="Look at the time zone that your phone or computer names.",
            )
        )
    return value


def _what_is_wrong(text: str) -> str:
    if not text:
        return "An empty text"
    return "A text that holds control characters" if has_controls(text) else "A text that shows nothing"


def plain_text(value: str) -> str:
    """The text, if a person can read it.

    Raises:
        PydanticCustomError: it shows nothing, or holds control characters.
    """
    if has_controls(value) or not can_be_seen(value):
        raise refuse(
            BadPlan(
                field="",
                got=_what_is_wrong(value),
                allowed="ordinary text",
                remedy='Write it again, or write "not stated" where that is allowed.',
            )
        )
    return value


Day = Annotated[
    date,
    BeforeValidator(_read_date),
    PlainSerializer(date.isoformat),
    WithJsonSchema({"type": "string", "format": "date"}),
]
Clock = Annotated[
    time,
    BeforeValidator(_read_clock),
    PlainSerializer(lambda clock: f"{clock:%H:%M}"),
    WithJsonSchema({"type": "string", "pattern": r"^([01]?\d|2[0-3]):[0-5]\d$"}),
]
DayAndClock = Annotated[
    datetime,
    BeforeValidator(_read_day_and_clock),
    PlainSerializer(lambda at: f"{at:%Y-%m-%d %H:%M}"),
    WithJsonSchema({"type": "string", "pattern": r"^\d{4}-\d\d-\d\d[ T]([01]\d|2[0-3]):[0-5]\d$"}),
]
"""A day and a time of day by the household's clock."""
ZoneName = Annotated[str, Field(max_length=64), AfterValidator(_read_zone)]
Name = Annotated[str, StringConstraints(strip_whitespace=True, max_length=80), AfterValidator(plain_text)]
Words = Annotated[str, StringConstraints(strip_whitespace=True, max_length=2000), AfterValidator(plain_text)]
Id = Annotated[str, StringConstraints(pattern=r"^[a-z][a-z0-9-]{0,39}$")]
"""A short handle inside one document: small letters, digits and hyphens."""


def within(limits: Band, *, remedy: str = "Check the number and its unit.") -> Any:
    """A validator: the number lies inside these limits.

    Args:
        limits: Least and most, with their unit.
        remedy: What to do about a number outside them.
    """

    def check(value: float) -> float:
        try:
            return check_range(field="", value=value, limits=limits, remedy=remedy)
        except FillmarkError as error:
            raise refuse(
                type(error)(field="", got=error.got.removeprefix(" = "), allowed=error.allowed, remedy=error.remedy)
            ) from None

    return AfterValidator(check)


def _number(value: object) -> object:
    """A JSON or TOML number; a text with digits is refused with what to do, so that units cannot hide in it."""
    if isinstance(value, bool) or not isinstance(value, int | float | Decimal):
        raise refuse(
            BadNumber(
                field="",
                got=f'"{str(value)[:40]}"',
                allowed="a plain number, in the unit that the key names",
                remedy="Write the number without quotes and without a unit.",
            )
        )
    return float(value)


Number = Annotated[float, BeforeValidator(_number)]
"""A plain number; its unit is the last word of its key."""


def _amount(read: Callable[..., Any]) -> BeforeValidator:
    def check(value: object) -> object:
        if isinstance(value, Mass | Volume | Strength):
            return value
        if isinstance(value, int | float) and not isinstance(value, bool):
            value = write_number(value)
        try:
            return read(str(value), field="")
        except FillmarkError as error:
            raise refuse(error) from None

    return BeforeValidator(check)


_AMOUNT_SCHEMA = {"type": "string", "pattern": r"^\d"}
MassText = Annotated[Mass, _amount(Mass.read), PlainSerializer(str), WithJsonSchema(_AMOUNT_SCHEMA)]
VolumeText = Annotated[Volume, _amount(Volume.read), PlainSerializer(str), WithJsonSchema(_AMOUNT_SCHEMA)]
StrengthText = Annotated[Strength, _amount(Strength.read), PlainSerializer(str), WithJsonSchema(_AMOUNT_SCHEMA)]


def read_document(kind: type[PartT], values: Mapping[str, object]) -> PartT:
    """The document part, or what is wrong with it, in words.

    Args:
        kind: Which part it is.
        values: As read from a file or the database.
    Raises:
        FillmarkError: the kind of the first fault found, with its dotted path in `field`; the others in `also`.
    """
    try:
        return kind.model_validate(_with_tuples(values))
    except ValidationError as error:
        faults = error.errors(include_url=False)
        places = [fault["loc"] for fault in faults]
        # a part with a fault inside is left out of its list, which then looks too short
        own = [fault for fault in faults if not any(_is_inside(place, fault["loc"]) for place in places)]
        first, *others = (one for fault in own for one in _say_fault(fault))
        first.also = tuple(others)
        raise first from None


_BOUNDS = {
    "greater_than": ("gt", "more than {}"),
    "greater_than_equal": ("ge", "{} or more"),
    "less_than": ("lt", "less than {}"),
    "less_than_equal": ("le", "{} or less"),
    "string_too_long": ("max_length", "{} characters or fewer"),
}


def say_bound(kind: str, ctx: Mapping[str, object]) -> str | None:
    """The limit that a value passed, in words; none for another kind of fault.

    Args:
        kind: The kind of fault, as pydantic names it.
        ctx: What pydantic tells beside it.
    """
    if kind not in _BOUNDS:
        return None
    name, words = _BOUNDS[kind]
    limit = ctx.get(name)
    return words.format(write_number(limit) if isinstance(limit, int | float) else limit)


def _is_inside(place: tuple[int | str, ...], part: tuple[int | str, ...]) -> bool:
    return len(place) > len(part) and place[: len(part)] == part


def _joined(path: str, field: str) -> str:
    """Where a fault stands: the part's own path, and the field inside it."""
    if path == "the document" and field:
        return field
    return f"{path}{field}" if field.startswith("[") or not field else f"{path}.{field}"


def _with_tuples(value: object) -> object:
    """The same values with every list as a tuple, since a document never changes."""
    if isinstance(value, Mapping):
        return {key: _with_tuples(item) for key, item in value.items()}
    return tuple(_with_tuples(item) for item in value) if isinstance(value, list | tuple) else value


def _path(loc: tuple[int | str, ...]) -> str:
    text = ""
    for step in loc:
        text += f"[{step + 1}]" if isinstance(step, int) else f".{step}" if text else str(step)
    return text or "the document"


def _say_fault(fault: ErrorDetails) -> list[FillmarkError]:
    """One pydantic finding as our errors."""
    path = _path(fault["loc"])
    kind, ctx, came = fault["type"], fault.get("ctx", {}), str(fault["input"])[:40]
    if kind == "fillmark":
        return [_placed(error, path) for error in ctx["errors"]]
    example = "Look at the example plans."
    told: dict[str, tuple[str, str, str]] = {
        "extra_forbidden": ("a key that is not known here", "the keys of this part", "Check its spelling."),
        "missing": (
            "it is missing",
            "every key that this part must have",
            f'Add it, or write "{NOT_STATED}" where nobody has said.',
        ),
        "string_too_long": (
            f"a text of {len(str(fault['input'])):,} characters",
            f"{ctx.get('max_length')} or fewer",
            "Shorten it.",
        ),
        "string_pattern_mismatch": (f'"{came}"', f"text of the form {ctx.get('pattern')}", example),
        "string_type": (f'"{came}"', "a text in quotes", "Put it in quotes, an amount with its unit."),
        "bool_type": (f'"{came}"', "true or false", "Write it without quotes."),
        "int_type": (f'"{came}"', "a whole number", "Write it without quotes and without a point."),
        "int_from_float": (f'"{came}"', "a whole number", "Write it without a point."),
        "finite_number": (f'"{came}"', "an ordinary number", "Enter the number that was measured or printed."),
        "too_short": ("an empty list", f"{ctx.get('min_length')} or more", "Add what is missing."),
        "too_long": (f"{ctx.get('actual_length')} of them", f"{ctx.get('max_length')} or fewer", "Take some out."),
        "model_type": (f'"{came}"', "a part with its own keys", example),
        "tuple_type": (f'"{came}"', "a list", "Put it in square brackets."),
    }
    for name in ("literal_error", "enum"):
        told[name] = (f'"{came}"', str(ctx.get("expected", "")).replace("'", '"'), "Choose one of these.")
    bound = say_bound(kind, ctx)
    if bound is not None and kind not in told:
        told[kind] = (f'"{came}"', bound, "Check the number and its unit.")
    got, allowed, remedy = told.get(kind, (f'"{came}"', str(fault["msg"]), example))
    return [BadPlan(field=path, got=f"{path}: {got}", allowed=allowed, remedy=remedy)]


def _placed(error: FillmarkError, path: str) -> FillmarkError:
    """An error with the place of its part before its own."""
    place = _joined(path, error.field)
    got = re.sub(r" for (?=,|$)", "", error.got)
    return type(error)(field=place, got=f"{place}: {got}", allowed=error.allowed, remedy=error.remedy)
