"""A better day for this household: proposed beside the present one, and put in force only when a lead accepts it."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import lru_cache, partial
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db import transaction

from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.reading import read_plan
from fillmark.core.timetable import NoDay, Timetable
from fillmark.core.today.chosen_hours import Wishes
from fillmark.core.today.regimen import present_day
from fillmark.core.today.wishes import Proposal, plan_with_times, propose_day
from fillmark.core.values.errors import BadPlan
from fillmark.records import homes
from fillmark.services import household, plans
from fillmark.services.plans import Confirmation, StoredPlan


@dataclass(frozen=True, kw_only=True, slots=True)
class Usual:
    """The day as the plan has it.

    Attributes:
        stored: The version that will be in force at `starts_at`.
        starts_at: The start of the household's next day, from which on a new timetable would hold.
        day: Its times.
    """

    stored: StoredPlan
    starts_at: datetime
    day: Timetable

    @property
    def plan(self) -> CarePlan:
        return self.stored.plan


@dataclass(frozen=True, kw_only=True, slots=True)
class DayOffer:
    """A proposal for one version of a plan."""

    usual: Usual
    proposal: Proposal

    @property
    def new_plan(self) -> CarePlan | None:
        """The plan with the proposed times; none where there is no such day."""
        new = self.proposal.new
        on = self.usual.starts_at.date()
        return None if isinstance(new, NoDay) else plan_with_times(self.usual.plan, new, on=on)

    @property
    def seen(self) -> str:
        """What a person saw of it; accepting repeats it, so that nothing else than what was seen is put in force."""
        new = self.proposal.new
        sessions = "no day" if isinstance(new, NoDay) else "; ".join(map(str, new.sessions))
        return f"{self.usual.stored.number}: {sessions}"


def find_usual(*, household_id: UUID, animal_id: UUID, now: datetime) -> Usual:
    """The plan's day from tomorrow on.

    Raises:
        BadPlan: there is no plan yet.
    """
    home = household.find_household(household_id=household_id)
    tomorrow = household.today(household_id=household_id, now=now) + timedelta(days=1)
    starts_at = datetime.combine(tomorrow, home.day_starts, tzinfo=ZoneInfo(home.time_zone))
    stored = plans.current_plan(household_id=household_id, animal_id=animal_id, at=starts_at)
    if stored is None:
        raise BadPlan(
            field="plan",
            got="An animal without a plan",
            allowed="a plan with the vet's orders",
            remedy="A lead adds the vet's orders first.",
        )
    return Usual(stored=stored, starts_at=starts_at, day=present_day(stored.plan, on=tomorrow))


def propose(*, household_id: UUID, animal_id: UUID, wishes: Wishes, now: datetime) -> DayOffer:
    """The present day beside the best one for these wishes. Nothing changes.

    Raises:
        FillmarkError: there is no plan, or a wish cannot be meant.
    """
    usual = find_usual(household_id=household_id, animal_id=animal_id, now=now)
    return DayOffer(usual=usual, proposal=_propose(usual.stored.document, wishes, usual.starts_at.date()))


@lru_cache(maxsize=64)  # accepting works out again what was seen
def _propose(document: str, wishes: Wishes, on: date) -> Proposal:
    return propose_day(read_plan(document.encode(), kind="json"), wishes=wishes, on=on)


def put_in_force(confirmed: Confirmation, *, animal_id: UUID, wishes: Wishes, seen: str) -> StoredPlan:
    """Put a proposed day in force as a new version of the plan, from the start of the household's next day on.

    Args:
        confirmed: Who confirms it, and what the vet said about it.
        animal_id: For which animal.
        wishes: What the proposal was made for.
        seen: `Offer.seen` of what the lead saw.
    Raises:
        NotAllowed: this person may not change the plan.
        BadPlan: the proposal is no longer what was seen, nothing would change, or no vet stands behind it.
    """
    plans.check_may_change(confirmed)
    work_out = partial(
        propose, household_id=confirmed.household_id, animal_id=animal_id, wishes=wishes, now=confirmed.now
    )
    work_out()  # kept, so that nobody waits for it
    with transaction.atomic():
        homes.find_home(household_id=confirmed.household_id, lock=True)
        offer = work_out()
        _check_seen(offer, seen)
        assert offer.new_plan is not None  # noqa: S101 - the check above left just this one
        return plans.adopt_plan(
            confirmed, animal_id=animal_id, document=offer.new_plan, effective_from=offer.usual.starts_at
        )


def _check_seen(offer: DayOffer, seen: str) -> None:
    is_as_shown = offer.seen == seen and isinstance(offer.proposal.new, Timetable)
    plans.check_seen(is_as_shown, what="day", remedy="Look at the new day again, then accept it.")
    if not offer.proposal.moves:
        raise BadPlan(
            field="wishes",
            got="A day in which nothing moves",
            allowed="a day with other times",
            remedy="Change a wish first.",
        )
