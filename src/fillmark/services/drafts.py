"""A plan made question by question: kept after each answer, looked at as a day, and read as a whole in the end."""

import json
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime
from hashlib import sha256
from uuid import UUID

from django.db import transaction

from fillmark.core.bedside.versions import Home, StoredPlan
from fillmark.core.changes.day_change import DayChange, compare_days
from fillmark.core.day.plan_day import plan_day
from fillmark.core.gates.plan_gate import PlanFindings, check_plan
from fillmark.core.plan.answers import Raw, Typed
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.draft import Draft, answer, new_draft, the_way, without_item
from fillmark.core.plan.draft import faults_of as draft_faults
from fillmark.core.plan.reading import read_plan
from fillmark.core.plan.sheet import read_sheet
from fillmark.core.plan.sheet_to_draft import confirm, with_sheet
from fillmark.core.plan.spots import Spot, part_at
from fillmark.core.values.document import read_document
from fillmark.core.values.errors import BadPlan, FillmarkError
from fillmark.core.values.people import Capability
from fillmark.records import drafts, homes, plan_versions
from fillmark.records.drafts import StoredDraft
from fillmark.services import household

__all__ = ["StoredDraft"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Who:
    """Who works on a draft, and when."""

    household_id: UUID
    by: UUID
    now: datetime


@dataclass(frozen=True, kw_only=True, slots=True)
class Look:
    """What a draft comes to so far.

    Attributes:
        plan: The plan that it makes; none while something needed is missing.
        found: What speaks against that plan, and its day; none without a plan.
        old: The plan it would take the place of; none for the first.
    """

    plan: CarePlan | None = None
    found: PlanFindings | None = None
    old: CarePlan | None = None


def begin(who: Who, *, animal_id: UUID | None, change: Callable[[Raw], Raw] | None = None) -> UUID:
    """A new draft: of an animal's newest plan as it stands, or of nothing but this home.

    Args:
        who: Who begins it.
        animal_id: Whose plan is to change; none for a new animal.
        change: What is changed in its document at once.
    Raises:
        NotAllowed: they may not prepare a plan, or the animal lives elsewhere.
    """
    _check(who)
    base = None
    if animal_id is not None:
        homes.find_animal(household_id=who.household_id, animal_id=animal_id)
        base = plan_versions.newest_plan(household_id=who.household_id, animal_id=animal_id)
    home = homes.find_home(household_id=who.household_id)
    draft = _of_this_home(home)
    if base is not None:
        document = json.loads(base.document)
        document = change(document) if change else document
        draft = Draft(document=document, answered=frozenset(one.id for one in the_way(document)))
    return drafts.add_draft(
        household_id=who.household_id,
        animal_id=animal_id,
        base_number=base.number if base else 0,
        draft=draft,
        by=who.by,
        now=who.now,
    )


MOST_ANIMALS = 8
"""A sheet about more animals than this was read wrongly."""


@transaction.atomic
def begin_from_sheet(who: Who, *, text: str) -> tuple[UUID, ...]:
    """A new draft for each animal that a sheet is about, with what the sheet proposes; none of it is an answer yet.

    Args:
        who: Who begins them.
        text: The sheet.
    Raises:
        NotAllowed: they may not prepare a plan.
        BadPlan: the sheet is empty, too long, or about too many animals.
    """
    _check(who)
    read = read_sheet(text)
    if len(read) > MOST_ANIMALS:
        raise BadPlan(
            field="sheet",
            got=f"A sheet about {len(read)} animals",
            allowed=f"at most {MOST_ANIMALS}",
            remedy="Paste the part about one animal.",
        )
    home = _of_this_home(homes.find_home(household_id=who.household_id))
    return tuple(
        drafts.add_draft(
            household_id=who.household_id,
            animal_id=None,
            base_number=0,
            draft=with_sheet(home, one, text=text),
            by=who.by,
            now=who.now,
        )
        for one in read
    )


@transaction.atomic
def confirm_read(
    who: Who, *, draft_id: UUID, ticked: Mapping[str, Collection[str]]
) -> tuple[Draft, dict[str, FillmarkError]]:
    """The draft with what somebody has confirmed of its sheet, and what cannot be kept yet, by the page's id.

    Args:
        who: Who confirms it.
        draft_id: In which draft.
        ticked: For each page, the fields whose values are right.
    Raises:
        NotAllowed: there is no such draft, or they may not.
        BadPlan: there is no such part.
    """
    faults: dict[str, FillmarkError] = {}

    def change(draft: Draft) -> Draft:
        after, wrong = confirm(draft, ticked)
        faults.update(wrong)
        return after

    return _change(who, draft_id, change), faults


def _check(who: Who) -> None:
    household.check_person(household_id=who.household_id, by=who.by, what=Capability.PREPARE_PLAN, now=who.now)


def _of_this_home(home: Home) -> Draft:
    """A draft that knows this home, its clock and its people; they are not asked for again."""
    people = [
        {"id": f"person-{number}", "name": one.name, "role": one.role.value}
        for number, one in enumerate(homes.caregivers(home.id), start=1)
    ]
    part = {"name": home.name, "time_zone": home.time_zone, "day_starts": f"{home.day_starts:%H:%M}", "people": people}
    draft = new_draft(household=part)
    known = (one.id for one in the_way(draft.document) if one.page.place.startswith("household"))
    return replace(draft, answered=frozenset(known))


def find(who: Who, *, draft_id: UUID) -> StoredDraft:
    """A draft of this household.

    Raises:
        NotAllowed: there is none, or they may not see it.
    """
    _check(who)
    return drafts.find_draft(household_id=who.household_id, draft_id=draft_id)


def all_drafts(who: Who) -> tuple[StoredDraft, ...]:
    """Every draft of this household, the one changed last first."""
    _check(who)
    return drafts.drafts_of(household_id=who.household_id)


def seal(draft: Draft, spot: Spot) -> str:
    """What a page was made from, so that somebody else's answer in between is seen."""
    return sha256(json.dumps(part_at(draft.document, spot), sort_keys=True).encode()).hexdigest()[:16]


@transaction.atomic
def give_answer(
    who: Who, *, draft_id: UUID, spot: Spot, typed: Mapping[str, Typed], is_unsaid: bool, seen: str
) -> tuple[Draft, dict[str, FillmarkError]]:
    """The draft with a page's answers kept; or as it was, with what is wrong by the field ("" for the page).

    Args:
        who: Who answers.
        draft_id: In which draft.
        spot: Which page.
        typed: What came, by the name of the field.
        is_unsaid: The sheet does not say what was left empty.
        seen: `seal` of what the page was made from.
    Raises:
        NotAllowed: there is no such draft, or they may not.
        BadPlan: there is no such part.
    """
    _check(who)
    stored = drafts.find_draft(household_id=who.household_id, draft_id=draft_id, lock=True)
    after, faults = answer(stored.draft, spot, typed, is_unsaid=is_unsaid)
    if faults:
        return stored.draft, faults
    is_same = part_at(after.document, spot) == part_at(stored.draft.document, spot)
    if seen != seal(stored.draft, spot) and not is_same:
        return stored.draft, {"": _meanwhile(stored)}
    drafts.keep_draft(draft_id=draft_id, draft=after, by=who.by, now=who.now)
    return after, {}


def _meanwhile(stored: StoredDraft) -> BadPlan:
    return BadPlan(
        field="seen",
        got=f"An answer to what {stored.changed_by_name} has answered otherwise meanwhile",
        allowed="an answer that has seen theirs",
        remedy="Their answer stands in the draft. Send yours once more if it is the right one, or open the page anew.",
    )


@transaction.atomic
def put_off(who: Who, *, draft_id: UUID, spot: Spot) -> Draft:
    """The draft with a page left for later: it stays on the list of what is open."""
    return _change(who, draft_id, lambda draft: replace(draft, later=draft.later | {spot.id}))


@transaction.atomic
def end_list(who: Who, *, draft_id: UUID, spot: Spot) -> Draft:
    """The draft with the word that there are no more of several."""
    return _change(who, draft_id, lambda draft: replace(draft, answered=draft.answered | {spot.id}))


@transaction.atomic
def take_out(who: Who, *, draft_id: UUID, spot: Spot) -> Draft:
    """The draft without one of several."""
    return _change(who, draft_id, lambda draft: without_item(draft, spot))


def _change(who: Who, draft_id: UUID, change: Callable[[Draft], Draft]) -> Draft:
    _check(who)
    stored = drafts.find_draft(household_id=who.household_id, draft_id=draft_id, lock=True)
    after = change(stored.draft)
    drafts.keep_draft(draft_id=draft_id, draft=after, by=who.by, now=who.now)
    return after


def drop(who: Who, *, draft_id: UUID) -> None:
    """Throw a draft away; nothing of it was in force.

    Raises:
        NotAllowed: they may not.
    """
    _check(who)
    drafts.drop_draft(household_id=who.household_id, draft_id=draft_id)


def look(stored: StoredDraft, *, on: date) -> Look:
    """What a draft comes to so far; it costs a plan's check, so it is asked once a page.

    Args:
        stored: The draft.
        on: The household's day.
    """
    try:
        plan = read_document(CarePlan, stored.draft.document)
    except FillmarkError:
        return Look()
    old = _base(stored)
    others = [one.name for one in homes.animals(stored.household_id)] if stored.animal_id is None else []
    name = old.animal.name if old else None
    return Look(plan=plan, found=check_plan(plan, on=on, old=old, animal_name=name, others=others), old=old)


def part_in_force(stored: StoredDraft, spot: Spot) -> Raw | None:
    """What the version that a draft began from says where a page asks; none for a new animal, and for what is new.

    Args:
        stored: The draft.
        spot: Which page.
    """
    base = _base_version(stored)
    if base is None:
        return None
    document = json.loads(base.document)
    if not spot.at:
        return part_at(document, spot)
    key = spot.page.steps[0][0] if spot.page.steps[0][1] else ""
    mine, theirs = stored.draft.document.get(key) or [], document.get(key) or []
    handle = mine[spot.at[0]].get("id") if key and spot.at[0] < len(mine) else None
    place = next((place for place, one in enumerate(theirs) if handle and one.get("id") == handle), None)
    return None if place is None else part_at(document, Spot(spot.page, (place, *spot.at[1:])))


def day_changes(look: Look) -> tuple[DayChange, ...]:
    """What a draft does to the day on which it would begin; nothing where one of the two makes none."""
    day = look.found.day if look.found else None
    if day is None or look.old is None:
        return ()
    try:
        return compare_days(plan_day(look.old, on=day.on), day)
    except FillmarkError:
        return ()


def _base_version(stored: StoredDraft) -> StoredPlan | None:
    if stored.animal_id is None:
        return None
    found = plan_versions.plans_of(household_id=stored.household_id, animal_id=stored.animal_id)
    return next((one for one in found if one.number == stored.base_number), None)


def _base(stored: StoredDraft) -> CarePlan | None:
    base = _base_version(stored)
    return read_plan(base.document.encode(), kind="json") if base else None


def faults_of(stored: StoredDraft) -> tuple[FillmarkError, ...]:
    """Everything that keeps a draft from being a plan, each with its place."""
    return draft_faults(stored.draft.document)
