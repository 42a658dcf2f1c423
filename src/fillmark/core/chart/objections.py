"""What speaks against one more dose."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from fillmark.core.chart.dose_questions import write_hours
from fillmark.core.chart.givings import OrdersInForce, RecordedGiving, find_second_check, read_givings
from fillmark.core.doses.bottle_in_use import Bottle, newest_bottles, strength_lock
from fillmark.core.doses.bottles import drawn_dose, last_use, ordered_mass
from fillmark.core.doses.dose_clock import DoseClock
from fillmark.core.doses.giving import NOT_TAKEN, History, Verdict
from fillmark.core.doses.may_give import find_dose_clock, why_stopped
from fillmark.core.doses.spacing import close_doses, close_others, over_maximum, stomach_empty_at
from fillmark.core.orders.medicine import Medicine, order_on
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record.corrections import counting_entries
from fillmark.core.record.entries import KeptEntry
from fillmark.core.record.medicine_entries import MedicineGiven
from fillmark.core.record.session_entries import FillGiven, MealEnded
from fillmark.core.tube.syringe import Mark
from fillmark.core.values.errors import NeedsReason
from fillmark.core.values.quantities import write_number
from fillmark.core.values.words import say_day, say_time
from fillmark.published.medicine import LATE_IS_FINE_HOURS


@dataclass(frozen=True, kw_only=True, slots=True)
class Objection:
    """What speaks against giving a dose at an instant.

    Attributes:
        because: A clause that follows "when": "Noor gave it at 07:02 and 6 hours lie between two doses".
        givings: The doses it stands too close to.
        free_at: From when on this holds no more.
    """

    verdict: Verdict
    because: str
    givings: tuple[RecordedGiving, ...] = ()
    free_at: datetime | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class BesideDose:
    """What stands beside one dose.

    Attributes:
        givings: The other doses that count, of all medicines, in the order they happened.
        others: The other medicines of the plan.
        bottle: The bottle in use, if one was recorded.
        last_meal_at: When food last went in; none where none did.
        clock: How it stands to its planned time; none where no time was planned.
    """

    givings: Sequence[RecordedGiving] = ()
    others: Sequence[Medicine] = ()
    bottle: Bottle | None = None
    last_meal_at: datetime | None = None
    clock: DoseClock | None = None


def find_objections(
    medicine: Medicine, *, at: datetime, on: date, beside: BesideDose, time_zone: str
) -> tuple[Objection, ...]:
    """All that speaks against one dose at an instant: the order, the bottle, the doses before and after it, food.

    Args:
        medicine: The order in force at that instant.
        at: When the dose is, or was, given.
        on: The household's day it counts for.
        beside: What else was given, and when it was planned.
        time_zone: The household's.
    Source:
        the vet's order; medicine.window_*, medicine.rolling_day, medicine.late_acceptable
    """
    taken = [one for one in beside.givings if one.medicine_id == medicine.id and one.may_have_gone_in]
    zone = ZoneInfo(time_zone)
    found = (
        _against_the_order(medicine, on=on),
        *_against_the_bottle(medicine, beside.bottle, at=at, time_zone=time_zone),
        _too_soon(medicine, taken, at=at, on=on, zone=zone),
        _over_the_maximum(medicine, taken, at=at, on=on),
        *_too_close_to_others(medicine, beside, at=at, zone=zone),
        _too_soon_after_food(medicine, beside, at=at),
        _off_its_time(beside.clock, at=at, zone=zone),
    )
    return tuple(one for one in found if one is not None)


def _too_close_to_others(
    medicine: Medicine, beside: BesideDose, *, at: datetime, zone: ZoneInfo
) -> Iterator[Objection]:
    history = History(one.giving for one in beside.givings)
    for close in close_others(medicine, others=beside.others, history=history, at=at):
        yield Objection(
            verdict=Verdict.KEEP_APART,
            because=f"{close.other.name} was given at {say_time(close.giving.at, zone, beside=at)} and "
            f"{write_hours(timedelta(hours=close.hours))} belong between them",
            free_at=close.free_at,
        )


def _too_soon_after_food(medicine: Medicine, beside: BesideDose, *, at: datetime) -> Objection | None:
    free_at = stomach_empty_at(medicine, last_meal_at=beside.last_meal_at)
    if free_at is None or at.astimezone(UTC) >= free_at:
        return None
    return Objection(
        verdict=Verdict.AFTER_FOOD,
        because=f"it needs an empty stomach, {write_number(medicine.food.after_minutes or 0)} minutes after food",
        free_at=free_at,
    )


def _off_its_time(clock: DoseClock | None, *, at: datetime, zone: ZoneInfo) -> Objection | None:
    if clock is None:
        return None
    stands, planned = clock.verdict(at), say_time(clock.planned_at, zone, beside=at)
    if stands is Verdict.EARLY:
        return Objection(verdict=stands, because=f"it is planned for {planned}", free_at=clock.early_until)
    if stands is Verdict.LATE and clock.asks_vet(at):
        return Objection(
            verdict=stands,
            because=f"it was planned for {planned}, more than {write_number(LATE_IS_FINE_HOURS.value)} hours ago",
        )
    if stands is Verdict.TOO_LATE:
        following = f" and the next is due at {say_time(clock.following, zone, beside=at)}" if clock.following else ""
        return Objection(verdict=stands, because=f"it was planned for {planned}, too long ago{following}")
    return None


def _against_the_order(medicine: Medicine, *, on: date) -> Objection | None:
    stopped = why_stopped(medicine, today=on)
    if stopped is None:
        return None
    return Objection(verdict=stopped.verdict, because=stopped.because.rstrip("."))


def _against_the_bottle(
    medicine: Medicine, bottle: Bottle | None, *, at: datetime, time_zone: str
) -> Iterator[Objection]:
    locked = strength_lock(medicine, bottle=bottle)
    if locked is not None:
        yield Objection(verdict=Verdict.LOCKED, because=locked)
    until = last_use(bottle, time_zone=time_zone) if bottle is not None else None
    if until is not None and at.astimezone(ZoneInfo(time_zone)).date() > until.value:
        yield Objection(
            verdict=Verdict.PAST_USE,
            because=f"the last day of use of its bottle was {say_day(until.value)}",
        )


def _too_soon(
    medicine: Medicine, taken: Sequence[RecordedGiving], *, at: datetime, on: date, zone: ZoneInfo
) -> Objection | None:
    close = close_doses(medicine, taken, at=at, on=on, day_of=lambda one: one.kept.day)
    if not close:
        return None
    told = " and ".join(say_giving(one, zone, beside=at) for one, _ in close)
    return Objection(
        verdict=Verdict.TOO_SOON,
        because=f"{told}, and at least {write_hours(max(gap for _, gap in close))} lie between two doses",
        givings=tuple(one for one, _ in close),
        free_at=max(one.at + gap for one, gap in close),
    )


def _over_the_maximum(
    medicine: Medicine, taken: Sequence[RecordedGiving], *, at: datetime, on: date
) -> Objection | None:
    found = over_maximum(order_on(medicine, on=on), taken, at=at)
    if found is None:
        return None
    together, most, free_at = found
    return Objection(
        verdict=Verdict.OVER_MAXIMUM,
        because=f"{len(together)} are recorded within 24 hours, and {most} is the most",
        givings=tuple(together),
        free_at=free_at,
    )


def say_giving(one: RecordedGiving, zone: ZoneInfo, *, beside: datetime) -> str:
    """Who gave it and when; what became of it where it was not given.

    Args:
        one: The recorded dose.
        zone: The household's time zone.
        beside: The instant that it is read beside.
    """
    outcome = one.payload.outcome.value
    verb = "gave it" if outcome == "given" else f'wrote "{outcome}"'
    return f"{one.payload.given_by or one.kept.by_name} {verb} at {say_time(one.at, zone, beside=beside)}"


def find_last_meal(counting: Iterable[KeptEntry], *, at: datetime) -> datetime | None:
    """When food last went in before an instant; none where none did.

    Args:
        counting: Entries that count.
        at: The instant.
    """
    food = (one.entry.at for one in counting if isinstance(one.entry.payload, FillGiven | MealEnded))
    return max((fed_at for fed_at in food if fed_at <= at), default=None)


@dataclass(frozen=True, kw_only=True, slots=True)
class OneDose:
    """A dose that a press would write, and what speaks against it.

    Attributes:
        medicine: Its order.
        objections: What the record, the plan and the clock say against it; empty where a reason was typed.
    """

    medicine: Medicine
    objections: tuple[Objection, ...]


def judge_dose(
    candidate: KeptEntry,
    *,
    entries: Iterable[KeptEntry],
    orders: OrdersInForce,
    time_zone: str,
    planned_at: datetime | None = None,
) -> OneDose | None:
    """What speaks against a dose that a press would write; none where it writes none, or says why already.

    Args:
        candidate: What the press would write, as the record would keep it.
        entries: What the record holds, with all corrections; what is far from the candidate may be left out.
        orders: The order that held when.
        time_zone: The household's.
        planned_at: When its session comes; none where it stands in none.
    Source:
        the vet's order; medicine.window_*, medicine.rolling_day, medicine.late_acceptable
    """
    payload, at = candidate.entry.payload, candidate.entry.at
    if not isinstance(payload, MedicineGiven) or payload.outcome in NOT_TAKEN or payload.reason is not None:
        return None
    plan, medicine = orders.plan_at(at), orders.find(medicine_id=payload.medicine, at=at)
    if medicine is None or plan is None:
        return None
    counting = counting_entries((*entries, candidate))
    givings = read_givings(counting, time_zone=time_zone)
    mine = next((one for one in givings if one.id == candidate.entry.id), None)
    if mine is None:  # something newer has already taken its place
        return None
    beside = BesideDose(
        givings=[one for one in givings if one.id != mine.id],
        others=[one for one in plan.medicines if one.id != medicine.id],
        # a dose that is written down later came out of the bottle that was in use then
        bottle=newest_bottles(one for one in counting if one.entry.at <= at).get(medicine.id),
        last_meal_at=find_last_meal(counting, at=at),
        clock=None
        if planned_at is None
        else find_dose_clock(
            medicine, planned_at=planned_at, time_zone=time_zone, day_starts=plan.household.day_starts
        ),
    )
    found = find_objections(medicine, at=at, on=candidate.day, beside=beside, time_zone=time_zone)
    missing = _second_check_missing(medicine, mine, counting, orders=orders)
    # a correction says what was
    other = _another_dose(medicine, payload, plan, on=candidate.day) if candidate.entry.corrects is None else []
    return OneDose(medicine=medicine, objections=(*found, *missing, *other))


def _another_dose(medicine: Medicine, payload: MedicineGiven, plan: CarePlan, *, on: date) -> list[Objection]:
    """Another mass than the order's of that day, or to another mark: an old page, or a slip of the point."""
    ordered, drawn = ordered_mass(medicine, plan, on=on), drawn_dose(medicine, plan, on=on)
    mark_ml = drawn.drawn.ml if isinstance(drawn, Mark) else None
    pairs = (("the order is", "mg", ordered, payload.dose_mg), ("it is drawn to", "mL", mark_ml, payload.ml))
    return [
        Objection(
            verdict=Verdict.ANOTHER_DOSE,
            because=f"{words} {write_number(planned)} {unit}, and {write_number(written)} {unit} is written",
        )
        for words, unit, planned, written in pairs
        if planned is not None and written is not None and planned != written
    ][:1]


def check_reason(
    candidate: KeptEntry,
    *,
    entries: Iterable[KeptEntry],
    orders: OrdersInForce,
    time_zone: str,
    planned_at: datetime | None = None,
) -> None:
    """Refuse a press that would write a dose the record or the plan speaks against, without a typed reason.

    Args:
        candidate: What the press would write, as the record would keep it.
        entries: What the record holds, with all corrections; what is far from the candidate may be left out.
        orders: The order that held when.
        time_zone: The household's.
        planned_at: When its session comes; none where it stands in none.
    Raises:
        NeedsReason: it speaks against it; who gave it when, and until when to wait.
    Source:
        the vet's order; medicine.window_*, medicine.rolling_day, medicine.late_acceptable
    """
    found = judge_dose(candidate, entries=entries, orders=orders, time_zone=time_zone, planned_at=planned_at)
    if found is not None and found.objections:
        raise _needs_reason(
            found.medicine, at=candidate.entry.at, objections=found.objections, zone=ZoneInfo(time_zone)
        )


def _needs_reason(medicine: Medicine, *, at: datetime, objections: Sequence[Objection], zone: ZoneInfo) -> NeedsReason:
    free_at = max((one.free_at for one in objections if one.free_at is not None), default=None)
    may_wait = free_at is not None and all(one.free_at is not None for one in objections)
    return NeedsReason(
        field="reason",
        got=f"{medicine.name} at {say_time(at, zone)}, when {'; '.join(one.because for one in objections)}",
        allowed=f"not before {say_time(free_at, zone, beside=at)}, or with a typed reason"
        if free_at is not None and may_wait
        else "with a typed reason",
        remedy="If it has not gone in, let another person read the syringe first. If it has, write why nobody did."
        if all(one.verdict is Verdict.NOT_CHECKED for one in objections)
        else "If it has not gone in, do not give it. If it has, write why; ask the vet before giving any more of it.",
        despite=tuple(dict.fromkeys(one.id for objection in objections for one in objection.givings)),
        free_at=free_at if may_wait else None,
    )


def _second_check_missing(
    medicine: Medicine, mine: RecordedGiving, counting: Sequence[KeptEntry], *, orders: OrdersInForce
) -> list[Objection]:
    if not medicine.second_check:
        return []
    checked = find_second_check(mine, medicine=medicine, entries=counting, plan=orders.plan_at(mine.at))
    if checked is not None and checked.agrees:
        return []
    because = (
        "the plan asks for a second person to read the syringe, and nobody else has"
        if checked is None
        else f"{checked.by_name} read {checked.read} as the second person, which is not the dose"
    )
    return [Objection(verdict=Verdict.NOT_CHECKED, because=because)]
