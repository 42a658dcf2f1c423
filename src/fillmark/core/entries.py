"""What can be recorded: each kind a typed value that never changes.

An entry is a fact with its time, its writer's device and a typed payload. Its id is made where the button is pressed,
so that sending it twice is still one fact. A correction is a new entry that names the one it replaces.
"""

import json
import re
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from enum import StrEnum
from typing import Annotated, Any, Literal, TypeVar
from uuid import UUID
from zoneinfo import ZoneInfo

from pydantic import (
    AfterValidator,
    AwareDatetime,
    BeforeValidator,
    Field,
    PlainSerializer,
    StringConstraints,
    TypeAdapter,
    ValidationError,
    model_validator,
)
from pydantic_core import PydanticCustomError

from fillmark.core.document import Day, Id, Part, Words, ZoneName, refuse
from fillmark.core.errors import BadEntry, BadNumber, FillmarkError
from fillmark.core.plan import Food
from fillmark.core.quantities import Mass, Strength, write_number
from fillmark.core.shelf_life import Compounded, OpenedAs
from fillmark.core.trouble import Trouble
from fillmark.published.flow import FLOW_TEST_SYRINGE_ML
from fillmark.published.input_limits import WEIGHT_LIMITS_KG
from fillmark.published.record_rules import CLOCK_AHEAD_REFUSED_HOURS

NOT_KNOWN = "not known"
"""How a caregiver says "I don't know"."""


_DECIMAL = re.compile(r"\d{1,9}(\.\d{1,30})?")


def _exact(value: object) -> object:
    """A decimal written as a text, so that no digit is lost or added on the way."""
    if isinstance(value, str) and _DECIMAL.fullmatch(value):
        return Decimal(value)
    if not isinstance(value, Decimal) or not value.is_finite() or value < 0:
        raise PydanticCustomError("exact", 'a decimal in quotes, 0 or more, such as "0.5"')
    return value


def _version_7(value: UUID) -> UUID:
    if value.version != 7:
        raise PydanticCustomError("uuid7", "a UUID of version 7")
    return value


_SESSION = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d")


def _session(value: str) -> str:
    try:
        datetime.fromisoformat(value if _SESSION.fullmatch(value) else "")
    except ValueError:
        raise PydanticCustomError("session", 'a day and a planned time, such as "2026-11-25T07:00"') from None
    return value


EntryId = Annotated[UUID, AfterValidator(_version_7)]
SessionId = Annotated[str, AfterValidator(_session)]
"""One session of one animal: its local day and planned time. Two people who start the 7:00 meal meet in it."""
MOST_ML = 5000.0
MOST_FOOD_G = 20000.0
Ml = Annotated[float, Field(ge=0, le=MOST_ML, strict=True)]
Exact = Annotated[Decimal, BeforeValidator(_exact), PlainSerializer(lambda value: f"{value.normalize():f}")]
Label = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=80)]
Count = Annotated[int, Field(ge=0, le=100)]
Number = Annotated[int, Field(ge=1, le=100)]
Unknown = Literal["not known"]


_PIECE_STRENGTH = re.compile(r"(.*)/\s*(?:tablet|capsule|sachet|drop|vial)\s*")


def printed_strength(text: str) -> str:
    """A strength that can be compared with the plan's: a mass in a volume, in percent, or in a piece.

    Raises:
        BadNumber, WrongUnit: it is none, or invites a tenfold slip.
    Source:
        arithmetic only
    """
    piece = _PIECE_STRENGTH.fullmatch(text)
    if piece is None:
        Strength.read(text, field="strength")
    elif Mass.read(piece[1], field="strength").mg == 0:
        raise BadNumber(
            field="strength",
            got=f'"{text[:40]}" for strength',
            allowed='a strength above 0, such as "5 mg/tablet"',
            remedy="Copy the strength from the label.",
        )
    return text


def _strength_on_label(text: str) -> str:
    try:
        return printed_strength(text)
    except FillmarkError as error:
        raise refuse(error) from None


_AmountPart = TypeVar("_AmountPart", bound=Part)


def _with_one_amount(part: _AmountPart, ml: Decimal | None, pieces: Decimal | None) -> _AmountPart:
    if (ml is None) == (pieces is None):
        raise PydanticCustomError("amount", "one of ml and pieces")
    return part


class SessionStarted(Part):
    """Someone has taken the session in hand. It is a claim, not a giving."""

    kind: Literal["session_started"] = "session_started"
    session: SessionId


class SessionTaken(Part):
    """The writer goes on with a session that someone else had in hand."""

    kind: Literal["session_taken"] = "session_taken"
    session: SessionId


class StepDone(Part):
    """One step of the walk is done."""

    kind: Literal["step_done"] = "step_done"
    session: SessionId
    step: Label


class StepSkipped(Part):
    """One step of the walk was left out, and why."""

    kind: Literal["step_skipped"] = "step_skipped"
    session: SessionId
    step: Label
    reason: Words


class FillGiven(Part):
    """One syringe-full of blend went in [mL]."""

    kind: Literal["fill_given"] = "fill_given"
    session: SessionId
    fill: Number
    ml: Ml


class FlushGiven(Part):
    """Water went through the tube [mL]; `step` is the step of the walk it belongs to."""

    kind: Literal["flush_given"] = "flush_given"
    session: SessionId
    step: Label
    ml: Ml


class Outcome(StrEnum):
    """What became of one dose."""

    GIVEN = "given"
    PARTIAL = "partial"
    HELD = "held"
    REFUSED = "refused"
    MISSED = "missed"
    CAME_BACK = "came back"
    SPILLED = "spilled"
    NOT_KNOWN = "not known"


class MedicineGiven(Part):
    """What became of one dose of one medicine.

    Attributes:
        dose_mg: The dose the order asked for, exact [mg]; none where the order counts pieces of unknown strength.
        amount: The dose in words ("half a tablet"); needed where there is no dose_mg.
        ml: What was drawn up for it, exact [mL]; none for what is not a liquid.
        given_mg: What went in, exact [mg], where the outcome does not tell: needed for a part, "not known" allowed.
        reason: Why; needed where it was not given as ordered, and for a dose given against a warning.
        despite: The other givings of it that the person saw when the reason was typed: given all the same.
    """

    kind: Literal["medicine_given"] = "medicine_given"
    session: SessionId | None = None
    medicine: Id
    dose_mg: Exact | None = None
    amount: Label | None = None
    ml: Exact | None = None
    outcome: Annotated[Outcome, Field(strict=False)]
    given_mg: Exact | Unknown | None = None
    reason: Words | None = None
    despite: Annotated[tuple[EntryId, ...], Field(min_length=1, max_length=20, strict=False)] | None = None

    @model_validator(mode="after")
    def _consistent(self) -> "MedicineGiven":
        if (self.outcome is Outcome.PARTIAL) != (self.given_mg is not None):
            raise PydanticCustomError(
                "given_mg", 'given_mg with the outcome "partial" (or "not known"), and with no other'
            )
        if self.outcome in (Outcome.HELD, Outcome.REFUSED, Outcome.MISSED) and self.reason is None:
            raise PydanticCustomError("reason", "a reason with an outcome of held, refused or missed")
        if self.dose_mg is None and self.amount is None:
            raise PydanticCustomError("dose_mg", "the dose in dose_mg, or in words in amount")
        if isinstance(self.given_mg, Decimal) and (self.dose_mg is None or self.given_mg > self.dose_mg):
            raise PydanticCustomError("given_mg", "a part no larger than the dose")
        if self.despite is not None and self.reason is None:
            raise PydanticCustomError("reason", "a reason beside the givings named in despite")
        return self


class Effect(StrEnum):
    """What a medicine that was given for a reason did, as someone saw it."""

    EASED = "eased"
    EASED_A_LITTLE = "eased a little"
    NO_CHANGE = "no change"
    WORSE = "worse"
    NOT_KNOWN = "not known"


class EffectSeen(Part):
    """What a dose did; `of` is the entry that says it was given."""

    kind: Literal["effect_seen"] = "effect_seen"
    of: EntryId
    effect: Annotated[Effect, Field(strict=False)]
    words: Words | None = None


class MealEnded(Part):
    """The meal is over, and this is what went in [mL].

    `fills` is how many fills the total adds up; 0 when the meal is written down afterwards as one amount.
    """

    kind: Literal["meal_ended"] = "meal_ended"
    session: SessionId
    total_ml: Ml | Unknown
    fills: Count


class CameBack(Part):
    """Some of it came back up [mL]."""

    kind: Literal["came_back"] = "came_back"
    session: SessionId | None = None
    ml: Ml | Unknown


class SessionPaused(Part):
    """The walk waits."""

    kind: Literal["session_paused"] = "session_paused"
    session: SessionId


class SessionResumed(Part):
    """The walk goes on."""

    kind: Literal["session_resumed"] = "session_resumed"
    session: SessionId


class SessionStopped(Part):
    """The walk was broken off, and why."""

    kind: Literal["session_stopped"] = "session_stopped"
    session: SessionId
    reason: Words


class SessionEnded(Part):
    """Every step of the walk is behind."""

    kind: Literal["session_ended"] = "session_ended"
    session: SessionId


class SessionSkipped(Part):
    """The whole session was left out, and why."""

    kind: Literal["session_skipped"] = "session_skipped"
    session: SessionId
    reason: Words


class FeedingLocked(Part):
    """Something is wrong, and nothing goes through the tube until a person with the right has cleared it."""

    kind: Literal["feeding_locked"] = "feeding_locked"
    trouble: Annotated[Trouble, Field(strict=False)]
    session: SessionId | None = None
    words: Words | None = None

    @model_validator(mode="after")
    def _locks(self) -> "FeedingLocked":
        if not self.trouble.locks_feeding:
            raise PydanticCustomError("trouble", "a trouble that locks feeding, or the kind trouble_seen")
        return self


class FeedingCleared(Part):
    """The vet said how to go on: these locks hold no more."""

    kind: Literal["feeding_cleared"] = "feeding_cleared"
    locks: Annotated[tuple[EntryId, ...], Field(min_length=1, max_length=20, strict=False)]
    who: Label
    vet_words: Words


class TroubleSeen(Part):
    """Something is wrong that does not lock feeding."""

    kind: Literal["trouble_seen"] = "trouble_seen"
    trouble: Annotated[Trouble, Field(strict=False)]
    session: SessionId | None = None
    words: Words | None = None


class Weighed(Part):
    """The animal was weighed [kg], on which scale."""

    kind: Literal["weight"] = "weight"
    weight_kg: Annotated[float, Field(ge=WEIGHT_LIMITS_KG.low, le=WEIGHT_LIMITS_KG.high, strict=True)]
    scale: Label | None = None


class Drank(Part):
    """Water that the animal took by mouth, from a bowl or a hand [mL]."""

    kind: Literal["drank"] = "drank"
    ml: Ml | Unknown


class Ate(Part):
    """Food that the animal ate by mouth [g]; `food` is its id in the plan, as it comes out of the can."""

    kind: Literal["ate"] = "ate"
    food: Id
    g: Annotated[float, Field(gt=0, le=MOST_FOOD_G, strict=True)] | Unknown


class FlowTested(Part):
    """A flow test of one batch: what was left in a full 10 mL syringe after 10 seconds. Its level is worked out.

    Attributes:
        foods: The foods of the batch, by their ids in the plan.
        food_g: How much of them went in, together [g].
        water_ml: Water stirred in [mL].
        left_ml: What was left [mL].
        has_flowed: Whether anything came out at all.
        sieved: It went through a sieve before the test.
        frozen: It was frozen and thawed before the test.
        batch: What is written on the jar.
        made_on: The household's day the batch was made, or thawed; the day of the test where nobody said.
    """

    kind: Literal["flow_test"] = "flow_test"
    foods: Annotated[tuple[Id, ...], Field(min_length=1, max_length=40, strict=False)]
    food_g: Annotated[float, Field(gt=0, le=MOST_FOOD_G, strict=True)]
    water_ml: Ml
    left_ml: Annotated[float, Field(ge=0, le=FLOW_TEST_SYRINGE_ML.value, strict=True)]
    has_flowed: bool = True
    sieved: bool
    frozen: bool
    batch: Label | None = None
    made_on: Day | None = None

    @model_validator(mode="after")
    def _consistent(self) -> "FlowTested":
        if not self.has_flowed and self.left_ml < FLOW_TEST_SYRINGE_ML.value:
            raise PydanticCustomError("left_ml", "a full syringe left where nothing flowed")
        return self


class BatchChosen(Part):
    """The meal is fed from this batch from now on.

    Attributes:
        batch: What is written on the jar; none where nothing is.
        made_on: The household's day it was made, or thawed.
        reason: Why a lead gives it although it is too thick, or past its last day.
    """

    kind: Literal["batch_chosen"] = "batch_chosen"
    session: SessionId
    batch: Label | None = None
    made_on: Day
    reason: Words | None = None


MOST_SESSIONS = 48
"""A day has no more sessions than this."""


class ReplannedSession(Part):
    """One session of today at another time; it stays the same session.

    Attributes:
        at: When it is to come now.
        meal_ml: Blend of its meal, where that is no longer what the plan says [mL].
        without: Medicines of it that are let go today.
    """

    session: SessionId
    at: Annotated[AwareDatetime, Field(strict=False)]
    meal_ml: Ml | None = None
    without: Annotated[tuple[Id, ...], Field(max_length=40, strict=False)] = ()


class DayReplanned(Part):
    """The rest of today goes on at other times, and why. Of two that name a session, the newest counts for it."""

    kind: Literal["day_replanned"] = "day_replanned"
    sessions: Annotated[tuple[ReplannedSession, ...], Field(min_length=1, max_length=MOST_SESSIONS, strict=False)]
    reason: Words


class FoodKept(Part):
    """A food that the household has on hand, as its label prints it. Correcting the entry corrects the label."""

    kind: Literal["food_kept"] = "food_kept"
    food: Food


class SheetPrinted(Part):
    """A week chart to write on was printed: which version of the plan it shows, and for which days."""

    kind: Literal["sheet_printed"] = "sheet_printed"
    version: Annotated[int, Field(ge=1, le=1_000_000)]
    first_on: Day
    last_on: Day


class Note(Part):
    """Anything worth writing down."""

    kind: Literal["note"] = "note"
    text: Words


class PhotoTaken(Part):
    """A photo, kept beside the record by its id; `about` is the entry it belongs to, if it belongs to one."""

    kind: Literal["photo_taken"] = "photo_taken"
    photo: UUID
    about: EntryId | None = None
    words: Words | None = None


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


class SecondCheck(Part):
    """A second person has read the syringe, or counted the pieces, without having seen the mark.

    Attributes:
        ml: What the syringe held by their reading, exact [mL].
        pieces: How many tablets, capsules, sachets, vials or drops they counted; 0.5 for a half.
        reader: Who read it, where that is not the person who is signed in: two people share one phone.
        reader_name: What the household calls them.
    """

    kind: Literal["second_check"] = "second_check"
    session: SessionId | None = None
    medicine: Id
    ml: Exact | None = None
    pieces: Exact | None = None
    reader: UUID | None = None
    reader_name: Label | None = None

    @model_validator(mode="after")
    def _one_reading(self) -> "SecondCheck":
        if (self.reader is None) != (self.reader_name is None):
            raise PydanticCustomError("reader", "both reader and reader_name, or neither")
        return _with_one_amount(self, self.ml, self.pieces)


class BottleOpened(Part):
    """A new bottle, box or vial of a medicine is in use from now on.

    Attributes:
        strength: As printed on it: "2 mg/mL", "5 mg/tablet".
        ml: What it held when it was opened, exact [mL].
        pieces: How many pieces it held when it was opened.
        expires_on: The maker's date on the label.
        discard_on: The pharmacy's "do not use after", on the label.
        lot: The lot number on the label.
        filled_on: The day the pharmacy filled or made it, where the label says so.
        keeps_as: What it is, for a last day of use where the label names none.
    """

    kind: Literal["bottle_opened"] = "bottle_opened"
    medicine: Id
    strength: Annotated[Label, AfterValidator(_strength_on_label)]
    ml: Exact | None = None
    pieces: Exact | None = None
    expires_on: date | None = None
    discard_on: date | None = None
    filled_on: date | None = None
    keeps_as: Compounded | OpenedAs | None = None
    lot: Label | None = None

    @model_validator(mode="after")
    def _one_content(self) -> "BottleOpened":
        return _with_one_amount(self, self.ml, self.pieces)


class StrengthConfirmed(Part):
    """A lead has read the new label and what it changes for the hand, and the plan has the new strength.

    Attributes:
        bottle: The entry of the bottle whose label was read.
        old: The strength that the plan had.
        new: The strength that it has now.
    """

    kind: Literal["strength_confirmed"] = "strength_confirmed"
    medicine: Id
    bottle: EntryId
    old: Label | None = None
    new: Label


class StockCounted(Part):
    """Someone has looked at how much is left in a bottle or a box.

    Attributes:
        bottle: The entry of the bottle that was looked at.
        ml: What was in it, exact [mL].
        pieces: How many pieces were in it.
    """

    kind: Literal["stock_counted"] = "stock_counted"
    medicine: Id
    bottle: EntryId
    ml: Exact | None = None
    pieces: Exact | None = None

    @model_validator(mode="after")
    def _one_count(self) -> "StockCounted":
        return _with_one_amount(self, self.ml, self.pieces)


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
    | DayReplanned
    | FoodKept
    | SheetPrinted
    | Note
    | PhotoTaken
    | Withdrawn
    | BothGiven
    | SecondCheck
    | BottleOpened
    | StrengthConfirmed
    | StockCounted,
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
    at: AwareDatetime
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
        return self

    @property
    def kind(self) -> str:
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
        recorded_at: When it arrived.
    """

    entry: Entry
    seq: int
    day: date
    by: UUID
    by_name: str
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


_PAYLOADS: TypeAdapter[Payload] = TypeAdapter(Payload)


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

    Raises:
        BadEntry: so far ahead that the device's date is wrong.
    Source:
        record.clock_ahead_refused_hours
    """
    ahead = max(entry.at - now, timedelta(0))
    if ahead > timedelta(hours=CLOCK_AHEAD_REFUSED_HOURS.value):
        raise BadEntry(
            field="at",
            got=f"An entry dated {entry.at.astimezone(UTC):%Y-%m-%d %H:%M} UTC, when it is {now:%Y-%m-%d %H:%M} UTC",
            allowed=f"no more than {write_number(CLOCK_AHEAD_REFUSED_HOURS.value)} hours ahead",
            remedy="Set the clock of the device, correct the time of the entry and send it again.",
        )
    return ahead


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
        return json.dumps(document, default=str)
    except (TypeError, ValueError):
        return ""


def household_day(*, at: datetime, time_zone: str, day_starts: time) -> date:
    """The household's day an instant falls in: before the day's start hour it is still yesterday."""
    return _day(at.astimezone(ZoneInfo(time_zone)), day_starts)


def session_day(session: str, *, day_starts: time) -> date:
    """The household's day a session belongs to, whenever it was really given."""
    return _day(datetime.fromisoformat(session), day_starts)


def entry_day(entry: Entry, *, time_zone: str, day_starts: time) -> date:
    """The household's day an entry counts for: the day of its session, or of the moment it happened."""
    if entry.session is not None:
        return session_day(entry.session, day_starts=day_starts)
    return household_day(at=entry.at, time_zone=time_zone, day_starts=day_starts)


def _day(local: datetime, day_starts: time) -> date:
    return local.date() - timedelta(days=local.time() < day_starts)


def _bad_entry(error: ValidationError) -> BadEntry:
    """The first thing pydantic found, in our words."""
    first = error.errors(include_url=False)[0]
    place = ".".join(str(part) for part in first["loc"] if part != "payload" or len(first["loc"]) == 1) or "entry"
    told = (first.get("ctx") or {}).get("error")
    if isinstance(told, FillmarkError):
        return BadEntry(field=place, got=told.got, allowed=told.allowed, remedy=told.remedy)
    came = first.get("input")
    shown = f'"{str(came)[:40]}"' if isinstance(came, str | int | float) else "Something else"
    allowed = first["msg"].removeprefix("Input should be ").removeprefix("Value should be ")
    remedy = "Correct it and send the entry again."
    if first["type"] == "missing":
        return BadEntry(field=place, got=f"An entry without {place}", allowed=f"an entry with {place}", remedy=remedy)
    if first["type"] == "extra_forbidden":
        return BadEntry(field=place, got=f"An entry with {place}", allowed="the keys of its kind", remedy=remedy)
    if first["type"] == "json_invalid":
        return BadEntry(field=place, got="A text that is not JSON", allowed="one entry as JSON", remedy=remedy)
    return BadEntry(field=place, got=f"{shown} for {place}", allowed=allowed, remedy=remedy)
