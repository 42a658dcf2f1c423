"""Has a second person read the same from the syringe, without having seen the mark?

The reading is compared here and nowhere else, after it was written down: who reads never sees what they should read.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from uuid import UUID

from fillmark.core.orders.tablets import TabletParts
from fillmark.core.record.entries import KeptEntry
from fillmark.core.record.medicine_entries import SecondCheck
from fillmark.core.tube.syringe import Mark, exact
from fillmark.core.values.quantities import Volume, write_number
from fillmark.published.record_rules import SECOND_CHECK_MINUTES


@dataclass(frozen=True, kw_only=True, slots=True)
class Checked:
    """What a second person read.

    Attributes:
        read: What they read, in words ("5.2 mL", "2 tablets").
        agrees: Whether it is within half a step of what the order comes to.
    """

    entry_id: UUID
    by: UUID
    by_name: str
    at: datetime
    read: str
    agrees: bool


def agrees(check: SecondCheck, *, drawn: Mark | TabletParts) -> bool:
    """Whether a reading is the amount that was to be drawn: within half a step of the syringe, or the same count.

    Args:
        check: What the second person read.
        drawn: What was to be drawn or counted.
    Source:
        arithmetic only
    """
    if isinstance(drawn, Mark):
        return check.ml is not None and abs(check.ml - drawn.drawn.ml) <= exact(drawn.syringe.step_ml) / 2
    return check.pieces is not None and Fraction(check.pieces) == drawn.count


def find_check(
    checks: Iterable[KeptEntry],
    *,
    medicine_id: str,
    session: str | None,
    at: datetime,
    by: UUID,
    drawn: Mark | TabletParts,
) -> Checked | None:
    """The newest reading of a dose by someone else than its giver; none when nobody else has read it.

    Args:
        checks: Entries that count; others than readings are left aside.
        medicine_id: Which medicine.
        session: The session of the dose; a reading belongs to the same one, or, where either names none, stands near
            in time.
        at: When the dose is given.
        by: Who gives it; a reading of their own is none.
        drawn: What the order comes to.
    Source:
        record.second_check_minutes
    """
    near = timedelta(minutes=SECOND_CHECK_MINUTES.value)
    found: Checked | None = None
    for one in sorted(checks, key=lambda one: (one.entry.at, one.entry.id)):
        payload = one.entry.payload
        if not isinstance(payload, SecondCheck) or payload.medicine != medicine_id:
            continue
        reader, reader_name = reader_of(one, payload)
        if reader == by:
            continue
        if session is not None and payload.session is not None:
            belongs = payload.session == session
        else:
            belongs = abs(one.entry.at.astimezone(UTC) - at.astimezone(UTC)) <= near
        if belongs:
            found = Checked(
                entry_id=one.entry.id,
                by=reader,
                by_name=reader_name,
                at=one.entry.at,
                read=say_reading(payload, drawn=drawn),
                agrees=agrees(payload, drawn=drawn),
            )
    return found


def reader_of(kept: KeptEntry, check: SecondCheck) -> tuple[UUID, str]:
    """Who read it, and what the household calls them: the writer, or on a shared phone the one they named.

    Args:
        kept: The entry as the record keeps it.
        check: What it holds.
    """
    if check.reader is None or check.reader_name is None:
        return kept.by, kept.by_name
    return check.reader, check.reader_name


def say_reading(check: SecondCheck, *, drawn: Mark | TabletParts) -> str:
    """A reading in words.

    Args:
        check: What the second person read.
        drawn: What was to be drawn or counted.
    """
    if check.pieces is None:
        assert check.ml is not None  # noqa: S101  # an entry holds one of them
        return str(Volume(check.ml))
    piece = drawn.piece if isinstance(drawn, TabletParts) else "piece"
    return f"{write_number(check.pieces)} {piece}{'' if check.pieces == 1 else 's'}"
