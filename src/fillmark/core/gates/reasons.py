"""Why does a meal go on although something speaks against it? What somebody wrote holds for what was known then."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from fillmark.core.record.entries import KeptEntry
from fillmark.core.record.session_entries import FillGiven, SessionStarted


@dataclass(frozen=True, kw_only=True, slots=True)
class MealReason:
    """Why a meal goes on all the same, as somebody wrote it in its session."""

    reason: str
    by_name: str
    at: datetime


def newest_reason(counting: Iterable[KeptEntry], session: str) -> MealReason | None:
    """The newest reason that was written in a session; none where nobody wrote one.

    Args:
        counting: Entries that count, in the order they happened.
        session: The session's identity.
    """
    found = None
    for one in counting:
        payload = one.entry.payload
        if isinstance(payload, SessionStarted | FillGiven) and payload.session == session and payload.reason:
            found = MealReason(reason=payload.reason, by_name=one.by_name, at=one.entry.at)
    return found
