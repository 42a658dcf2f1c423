"""Whether the database answers; and whose turn it is, so that one home that does not move stops no other one."""

import sqlite3
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from uuid import UUID

import psycopg
from django.db import InterfaceError, OperationalError

MOST_WAIT = 2
"""So many threads of a process wait for one home; a process has more, and the others answer the other homes."""
_TURN_COMES_SECONDS = 1.0
_LOST = ("08", "57", "53", "40", "55", "25P03")
"""PostgreSQL's classes of codes: no connection, stopped or canceled, no space, rolled back, locked, waited too long."""
_SQLITE_LOST = frozenset(
    {
        sqlite3.SQLITE_BUSY,
        sqlite3.SQLITE_LOCKED,
        sqlite3.SQLITE_FULL,
        sqlite3.SQLITE_IOERR,
        sqlite3.SQLITE_CANTOPEN,
        sqlite3.SQLITE_READONLY,
        sqlite3.SQLITE_INTERRUPT,
    }
)


class HomeIsBusy(OperationalError):
    """Others wait for this home already, and it does not move."""


def is_out_of_reach(error: BaseException | None) -> bool:
    """Whether the database could not do its work now, whatever it was asked: the same may be asked again later."""
    if isinstance(error, HomeIsBusy):
        return True
    if not isinstance(error, OperationalError | InterfaceError):
        return False
    cause = error.__cause__
    if isinstance(cause, psycopg.Error):
        return cause.sqlstate is None or cause.sqlstate.startswith(_LOST)
    if isinstance(cause, sqlite3.Error):
        return getattr(cause, "sqlite_errorcode", 0) & 0xFF in _SQLITE_LOST
    return isinstance(error, InterfaceError)  # a connection that is closed


def is_busy(error: BaseException | None) -> bool:
    """Whether it was only one home, or one row, that did not move."""
    cause = error.__cause__ if error is not None else None
    return isinstance(error, HomeIsBusy) or isinstance(cause, psycopg.errors.LockNotAvailable)


@dataclass(slots=True)
class _Turns:
    """The threads that wait for one home; `is_stuck` once one of them waited in vain."""

    waiting: int = 0
    is_stuck: bool = False


_turns: dict[UUID, _Turns] = {}
_changed = threading.Condition()


@contextmanager
def turn_of(household_id: UUID) -> Iterator[None]:
    """Wait for the lock of a home inside of this.

    A third thread waits for a moment, in which a home that moves has moved on; where it does not move, later ones are
    sent away at once.

    Raises:
        HomeIsBusy: two wait already.
    """
    with _changed:
        mine = _turns.setdefault(household_id, _Turns())
        free = mine.waiting < MOST_WAIT or (
            not mine.is_stuck
            and _changed.wait_for(lambda: mine.waiting < MOST_WAIT or mine.is_stuck, timeout=_TURN_COMES_SECONDS)
            and mine.waiting < MOST_WAIT
        )
        if not free:
            mine.is_stuck = True
            _changed.notify_all()
            raise HomeIsBusy("Others wait for this household already")
        mine.waiting += 1
    is_stuck = True
    try:
        yield
        is_stuck = False
    except BaseException as error:
        is_stuck = is_out_of_reach(error)
        raise
    finally:
        with _changed:
            mine.waiting -= 1
            mine.is_stuck = is_stuck
            _changed.notify_all()
