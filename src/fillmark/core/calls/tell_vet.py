"""What to tell the person on the telephone: real times, and every dose of the last 24 hours, from the record."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, datetime, timedelta
from math import floor
from uuid import UUID
from zoneinfo import ZoneInfo

from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record.amounts import Amount
from fillmark.core.record.care_entries import FeedingCleared, FeedingLocked
from fillmark.core.record.corrections import show_entries
from fillmark.core.record.entries import KeptEntry
from fillmark.core.record.medicine_entries import MedicineGiven, Outcome
from fillmark.core.record.outcomes import say_outcome_of
from fillmark.core.record.session_entries import CameBack, FillGiven, MealEnded
from fillmark.core.record.sessions import NOTHING_WENT_IN, Standing, read_one_session
from fillmark.core.values.quantities import Mass, write_number
from fillmark.core.values.words import say_date, say_time

_BACK = timedelta(hours=24)
_TOLD = 3
"""Meals that are told: what a person says in one breath. Doses are told all."""


def show_to_vet(
    *, name: str, plan: CarePlan | None, entries: Iterable[KeptEntry], now: datetime, zone: ZoneInfo
) -> tuple[str, ...]:
    """What the person on the telephone needs to know, written by the record; no planned time stands in it.

    Args:
        name: The animal's name.
        plan: The plan in force.
        entries: Those since yesterday and every lock, with all that corrects them.
        now: The present instant.
        zone: The household's time zone.
    Source:
        the record and the plan
    """
    kept = tuple(entries)
    shown = show_entries(kept)
    recent = [one.kept for one in shown if one.counts and now - _BACK < one.kept.entry.at <= now]
    told = [_who(name, plan), *_tube(plan, now.astimezone(zone).date())]
    fed = list(_fed([one.kept for one in shown if one.counts], now=now, zone=zone))
    told.append(f"Went in: {'; '.join(fed)}." if fed else "Went in: no entry in the last 24 hours.")
    back = list(_came_back(recent, now=now, zone=zone))[-_TOLD:]
    if back:
        told.append(f"Came back: {', '.join(back)}.")
    names = {medicine.id: medicine.name for medicine in plan.medicines} if plan else {}
    doses = [said for one in recent if (said := _dose(one, names, now=now, zone=zone))]
    told.append(f"Doses: {'; '.join(doses)}." if doses else "Doses: no entry in the last 24 hours.")
    return (*told, *_locks(kept, now=now, zone=zone))


def _who(name: str, plan: CarePlan | None) -> str:
    if plan is None:
        return f"{name}."
    animal = plan.animal
    weight = f"{write_number(animal.weight.weight_kg)} kg on {say_date(animal.weight.on)}"
    by_mouth = f", {animal.by_mouth} by mouth" if animal.by_mouth else ""
    cap = plan.orders.cap_ml_per_kg
    most = f" Most in one go by the plan: {_whole_ml(cap * animal.weight.weight_kg)} mL." if cap else ""
    return f"{animal.name}, {animal.species.value}, {weight}{by_mouth}.{most}"


def _whole_ml(most: float) -> str:
    """A limit in whole mL [mL]: never rounded up, and not down for a slip of the binary sum."""
    return write_number(floor(most + 1e-9))


def _tube(plan: CarePlan | None, on: date) -> Iterable[str]:
    if plan is None:
        return
    tube = plan.animal.tube
    parts = [f"{write_number(tube.french)} Fr {tube.kind} tube"]
    if tube.placed_on:
        parts.append(f"placed {say_date(tube.placed_on)}, {(on - tube.placed_on).days} days ago")
    if tube.mark_at_skin_cm is not None:
        parts.append(f"mark at the skin {write_number(tube.mark_at_skin_cm)} cm")
    if tube.balloon_ml is not None:
        parts.append(f"balloon {write_number(tube.balloon_ml)} mL")
    yield f"{', '.join(parts)}."


def _fed(counting: Sequence[KeptEntry], *, now: datetime, zone: ZoneInfo) -> Iterator[str]:
    """Each meal of the last 24 hours: how much, from when to when; what was written down afterwards says so."""
    by_session: dict[str, list[KeptEntry]] = defaultdict(list)
    for one in counting:
        if one.entry.session is not None:
            by_session[one.entry.session].append(one)
    meals = []
    for session, mine in by_session.items():
        record = read_one_session(session, mine, now)
        went_in = [one for one in mine if isinstance(one.entry.payload, FillGiven | MealEnded)]
        if went_in and now - _BACK < went_in[-1].entry.at <= now:
            meals.append((went_in, record))
    for went_in, record in sorted(meals, key=lambda meal: meal[0][0].entry.at)[-_TOLD:]:
        amount = _amount(record.blend) if record.blend is not None else "how much is not known"
        is_open = record.standing in (Standing.STOPPED, Standing.NOT_KNOWN)
        reason = f" ({record.standing.value})" if is_open else ""
        yield f"{amount} {_when(went_in, now=now, zone=zone)}{reason}"


def _when(went_in: Sequence[KeptEntry], *, now: datetime, zone: ZoneInfo) -> str:
    first, last = went_in[0], went_in[-1]
    if isinstance(first.entry.payload, MealEnded):
        written = say_time(first.recorded_at, zone, beside=first.entry.at)
        return f"about {say_time(first.entry.at, zone, beside=now)}, written down at {written}"
    began, ended = (say_time(one.entry.at, zone, beside=now) for one in (first, last))
    return f"at {began}" if began == ended else f"from {began} to {ended}"


def _came_back(recent: Iterable[KeptEntry], *, now: datetime, zone: ZoneInfo) -> Iterator[str]:
    for one in recent:
        if isinstance(one.entry.payload, CameBack):
            ml = one.entry.payload.ml
            amount = "how much is not known," if isinstance(ml, str) else f"{write_number(ml)} mL"
            yield f"{amount} at {say_time(one.entry.at, zone, beside=now)}"


def _dose(one: KeptEntry, names: Mapping[str, str], *, now: datetime, zone: ZoneInfo) -> str:
    """One dose; of what was not given there is no mass to tell."""
    payload = one.entry.payload
    if not isinstance(payload, MedicineGiven):
        return ""
    mass = str(Mass(payload.dose_mg)) if payload.dose_mg is not None else payload.amount or ""
    if isinstance(payload.given_mg, str) or payload.given_mg is None:
        told = f"{mass}, how much of it is not known" if payload.outcome is Outcome.PARTIAL else mass
    else:
        told = f"{Mass(payload.given_mg)} of {mass}"
    parts = [names.get(payload.medicine, payload.medicine), "" if payload.outcome in NOTHING_WENT_IN else told]
    parts += [say_outcome_of(payload.outcome), f"at {say_time(one.entry.at, zone, beside=now)}"]
    parts += [f"by {payload.given_by}, as told to {one.by_name}" if payload.given_by else ""]
    parts += [f"({payload.reason})" if payload.reason else ""]
    return " ".join(part for part in parts if part)


def _locks(kept: Sequence[KeptEntry], *, now: datetime, zone: ZoneInfo) -> Iterator[str]:
    """Each lock of the last 24 hours, also where it was cleared: the vet hears of both."""
    for one in sorted(kept, key=lambda one: one.entry.at):
        payload = one.entry.payload
        if not isinstance(payload, FeedingLocked) or not now - _BACK < one.entry.at <= now:
            continue
        words = f"{payload.trouble.words}. {payload.words}" if payload.words else payload.trouble.words
        told = f"Feeding was locked at {say_time(one.entry.at, zone, beside=now)} by {one.by_name}: {words.rstrip('.')}"
        yield f"{told}{_lifted(one.entry.id, kept, now=now, zone=zone)}."


def _lifted(lock: UUID, kept: Sequence[KeptEntry], *, now: datetime, zone: ZoneInfo) -> str:
    for one in kept:
        payload, at = one.entry.payload, say_time(one.entry.at, zone, beside=now)
        if isinstance(payload, FeedingCleared) and lock in payload.locks:
            return f"; cleared at {at} by {one.by_name}, {payload.who}: {payload.vet_words.rstrip('.')}"
    return ""


def _amount(amount: Amount) -> str:
    low, high = write_number(amount.low_ml), write_number(amount.high_ml)
    return f"{low} mL" if amount.is_exact else f"{low} to {high} mL"
