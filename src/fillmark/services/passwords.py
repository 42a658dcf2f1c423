"""Signing in with a name and a password: slowly for whoever guesses, and one at a time."""

import hashlib
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime, timedelta
from ipaddress import IPv6Address, ip_address, ip_network

from django.contrib.auth import authenticate
from django.contrib.auth.models import User

from fillmark.core.values.errors import TooManyTries
from fillmark.records import homes, sign_ins
from fillmark.services.visits import Happened, Visit, note

_FREE_BY_NAME = 5
"""A person who mistypes; from here on each wait is twice the one before."""
_FREE_BY_ADDRESS = 20
"""A household behind one address, with several who mistype."""
_FIRST_WAIT_SECONDS = 2
_LONGEST_WAIT_SECONDS = 60
"""A guesser who waits has 1,440 tries a day, and whoever is guessed at is kept out for a minute, not for a day."""
_FORGET = timedelta(days=1)
_RESTS = 9.0
"""After a wrong password no other one is tried for so many times as long as the trying took: whatever the number of
guessers and their addresses, a process spends a tenth of its time on them."""
_QUEUE_SECONDS = 2.0


def check_password(*, name: str, password: str, visit: Visit, now: datetime) -> User | None:
    """The user whose name and password these are; none where they do not belong together.

    Args:
        name: As it was typed.
        password: As it was typed.
        visit: From where.
        now: The present instant.
    Raises:
        TooManyTries: for this name, from this address, or of all; nothing was looked at.
    """
    keys = {
        _key("name", name.casefold()): _FREE_BY_NAME,
        _key("address", _network(visit.address)): _FREE_BY_ADDRESS,
    }
    seen = {key: sign_ins.tries(key, since=now - _FORGET) for key in keys}
    waits = [_wait(*found, free=keys[key], now=now) for key, found in seen.items() if found]
    if any(waits):
        raise TooManyTries(seconds=max(waits))
    with _turn() as slot:
        for key, found in seen.items():
            if not sign_ins.add_try(key, seen=found[0] if found else 0, now=now, forget=_FORGET):
                raise TooManyTries(seconds=1)
        user = authenticate(username=name, password=password)
        slot.has_failed = user is None
    if isinstance(user, User):
        for key, found in seen.items():
            sign_ins.set_tries(key, found[0] if found and keys[key] == _FREE_BY_ADDRESS else 0)
        _note_visit(user, Happened.TYPED, visit=visit, now=now)
        return user
    known = User.objects.filter(username=name).first()
    if known is not None:
        _note_visit(known, Happened.REFUSED, visit=visit, now=now)
    return None


def _note_visit(user: User, happened: Happened, *, visit: Visit, now: datetime) -> None:
    caregiver = homes.caregiver_of_user(user.pk)
    if caregiver is not None:
        note(happened, household_id=caregiver.household_id, person_id=caregiver.id, now=now, words=visit.words)


def _key(kind: str, what: str) -> str:
    return hashlib.sha256(f"{kind}:{what}".encode()).hexdigest()


def _network(address: str) -> str:
    """What one visitor can choose freely counts as one address: the half of an IPv6 address that is their own."""
    try:
        found = ip_address(address)
    except ValueError:
        return "not known"
    if isinstance(found, IPv6Address):
        return str(found.ipv4_mapped or ip_network((found, 64), strict=False))
    return str(found)


def _wait(count: int, last_at: datetime, *, free: int, now: datetime) -> int:
    """How long the next try has to wait [s]; 0 where it need not. A clock that was set back makes it no longer."""
    if count < free:
        return 0
    whole = min(_FIRST_WAIT_SECONDS * 2 ** min(count - free, 10), _LONGEST_WAIT_SECONDS)
    left = (last_at - now).total_seconds() + whole
    return 0 if left <= 0 else min(whole, int(left) + 1)


@dataclass(slots=True)
class _Slot:
    has_failed: bool = False


_hashing = threading.Lock()
_waiting = threading.BoundedSemaphore(2)
_rests_until = 0.0


def is_closed() -> bool:
    """Whether one password is being tried here and another one waits: the next one is sent away."""
    if _waiting.acquire(blocking=False):
        _waiting.release()
        return False
    return True


@contextmanager
def _turn() -> Iterator[_Slot]:
    """The one place in this process where a password is tried; one more waits for it, and the others are sent away."""
    global _rests_until
    if not _waiting.acquire(blocking=False):
        raise TooManyTries(seconds=2)
    try:
        if not _hashing.acquire(timeout=_QUEUE_SECONDS):
            raise TooManyTries(seconds=2)
        try:
            time.sleep(max(0.0, min(_rests_until - time.monotonic(), _QUEUE_SECONDS)))
            began, slot = time.monotonic(), _Slot()
            yield slot
            ended = time.monotonic()
            _rests_until = ended + _RESTS * (ended - began) if slot.has_failed else 0.0
        finally:
            _hashing.release()
    finally:
        _waiting.release()
