"""Entries and households for tests, with what a test does not care about filled in."""

from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from itertools import count
from typing import Any
from uuid import UUID

from fillmark.core.bedside.versions import Confirmation, StoredPlan
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.reading import read_plan
from fillmark.core.record.entries import Entry, KeptEntry, make_entry_id
from fillmark.core.values.errors import FillmarkError
from fillmark.core.values.people import Role
from fillmark.examples import example_plan

NOON = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
EVENING = datetime(2026, 11, 25, 19, 42, tzinfo=UTC)
JUNIPER = UUID("00000000-0000-4000-8000-000000000001")
NOOR = UUID("00000000-0000-4000-8000-0000000000a1")
SAM = UUID("00000000-0000-4000-8000-0000000000a2")
ILSE = UUID("00000000-0000-4000-8000-0000000000a3")
ROLES = {"Noor": Role.LEAD, "Sam": Role.HELPER, "Ilse": Role.SITTER}
SEVEN = "2026-11-25T07:00"
_numbers = count(1)


def junipers_plan() -> CarePlan:
    """The example plan of a dog with a tube: two medicines, four meals."""
    return read_plan(example_plan("juniper"), kind="toml")


def an_id(*, at: datetime = NOON) -> UUID:
    """A new id, later than every one made before for the same instant."""
    return make_entry_id(at=at, chance=next(_numbers).to_bytes(10, "big"))


def an_entry(payload: Any, *, at: datetime = NOON, animal_id: UUID = JUNIPER, **changed: Any) -> Entry:
    """An entry that Noor's phone wrote in Dublin."""
    values = {"id": an_id(at=at), "zone": "Europe/Dublin", "device": "noor-phone", "corrects": None}
    return Entry(**{**values, "at": at, "animal_id": animal_id, "payload": payload, **changed})


def a_kept(
    payload: Any, *, minute: int = 0, by_name: str = "Noor", day: date | None = None, **changed: Any
) -> KeptEntry:
    """An entry in the record, so many minutes after 7:00."""
    at = NOON.replace(hour=7) + timedelta(minutes=minute)
    entry = an_entry(payload, at=at, **changed)
    by = {"Noor": NOOR, "Sam": SAM, "Ilse": ILSE}[by_name]
    kept_on = day or (date.fromisoformat(entry.session[:10]) if entry.session else at.date())
    return KeptEntry(
        entry=entry, seq=next(_numbers), day=kept_on, by=by, by_name=by_name, by_role=ROLES[by_name], recorded_at=at
    )


@dataclass(frozen=True, kw_only=True)
class Home:
    """A household in the database: Noor leads, Sam helps, Ilse sits from the 24th to the 26th."""

    id: UUID
    animal_id: UUID
    noor: UUID
    sam: UUID
    ilse: UUID

    @property
    def ids(self) -> dict[str, UUID]:
        """What the services ask for."""
        return {"household_id": self.id, "animal_id": self.animal_id}


def a_home(*, name: str = "Harbor Street") -> Home:
    """A household opened through the services."""
    from fillmark.services import household

    lead = household.open_household(name=name, time_zone="Europe/Dublin", day_starts=time(4), lead_name="Noor")
    who = {"household_id": lead.household_id, "by": lead.id, "now": NOON}
    sam = household.add_person(**who, name="Sam", role=Role.HELPER)
    ilse = household.add_person(
        **who, name="Ilse", role=Role.SITTER, from_on=date(2026, 11, 24), until_on=date(2026, 11, 26)
    )
    animal = household.add_animal(**who, name="Juniper")
    return Home(id=lead.household_id, animal_id=animal.id, noor=lead.id, sam=sam.id, ilse=ilse.id)


def confirmed(
    home: Home, *, now: datetime = NOON, by: UUID | None = None, words: str = "As on the sheet.", on: date | None = None
) -> Confirmation:
    """Noor's, or that of whoever is named, with what the vet said on the same day."""
    return Confirmation(
        household_id=home.id, by=by or home.noor, vet_words=words, vet_said_on=on or now.date(), now=now
    )


def adopt(
    home: Home,
    plan: CarePlan | str,
    *,
    from_at: datetime,
    now: datetime | None = None,
    animal_id: UUID | None = None,
    asked: bool = True,
    **said: Any,
) -> StoredPlan:
    """Put one more version of the plan in force for the household's animal, or for the one that is named.

    Whatever looks wrong about it is meant, and the vet has said so; or it was let in by a version that did not ask.
    """
    from fillmark.services import plans

    word = confirmed(home, now=now or from_at, **said)
    which = animal_id or home.animal_id
    if not asked:
        from fillmark.core.plan.reading import write_plan
        from fillmark.records.plan_versions import add_plan

        assert isinstance(plan, CarePlan)
        return add_plan(word, animal_id=which, document=write_plan(plan), effective_from=from_at)
    found = ()
    with suppress(FillmarkError):  # what cannot be read is refused below
        read = plan if isinstance(plan, CarePlan) else read_plan(plan.encode(), kind="json")
        found = plans.look_at(
            read, household_id=home.id, animal_id=which, now=word.now, effective_from=from_at
        ).findings
    answered = replace(word, meant=frozenset(one.key for one in found), answers={one.key: "So." for one in found})
    return plans.adopt_plan(answered, animal_id=which, document=plan, effective_from=from_at)
