"""A whole record in plain values that can be compared: who, what was planned, what was written, what it adds up to."""

from dataclasses import asdict, is_dataclass
from datetime import datetime, timedelta
from typing import Any

from fillmark.core.values.people import Caregiver
from fillmark.services import household, medicines, plans, record
from tests.support.sides import side_of


def tell_record(*, now: datetime) -> dict[str, Any]:
    """Everything that a household sees of the first record on this machine, as JSON can hold it."""
    lead = household.find_first_lead()
    assert lead is not None
    kept = record.entries_since(household_id=lead.household_id, seq=0)
    return {
        "people": [_person(one) for one in household.find_people(household_id=lead.household_id)],
        "entries": [_plain(one.model_dump(mode="json", exclude_none=True, exclude={"by_role"})) for one in kept],
        "animals": {
            animal.name: _tell_animal(lead, animal.id, now=now)
            for animal in household.find_animals(household_id=lead.household_id)
        },
    }


def _person(one: Caregiver) -> list[str]:
    return [one.name, one.role.value, str(one.from_on), str(one.until_on)]


def _tell_animal(lead: Caregiver, animal_id: Any, *, now: datetime) -> dict[str, Any]:
    ids = {"household_id": lead.household_id, "animal_id": animal_id}
    today = household.today(household_id=lead.household_id, now=now)
    days = [today - timedelta(days=ago) for ago in (2, 1, 0)]
    return {
        "plans": [
            [one.number, one.effective_from.isoformat(), one.vet_words, one.vet_said_on.isoformat()]
            for one in plans.all_versions(**ids)
        ],
        "sessions": {
            str(day): [f"{one.key} {one.label} {one.meal_ml}" for one in plans.planned_sessions(**ids, day=day)]
            for day in days
        },
        "sums": [_plain(one) for one in record.days(**ids, first=days[0], last=days[-1], now=now)],
        "days": {str(day): _tell_day(ids, day, now=now) for day in days},
        "medicines": {
            one.medicine.id: [one.decision.verdict.value, str(one.next_at), one.is_locked]
            for one in medicines.verdicts(side_of(**ids, now=now))
        },
    }


def _tell_day(ids: dict[str, Any], day: Any, *, now: datetime) -> dict[str, Any]:
    ledger = record.day_ledger(side_of(**ids, now=now), day=day)
    shown = record.day_entries(side_of(**ids, now=now), day=day)
    return {
        "standings": {line.record.session: line.record.standing.value for line in ledger.lines},
        "planned_ml": ledger.planned_ml,
        **{name: _plain(getattr(ledger, name)) for name in ("blend", "flush", "back", "kept", "entries", "clashes")},
        "counting": [str(one.kept.entry.id) for one in shown if one.counts],
    }


def _plain(value: Any) -> Any:
    """As JSON would give it back."""
    if is_dataclass(value) and not isinstance(value, type):
        value = asdict(value)
    if isinstance(value, dict):
        return {str(key): _plain(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(one) for one in value]
    return value if value is None or isinstance(value, bool | int | float | str) else str(value)
