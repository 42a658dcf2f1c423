"""How does what a person types become a value of the plan, and a value of the plan what stands in the form?"""

import types
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time
from decimal import Decimal
from enum import Enum, StrEnum
from functools import cache
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import StringConstraints, WithJsonSchema

from fillmark.core.plan.units import OTHERS, in_our_unit, unit_of_key
from fillmark.core.values.asked import asked_in
from fillmark.core.values.document import NOT_STATED, NotStatedSchema, Part, Words
from fillmark.core.values.errors import BadNumber, BadPlan, FillmarkError
from fillmark.core.values.quantities import read_number

_LONG = next(one for one in get_args(Words) if isinstance(one, StringConstraints))
NEVER_ASKED = ("id", "format")
"""Keys that the program writes by itself."""
Raw = dict[str, Any]
"""A part of the plan as its document has it."""


class FieldKind(StrEnum):
    """How a value is asked for."""

    TEXT = "text"
    WORDS = "words"
    NUMBER = "number"
    WHOLE = "whole number"
    TICK = "tick"
    CHOICE = "choice"
    CHOICES = "choices"
    DAY = "day"
    CLOCK = "clock"
    CLOCKS = "clocks"
    MOMENT = "moment"
    NUMBERS = "numbers"


@dataclass(frozen=True, kw_only=True, slots=True)
class PlanField:
    """One value that a page asks for.

    Attributes:
        name: Its key in the document.
        label: What it is, in few words.
        help: Where to find it, or what it means.
        unit: The unit it is kept in; empty for none.
        choices: The values that it can have, where they are few.
        is_needed: The plan cannot be without it.
        may_be_unsaid: "Not stated" is an answer.
    """

    name: str
    label: str
    help: str
    kind: FieldKind
    unit: str
    choices: tuple[Any, ...]
    is_needed: bool
    may_be_unsaid: bool

    @property
    def units(self) -> tuple[str, ...]:
        """Every unit that is understood here, ours first."""
        return (self.unit, *(one.name for one in OTHERS.get(self.unit, ()))) if self.unit else ()


@cache
def fields_of(kind: type[Part], *, part_key: str = "") -> dict[str, PlanField]:
    """Every value of a part that is asked for in one field; the parts inside it are pages of their own.

    Args:
        kind: The part.
        part_key: The key that the part itself stands under, whose unit holds for values that name none.
    """
    found = {}
    for name, info in kind.model_fields.items():
        shape = _shape(info.annotation, info.metadata)
        if shape is None or name in NEVER_ASKED:
            continue
        how, choices = shape
        asked = asked_in(kind)[name]
        is_number = how in (FieldKind.NUMBER, FieldKind.NUMBERS, FieldKind.WHOLE)
        found[name] = PlanField(
            name=name,
            label=asked.label,
            help=asked.help,
            kind=how,
            unit=(unit_of_key(name) or unit_of_key(part_key)) if is_number else "",
            choices=choices,
            is_needed=info.is_required(),
            may_be_unsaid=_may_be_unsaid(info.metadata),
        )
    return found


def part_inside(kind: type[Part], name: str) -> tuple[type[Part], bool] | None:
    """The part that stands under a key, and whether there are several of it; none where a plain value stands there.

    Args:
        kind: The part that has the key.
        name: The key.
    """
    for one in _plain(kind.model_fields[name].annotation):
        is_several = get_origin(one) is tuple
        for inner in _plain(get_args(one)[0]) if is_several else (one,):
            if isinstance(inner, type) and issubclass(inner, Part):
                return inner, is_several
    return None


def _plain(annotation: Any) -> tuple[Any, ...]:
    """The types that an annotation allows, without what pydantic is told beside them and without none."""
    origin = get_origin(annotation)
    if origin is Annotated:
        return _plain(get_args(annotation)[0])
    if origin in (Union, types.UnionType):
        return tuple(one for part in get_args(annotation) for one in _plain(part))
    return () if annotation is type(None) else (annotation,)


def _may_be_unsaid(told: Sequence[Any]) -> bool:
    """Whether it is declared `Stated`; a bare "or none" is only left out."""
    return any(isinstance(one, NotStatedSchema) for one in told)


_BY_TYPE: dict[Any, FieldKind] = {
    float: FieldKind.NUMBER,
    int: FieldKind.WHOLE,
    bool: FieldKind.TICK,
    date: FieldKind.DAY,
    datetime: FieldKind.MOMENT,
    time: FieldKind.CLOCK,
}


def _shape(annotation: Any, told: Sequence[Any] = ()) -> tuple[FieldKind, tuple[Any, ...]] | None:
    """How a type is asked for, and its choices; none where parts stand inside.

    Args:
        annotation: The type of a value.
        told: What pydantic is told beside it.
    """
    found = _plain(annotation)
    if len(found) != 1:
        return None
    (one,) = found
    if get_origin(one) is Literal:
        return FieldKind.CHOICE, get_args(one)
    if get_origin(one) is tuple:
        inner = _shape(get_args(one)[0])
        match inner:
            case (FieldKind.CHOICE, choices):
                return FieldKind.CHOICES, choices
            case (FieldKind.CLOCK, _):
                return FieldKind.CLOCKS, ()
            case (FieldKind.NUMBER, _):
                return FieldKind.NUMBERS, ()
            case (FieldKind.TEXT, _):
                return FieldKind.CHOICES, ()
        return None
    if isinstance(one, type) and issubclass(one, Enum):
        return FieldKind.CHOICE, tuple(member.value for member in one)
    if one is bool and _may_be_unsaid(told):
        return FieldKind.CHOICE, (True, False)
    if one is str:
        said = tuple(_told(annotation, told))
        known = [limit.json_schema["enum"] for limit in said if isinstance(limit, WithJsonSchema) and limit.json_schema]
        if known:
            return FieldKind.CHOICE, tuple(known[0])
        return FieldKind.WORDS if _LONG in said else FieldKind.TEXT, ()
    return (_BY_TYPE[one], ()) if one in _BY_TYPE else None


def _told(annotation: Any, told: Sequence[Any]) -> Iterator[Any]:
    """Everything that pydantic is told about a value, on every floor of its type."""
    yield from told
    if get_origin(annotation) is Annotated:
        inner, *more = get_args(annotation)
        yield from _told(inner, more)
    elif get_origin(annotation) in (Union, types.UnionType):
        for one in get_args(annotation):
            yield from _told(one, ())


def say_choice(value: object) -> str:
    """A choice in words."""
    return ("yes" if value else "no") if isinstance(value, bool) else str(value)


@dataclass(frozen=True, slots=True)
class Typed:
    """What stands in a field: one text, or the choices that are ticked; and the unit that is chosen."""

    texts: tuple[str, ...]
    unit: str = ""

    @property
    def text(self) -> str:
        """The text, without the spaces around it; empty where nothing is typed."""
        return self.texts[0].strip() if self.texts else ""


def read_answer(field: PlanField, typed: Typed) -> Any:
    """The value that was typed, as the document has it; none where nothing was typed.

    Args:
        field: What was asked.
        typed: What came.
    Raises:
        FillmarkError: it cannot be read as what was asked for.
    Source:
        NIST Special Publication 811, appendix B, for other units
    """
    if field.kind is FieldKind.CHOICES:
        return _chosen(field, typed.texts) if typed.texts else None
    if not typed.text:
        return None
    match field.kind:
        case FieldKind.NUMBER:
            return _number(_in_ours(field, typed))
        case FieldKind.WHOLE:
            return _whole(field, _in_ours(field, typed))
        case FieldKind.NUMBERS:
            texts = typed.text.replace(";", " ").replace(", ", " ").split()
            return [_number(read_number(text, field=field.label)) for text in texts]
        case FieldKind.TICK:
            return True
        case FieldKind.CHOICE:
            return _chosen(field, typed.texts)[0]
        case FieldKind.CLOCKS:
            return typed.text.replace(",", " ").split()
        case FieldKind.MOMENT:
            return typed.text.replace("T", " ")
    return typed.text


def _chosen(field: PlanField, texts: Sequence[str]) -> list[Any]:
    known = {say_choice(one): one for one in field.choices}
    strange = [text for text in texts if text not in known]
    if field.choices and strange:
        raise BadPlan(
            field=field.name,
            got=f'"{strange[0][:40]}" for {field.label}',
            allowed=", ".join(known),
            remedy="Choose one of these.",
        )
    return [known.get(text, text) for text in texts]


def _in_ours(field: PlanField, typed: Typed) -> Decimal:
    number = read_number(typed.text, field=field.label)
    if typed.unit and typed.unit not in field.units:
        raise BadPlan(
            field=field.name,
            got=f'"{typed.unit[:20]}" for the unit of {field.label}',
            allowed=", ".join(field.units),
            remedy="Choose one of these.",
        )
    return in_our_unit(number, unit=typed.unit, ours=field.unit)


def _number(value: Decimal) -> int | float:
    return int(value) if value == value.to_integral_value() else float(value)


def _whole(field: PlanField, value: Decimal) -> int:
    if value != value.to_integral_value():
        raise BadNumber(
            field=field.name,
            got=f"{value.normalize():f} for {field.label}",
            allowed="a whole number",
            remedy="Write it without a point.",
        )
    return int(value)


def write_answer(field: PlanField, value: Any) -> Typed:
    """What stands in the field for a value of the document: nothing for one that is left out or not stated.

    Args:
        field: What is asked.
        value: As the document has it.
    """
    if value is None or value == NOT_STATED:
        return Typed((), field.unit)
    several = value if isinstance(value, list | tuple) else [value]
    if field.kind is FieldKind.CHOICES:
        return Typed(tuple(say_choice(one) for one in several))
    if field.kind in (FieldKind.CLOCKS, FieldKind.NUMBERS) or len(several) != 1:
        return Typed((", ".join(_text(one) for one in several),), field.unit)
    if field.kind is FieldKind.TICK:
        return Typed(("yes",) if value else ())
    return Typed((say_choice(value) if field.kind is FieldKind.CHOICE else _text(value),), field.unit)


def _text(value: Any) -> str:
    """A value with every digit it has."""
    return f"{Decimal(str(value)).normalize():f}" if isinstance(value, int | float) else str(value)


def read_answers(
    fields: Sequence[PlanField], typed: Mapping[str, Typed], *, before: Raw, is_unsaid: bool = False
) -> tuple[Raw, dict[str, FillmarkError]]:
    """A part with what a page asked for put in, and what cannot be read, by the field.

    Args:
        fields: What the page asks for.
        typed: What came, by the name of the field.
        before: The part as it was; what the page does not ask for stays.
        is_unsaid: What is empty is "not stated" where that is an answer, and left out elsewhere; what was so stays so.
    """
    after, faults = dict(before), {}
    for field in fields:
        try:
            value = read_answer(field, typed.get(field.name, Typed(())))
        except FillmarkError as error:
            faults[field.name] = error
            continue
        after.pop(field.name, None)
        if value is not None:
            after[field.name] = value
        elif field.may_be_unsaid and (is_unsaid or before.get(field.name) == NOT_STATED):
            after[field.name] = NOT_STATED
    return after, faults
