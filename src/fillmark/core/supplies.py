"""What is in the medicine bottles, how long does it last, and does the label still say what the plan says?

A bottle's content is worked out from what was drawn since it was opened, and held against what people count.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from uuid import UUID

from fillmark.core.entries import BottleOpened, KeptEntry
from fillmark.core.errors import FillmarkError
from fillmark.core.medicine import Medicine, read_strength
from fillmark.core.quantities import Mass, Strength


@dataclass(frozen=True, kw_only=True, slots=True)
class Bottle:
    """A bottle, box or vial in use, as its label was written down when it was opened."""

    id: UUID
    medicine_id: str
    strength: str
    ml: Decimal | None
    pieces: Decimal | None
    opened_at: datetime
    opened_by: str
    expires_on: date | None
    discard_on: date | None
    filled_on: date | None
    lot: str | None


def newest_bottles(entries: Iterable[KeptEntry]) -> Mapping[str, Bottle]:
    """The bottle in use of each medicine: the one opened last, by entries that count."""
    found: dict[str, KeptEntry] = {}
    for one in sorted(entries, key=lambda one: (one.entry.at, one.entry.id)):
        if isinstance(one.entry.payload, BottleOpened):
            found[one.entry.payload.medicine] = one
    return {medicine_id: _bottle(one) for medicine_id, one in found.items()}


def _bottle(one: KeptEntry) -> Bottle:
    payload = one.entry.payload
    assert isinstance(payload, BottleOpened)  # noqa: S101
    return Bottle(
        id=one.entry.id,
        medicine_id=payload.medicine,
        strength=payload.strength,
        ml=payload.ml,
        pieces=payload.pieces,
        opened_at=one.entry.at,
        opened_by=one.by_name,
        expires_on=payload.expires_on,
        discard_on=payload.discard_on,
        filled_on=payload.filled_on,
        lot=payload.lot,
    )


def with_strength(medicine: Medicine, *, strength: str) -> Medicine:
    """The same order from a bottle of another strength."""
    return medicine.model_copy(update={"strength": strength})


def strength_of(medicine: Medicine) -> Strength | Mass | None:
    """What the plan says the bottle holds; None where it is not stated, or does not fit the form."""
    try:
        return read_strength(medicine)
    except FillmarkError:
        return None


def strength_lock(medicine: Medicine, *, bottle: Bottle | None) -> str | None:
    """Why a medicine is locked: the bottle in use is not of the strength that the plan works with; None while it is.

    The clause follows "when". Nothing is drawn until a lead has read the new label and the plan has its strength.

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


def strength_number(strength: Strength | Mass | None) -> float | None:
    """The mg in one mL, or in one piece; for comparing two of a kind."""
    if strength is None:
        return None
    return float(strength.mg_per_ml if isinstance(strength, Strength) else strength.mg)
