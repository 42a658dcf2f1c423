"""What is next, was the last one given, and how far a session has come."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from types import MappingProxyType

from fillmark.core.bedside.side import Side
from fillmark.core.day.values import PlannedSession
from fillmark.core.record.entries import session_day
from fillmark.core.record.sessions import SessionRecord, Standing, read_session, read_sessions
from fillmark.core.record.two_walks import PossibleDouble
from fillmark.core.today.replanned import newest_times
from fillmark.core.values.errors import AlreadyRecorded, FillmarkError
from fillmark.published.record_rules import AHEAD_DAYS, STAYS_NEXT_MINUTES

_OPEN = {Standing.NO_ENTRY, Standing.IN_HAND, Standing.PAUSED}


@dataclass(frozen=True, kw_only=True, slots=True)
class SessionView:
    """One session: what was planned beside what was recorded. Either may be missing."""

    planned: PlannedSession | None
    record: SessionRecord

    @property
    def session(self) -> str:
        """Its identity: the planned time."""
        return self.record.session

    @property
    def is_open(self) -> bool:
        """Whether there is still something to do in it."""
        return self.record.standing in _OPEN


@dataclass(frozen=True, kw_only=True, slots=True)
class NextAndLast:
    """What the first screen answers.

    Attributes:
        last: The newest session that was recorded or is past its time; its record says whether it was given.
        next: The session in hand, or the first open one that is not past; none when the plan names none.
        sessions: Today's and yesterday's sessions, in order of time.
        clashes: Questions waiting for an answer.
        problem: Why a day cannot be worked out of the plan; none when it can.
        ahead: What is planned from yesterday on, as far as a phone works without a signal.
    """

    last: SessionView | None
    next: SessionView | None
    sessions: tuple[SessionView, ...]
    clashes: tuple[PossibleDouble, ...]
    problem: str | None
    ahead: tuple[PlannedSession, ...]

    @property
    def stopped_before(self) -> str | None:
        """The session before the next one where it was stopped; nothing is started until someone has cleared it."""
        is_stopped = self.last is not None and self.last.record.standing is Standing.STOPPED
        return self.last.session if self.last is not None and is_stopped else None


def no_entry(session: str) -> SessionRecord:
    """A session of which nothing is recorded."""
    return SessionRecord(session=session, standing=Standing.NO_ENTRY, steps_skipped={})


def session_state(side: Side, session: str) -> SessionRecord:
    """How far one session has come, by its entries: a walk goes on from here.

    Args:
        side: The animal's side, as loaded.
        session: The session's identity.
    """
    day = session_day(session, day_starts=side.home.day_starts)
    return read_session(session=session, entries=side.of_days(day, day), now=side.now)


def next_and_last(side: Side) -> NextAndLast:
    """What is next, and what became of the session before it.

    What is in hand comes first; then the newest session whose time came a short while ago and that has no entry; then
    the first one still to come.

    Source:
        record.stays_next_minutes
    """
    first, last = side.today - timedelta(days=1), side.today + timedelta(days=1)
    entries = side.of_days(first, last)
    planned: dict[str, PlannedSession] = {}
    problem = None
    ahead: list[PlannedSession] = []
    new = newest_times(entries)
    days = side.sessions_of_days(first, side.today + timedelta(days=AHEAD_DAYS.value), new=new)
    for one, found in days.items():
        if isinstance(found, FillmarkError):  # what was recorded is shown all the same
            problem = problem or (str(found) if one <= last else None)
            continue
        ahead += found
        if one <= last:
            planned.update((session.key, session) for session in found)
    records = read_sessions(entries=entries, now=side.now)
    silent = {session: no_entry(session) for session in planned if session not in records}
    views = [
        SessionView(planned=planned.get(session), record=record) for session, record in {**records, **silent}.items()
    ]
    # a session that was given another time today stands where it comes now
    times = {key: local_key(word.at.astimezone(side.zone)) for key, word in new.items()}
    views.sort(key=lambda view: (times.get(view.session, view.session), view.session))
    place = next_place([view.record for view in views], side.now.astimezone(side.zone), times=times)
    before = views[:place] if place is not None else views
    return NextAndLast(
        last=before[-1] if before else None,
        next=views[place] if place is not None else None,
        sessions=tuple(views),
        clashes=tuple(clash for view in views for clash in view.record.clashes),
        problem=problem,
        ahead=tuple(ahead),
    )


def check_nothing_stopped(state: NextAndLast) -> None:
    """After a stop nothing is started until someone has cleared it.

    Raises:
        AlreadyRecorded: the session before was stopped.
    """
    before = state.stopped_before
    if before is not None:
        raise AlreadyRecorded(
            field="session",
            got=f"A start, when the {before[11:]} session was stopped and nobody has cleared it",
            allowed="a start after someone has written down what the vet said",
            remedy=f"Go to the stopped {before[11:]} session first.",
        )


def next_place(
    records: Sequence[SessionRecord], local_now: datetime, *, times: Mapping[str, str] = MappingProxyType({})
) -> int | None:
    """Which of these sessions is next; none when all are behind.

    Args:
        records: The sessions around now, in order of time.
        local_now: The present instant in the household's zone.
        times: When a session comes, written as sessions are named, where it is not what its name says.
    Source:
        record.stays_next_minutes
    """
    in_hand = [place for place, one in enumerate(records) if one.standing in (Standing.IN_HAND, Standing.PAUSED)]
    if in_hand:
        return in_hand[-1]
    # What is recorded ahead of its time is behind all the same; what came before it is not offered again.
    behind = max((place for place, one in enumerate(records) if one.standing is not Standing.NO_ENTRY), default=-1)
    earliest = local_now - timedelta(minutes=STAYS_NEXT_MINUTES.value)
    comes = [times.get(one.session, one.session) for one in records]
    due = [place for place, time in enumerate(comes) if time <= local_key(local_now)]
    if due and due[-1] > behind and comes[due[-1]] >= local_key(earliest):
        return due[-1]
    first = max(behind, due[-1] if due else -1) + 1
    return first if first < len(records) else None


def local_key(local: datetime) -> str:
    """A local time of day as sessions are named, so that both sort together."""
    return local.strftime("%Y-%m-%dT%H:%M")
