"""One entry of the record: who wrote what, when, on which device."""

import json
import re
from datetime import UTC, date, datetime, time, timedelta
from functools import cache
from typing import Annotated, Any, get_args
from uuid import UUID
from zoneinfo import ZoneInfo

from pydantic import (
    AwareDatetime,
    Field,
    TypeAdapter,
    ValidationError,
    model_validator,
)
from pydantic_core import PydanticCustomError

from fillmark.core.record.care_entries import (
    Ate,
    BatchChosen,
    BatchMade,
    Drank,
    FeedingCleared,
    FeedingLocked,
    FlowTested,
    FoodKept,
    Note,
    PhotoTaken,
    SheetPrinted,
    SheetThrownAway,
    TroubleSeen,
    Weighed,
)
from fillmark.core.record.day_entries import BothGiven, DayReplanned, Withdrawn
from fillmark.core.record.fields import EntryId, Label, Moment, check_days_anywhere
from fillmark.core.record.medicine_entries import (
    BottleOpened,
    EffectSeen,
    MedicineGiven,
    SecondCheck,
    StockCounted,
    StrengthConfirmed,
)
from fillmark.core.record.session_entries import (
    CameBack,
    FillGiven,
    FlushGiven,
    MealEnded,
    SessionEnded,
    SessionPaused,
    SessionResumed,
    SessionSkipped,
    SessionStarted,
    SessionStopped,
    SessionTaken,
    StepDone,
    StepSkipped,
)
from fillmark.core.record.unreadable import CannotBeRead
from fillmark.core.values.document import Part, ZoneName, say_bound
from fillmark.core.values.errors import BadEntry, FillmarkError
from fillmark.core.values.people import Role
from fillmark.core.values.quantities import write_number
from fillmark.core.values.words import say_date
from fillmark.published.record_rules import CLOCK_AHEAD_REFUSED_HOURS

Payload = Annotated[
    SessionStarted
    | SessionTaken
    | StepDone
    | StepSkipped
    | FillGiven
    | FlushGiven
    | MedicineGiven
    | EffectSeen
    | MealEnded
    | CameBack
    | SessionPaused
    | SessionResumed
    | SessionStopped
    | SessionEnded
    | SessionSkipped
    | FeedingLocked
    | FeedingCleared
    | TroubleSeen
    | Weighed
    | Drank
    | Ate
    | FlowTested
    | BatchChosen
    | BatchMade
    | DayReplanned
    | FoodKept
    | SheetPrinted
    | SheetThrownAway
    | Note
    | PhotoTaken
    | Withdrawn
    | BothGiven
    | SecondCheck
    | BottleOpened
    | StrengthConfirmed
    | StockCounted
    | CannotBeRead,
    Field(discriminator="kind"),
]

SITTER_KINDS = frozenset(
    {
        "session_started",
        "session_taken",
        "step_done",
        "step_skipped",
        "fill_given",
        "flush_given",
        "medicine_given",
        "effect_seen",
        "meal_ended",
        "came_back",
        "drank",
        "ate",
        "session_paused",
        "session_resumed",
        "session_stopped",
        "session_ended",
        "session_skipped",
        "feeding_locked",
        "trouble_seen",
        "note",
        "photo_taken",
        "withdrawn",
        "second_check",
        "bottle_opened",
        "batch_chosen",
        "sheet_thrown_away",
    }
)
"""What a sitter may record: what happens in a session, a new bottle (it may be of another strength), and a note."""


class Entry(Part):
    """One fact as it leaves the device.

    Attributes:
        id: Made on the device when the button is pressed.
        animal_id: Which animal it is about.
        at: When it happened.
        zone: The time zone the device was in.
        device: Which device wrote it, by a name of its own making.
        payload: What happened.
        corrects: The entry this one replaces.
    """

    id: EntryId
    animal_id: UUID
    at: Moment
    zone: ZoneName
    device: Label
    payload: Payload
    corrects: EntryId | None = None

    @model_validator(mode="after")
    def _consistent(self) -> "Entry":
        if self.corrects == self.id:
            raise PydanticCustomError("corrects", "another entry in corrects")
        if isinstance(self.payload, Withdrawn) and self.corrects is None:
            raise PydanticCustomError("corrects", "the id of what is withdrawn in corrects")
        check_days_anywhere(self.payload, at=self.at)
        return self

    @property
    def kind(self) -> str:
        """The kind of its payload."""
        return self.payload.kind

    @property
    def session(self) -> str | None:
        """The session it belongs to, if any."""
        return getattr(self.payload, "session", None)

    def same_fact(self, other: "Entry") -> bool:
        """Whether both say the same; the same instant may be written in two ways."""
        return self == other


class KeptEntry(Part):
    """An entry in the record, with what the record added.

    Attributes:
        entry: The fact as it came.
        seq: Its place in the household's own sequence, without gaps from 1.
        day: The household's day it counts for.
        by: Who wrote it.
        by_role: What that person is to the household.
        recorded_at: When it arrived.
    """

    entry: Entry
    seq: int
    day: date
    by: UUID
    by_name: str
    by_role: Role
    recorded_at: AwareDatetime


def read_entry(document: str | bytes | dict[str, Any]) -> Entry:
    """An entry from JSON, or from a mapping of the values JSON can hold.

    Raises:
        BadEntry: a key is missing, unknown or of the wrong kind; the first one found is named.
    Source:
        arithmetic only
    """
    try:
        if isinstance(document, dict):
            return Entry.model_validate_json(_dump(document))
        return Entry.model_validate_json(document)
    except ValidationError as error:
        raise _bad_entry(error) from None


_OF_LIMITS = {"near", "moment", "most", "session", "fillmark", "string_too_long"}


def is_only_beyond_limits(document: dict[str, Any]) -> bool:
    """Whether an entry that cannot be read is whole, and only says what an earlier version let in.

    Args:
        document: As the record holds it.
    Source:
        arithmetic only
    """
    try:
        Entry.model_validate_json(_dump(document))
    except ValidationError as error:
        return all(one["type"] in _OF_LIMITS for one in error.errors(include_url=False))
    return False


_PAYLOADS: TypeAdapter[Payload] = TypeAdapter(Payload)


@cache
def kinds() -> dict[str, type[Part]]:
    """The model of each kind of entry that can be written, by the kind."""
    models = (one for one in get_args(get_args(Payload)[0]) if one is not CannotBeRead)
    return {one.model_fields["kind"].default: one for one in models}


def read_payload(document: dict[str, Any]) -> Payload:
    """What happened, from a mapping of the values JSON can hold.

    Raises:
        BadEntry: a key is missing, unknown or of the wrong kind; the first one found is named.
    Source:
        arithmetic only
    """
    try:
        return _PAYLOADS.validate_json(_dump(document))
    except ValidationError as error:
        raise _bad_entry(error) from None


def write_payload(entry: Entry) -> str:
    """The payload as JSON."""
    return entry.payload.model_dump_json(exclude_none=True)


def check_clock(entry: Entry, *, now: datetime) -> timedelta:
    """How far the entry lies ahead of now; 0 when it does not.

    Args:
        entry: What a device wrote.
        now: The present instant.
    Raises:
        BadEntry: so far ahead that the device's date is wrong.
    Source:
        record.clock_ahead_refused_hours
    """
    most = timedelta(hours=CLOCK_AHEAD_REFUSED_HOURS.value)
    # the newest of two words about one fact is told by the moment that an id holds
    made_at = datetime.fromtimestamp(min(entry.id.int >> 80, _LAST_MILLIS) / 1000, UTC)
    for at in (entry.at, made_at):
        if at - now > most:
            raise bad_clock(at, now, f"no more than {write_number(CLOCK_AHEAD_REFUSED_HOURS.value)} hours ahead")
    return max(entry.at - now, timedelta(0))


def bad_clock(at: datetime, now: datetime, allowed: str) -> BadEntry:
    """The refusal of an entry that a clock dated which cannot be right.

    Args:
        at: The date it gave.
        now: The present instant.
        allowed: What would be taken.
    """
    return BadEntry(
        field="at",
        got=f"An entry dated {_say_utc(at)}, when it is {_say_utc(now)}",
        allowed=allowed,
        remedy="Set the clock of the device, correct the time of the entry and send it again.",
    )


_LAST_MILLIS = int(datetime(9999, 1, 1, tzinfo=UTC).timestamp() * 1000)
_to_json = json.JSONEncoder(default=str).encode


def make_entry_id(*, at: datetime, chance: bytes) -> UUID:
    """A UUID of version 7 (RFC 9562): the milliseconds of `at`, then chance.

    Args:
        at: The instant the button was pressed.
        chance: At least 10 random bytes.
    """
    millis = int(at.timestamp() * 1000)
    number = (millis << 80) | int.from_bytes(chance[:10], "big")
    number = (number & ~(0xF << 76)) | (0x7 << 76)
    number = (number & ~(0x3 << 62)) | (0x2 << 62)
    return UUID(int=number)


def _dump(document: dict[str, Any]) -> str:
    try:
        return _to_json(document)
    except (TypeError, ValueError):
        return ""


def household_day(*, at: datetime, time_zone: str, day_starts: time) -> date:
    """The household's day an instant falls in: before the day's start hour it is still yesterday.

    Args:
        at: The instant.
        time_zone: The household's time zone, an IANA name.
        day_starts: When the household's day begins.
    """
    return _day(at.astimezone(ZoneInfo(time_zone)), day_starts)


def session_day(session: str, *, day_starts: time) -> date:
    """The household's day a session belongs to, whenever it was really given.

    Args:
        session: The session's identity.
        day_starts: When the household's day begins.
    """
    return _day(datetime.fromisoformat(session), day_starts)


def entry_day(entry: Entry, *, time_zone: str, day_starts: time) -> date:
    """The household's day an entry counts for: the day of its session, or of the moment it happened.

    Args:
        entry: What someone wrote.
        time_zone: The household's time zone, an IANA name.
        day_starts: When the household's day begins.
    """
    if entry.session is not None:
        return session_day(entry.session, day_starts=day_starts)
    return household_day(at=entry.at, time_zone=time_zone, day_starts=day_starts)


def _day(local: datetime, day_starts: time) -> date:
    return local.date() - timedelta(days=local.time() < day_starts)


def _bad_entry(error: ValidationError) -> BadEntry:
    """The first thing pydantic found, in our words."""
    first = error.errors(include_url=False)[0]
    # which of several types was tried last is no part of the place
    steps = [str(part) for part in first["loc"] if re.fullmatch(r"\w+", str(part))]
    place = ".".join(step for step in steps if step != "payload" or len(steps) == 1) or "entry"
    told = next(iter((first.get("ctx") or {}).get("errors", ())), None)
    if isinstance(told, FillmarkError):
        return BadEntry(field=place, got=told.got, allowed=told.allowed, remedy=told.remedy)
    came = first.get("input")
    shown = f'"{str(came)[:40]}"' if isinstance(came, str | int | float) else "Something else"
    bound = say_bound(first["type"], first.get("ctx") or {})
    allowed = bound or first["msg"].removeprefix("Input should be ").removeprefix("Value should be ")
    remedy = "Correct it and send the entry again."
    if first["type"] == "missing":
        return BadEntry(field=place, got=f"An entry without {place}", allowed=f"an entry with {place}", remedy=remedy)
    if first["type"] == "extra_forbidden":
        return BadEntry(field=place, got=f"An entry with {place}", allowed="the keys of its kind", remedy=remedy)
    if first["type"] == "near":
        ctx = first.get("ctx") or {}
        return BadEntry(field=ctx["name"], got=f"{ctx['day']} for {ctx['name']}", allowed=first["msg"], remedy=remedy)
    if first["type"] == "json_invalid":
        return BadEntry(field=place, got="A text that is not JSON", allowed="one entry as JSON", remedy=remedy)
    return BadEntry(field=place, got=f"{shown} for {place}", allowed=allowed, remedy=remedy)


def _say_utc(at: datetime) -> str:
    local = at.astimezone(UTC)
    return f"{say_date(local)}, {local:%H:%M} UTC"
