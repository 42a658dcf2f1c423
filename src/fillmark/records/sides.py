"""Everything that is stored beside one animal, in one statement: its entries, and the heads of its plan's versions."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from fillmark.core.record.entries import KeptEntry
from fillmark.records.sql import ask, instant_of, uuid_of
from fillmark.records.written import Wanted, complete, select_wanted, standing_where

_PLANS = (
    "SELECT id, household_id, animal_id, number, effective_from, '', NULL, recorded_at, confirmed_by_id, '', '', NULL, "
    "'', '', 'plan' FROM records_planversion WHERE animal_id = %s"
)
_ANIMAL = (
    "SELECT id, household_id, id, (SELECT COUNT(*) FROM records_setaside aside "
    "WHERE aside.household_id = records_animal.household_id AND aside.settled_at IS NULL), "
    "NULL, '', NULL, NULL, NULL, '', '', NULL, '', '', 'animal' FROM records_animal WHERE id = %s AND household_id = %s"
)
_STANDING = (
    "SELECT entry_id, household_id, animal_id, 0, NULL, '', NULL, NULL, NULL, '', '', NULL, '', '', 'standing' "
    "FROM records_standing WHERE "
)
_MARKS = ("plan", "animal", "standing")


@dataclass(frozen=True, kw_only=True, slots=True)
class PlanHead:
    """One version of a plan without its document."""

    id: UUID
    number: int
    effective_from: datetime


@dataclass(frozen=True, kw_only=True, slots=True)
class Beside:
    """What is stored beside one animal.

    Attributes:
        is_here: Whether it lives in this household.
        heads: Every version of its plan.
        kept: The entries that were wanted, with all that corrects them or that they correct.
        standing: Which entries of the kinds that were asked for stand, or stood.
        elsewhere: Wanted ids that other entries have: of another animal, or of another household.
        set_aside: How many things that could not be kept wait for a lead of the household.
    """

    is_here: bool
    heads: tuple[PlanHead, ...]
    kept: tuple[KeptEntry, ...]
    standing: frozenset[UUID]
    elsewhere: frozenset[UUID]
    set_aside: int


def read_beside(wanted: Wanted, *, household_id: UUID, animal_id: UUID) -> Beside:
    """What is stored beside an animal, as it is at one moment; who is to write locks the household before."""
    head, values, entries = select_wanted(wanted, animal_id=animal_id)
    statement = f"{head}{entries} UNION ALL {_PLANS} UNION ALL {_ANIMAL}"
    values += [animal_id, animal_id, household_id]
    if wanted.standing:
        statement = f"{statement} UNION ALL {_STANDING}{standing_where(wanted)}"
        values += [animal_id, *wanted.standing, wanted.stood_since]
    found = ask(statement, values)
    rows = [row for row in found if row[-1] not in _MARKS]
    marked = [row for row in found if row[-1] in _MARKS]
    kept = complete(rows, household_id=household_id, animal_id=animal_id)
    mine = {one.entry.id for one in kept}
    return Beside(
        is_here=any(row[-1] == "animal" for row in marked),
        heads=tuple(
            PlanHead(id=uuid_of(row[0]), number=row[3], effective_from=instant_of(row[4]))
            for row in marked
            if row[-1] == "plan" and uuid_of(row[1]) == household_id
        ),
        kept=kept,
        standing=frozenset(uuid_of(row[0]) for row in marked if row[-1] == "standing"),
        elsewhere=frozenset(uuid_of(row[0]) for row in rows) - mine,
        set_aside=sum(row[3] for row in marked if row[-1] == "animal"),
    )
