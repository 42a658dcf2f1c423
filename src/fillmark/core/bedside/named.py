"""Is what an entry names there? Foods, bottles, versions, people and other entries, beside one animal's side.

What arrives late may name what has not arrived yet, and readers leave aside what is of another kind or animal: which of
the two came first must not matter. A press that is made now names what its page showed.
"""

from collections.abc import Collection, Iterator
from datetime import date
from uuid import UUID

from fillmark.core.bedside.side import Side
from fillmark.core.doses.bottles import ordered_mass
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record.care_entries import (
    Ate,
    BatchChosen,
    BatchMade,
    FeedingCleared,
    FeedingLocked,
    FlowTested,
    PhotoTaken,
    SheetPrinted,
)
from fillmark.core.record.dates import check_clock_behind, check_session_day
from fillmark.core.record.entries import Entry, Payload
from fillmark.core.record.medicine_entries import (
    BottleOpened,
    EffectSeen,
    MedicineGiven,
    SecondCheck,
    StockCounted,
    StrengthConfirmed,
)
from fillmark.core.values.errors import BadEntry
from fillmark.core.values.quantities import Mass, write_number
from fillmark.core.values.words import say_date
from fillmark.published.record_rules import MOST_TIMES_THE_ORDER

_MUST_BE = {
    EffectSeen: ("of", MedicineGiven, "the entry of a dose"),
    StockCounted: ("bottle", BottleOpened, "the entry of a bottle"),
    StrengthConfirmed: ("bottle", BottleOpened, "the entry of a bottle"),
    FeedingCleared: ("locks", FeedingLocked, "the entry of a lock"),
    PhotoTaken: ("about", object, "an entry"),
}


def named_entries(payload: Payload) -> Iterator[UUID]:
    """The other entries that this one is about."""
    field, _, _ = _MUST_BE.get(type(payload), ("", None, ""))
    named = getattr(payload, field) if field else None
    yield from named if isinstance(named, tuple) else ((named,) if named is not None else ())


def check_named(side: Side, entry: Entry, *, people: Collection[UUID], is_fresh: bool) -> None:
    """Refuse an entry that names what is not there.

    Args:
        side: The animal's side, with the entries that this one names.
        entry: What would be written.
        people: Everybody of the household, where the entry names one of them.
        is_fresh: It is pressed now, by a person who can still be asked.
    Raises:
        BadEntry: what a fresh press names is not there, or is something else; a batch made in days to come; a session
            too far ahead; or a fresh dose so far above the order that a unit was taken for another.
    Source:
        record.most_times_the_order
    """
    payload = entry.payload
    check_clock_behind(entry, now=side.now)
    if entry.session is not None:
        check_session_day(entry.session, today=side.today)
    if is_fresh:
        _check_entries(side, payload)
    match payload:
        case SecondCheck(reader=UUID()):
            _check_reader(side, payload, people)
        case Ate():
            _check_foods(side, (payload.food,))
        case FlowTested():
            _check_foods(side, payload.foods)
            _check_made(side, entry, payload.made_on)
        case BatchMade():
            _check_foods(side, tuple(one.food for one in payload.foods))
            _check_made(side, entry, payload.made_on)
        case BatchChosen():
            _check_made(side, entry, payload.made_on)
        case SheetPrinted():
            newest = max((one.number for one in side.versions), default=0)
            if payload.version > newest:
                raise _not_there("version", f"plan version {payload.version}", f"a version up to {newest}")
        case MedicineGiven() if is_fresh:
            _check_amount(side, entry, payload)


def _check_entries(side: Side, payload: Payload) -> None:
    for one in named_entries(payload):
        field, kind, words = _MUST_BE[type(payload)]
        kept = side.kept.get(one)
        if kept is None:
            raise _not_there(field, f"the entry {one}", f"{words} of this animal")
        if not isinstance(kept.entry.payload, kind):
            raise _not_there(field, f"the entry {one}, which is a {kept.entry.kind.replace('_', ' ')},", words)


def _check_reader(side: Side, payload: SecondCheck, people: Collection[UUID]) -> None:
    if payload.reader not in people or payload.reader == side.person.id:
        raise _not_there(
            "reader",
            f"a second reader who is {'the same person' if payload.reader == side.person.id else 'nobody here'}",
            "another person of this household",
        )


def _plans(side: Side) -> Iterator[CarePlan]:
    for version in side.versions:
        if version.is_readable:
            yield version.plan


def _check_foods(side: Side, foods: Collection[str]) -> None:
    known = {food.id for plan in _plans(side) for food in plan.foods}
    missing = next((food for food in foods if food not in known), None)
    if known and missing is not None:
        raise _not_there("food", f'the food "{missing}"', "a food of this animal's plan")


def _check_made(side: Side, entry: Entry, made_on: date | None) -> None:
    last = max(side.home.day_of(entry.at), entry.at.astimezone(side.zone).date())
    if made_on is not None and made_on > last:
        raise _not_there("made_on", f"a batch made on {say_date(made_on)}", f"{say_date(last)} or earlier")


def _check_amount(side: Side, entry: Entry, payload: MedicineGiven) -> None:
    """A gram taken for a milligram: whoever presses can still be asked, and nobody means it."""
    stored = side.plan_at(entry.at)
    medicine = next((one for one in stored.plan.medicines if one.id == payload.medicine), None) if stored else None
    if stored is None or medicine is None or payload.dose_mg is None:
        return
    ordered_mg = ordered_mass(medicine, stored.plan, on=side.home.day_of(entry.at))
    if ordered_mg is not None and payload.dose_mg > ordered_mg * int(MOST_TIMES_THE_ORDER.value):
        raise BadEntry(
            field="dose_mg",
            got=f"{Mass(payload.dose_mg)} of {medicine.name}, of which {Mass(ordered_mg)} is ordered",
            allowed=f"no more than {write_number(MOST_TIMES_THE_ORDER.value)} times the order",
            remedy="Check the unit. If so much has gone in, call the vet now, then write it down as a note.",
        )


def _not_there(field: str, got: str, allowed: str) -> BadEntry:
    return BadEntry(
        field=field,
        got=f"An entry that names {got}",
        allowed=allowed,
        remedy="Load the page anew, and write it down again.",
    )
