"""Who came in and who let whom in, and how often a password was tried."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from fillmark.records import models


@dataclass(frozen=True, kw_only=True, slots=True)
class NotedSignIn:
    """One thing that happened where people sign in.

    Attributes:
        what: Its kind.
        person_name: Whom it is about.
        by_name: Who did it, where that is another person.
        words: What else is known.
    """

    at: datetime
    what: str
    person_name: str
    by_name: str
    words: str


def add(
    *, household_id: UUID, person_id: UUID, what: str, words: str, now: datetime, by: UUID | None, keep: timedelta
) -> None:
    """Write it down, and let go of what is older than `keep`."""
    models.SignInEvent.objects.filter(household_id=household_id, at__lt=now - keep).delete()
    models.SignInEvent.objects.create(
        household_id=household_id, person_id=person_id, by_id=by, at=now, what=what, words=words
    )


def newest(*, household_id: UUID, most: int) -> tuple[NotedSignIn, ...]:
    """The newest first."""
    rows = models.SignInEvent.objects.filter(household_id=household_id).select_related("person", "by")
    return tuple(
        NotedSignIn(
            at=row.at,
            what=row.what,
            person_name=row.person.name,
            by_name=row.by.name if row.by else "",
            words=row.words,
        )
        for row in rows.order_by("-at", "-pk")[:most]
    )


def tries(key: str, *, since: datetime) -> tuple[int, datetime] | None:
    """How often it was tried, and when last; none where it was not since then."""
    return models.Tries.objects.filter(pk=key, last_at__gte=since).values_list("count", "last_at").first()


def add_try(key: str, *, seen: int, now: datetime, forget: timedelta) -> bool:
    """Count one more try; False where another one was counted since `seen` was read.

    Args:
        key: Of the name or the address.
        seen: How many there were.
        now: The present instant.
        forget: Tries that ended so long ago are forgotten.
    """
    if seen or models.Tries.objects.filter(pk=key, count=0).exists():
        return bool(models.Tries.objects.filter(pk=key, count=seen).update(count=seen + 1, last_at=now))
    models.Tries.objects.filter(last_at__lt=now - forget).delete()
    return models.Tries.objects.get_or_create(pk=key, defaults={"count": 1, "last_at": now})[1]


def set_tries(key: str, count: int) -> None:
    """So many, as it was before the right password was given."""
    models.Tries.objects.filter(pk=key).update(count=count)
