"""Which bottle of a medicine is in use, and is it of the strength that the plan works with?"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from uuid import UUID

from fillmark.core.orders.dose_text import PIECE_NAMES, StrengthRead, number_of
from fillmark.core.orders.medicine import Medicine, read_strength
from fillmark.core.record.entries import KeptEntry
from fillmark.core.record.medicine_entries import BottleOpened
from fillmark.core.values.errors import FillmarkError


@dataclass(frozen=True, kw_only=True, slots=True)
class Bottle:
    """A bottle, box or vial in use, as its label was written down when it was opened.

    Attributes:
        held: What it held when it was opened [mL, or pieces].
        piece: What is counted; none where it is measured in mL.
    """

    id: UUID
    medicine_id: str
    strength: str
    held: Decimal
    piece: str | None
    opened_at: datetime
    opened_by: str
    label: BottleOpened


def newest_bottles(entries: Iterable[KeptEntry]) -> Mapping[str, Bottle]:
    """The bottle in use of each medicine: the one opened last, by entries that count."""
    found: dict[str, KeptEntry] = {}
    for one in sorted(entries, key=lambda one: (one.entry.at, one.entry.id)):
        if isinstance(one.entry.payload, BottleOpened):
            found[one.entry.payload.medicine] = one
    return {medicine_id: _bottle(one) for medicine_id, one in found.items()}


def _bottle(one: KeptEntry) -> Bottle:
    label = one.entry.payload
    assert isinstance(label, BottleOpened)  # noqa: S101
    return Bottle(
        id=one.entry.id,
        medicine_id=label.medicine,
        strength=label.strength,
        held=label.ml if label.ml is not None else label.pieces or Decimal(),
        piece=None if label.ml is not None else _piece_of(label.strength),
        opened_at=one.entry.at,
        opened_by=one.by_name,
        label=label,
    )


def _piece_of(strength: str) -> str:
    """What a printed strength counts: the word behind its slash."""
    word = strength.rpartition("/")[2].strip()
    return word if word in PIECE_NAMES.values() else "piece"


def with_strength(medicine: Medicine, *, strength: str) -> Medicine:
    """The same order from a bottle of another strength.

    Args:
        medicine: The order.
        strength: As on the label, such as "2 mg/mL".
    """
    return medicine.model_copy(update={"strength": strength})


def strength_of(medicine: Medicine) -> StrengthRead | None:
    """What the plan says the bottle holds; None where it is not stated, or does not fit the form."""
    try:
        return read_strength(medicine)
    except FillmarkError:
        return None


def strength_number(strength: StrengthRead | None) -> float | None:
    """The mg, units, mEq or mmol in one mL, or in one piece; for comparing two of a kind."""
    return None if strength is None else float(number_of(strength))


def strength_lock(medicine: Medicine, *, bottle: Bottle | None) -> str | None:
    """Why a medicine is locked: the bottle in use is not of the strength that the plan works with; None while it is.

    The clause follows "when". Nothing is drawn until a lead has read the new label and the plan has its strength.

    Args:
        medicine: The order.
        bottle: The bottle in use; None where none was opened.
    Source:
        arithmetic only
    """
    if bottle is None:
        return None
    planned = strength_of(medicine)
    if planned is not None and planned == strength_of(with_strength(medicine, strength=bottle.strength)):
        return None
    was = f"the plan says {medicine.strength}" if medicine.strength else "the plan states no strength"
    return f"the bottle opened by {bottle.opened_by} says {bottle.strength} and {was}"
