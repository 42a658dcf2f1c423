"""What is written about other entries, and about the times of a day."""

from typing import Annotated, Literal

from pydantic import Field

from fillmark.core.record.fields import EntryId, Ml, Moment, SessionId
from fillmark.core.values.document import Id, Part, Words

MOST_SESSIONS = 48
"""A day has no more sessions than this."""


class ReplannedSession(Part):
    """One session of today at another time; it stays the same session.

    Attributes:
        at: When it is to come now.
        meal_ml: Blend of its meal, where that is no longer what the plan says [mL].
        without: Medicines of it that are skipped today.
    """

    session: SessionId
    at: Annotated[Moment, Field(strict=False)]
    meal_ml: Ml | None = None
    without: Annotated[tuple[Id, ...], Field(max_length=40, strict=False)] = ()


class DayReplanned(Part):
    """The rest of today goes on at other times, and why. Of two that name a session, the newest counts for it."""

    kind: Literal["day_replanned"] = "day_replanned"
    sessions: Annotated[tuple[ReplannedSession, ...], Field(min_length=1, max_length=MOST_SESSIONS, strict=False)]
    reason: Words


class Withdrawn(Part):
    """The entry named in `corrects` did not happen, and why it was written."""

    kind: Literal["withdrawn"] = "withdrawn"
    reason: Words


class BothGiven(Part):
    """The answer "twice": these entries look like one, or stand too close, and all of them happened.

    Attributes:
        session: The session they belong to; none where they belong to several.
        reason: Why so close, where that was asked.
    """

    kind: Literal["both_given"] = "both_given"
    session: SessionId | None = None
    entries: Annotated[tuple[EntryId, ...], Field(min_length=2, max_length=20, strict=False)]
    reason: Words | None = None
