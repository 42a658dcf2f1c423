"""What can be put right in an entry, and the payload that a correction holds: never another kind of fact."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from fillmark.core.record.care_entries import FeedingLocked, Note, PhotoTaken, TroubleSeen, Weighed
from fillmark.core.record.entries import Payload
from fillmark.core.record.fields import NOT_KNOWN
from fillmark.core.record.medicine_entries import MedicineGiven, Outcome
from fillmark.core.record.session_entries import (
    CameBack,
    FillGiven,
    FlushGiven,
    MealEnded,
    SessionSkipped,
    SessionStopped,
    StepSkipped,
)
from fillmark.core.values.errors import BadEntry
from fillmark.core.values.quantities import read_number, write_number


@dataclass(frozen=True, kw_only=True, slots=True)
class Field:
    """One thing a person may change.

    Attributes:
        key: The key of the payload.
        label: What stands above it.
        value: What it is now, as text.
        choices: What may be chosen, where nothing is typed.
        is_number: Whether a number is typed.
        may_be_unknown: Whether "I don't know" is an answer.
        may_be_empty: Whether it may be left out.
    """

    key: str
    label: str
    value: str
    choices: tuple[str, ...] = ()
    is_number: bool = False
    may_be_unknown: bool = False
    may_be_empty: bool = False


def changeable(payload: Payload) -> tuple[Field, ...]:
    """What a person may change in an entry of this kind; its time can always be changed."""
    match payload:
        case FillGiven() | FlushGiven():
            return (_ml("ml", payload.ml),)
        case MealEnded():
            return (_ml("total_ml", payload.total_ml, may_be_unknown=True),)
        case CameBack():
            return (_ml("ml", payload.ml, may_be_unknown=True),)
        case MedicineGiven():
            return (
                Field(
                    key="outcome",
                    label="What became of it",
                    value=payload.outcome.value,
                    choices=tuple(one.value for one in Outcome),
                ),
                Field(
                    key="given_mg",
                    label="Of a part: how many mg went in",
                    value=str(payload.given_mg) if payload.given_mg is not None else "",
                    is_number=True,
                    may_be_empty=True,
                ),
                _words("reason", "Why", payload.reason),
            )
        case Weighed():
            return (
                Field(key="weight_kg", label="Weight in kg", value=write_number(payload.weight_kg), is_number=True),
                Field(key="scale", label="Which scale", value=payload.scale or "", may_be_empty=True),
            )
        case SessionStopped() | SessionSkipped() | StepSkipped():
            return (Field(key="reason", label="Why", value=payload.reason),)
        case Note():
            return (Field(key="text", label="Words", value=payload.text),)
        case FeedingLocked() | TroubleSeen() | PhotoTaken():
            return (_words("words", "Words", payload.words),)
    return ()


def changed(payload: Payload, *, form: Mapping[str, str]) -> dict[str, Any]:
    """The payload with what the form says, as a document.

    Raises:
        BadEntry: something that must be said is missing.
        BadNumber: a number cannot be read.
    """
    document: dict[str, Any] = payload.model_dump(mode="json", exclude_none=True)
    for field in changeable(payload):
        said = form.get(field.key, "").strip()
        if not said and field.may_be_empty:
            document.pop(field.key, None)
        elif not said:
            raise BadEntry(
                field=field.key,
                got=f'Nothing for "{field.label}"',
                allowed="what is true",
                remedy="Write it, or take the entry back.",
            )
        elif said == NOT_KNOWN and (field.may_be_unknown or field.key == "given_mg"):
            document[field.key] = NOT_KNOWN
        elif field.is_number:
            number = read_number(said, field=field.label)
            # A mass is exact, and travels as a text.
            document[field.key] = f"{number:f}" if field.key == "given_mg" else float(number)
        else:
            document[field.key] = said
    if document.get("kind") == "medicine_given" and document.get("outcome") != Outcome.PARTIAL.value:
        document.pop("given_mg", None)
    elif document.get("kind") == "medicine_given":
        document.setdefault("given_mg", NOT_KNOWN)
    return document


def _ml(key: str, value: float | str, *, may_be_unknown: bool = False) -> Field:
    text = value if isinstance(value, str) else f"{value:g}"
    return Field(key=key, label="How many mL", value=text, is_number=True, may_be_unknown=may_be_unknown)


def _words(key: str, label: str, value: str | None) -> Field:
    return Field(key=key, label=label, value=value or "", may_be_empty=True)
