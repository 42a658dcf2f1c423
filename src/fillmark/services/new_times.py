"""The rest of today at other times: proposed beside the present ones, and in force for today once accepted."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from django.db import transaction

from fillmark.core.bedside.next_session import no_entry
from fillmark.core.bedside.side import Side
from fillmark.core.chart.givings import read_givings
from fillmark.core.day.values import PlannedSession
from fillmark.core.gates.press import check_may_correct
from fillmark.core.record.corrections import counting_entries
from fillmark.core.record.day_entries import MOST_SESSIONS, DayReplanned, ReplannedSession, Withdrawn
from fillmark.core.record.entries import Entry, Payload
from fillmark.core.record.session_entries import SessionSkipped
from fillmark.core.record.sessions import read_sessions
from fillmark.core.timetable import Away
from fillmark.core.today.new_times import NewTime, NewTimes, TodaysSession, propose_times
from fillmark.core.values.errors import BadEntry, BadPlan, FeedingIsLocked
from fillmark.core.values.explain import Explained
from fillmark.core.values.people import Capability
from fillmark.records import homes
from fillmark.services import bedside, household, record
from fillmark.services.intake import Loaded, Today, load_today, today_of

STAYS_MINUTES = 15
"""A proposal can be accepted for so long; then the day has gone on, and it is worked out anew [minutes]."""

_BACK = "Back to the times before"


@dataclass(frozen=True, kw_only=True, slots=True)
class Wish:
    """What is to be planned around.

    Attributes:
        away: When nobody can come.
        again: Sessions past their time that were not given, and may be given late.
    """

    away: Away | None = None
    again: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class NewTimesOffer:
    """A proposal for the rest of today.

    Attributes:
        times: When each session still to come is to be.
        today: The amounts that belong to these times.
        amounts: By session, the blend of its meal where it is to change [mL].
    """

    loaded: Loaded
    times: Explained[NewTimes]
    today: Today
    amounts: dict[str, float]

    @property
    def changed(self) -> tuple[NewTime, ...]:
        """The sessions that come otherwise than they were to."""
        return tuple(one for one in self.times.value.times if one.is_changed or self._new_ml(one) != self._old_ml(one))

    @property
    def seen(self) -> str:
        """What a person saw; accepting repeats it, so that nothing else than what was seen is put in force."""
        told = [f"{self.loaded.stored.number}"]
        for one in self.times.value.times:
            at = one.at.isoformat() if one.at else "let go"
            told.append(f"{one.key} {at} {self._new_ml(one)} without {','.join(one.without)}")
        return "; ".join(told)

    def old_ml(self, one: NewTime) -> float:
        """Blend of a session's meal as it was to be [mL]."""
        return self._old_ml(one) or one.ordered.meal_ml

    def new_ml(self, one: NewTime) -> float:
        """Blend of a session's meal as it is to be now [mL], 0 where it is skipped."""
        return self.amounts.get(one.key, one.ordered.meal_ml) if one.has_meal else 0.0

    def _old_ml(self, one: NewTime) -> float | None:
        word = self.loaded.new.get(one.key)
        return word.meal_ml if word else None

    def _new_ml(self, one: NewTime) -> float | None:
        """The blend where it is not what the plan says [mL]."""
        new = self.new_ml(one)
        return None if new == one.ordered.meal_ml else new

    def payloads(self, *, reason: str) -> list[Payload]:
        """What is written down when it is accepted: the new times, then each session that is skipped."""
        moved = tuple(
            ReplannedSession(session=one.key, at=one.at, meal_ml=self._new_ml(one), without=one.without)
            for one in self.changed
            if one.at is not None
        )
        found: list[Payload] = [DayReplanned(sessions=moved, reason=reason)] if moved else []
        for one in self.changed:
            if one.at is None:
                why = "; ".join(dict.fromkeys(because for _, because in one.let_go))
                found.append(SessionSkipped(session=one.key, reason=f"Let go: {why}. {reason}"))
        return found


def propose(side: Side, *, wish: Wish) -> NewTimesOffer | None:
    """The rest of today beside what it would be; none before the first plan. Nothing changes.

    Raises:
        FillmarkError: today cannot be worked out of the plan, or the wish cannot be meant.
    """
    now = side.now
    if wish.away is not None and not now <= wish.away.until_at:
        raise BadPlan(
            field="until",
            got=f"Away until {wish.away.until_at:%H:%M}, which is past",
            allowed="a time still to come today",
            remedy="Enter when somebody can come again.",
        )
    loaded = load_today(side)
    if loaded is None:
        return None
    if wish.away is not None and not wish.away.until_at < loaded.ends_at:
        raise BadPlan(
            field="until",
            got=f"Away until {wish.away.until_at.astimezone(loaded.zone):%H:%M} of the next day",
            allowed=f"a time before the day ends at {loaded.ends_at:%H:%M}",
            remedy="Plan today anew for what is left of today, and tomorrow's in the plan.",
        )
    records = read_sessions(entries=loaded.entries, now=now)
    doses = side.doses(at=now)
    time_zone = loaded.plan.household.time_zone

    def beside(session: PlannedSession) -> TodaysSession:
        found = records.get(session.key) or no_entry(session.key)
        return TodaysSession(ordered=session, at=loaded.at(session), record=found)

    times = propose_times(
        loaded.plan,
        today=[beside(session) for session in loaded.sessions[loaded.day]],
        around=[beside(one) for day, found in loaded.sessions.items() if day != loaded.day for one in found],
        givings=read_givings(counting_entries(doses.entries), time_zone=time_zone) if doses else (),
        now=now,
        on=loaded.day,
        ends_at=loaded.ends_at,
        away=wish.away,
        again=wish.again,
    )
    placed = {one.key: one.at if one.has_meal else None for one in times.value.times if one.ordered.meal_ml}
    today = today_of(loaded, now=now, placed=placed)
    amounts = {}
    if loaded.plan.orders.missed_meal == "spread":
        amounts = {meal.session: meal.blend_ml for meal in today.rest.value.meals if meal.is_changed}
    return NewTimesOffer(loaded=loaded, times=times, today=today, amounts=amounts)


@transaction.atomic
def set_times(
    *,
    household_id: UUID,
    animal_id: UUID,
    by: UUID,
    wish: Wish,
    seen: str,
    asked_at: datetime,
    reason: str,
    entry_id: UUID,
    device: str,
    now: datetime,
) -> tuple[Entry, ...]:
    """Give the rest of today its new times. Tomorrow is as the plan has it, and so is every day behind.

    Args:
        household_id: Whose.
        animal_id: For which animal.
        by: The lead or helper who accepts.
        wish: What the proposal was made for.
        seen: `Offer.seen` of what they saw.
        asked_at: When it was worked out for them.
        reason: Why, in their words.
        entry_id: Made with the page, so that a second press changes nothing.
        device: Which device it was pressed on.
        now: The present instant.
    Raises:
        NotAllowed: `by` may not change today's times.
        FeedingIsLocked: nothing goes through the tube at present.
        BadPlan: the proposal is no longer what was seen, or nothing would change.
    """
    home = homes.find_home(household_id=household_id, lock=True)
    person = household.check_person(household_id=household_id, by=by, what=Capability.RECORD_ANYTHING, now=now)
    if record.is_recorded(household_id=household_id, entry_id=entry_id):
        return ()
    # by the record of now, at the moment for which it was worked out
    side = bedside.load(person=person, home=home, animal_id=animal_id, now=asked_at)
    is_recent = timedelta(0) <= now - asked_at <= timedelta(minutes=STAYS_MINUTES)
    payloads = _payloads(side, wish=wish, seen=seen if is_recent else None, reason=reason)
    entries = [
        Entry(
            id=UUID(int=entry_id.int + place),
            animal_id=animal_id,
            at=now,
            zone=home.time_zone,
            device=device,
            payload=payload,
        )
        for place, payload in enumerate(payloads)
    ]
    bedside.keep_together(household_id=household_id, by=by, entries=entries, now=now, is_accepted=True)
    return tuple(entries)


def _payloads(side: Side, *, wish: Wish, seen: str | None, reason: str) -> list[Payload]:
    """What accepting writes, where the proposal still is what was seen."""
    if side.lock is not None:
        raise FeedingIsLocked(
            field="lock",
            got="New times while feeding is locked",
            allowed="new times once a lead has written down what the vet said",
            remedy="See what locks it first.",
        )
    offer = propose(side, wish=wish) if seen is not None else None
    if offer is None or offer.seen != seen:
        raise BadPlan(
            field="seen",
            got="A day that is no longer the one you saw",
            allowed="the times as they were shown",
            remedy="Look at the new times again, then accept them.",
        )
    payloads = offer.payloads(reason=reason.strip()[:500] or "The rest of the day was planned anew")
    if not payloads:
        raise BadPlan(
            field="seen",
            got="A day in which nothing changes",
            allowed="a day with other times",
            remedy="Say when you are away, or what was not given.",
        )
    return payloads


@transaction.atomic
def take_back(
    *, household_id: UUID, animal_id: UUID, by: UUID, of: UUID, entry_id: UUID, device: str, now: datetime
) -> None:
    """Take the newest new times back: what they moved comes again when it was to come before.

    Raises:
        NotAllowed: `by` may not change today's times.
        BadEntry: it is not the newest of today, or it is taken back already.
    """
    side = bedside.load_by_ids(household_id=household_id, by=by, animal_id=animal_id, now=now)
    in_force = side.replanned(first=side.today, last=side.today)
    if not in_force or in_force[-1].entry.id != of:
        raise BadEntry(
            field="of",
            got="New times that are not the last ones of today",
            allowed="the last new times of today",
            remedy="Look at the day again.",
        )
    kept = in_force[-1]
    check_may_correct(side.person, Withdrawn(reason=_BACK), corrected=kept)
    beside = side.of_days(kept.day, kept.day)
    let_go = [
        one.entry.id
        for one in counting_entries(beside)
        if isinstance(one.entry.payload, SessionSkipped) and 0 < one.entry.id.int - of.int <= MOST_SESSIONS
    ]
    entries = [
        Entry(
            id=UUID(int=entry_id.int + place),
            animal_id=animal_id,
            at=now,
            zone=kept.entry.zone,
            device=device,
            payload=Withdrawn(reason=_BACK),
            corrects=taken_back,
        )
        for place, taken_back in enumerate((of, *let_go))
    ]
    bedside.keep_together(household_id=household_id, by=by, entries=entries, now=now)
