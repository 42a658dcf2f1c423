"""What was recorded, in words: verbs and facts, and silence said as silence."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from fillmark.core.record.amounts import Amount
from fillmark.core.record.batches import Batch, Fault, batch_name
from fillmark.core.record.care_entries import (
    Ate,
    BatchChosen,
    BatchMade,
    Drank,
    FeedingCleared,
    FeedingLocked,
    FlowTested,
    FoodKept,
    MadeFood,
    Note,
    PhotoTaken,
    SheetPrinted,
    SheetThrownAway,
    TroubleSeen,
    Weighed,
)
from fillmark.core.record.corrections import ShownEntry
from fillmark.core.record.day_entries import BothGiven, DayReplanned, Withdrawn
from fillmark.core.record.entries import KeptEntry, Payload
from fillmark.core.record.fields import NOT_KNOWN
from fillmark.core.record.medicine_entries import (
    BottleOpened,
    EffectSeen,
    MedicineGiven,
    SecondCheck,
    StockCounted,
    StrengthConfirmed,
)
from fillmark.core.record.outcomes import Became, say_outcome_of
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
from fillmark.core.record.sessions import NOTHING_WENT_IN, SessionRecord, Standing
from fillmark.core.record.unreadable import CannotBeRead
from fillmark.core.values.quantities import Mass, Volume, write_number
from fillmark.core.values.words import say_day


@dataclass(frozen=True, kw_only=True, slots=True)
class Names:
    """What the plan calls the things that entries name by their ids."""

    medicines: Mapping[str, str] = field(default_factory=dict)
    steps: Mapping[str, str] = field(default_factory=dict)


def say_amount(amount: Amount | None) -> str:
    """A volume, or the range it lies in."""
    if amount is None:
        return "no entry"
    if amount.is_exact:
        return f"{write_number(amount.low_ml)} mL"
    return f"{write_number(amount.low_ml)} to {write_number(amount.high_ml)} mL"


def say_in(record: SessionRecord, *, planned_ml: float | None) -> str:
    """How much of the meal went in: "190 of 190 mL in"; empty where no meal was planned or recorded."""
    if record.blend is None:
        return f"0 of {write_number(planned_ml)} mL recorded" if planned_ml else ""
    amount = say_amount(record.blend)
    if not planned_ml:
        return f"{amount} in"
    return f"{amount.removesuffix(' mL')} of {write_number(planned_ml)} mL in"


def say_back(record: SessionRecord, *, planned_ml: float | None) -> str:
    """What came back; only the end of a walk whose whole meal went in says that nothing was seen."""
    if record.back is not None:
        if record.back.is_exact:
            return f"{write_number(record.back.low_ml)} mL came back"
        return "some came back, how much is not known"
    is_whole = bool(record.fills) and record.blend is not None and record.blend.low_ml >= (planned_ml or 0)
    return "nothing seen coming back" if record.standing is Standing.ENDED and is_whole else ""


def say_session(record: SessionRecord, *, planned_ml: float | None, zone: ZoneInfo) -> str:
    """What became of one session, in one line."""
    by = f"by {record.last_by}" if record.last_by else ""
    went_in, back = say_in(record, planned_ml=planned_ml), say_back(record, planned_ml=planned_ml)
    parts: tuple[str | None, ...]
    match record.standing:
        case Standing.NO_ENTRY:
            return "No entry. Nobody wrote down whether it was given."
        case Standing.SKIPPED:
            parts = (f"Left out {by}", record.reason)
        case Standing.STOPPED:
            parts = (f"Stopped {by}", record.reason, went_in, back)
        case Standing.NOT_KNOWN:
            since = f"no entry since {say_clock(record.last_at, zone)}"
            parts = (f"Begun by {record.started_by}", went_in, back, since, "what became of it is not known")
        case Standing.IN_HAND:
            parts = (f"{record.held_by_name} has it, since {say_clock(record.started_at, zone)}", went_in, back)
        case Standing.PAUSED:
            paused = f"Paused {by} at {say_clock(record.last_at, zone)}"
            parts = ("Food came back up" if record.reason else paused, went_in, back)
        case Standing.ENDED:
            parts = (by, went_in, back)
    return " · ".join(part for part in parts if part)


def say_batch(batch: Batch) -> str:
    """A batch with how far it may be given: "Jar 7 of 25 November, until 26 November"."""
    until = f", until {say_day(batch.last_on)}" if batch.last_on else ", how long it keeps is not stated"
    untested = "" if batch.result else ", not tested"
    return f"{batch.name}{until}{untested}"


def say_faults(faults: Sequence[Fault]) -> str:
    """Why a batch is not to be given: "too thick and past its last day"; empty where nothing speaks against it."""
    return " and ".join(faults)


def say_clock(at: datetime | None, zone: ZoneInfo) -> str:
    return f"{at.astimezone(zone):%H:%M}" if at else "an unknown time"


def say_span(span: timedelta) -> str:
    """A length of time in whole minutes: "18 minutes", "2 hours 5 minutes"."""
    minutes = max(0, round(span.total_seconds() / 60))
    hours, rest = divmod(minutes, 60)
    parts = [
        f"{count} {word if count == 1 else word + 's'}" for count, word in ((hours, "hour"), (rest, "minute")) if count
    ]
    return " ".join(parts) or "less than a minute"


def say_many(count: int, word: str) -> str:
    return f"{count} {word}" if count == 1 else f"{count} {word}s"


def say_became(became: Became, count: int) -> str:
    """How many doses became what: "2 medicines", "1 medicine held"."""
    doses = say_many(count, "medicine")
    return doses if became is Became.GIVEN else f"{doses} {became}"


def say_entry(kept: KeptEntry, *, names: Names) -> str:
    """One entry as a sentence without its time and writer."""
    return say_payload(kept.entry.payload, names=names)


def say_no_right(shown: ShownEntry) -> str:
    """Why a correction changes nothing; no words for one that does."""
    return f"Changes nothing: {shown.no_right.value}" if shown.no_right else ""


def say_payload(payload: Payload, *, names: Names) -> str:
    """What a press has written, or would write, as a sentence."""
    match payload:
        case StepDone():
            return names.steps.get(payload.step, payload.step.replace("-", " ").capitalize())
        case StepSkipped():
            return f"Left out: {names.steps.get(payload.step, payload.step)}. {payload.reason}"
        case FillGiven() | FlushGiven() | MealEnded() | CameBack() | Drank() | Ate():
            return _say_amount_in(payload)
        case MedicineGiven():
            return _say_dose(payload, names)
        case SecondCheck() | BottleOpened() | StrengthConfirmed() | StockCounted():
            return _say_bottle(payload, names)
        case FeedingLocked() | FeedingCleared() | TroubleSeen() | EffectSeen() | Weighed() | FlowTested():
            return _say_seen(payload)
        case DayReplanned():
            return f"New times for the rest of the day: {_say_times(payload)}. {payload.reason}"
        case SheetPrinted():
            days = f"{say_day(payload.first_on)} to {say_day(payload.last_on)}"
            return f"Printed the sheet of {days}, plan version {payload.version}"
        case SheetThrownAway():
            return f"Thrown away: the printed sheet of plan version {payload.version}"
        case BatchChosen():
            return _say_batch(payload)
        case BatchMade():
            return say_made(payload)
        case FoodKept():
            return f"Food on hand: {payload.food.name}"
        case Note():
            return payload.text
        case PhotoTaken():
            return f"Photo: {payload.words}" if payload.words else "Photo"
        case Withdrawn():
            return f"Taken back: {payload.reason}"
        case CannotBeRead():
            return f"Cannot be read here ({payload.was.replace('_', ' ')}); it counts for nothing"
        case _:
            return _say_session(payload)


def _say_session(
    payload: SessionStarted
    | SessionTaken
    | SessionPaused
    | SessionResumed
    | SessionStopped
    | SessionEnded
    | SessionSkipped
    | BothGiven,
) -> str:
    """How a session goes on."""
    clock = (payload.session or "")[11:]
    match payload:
        case SessionStarted():
            return f"Started {clock}{_all_the_same(payload.reason)}"
        case SessionTaken():
            return f"Took over {clock}"
        case SessionPaused():
            return "Paused"
        case SessionResumed():
            return "Went on"
        case SessionStopped():
            return f"Stopped {clock}: {payload.reason}"
        case SessionEnded():
            return f"Ended {clock}"
        case SessionSkipped():
            return f"Left out {clock}: {payload.reason}"
        case BothGiven():
            reason = f". {payload.reason}" if payload.reason else ""
            which = "Both" if len(payload.entries) == 2 else "All"
            return f"{which} entries{f' of {clock}' if clock else ''} happened{reason}"


def _all_the_same(reason: str | None) -> str:
    """Why it went in although something spoke against it."""
    return f", all the same: {reason}" if reason else ""


def _say_amount_in(payload: FillGiven | FlushGiven | MealEnded | CameBack | Drank | Ate) -> str:
    """How much went in, or came back."""
    match payload:
        case FillGiven():
            return f"Fill {payload.fill}: {write_number(payload.ml)} mL in{_all_the_same(payload.reason)}"
        case FlushGiven():
            return f"Flush: {write_number(payload.ml)} mL water"
        case MealEnded():
            clock = payload.session[11:]
            amount = "amount not known" if payload.total_ml == NOT_KNOWN else f"{_number(payload.total_ml)} mL in"
            when = f"Meal {clock}" if payload.fills else f"Meal {clock}, written down afterwards"
            return f"{when}: {amount}{_all_the_same(payload.reason)}"
        case CameBack():
            reason = f". {payload.reason}" if payload.reason else ""
            is_known = payload.ml != NOT_KNOWN
            return (
                f"{_number(payload.ml)} mL came back{reason}" if is_known else "Some came back, how much is not known"
            )
        case Drank():
            return "Drank, how much is not known" if payload.ml == NOT_KNOWN else f"Drank {_number(payload.ml)} mL"
        case Ate():
            food = payload.food.replace("-", " ")
            amount = "how much is not known" if payload.g == NOT_KNOWN else f"{_number(payload.g)} g"
            return f"Ate by mouth, {food}: {amount}"


def _say_seen(
    payload: FeedingLocked | FeedingCleared | TroubleSeen | EffectSeen | Weighed | FlowTested,
) -> str:
    """What somebody saw or measured."""
    match payload:
        case FeedingLocked():
            return f"Feeding is locked: {_trouble(payload)}"
        case FeedingCleared():
            return f"Feeding is cleared. {payload.who}: {payload.vet_words}"
        case TroubleSeen():
            return _trouble(payload)
        case EffectSeen():
            seen = f"Effect of a medicine: {payload.effect.value}"
            return f"{seen}. {payload.words}" if payload.words else seen
        case Weighed():
            meal = f", {payload.meal} the meal" if payload.meal else ""
            scale = f", {payload.scale}" if payload.scale else ""
            return f"Weight {write_number(payload.weight_kg)} kg{meal}{scale}"
        case FlowTested():
            return _say_flow(payload)


def _say_bottle(payload: SecondCheck | BottleOpened | StrengthConfirmed | StockCounted, names: Names) -> str:
    """What was read or counted on a bottle or syringe."""
    medicine = names.medicines.get(payload.medicine, payload.medicine)
    match payload:
        case SecondCheck():
            by = f" by {payload.reader_name}" if payload.reader_name else ""
            return f"Second check of {medicine}: {_amount_of(payload)} read{by}"
        case BottleOpened():
            return f"Opened: {medicine} {payload.strength}, {_amount_of(payload)}"
        case StrengthConfirmed():
            old = f"{payload.old} → " if payload.old else ""
            return f"Strength of {medicine} confirmed: {old}{payload.new}"
        case StockCounted():
            return f"Counted: {_amount_of(payload)} of {medicine} left"


def _trouble(payload: FeedingLocked | TroubleSeen) -> str:
    return f"{payload.trouble.words}. {payload.words}" if payload.words else payload.trouble.words


def _say_times(payload: DayReplanned) -> str:
    """Each session by its name and its new time; the phone's own zone wrote the times as they were seen."""
    told = []
    for one in payload.sessions:
        amount = f", {write_number(one.meal_ml)} mL" if one.meal_ml is not None else ""
        told.append(f"{one.session[11:]} → {one.at:%H:%M}{amount}")
    return "; ".join(told)


def _say_dose(payload: MedicineGiven, names: Names) -> str:
    mass = str(Mass(payload.dose_mg)) if payload.dose_mg is not None else payload.amount or ""
    is_drawn = payload.ml is not None and payload.outcome not in NOTHING_WENT_IN
    amount = f"{mass}, {Volume(payload.ml)}" if is_drawn and payload.ml is not None else mass
    outcome = say_outcome_of(payload.outcome)
    outcome += f" by {payload.given_by}, as told" if payload.given_by else ""
    reason = f". {payload.reason}" if payload.reason else ""
    return f"{names.medicines.get(payload.medicine, payload.medicine)} ({amount}): {outcome}{reason}"


def _amount_of(payload: SecondCheck | BottleOpened | StockCounted) -> str:
    """What was read or counted: mL, or pieces."""
    if payload.ml is not None:
        return str(Volume(payload.ml))
    return f"{write_number(payload.pieces or 0)} {'piece' if payload.pieces == 1 else 'pieces'}"


def _say_flow(payload: FlowTested) -> str:
    batch = f" of {payload.batch}" if payload.batch else ""
    left = f"{write_number(payload.left_ml)} mL left" if payload.has_flowed else "nothing flowed"
    handled = "".join(
        f", {word}" for word, is_so in (("sieved", payload.sieved), ("frozen and thawed", payload.frozen)) if is_so
    )
    mix = f"{write_number(payload.water_ml)} mL water, {write_number(payload.food_g)} g food{handled}"
    return f"Flow test{batch}: {left} ({mix})"


def say_held(percent: int) -> str:
    """How much more or less a batch holds than the plan's mix; no words for the same.

    Args:
        percent: How much more, less than 0 for less [%].
    """
    if percent == 0:
        return "It holds what the plan counts with."
    return f"This batch holds {abs(percent)} % {'more' if percent > 0 else 'less'}."


def say_made(payload: BatchMade) -> str:
    """How a batch was made, as a sentence without its end."""
    foods = ", ".join(_say_food(one) for one in payload.foods)
    measured = ""
    if payload.ml is not None:
        measured = f", {write_number(payload.ml)} mL in the jug"
    elif payload.batch_g is not None:
        measured = f", {write_number(payload.batch_g)} g on the scale"
    label = f" {payload.batch}" if payload.batch else ""
    return f"Made batch{label}: {foods}, {write_number(payload.water_ml)} mL water{measured}"


def _say_food(one: MadeFood) -> str:
    name = one.food.replace("-", " ")
    if one.cans is not None:
        return f"{write_number(one.cans)} {'can' if one.cans == 1 else 'cans'} {name}"
    return f"{write_number(one.g)} g {name}" if one.g is not None else f"{write_number(one.ml or 0)} mL {name}"


def _say_batch(payload: BatchChosen) -> str:
    batch = batch_name(label=payload.batch or "", made_on=payload.made_on)
    return f"Feeds from {batch} all the same: {payload.reason}" if payload.reason else f"Feeds from {batch}"


def _number(value: float | str) -> str:
    return value if isinstance(value, str) else write_number(value)
