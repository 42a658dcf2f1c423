"""The batches of the last days: which one is in use, and which must not be given."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from uuid import UUID

from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record import batches
from fillmark.core.record.batches import BATCH_KINDS, Batches
from fillmark.core.record.care_entries import BatchChosen
from fillmark.core.record.entries import Entry, KeptEntry, household_day
from fillmark.core.record.session_entries import FillGiven
from fillmark.core.record.sessions import Standing
from fillmark.published.record_rules import KEPT_DAYS
from fillmark.records import queries
from fillmark.records.queries import Home


@dataclass(frozen=True, kw_only=True, slots=True)
class BatchFacts:
    """What the batches are read from: a phone reads the same.

    Attributes:
        entries: Those of BATCH_KINDS of the last days, with what corrects them.
        limit_level: The thickest level the vet allows; None when not stated.
        keeps_days: How long a batch of the plan's blend keeps [days]; None when not stated.
        today: The household's day.
    """

    entries: tuple[KeptEntry, ...]
    limit_level: int | None
    keeps_days: int | None
    today: date

    def read(self) -> Batches:
        """What they say."""
        return batches.read_batches(
            self.entries, limit_level=self.limit_level, keeps_days=self.keeps_days, today=self.today
        )


def batch_facts(*, household_id: UUID, animal_id: UUID, today: date, now: datetime) -> BatchFacts:
    """What is known of the batches of the last days, by the plan in force now.

    Source:
        record.kept_days
    """
    stored = queries.plan_at(household_id=household_id, animal_id=animal_id, at=now)
    plan: CarePlan | None = stored.plan if stored else None
    return BatchFacts(
        entries=queries.entries_around(
            household_id=household_id,
            animal_id=animal_id,
            first=today - timedelta(days=KEPT_DAYS.value),
            last=today + timedelta(days=1),
            kinds=BATCH_KINDS,
            whenever=(),
        ),
        limit_level=plan.orders.flow_limit_level if plan else None,
        keeps_days=plan.blend_keeps_days if plan else None,
        today=today,
    )


def check_batch(*, home: Home, entry: Entry, standing: Standing, now: datetime) -> None:
    """Refuse a press that feeds from, or chooses, a batch that is not to be given.

    Args:
        home: Whose.
        entry: What the press would write.
        standing: How far its session has come.
        now: The present instant.
    Raises:
        BatchNotToBeGiven: it is too thick, or past its last day.
    """
    if isinstance(entry.payload, FillGiven | BatchChosen):
        today = household_day(at=now, time_zone=home.time_zone, day_starts=home.day_starts)
        facts = batch_facts(household_id=home.id, animal_id=entry.animal_id, today=today, now=now)
        batches.check_batch(entry.payload, batches=facts.read(), standing=standing)
