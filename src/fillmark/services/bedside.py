"""The one door: an animal's side is loaded once, the core decides on it, and what may be written is written once.

Every entry comes through here, by whichever road: a press, a phone's list, an answer, a photo, new times.
"""

import logging
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from uuid import UUID

from django.db import IntegrityError, transaction

from fillmark.core.bedside.named import check_named, named_entries
from fillmark.core.bedside.side import (
    DOSE_KINDS,
    MEAL_KINDS,
    SOME_DAYS_KINDS,
    STANDING_KINDS,
    Side,
    as_kept,
    first_dose_day,
)
from fillmark.core.bedside.versions import Home, StoredPlan, in_force_at, in_force_during
from fillmark.core.chart.givings import reach
from fillmark.core.gates.press import OF_ONE_MEDICINE, check_press
from fillmark.core.record.batches import BATCH_KINDS
from fillmark.core.record.care_entries import Ate, BatchChosen, BatchMade, FlowTested, SheetPrinted
from fillmark.core.record.entries import Entry, KeptEntry, session_day
from fillmark.core.record.medicine_entries import MedicineGiven, SecondCheck
from fillmark.core.record.session_entries import CameBack, FillGiven, SessionStarted
from fillmark.core.values.errors import BadEntry, FillmarkError, NotRead
from fillmark.core.values.people import Caregiver
from fillmark.published.record_rules import KEPT_DAYS
from fillmark.records import homes, keeping, plan_versions, rollups, sides, standing
from fillmark.records.reach import is_out_of_reach
from fillmark.records.sides import PlanHead
from fillmark.records.written import Wanted
from fillmark.services.not_read import clock_was_set_back, not_read

_FOR_EVER = datetime.max.replace(tzinfo=UTC)
_FAULTS_IN_A_ROW = 3
_log = logging.getLogger(__name__)
_USUAL_BACK = timedelta(days=KEPT_DAYS.value)
"""Most orders reach back less far; where one reaches further, more is loaded."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Recorded:
    """The acknowledgement of one entry.

    Attributes:
        seq: Its place in the household's sequence.
        was_known: It was in the record before; nothing changed.
        clock_ahead: How far the device's clock runs ahead, where that is worth asking about.
    """

    seq: int
    was_known: bool
    clock_ahead: timedelta | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class _At:
    """Who stands beside which animal, and when."""

    person: Caregiver
    home: Home
    animal_id: UUID
    now: datetime


@dataclass(frozen=True, kw_only=True, slots=True)
class _Needs:
    """What of the plan is needed.

    Attributes:
        plan: Whether any of it is.
        doses_at: At which instants a dose is judged: what bears on it is loaded, however far back that reaches.
        medicines: Which ones must be known, if a version names them.
        all_versions: Whether every version is needed, however old.
    """

    plan: bool = True
    doses_at: tuple[datetime, ...] = ()
    medicines: frozenset[str] = frozenset()
    all_versions: bool = False


Answer = Recorded | FillmarkError


def load(*, person: Caregiver, home: Home, animal_id: UUID, now: datetime) -> Side:
    """An animal's side as a page shows it: since yesterday whole, and of some days more what still bears on today.

    Raises:
        NotAllowed: the animal lives elsewhere.
    """
    wanted = Wanted(
        since=home.day_of(now) - timedelta(days=1),
        kinds=SOME_DAYS_KINDS,
        kinds_since=first_dose_day(now, _USUAL_BACK) - timedelta(days=1),
        standing=STANDING_KINDS,
    )
    return _load(wanted, _At(person=person, home=home, animal_id=animal_id, now=now), _Needs(doses_at=(now,)))


def load_by_ids(*, household_id: UUID, by: UUID, animal_id: UUID, now: datetime) -> Side:
    """An animal's side, where neither its household nor the person is loaded yet; see `load`."""
    return load(
        person=homes.find_caregiver(household_id=household_id, person_id=by),
        home=homes.find_home(household_id=household_id),
        animal_id=animal_id,
        now=now,
    )


def widen(side: Side, *, days: Iterable[date] = (), kinds_since: date | None = None) -> Side:
    """The same side with more of the record.

    Args:
        side: As it was loaded.
        days: All entries of these days besides.
        kinds_since: What bears on later days, from this day on.
    """
    missing = [day for day in days if not side.is_whole(day)]
    is_further = kinds_since is not None and (side.kinds_since is None or kinds_since < side.kinds_since)
    if not missing and not is_further:
        return side
    wanted = Wanted(days=missing)
    if kinds_since is not None and is_further:
        wanted = replace(wanted, kinds=SOME_DAYS_KINDS, kinds_since=kinds_since)
        if side.has_rare:
            wanted = replace(wanted, standing=STANDING_KINDS)
    more = _load(wanted, _At(person=side.person, home=side.home, animal_id=side.animal_id, now=side.now), _Needs())
    return replace(
        side,
        versions=tuple({one.id: one for one in (*side.versions, *more.versions)}.values()),
        medicines=side.medicines | more.medicines,
        kept={**side.kept, **more.kept},
        standing=side.standing | more.standing,
        whole_days=side.whole_days | more.whole_days,
        kinds_since=kinds_since if is_further else side.kinds_since,
        kinds=more.kinds if is_further else side.kinds,
    )


def keep(
    *,
    household_id: UUID,
    by: UUID,
    entries: Sequence[Entry],
    now: datetime,
    fresh: Collection[UUID] = (),
) -> tuple[Answer, ...]:
    """Keep facts, and answer for each of them in the same order. Once this returns, they are on the disk.

    One that cannot be kept does not hold up the others. Sending one again changes nothing. Where the database does not
    answer, nobody knows whether they are on the disk: that is raised, and all of them are sent again.

    Args:
        household_id: Whose record.
        by: The person who writes them.
        entries: What happened.
        now: The present instant.
        fresh: Those pressed now, by a person who can still be asked.
    """
    try:
        with transaction.atomic():
            return _keep(household_id, by, entries, now=now, fresh=fresh)
    except IntegrityError:  # another household writes an entry with this id at the same moment: nothing of it is told
        if len(entries) == 1:
            return (_taken_id(entries[0]),)
        _log.exception("A list of %d entries was not kept together", len(entries))
    except Exception as error:  # a fault of ours is an answer too: the others must not wait for its repair
        if is_out_of_reach(error):
            raise
        _log.exception("A list of %d entries was not kept together", len(entries))
        if len(entries) == 1:
            return (not_read(),)
    answers: list[Answer] = []
    for place, entry in enumerate(entries):
        if place >= _FAULTS_IN_A_ROW and all(isinstance(one, NotRead) for one in answers[-_FAULTS_IN_A_ROW:]):
            break  # what does not answer at all is not asked hundreds of times
        answers += keep(household_id=household_id, by=by, entries=[entry], now=now, fresh=fresh)
    return (*answers, *(not_read() for _ in entries[len(answers) :]))


def keep_together(
    *,
    household_id: UUID,
    by: UUID,
    entries: Sequence[Entry],
    now: datetime,
    fresh: Collection[UUID] = (),
    is_accepted: bool = False,
) -> tuple[Recorded, ...]:
    """Keep facts that belong together: all of them or none. Once this returns, they are on the disk.

    Args:
        household_id: Whose record.
        by: The person who writes them.
        entries: What happened.
        now: The present instant.
        fresh: Those pressed now, by a person who can still be asked.
        is_accepted: They were worked out by us and accepted on their page, as only that page may write them.
    Raises:
        FillmarkError: the first that cannot be kept; see `check_press`.
    """
    try:
        with transaction.atomic():
            answers = _keep(household_id, by, entries, now=now, fresh=fresh, is_accepted=is_accepted)
            for one in answers:
                if isinstance(one, FillmarkError):
                    raise one
            return tuple(one for one in answers if isinstance(one, Recorded))
    except IntegrityError:  # as in `keep`
        if len(entries) != 1:
            raise
        raise _taken_id(entries[0]) from None


def _keep(
    household_id: UUID,
    by: UUID,
    entries: Sequence[Entry],
    *,
    now: datetime,
    fresh: Collection[UUID],
    is_accepted: bool = False,
) -> tuple[Answer, ...]:
    try:
        home, person = homes.take_numbers(household_id=household_id, person_id=by, count=len(entries))
    except FillmarkError as error:
        transaction.set_rollback(True)
        return (error,) * len(entries)
    answers: dict[int, Answer] = {}
    left = len(entries)
    for animal_id in dict.fromkeys(entry.animal_id for entry in entries):
        mine = {place: entry for place, entry in enumerate(entries) if entry.animal_id == animal_id}
        try:
            side = _load_for(mine.values(), fresh, person=person, home=home, now=now)
        except FillmarkError as error:
            answers.update(dict.fromkeys(mine, error))
            continue
        found, new = _keep_beside(side, mine, fresh=fresh, is_accepted=is_accepted, is_alone=len(entries) == 1)
        answers.update(found)
        home, left = replace(home, last_seq=home.last_seq + new), left - new
    if left == len(entries):
        transaction.set_rollback(True)  # nothing was written: nothing need reach the disk
    elif left:
        homes.give_numbers_back(household_id=household_id, count=left)
    return tuple(answers[place] for place in range(len(entries)))


def _keep_beside(
    side: Side, mine: Mapping[int, Entry], *, fresh: Collection[UUID], is_accepted: bool, is_alone: bool
) -> tuple[dict[int, Answer], int]:
    """Decide on the entries of one animal, each after those before it, and write them; how many are new comes out."""
    answers: dict[int, Answer] = {}
    new: dict[int, KeptEntry] = {}
    judged = side
    for place, entry in mine.items():
        known = judged.kept.get(entry.id)
        if entry.id in side.taken or (known is not None and known.entry != entry):
            answers[place] = _taken_id(entry)
            continue
        if known is not None:
            answers[place] = Recorded(seq=known.seq, was_known=True)
            continue
        try:
            ahead = check_press(judged, entry, is_fresh=entry.id in fresh, is_accepted=is_accepted)
            check_named(judged, entry, people=_people_for(entry, side), is_fresh=entry.id in fresh)
        except FillmarkError as error:
            answers[place] = clock_was_set_back(side) or error if error.field == "at" else error
            continue
        kept = new[place] = as_kept(judged, entry)
        answers[place] = Recorded(seq=kept.seq, was_known=False, clock_ahead=ahead)
        judged = judged.with_entry(kept)
    if not new:
        return answers, 0
    added = keeping.add_entries(tuple(new.values()), household_id=side.home.id, is_alone=is_alone)
    if len(added) < len(new):
        places = {one.entry.id: place for place, one in new.items()}
        answers.update({place: _taken_id(one.entry) for place, one in new.items()})
        answers.update({places[one.entry.id]: Recorded(seq=one.seq, was_known=False) for one in added})
        judged = replace(side, kept={**side.kept, **{one.entry.id: one for one in added}})
    rollups.bring_up_to_date(judged, added)
    standing.bring_up_to_date(judged, added)
    return answers, len(added)


def _people_for(entry: Entry, side: Side) -> frozenset[UUID]:
    """Everybody of the household, where the entry names a person."""
    if not isinstance(entry.payload, SecondCheck) or entry.payload.reader is None:
        return frozenset()
    return frozenset(one.id for one in homes.caregivers(side.home.id))


def _load_for(
    entries: Collection[Entry], fresh: Collection[UUID], *, person: Caregiver, home: Home, now: datetime
) -> Side:
    """What these entries of one animal are judged by, and what their days add up to."""
    pressed = [entry for entry in entries if entry.id in fresh]
    doses_at = tuple(entry.at for entry in pressed if isinstance(entry.payload, MedicineGiven))
    days = {session_day(one.session, day_starts=home.day_starts) for one in pressed if one.session is not None}
    kinds: tuple[str, ...] = DOSE_KINDS + MEAL_KINDS if doses_at else ()
    if any(isinstance(entry.payload, FillGiven | BatchChosen) for entry in pressed):
        kinds += BATCH_KINDS
    feeds = any(isinstance(entry.payload, SessionStarted | FillGiven | CameBack) for entry in pressed)
    wanted = Wanted(
        ids={
            one
            for entry in entries
            for one in (entry.id, entry.corrects, *named_entries(entry.payload))
            if one is not None
        },
        days=days,
        since=home.day_of(now) - timedelta(days=1) if feeds else None,
        kinds=kinds,
        kinds_since=first_dose_day(min((now, *doses_at)), _USUAL_BACK) - timedelta(days=1),
        standing=STANDING_KINDS if pressed else (),
    )
    named = {entry.payload.medicine for entry in entries if isinstance(entry.payload, OF_ONE_MEDICINE)}
    needs_all = any(isinstance(entry.payload, Ate | BatchMade | FlowTested | SheetPrinted) for entry in entries)
    return _load(
        wanted,
        _At(person=person, home=home, animal_id=next(iter(entries)).animal_id, now=now),
        _Needs(
            plan=bool(pressed or named or needs_all),
            doses_at=doses_at,
            medicines=frozenset(named),
            all_versions=needs_all,
        ),
    )


def _load(wanted: Wanted, at: _At, needs: _Needs) -> Side:
    beside = sides.read_beside(wanted, household_id=at.home.id, animal_id=at.animal_id)
    if not beside.is_here:
        raise homes.not_here("animal", at.animal_id)
    versions = _versions(beside.heads, wanted, at, needs) if needs.plan else ()
    in_force = [(one, in_force_at(versions, one)) for one in needs.doses_at]
    firsts = [
        first_dose_day(one, reach(stored.plan.medicines)) for one, stored in in_force if stored and stored.is_readable
    ]
    if min(firsts, default=wanted.kinds_since) < wanted.kinds_since:
        return _load(replace(wanted, kinds_since=min(firsts)), at, needs)
    return Side(
        person=at.person,
        home=at.home,
        animal_id=at.animal_id,
        now=at.now,
        versions=versions,
        medicines=_medicines(versions),
        kept={one.entry.id: one for one in beside.kept},
        taken=beside.elsewhere & set(wanted.ids),
        whole_since=wanted.since,
        whole_days=frozenset(wanted.days),
        kinds_since=wanted.kinds_since if wanted.kinds else None,
        kinds=frozenset(wanted.kinds),
        has_rare=bool(wanted.standing),
        standing=beside.standing,
        set_aside=beside.set_aside,
    )


def _versions(heads: Sequence[PlanHead], wanted: Wanted, at: _At, needs: _Needs) -> tuple[StoredPlan, ...]:
    """The versions in force since the first day that is loaded, or later; all where a medicine is of none of these."""
    days = [*wanted.days, wanted.since or at.home.day_of(at.now), *([wanted.kinds_since] if wanted.kinds else [])]
    first_at = at.home.start_of(min(days) - timedelta(days=1))
    found = plan_versions.plans_with(in_force_during(heads, first_at=first_at, last_at=_FOR_EVER))
    is_enough = set(needs.medicines) <= _medicines(found) and not needs.all_versions
    return found if is_enough else plan_versions.plans_with(heads)


def _medicines(versions: Iterable[StoredPlan]) -> frozenset[str]:
    return frozenset(medicine.id for version in versions if version.is_readable for medicine in version.plan.medicines)


def _taken_id(entry: Entry) -> BadEntry:
    return BadEntry(
        field="id",
        got=f"The id {entry.id}, which an entry that says something else already has",
        allowed="a new id for each entry",
        remedy="Look at the record for what was kept; to change it, send a correction under a new id.",
    )
