"""The animal's care plan: one document per version, in force from an instant on, with who stands behind it."""

from dataclasses import replace
from datetime import date, datetime, timedelta
from uuid import UUID

from django.db import transaction

from fillmark.core.bedside.side import REPLANNED
from fillmark.core.bedside.versions import (
    Confirmation,
    Home,
    StoredPlan,
    in_force_at,
    sessions_of_days,
    worked_out,
)
from fillmark.core.chart.givings import reach
from fillmark.core.day.plan_day import plan_day
from fillmark.core.day.values import PlannedSession
from fillmark.core.gates.changeover import Changeover, last_times
from fillmark.core.gates.plan_gate import PlanFindings, check_plan, hold_back, with_vet_words
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.ends import Ends
from fillmark.core.plan.reading import read_plan, write_plan
from fillmark.core.record.care_entries import FeedingLocked
from fillmark.core.record.entries import Entry
from fillmark.core.today.replanned import newest_times
from fillmark.core.values.errors import BadPlan, FillmarkError
from fillmark.core.values.people import Capability
from fillmark.core.values.trouble import Trouble
from fillmark.core.values.words import say_date
from fillmark.records import homes, plan_versions, written
from fillmark.services import record
from fillmark.services.household import check_person

__all__ = ["Confirmation", "PlannedSession", "StoredPlan"]


@transaction.atomic
def adopt_plan(
    confirmed: Confirmation, *, animal_id: UUID, document: str | CarePlan, effective_from: datetime
) -> StoredPlan:
    """Put a new version of the plan in force. Earlier days keep the version they had.

    Args:
        confirmed: Who confirms it, and what the vet said about it.
        animal_id: For which animal.
        document: The plan, or its JSON text.
        effective_from: From when on it holds.
    Raises:
        FillmarkError: the document cannot be used, or its first day cannot be worked out of it.
        BadPlan: nothing says that a vet stands behind it, its days are counted by another clock, or it cannot hold.
        NotStated: something about it needs a word of the vet, or looks wrong and nobody has said that it is meant.
        NotAllowed: this person may not change plans, or the animal lives elsewhere.
    """
    home = homes.find_home(household_id=confirmed.household_id, lock=True)
    check_may_change(confirmed)
    homes.find_animal(household_id=home.id, animal_id=animal_id)
    _check_vet_stands_behind(confirmed)
    plan = document if isinstance(document, CarePlan) else read_plan(document.encode(), kind="json")
    _check_clock(plan, home)
    old = plan_versions.newest_plan(household_id=home.id, animal_id=animal_id)
    old_plan = old.plan if old else None
    meeting = changeover(home=home, animal_id=animal_id, from_at=effective_from)
    found = check_plan(plan, on=home.day_of(confirmed.now), old=old_plan, changeover=meeting)
    hold_back(found, meant=confirmed.meant, vet_words=confirmed.answers)
    plan = with_vet_words(plan, found, vet_words=confirmed.answers, said_on=confirmed.vet_said_on, old=old_plan)
    kept = plan_versions.add_plan(
        confirmed, animal_id=animal_id, document=write_plan(plan), effective_from=effective_from
    )
    if old is not None and plan.animal.tube.is_another(old.plan.animal.tube):
        _lock_feeding(confirmed, kept, home=home)
    if plan.ends is not None and old is not None:
        _add_return(confirmed, old, plan.ends, home=home)
    return kept


def _lock_feeding(confirmed: Confirmation, kept: StoredPlan, *, home: Home) -> None:
    """Nothing goes through a tube that nobody has seen in place: the lock is an entry, and a lead clears it."""
    words = f"Another tube by version {kept.number} of the plan. Nothing until the vet has seen it in place."
    entry = Entry(
        id=record.new_entry_id(now=confirmed.now),
        animal_id=kept.animal_id,
        at=confirmed.now,
        zone=home.time_zone,
        device="household",
        payload=FeedingLocked(trouble=Trouble.TUBE_CHECK, words=words),
    )
    record.record_entry(household_id=home.id, by=confirmed.by, entry=entry, now=confirmed.now)


def _add_return(confirmed: Confirmation, old: StoredPlan, ends: Ends, *, home: Home) -> None:
    """The version before as one more version, which holds from the day after orders that end by themselves."""
    from_at = home.start_of(ends.last_on + timedelta(days=1))
    plan_day(old.plan, on=home.day_of(from_at))  # a plan that makes no day then is refused now
    words = f"Version {old.number} holds again after {ends.why}. {confirmed.vet_words}"
    plan_versions.add_plan(
        replace(confirmed, vet_words=words), animal_id=old.animal_id, document=old.document, effective_from=from_at
    )


def look_at(
    plan: CarePlan, *, household_id: UUID, animal_id: UUID, now: datetime, effective_from: datetime
) -> PlanFindings:
    """What speaks against a plan as this animal's next version. Nothing changes.

    Args:
        plan: The plan, by the household's clock.
        household_id: Whose.
        animal_id: For which animal.
        now: The present instant.
        effective_from: From when on it would hold.
    """
    old = plan_versions.newest_plan(household_id=household_id, animal_id=animal_id)
    home = homes.find_home(household_id=household_id)
    meeting = changeover(home=home, animal_id=animal_id, from_at=effective_from)
    return check_plan(plan, on=home.day_of(now), old=old.plan if old else None, changeover=meeting)


def changeover(*, home: Home, animal_id: UUID, from_at: datetime) -> Changeover | None:
    """Where a new plan meets the version before, by the record and the newest times; none before the first.

    Args:
        home: Whose.
        animal_id: For which animal.
        from_at: From when on it would hold.
    """
    ids = {"household_id": home.id, "animal_id": animal_id}
    versions = plan_versions.plans_of(**ids)
    old = in_force_at(versions, from_at)
    if old is None:
        return None
    last_on = home.day_of(from_at)
    first_on = home.day_of(from_at - reach(old.plan.medicines))
    entries = written.entries_around(
        **ids, first=first_on, last=last_on, kinds=("medicine_given", "session_skipped", REPLANNED)
    )
    # what went in before the first version is not known here: most likely it was what that one asks for
    starts_at = min(home.start_of(first_on), versions[0].effective_from)
    versions = (replace(versions[0], effective_from=starts_at), *versions[1:])
    days = sessions_of_days(versions, first_on, last_on, home=home, new=newest_times(entries))
    sessions = [one for found in days.values() if not isinstance(found, FillmarkError) for one in found]
    last = last_times(sessions, entries, time_zone=home.time_zone, before=from_at)
    return Changeover(old=old.plan, last=last, from_at=from_at)


def check_may_change(confirmed: Confirmation) -> None:
    """Refuse whoever may not change a plan.

    Raises:
        NotAllowed: this person may not.
    """
    check_person(household_id=confirmed.household_id, by=confirmed.by, what=Capability.CHANGE_PLAN, now=confirmed.now)


def current_plan(*, household_id: UUID, animal_id: UUID, at: datetime) -> StoredPlan | None:
    """The version in force at an instant; none before the first."""
    return plan_versions.plan_at(household_id=household_id, animal_id=animal_id, at=at)


def all_versions(*, household_id: UUID, animal_id: UUID) -> tuple[StoredPlan, ...]:
    """Every version there has been, oldest first."""
    return plan_versions.plans_of(household_id=household_id, animal_id=animal_id)


def planned_sessions(*, household_id: UUID, animal_id: UUID, day: date) -> tuple[PlannedSession, ...]:
    """The sessions of a day as they are to come, in order, each by the version that was in force at its time.

    Raises:
        FillmarkError: this day cannot be worked out of a version.
    """
    ids = {"household_id": household_id, "animal_id": animal_id}
    home, versions = homes.find_home(household_id=household_id), plan_versions.plans_of(**ids)
    new = newest_times(written.entries_around(**ids, first=day, last=day, kinds=(REPLANNED,)))
    return worked_out(sessions_of_days(versions, day, day, home=home, new=new)[day])


def check_seen(is_as_shown: bool, *, what: str, remedy: str) -> None:
    """Refuse to put in force what is no longer as a person saw it.

    Args:
        is_as_shown: Whether it still is.
        what: What they saw, "plan" or "day".
        remedy: What to look at again.
    Raises:
        BadPlan: it is not.
    """
    if not is_as_shown:
        raise BadPlan(
            field="seen",
            got=f"A {what} that is no longer the one you saw",
            allowed=f"the {what} as it was shown",
            remedy=remedy,
        )


def _check_clock(plan: CarePlan, home: Home) -> None:
    """Sessions are called by the plan's clock and entries are kept under the household's: they are one clock."""
    mine = plan.household
    if (mine.time_zone, mine.day_starts) != (home.time_zone, home.day_starts):
        raise BadPlan(
            field="household",
            got=f"A plan whose days are counted in {mine.time_zone} from {mine.day_starts:%H:%M}",
            allowed=f"the household's own {home.time_zone}, from {home.day_starts:%H:%M}",
            remedy="Take it in from the plan page, which puts it by the household's clock.",
        )


def _check_vet_stands_behind(confirmed: Confirmation) -> None:
    if not confirmed.vet_words.strip():
        raise BadPlan(
            field="vet_words",
            got="A plan without the vet's words",
            allowed="what the vet said about it, in the vet's own words",
            remedy="Ask the vet, and write down what they say.",
        )
    if confirmed.vet_said_on > confirmed.now.date():
        raise BadPlan(
            field="vet_said_on",
            got=f"A plan that the vet will have spoken about on {say_date(confirmed.vet_said_on)}",
            allowed=f"{say_date(confirmed.now)} or earlier",
            remedy="Enter the day on which the vet said it.",
        )
