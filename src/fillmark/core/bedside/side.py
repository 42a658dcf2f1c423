"""One animal's side at one moment, as one value: who stands there, the plan, and what was written.

It is loaded once, and everything that a press is judged by or a page is made of is read from it. What was not loaded
cannot be asked for: half an answer would look like a whole one.
"""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

from fillmark.core.bedside.versions import Home, StoredPlan, in_force_at, in_force_during, sessions_of_days, worked_out
from fillmark.core.chart.givings import OrdersInForce, reach
from fillmark.core.day.values import PlannedSession
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record.batches import BATCH_KINDS, Batches, read_batches
from fillmark.core.record.corrections import counting_entries
from fillmark.core.record.day_entries import DayReplanned, ReplannedSession
from fillmark.core.record.entries import Entry, KeptEntry, entry_day
from fillmark.core.record.locks import LOCK_KINDS, Lock, open_lock
from fillmark.core.record.standing import BOTTLE_KINDS, SHEET_KINDS
from fillmark.core.today.replanned import newest_times
from fillmark.core.values.errors import FillmarkError, NotStated
from fillmark.core.values.people import Caregiver
from fillmark.core.values.words import say_day, say_first_to_last
from fillmark.published.record_rules import KEPT_DAYS

DOSE_KINDS = ("medicine_given", "both_given", "second_check", "withdrawn")
MEAL_KINDS = ("meal_ended", "fill_given")
REPLANNED = "day_replanned"
SOME_DAYS_KINDS = (*DOSE_KINDS, *MEAL_KINDS, *BATCH_KINDS, REPLANNED)
"""Kinds that a side holds for some days back."""
STANDING_KINDS = (*LOCK_KINDS, *BOTTLE_KINDS, *SHEET_KINDS)
"""Rare kinds of which a side holds what stands, whenever it was written."""


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
        return read_batches(self.entries, limit_level=self.limit_level, keeps_days=self.keeps_days, today=self.today)


@dataclass(frozen=True, kw_only=True, slots=True)
class Doses:
    """The plan in force at an instant, the orders around it, and the entries that bear on a dose then."""

    plan: CarePlan
    orders: OrdersInForce
    entries: tuple[KeptEntry, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Side:
    """One animal's side at one moment.

    Attributes:
        person: Who stands there.
        home: Whose animal it is.
        now: The present instant.
        versions: The versions of the plan that were in force since `kinds_since`, or will be, in any order.
        medicines: Every medicine that a version of the plan names.
        kept: The entries that were loaded, by id, with all that corrects them or that they correct.
        taken: Ids asked for that entries of another animal or household have.
        whole_since: From this day on every entry is there; none where that was not asked for.
        whole_days: Other days of which every entry is there.
        kinds_since: From this day on every entry of `kinds` is there; none where that was not asked for.
        kinds: Some or all of `SOME_DAYS_KINDS`.
        has_rare: What stands of `STANDING_KINDS` is there.
        standing: Which entries of these kinds stand, or stood on one of the days since `kinds_since`.
        added: What was written beside it since it was loaded.
        set_aside: How many things that a phone wrote, and that could not be kept as they are, wait for a lead.
    """

    person: Caregiver
    home: Home
    animal_id: UUID
    now: datetime
    versions: tuple[StoredPlan, ...] = ()
    medicines: frozenset[str] = frozenset()
    kept: Mapping[UUID, KeptEntry]
    taken: frozenset[UUID] = frozenset()
    whole_since: date | None = None
    whole_days: frozenset[date] = frozenset()
    kinds_since: date | None = None
    kinds: frozenset[str] = frozenset(SOME_DAYS_KINDS)
    has_rare: bool = False
    standing: frozenset[UUID] = frozenset()
    added: frozenset[UUID] = frozenset()
    set_aside: int = 0

    @property
    def ids(self) -> dict[str, UUID]:
        """What a service asks for that loads more."""
        return {"household_id": self.home.id, "animal_id": self.animal_id}

    @property
    def today(self) -> date:
        """The household's day that now falls in."""
        return self.home.day_of(self.now)

    @property
    def zone(self) -> ZoneInfo:
        """The household's time zone."""
        return ZoneInfo(self.home.time_zone)

    @property
    def stored(self) -> StoredPlan | None:
        """The version of the plan in force now; none before the first."""
        return self.plan_at(self.now)

    @property
    def plan(self) -> CarePlan:
        """The plan in force now.

        Raises:
            NotStated: there is none yet.
        """
        if self.stored is None:
            raise NotStated(
                field="plan",
                got="An animal without a plan",
                allowed="a plan with the vet's orders",
                remedy="A lead adds the vet's orders first.",
            )
        return self.stored.plan

    @property
    def lock(self) -> Lock | None:
        """What locks feeding now; none when nothing does."""
        return open_lock(self.of_kinds(LOCK_KINDS))

    @property
    def batch_facts(self) -> BatchFacts:
        """What is known of the batches of the last days, by the plan in force now.

        Source:
            record.kept_days
        """
        plan = self.stored.plan if self.stored else None
        first, last = self.today - timedelta(days=KEPT_DAYS.value), self.today + timedelta(days=1)
        return BatchFacts(
            entries=self.around(first=first, last=last, kinds=BATCH_KINDS),
            limit_level=plan.orders.flow_limit_level if plan else None,
            keeps_days=plan.blend_keeps_days if plan else None,
            today=self.today,
        )

    def plan_at(self, at: datetime) -> StoredPlan | None:
        """The version in force at an instant since `kinds_since`; none before the first, or where it cannot be read."""
        found = in_force_at(self.versions, at)
        return found if found is not None and found.is_readable else None

    @property
    def unreadable_version(self) -> StoredPlan | None:
        """The version in force now, where its document cannot be read: nothing is worked out then."""
        found = in_force_at(self.versions, self.now)
        return found if found is not None and not found.is_readable else None

    def with_entry(self, kept: KeptEntry) -> "Side":
        """The same, when one more entry has been written under the next number."""
        home = replace(self.home, last_seq=kept.seq)
        added = self.added | {kept.entry.id}
        return replace(self, home=home, kept={**self.kept, kept.entry.id: kept}, added=added)

    # Entries

    def of_days(self, first: date, last: date) -> tuple[KeptEntry, ...]:
        """Every entry of these days, both included, with all that corrects them or that they correct.

        Args:
            first: The first day, included.
            last: The last day, included.
        """
        days = {first + timedelta(days=offset) for offset in range((last - first).days + 1)}
        _check_loaded(all(self.is_whole(day) for day in days), f"all entries of {say_first_to_last(first, last)}")
        return self._with_corrections(one for one in self.kept.values() if one.day in days)

    def is_whole(self, day: date) -> bool:
        """Whether every entry of a day is there."""
        return day in self.whole_days or (self.whole_since is not None and day >= self.whole_since)

    def of_kinds(self, kinds: Collection[str]) -> tuple[KeptEntry, ...]:
        """What stands of these rare kinds, whenever it was, with all that corrects it or that it corrects."""
        _check_loaded(self.has_rare and set(kinds) <= set(STANDING_KINDS), ", ".join(kinds))
        return self._with_corrections(
            one
            for one in self.kept.values()
            if one.entry.kind in kinds and (one.entry.id in self.standing or one.entry.id in self.added)
        )

    def around(
        self, *, first: date, last: date, kinds: Collection[str], whenever: Collection[str] = ()
    ) -> tuple[KeptEntry, ...]:
        """The entries of some kinds on these days, and what stood of other, rare kinds, whenever it was written.

        Args:
            first: The first day, included.
            last: The last day, included.
            kinds: Kinds wanted of these days.
            whenever: Kinds of which is wanted what stands, or stood on these days.
        """
        is_there = self.kinds_since is not None and first >= self.kinds_since and self.kinds >= set(kinds)
        _check_loaded(is_there and (not whenever or self.has_rare), f"{', '.join(kinds)} since {say_day(first)}")
        return self._with_corrections(
            one
            for one in self.kept.values()
            if one.entry.kind in whenever or (first <= one.day <= last and one.entry.kind in kinds)
        )

    def _with_corrections(self, chosen: Iterable[KeptEntry]) -> tuple[KeptEntry, ...]:
        # two corrections of something that has not arrived belong together by its id
        together = {one.entry.id for one in chosen}
        links = [{one.entry.id, one.entry.corrects} for one in self.kept.values() if one.entry.corrects is not None]
        while touching := [link for link in links if link & together]:
            links = [link for link in links if not link & together]
            together = together.union(*touching)
        return tuple(one for entry_id, one in self.kept.items() if entry_id in together)

    def history_of(self, entry_id: UUID) -> tuple[KeptEntry, ...]:
        """An entry that was loaded by its id, with all that corrects it or that it corrects."""
        return self._with_corrections([self.kept[entry_id]])

    # The plan's days

    def replanned(self, *, first: date, last: date) -> tuple[KeptEntry, ...]:
        """The new times of these days that count, oldest first.

        Args:
            first: The first day, included.
            last: The last day, included.
        """
        entries = counting_entries(self.around(first=first, last=last, kinds=(REPLANNED,)))
        return tuple(one for one in entries if isinstance(one.entry.payload, DayReplanned))

    def sessions_of_days(
        self, first: date, last: date, *, new: Mapping[str, ReplannedSession]
    ) -> dict[date, tuple[PlannedSession, ...] | FillmarkError]:
        """The sessions of each of these days in their order, or why a day cannot be worked out of its plan.

        Args:
            first: The first day.
            last: The last one.
            new: When those come that were given another time; empty for the plan's own times.
        """
        return sessions_of_days(self.versions, first, last, home=self.home, new=new)

    def planned_sessions(self, day: date) -> tuple[PlannedSession, ...]:
        """The sessions of a day as they are to come, in order.

        Raises:
            FillmarkError: this day cannot be worked out of a version.
        """
        return worked_out(self.sessions_of_days(day, day, new=newest_times(self.replanned(first=day, last=day)))[day])

    def ordered_sessions(self, day: date) -> tuple[PlannedSession, ...]:
        """The sessions of a day by the plan alone, without the times that were given them on the day itself.

        Raises:
            FillmarkError: this day cannot be worked out of a version.
        """
        return worked_out(self.sessions_of_days(day, day, new={})[day])

    # Doses

    def doses(self, *, at: datetime, back: timedelta = timedelta(0)) -> Doses | None:
        """What bears on a dose at an instant; none before the first plan.

        Args:
            at: The instant.
            back: How far back to look, where that is further than an order of that instant reaches.
        """
        stored = self.plan_at(at)
        if stored is None:
            return None
        span = max(back, reach(stored.plan.medicines))
        versions = [stored]
        if stored.effective_from > at - span:
            versions = list(in_force_during(self.versions, first_at=at - span, last_at=at + span))
        waits_for_food = any(medicine.food.after_minutes is not None for medicine in stored.plan.medicines)
        return Doses(
            plan=stored.plan,
            orders=OrdersInForce((one.effective_from, one.plan) for one in versions if one.is_readable),
            entries=self.around(
                first=first_dose_day(at, span),
                last=(at + span).date() + timedelta(days=1),
                kinds=DOSE_KINDS + (MEAL_KINDS if waits_for_food else ()),
                whenever=BOTTLE_KINDS,
            ),
        )


def first_dose_day(at: datetime, span: timedelta) -> date:
    """The first day on which an entry can stand that reaches over a span; a household's day may begin off its own.

    Args:
        at: From when it is looked back.
        span: How far back.
    """
    return (at - span).date() - timedelta(days=1)


def as_kept(side: Side, entry: Entry) -> KeptEntry:
    """An entry as the record keeps it, under the next number.

    Args:
        side: The animal's side, as loaded.
        entry: What someone wrote.
    """
    return KeptEntry(
        entry=entry,
        seq=side.home.last_seq + 1,
        day=entry_day(entry, time_zone=side.home.time_zone, day_starts=side.home.day_starts),
        by=side.person.id,
        by_name=side.person.name,
        by_role=side.person.role,
        recorded_at=side.now,
    )


def _check_loaded(is_loaded: bool, what: str) -> None:
    if not is_loaded:
        raise LookupError(f"{what}: not loaded beside this animal")
