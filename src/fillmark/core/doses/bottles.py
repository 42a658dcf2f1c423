"""What is in the medicine bottles, and how long does it last?

A bottle's content is worked out from what was drawn since it was opened, and held against what people count. A
difference is asked about, never judged.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from uuid import UUID
from zoneinfo import ZoneInfo

from fillmark.core.doses.bottle_in_use import Bottle, newest_bottles, strength_lock, strength_of, with_strength
from fillmark.core.doses.giving import planned_times
from fillmark.core.orders.dose_text import number_of, unit_of
from fillmark.core.orders.dosing_days import dose_on, is_in_course, ordered_dose
from fillmark.core.orders.drawing import draw
from fillmark.core.orders.medicine import Medicine, order_on
from fillmark.core.orders.shelf_life import beyond_use_day, opened_until, use_until
from fillmark.core.orders.stages import doses_per_day
from fillmark.core.orders.tablets import TabletParts
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record.entries import KeptEntry, household_day
from fillmark.core.record.medicine_entries import MedicineGiven, Outcome, StockCounted
from fillmark.core.tube.syringe import Mark
from fillmark.core.values.errors import FillmarkError
from fillmark.core.values.explain import Explained
from fillmark.core.values.other_amounts import OtherAmount
from fillmark.core.values.quantities import Mass, Strength, Volume, write_number
from fillmark.published.bottles import LOOK_AHEAD_DAYS, ORDER_AHEAD_DAYS, READ_BY_EYE_FRACTION


@dataclass(frozen=True, slots=True)
class Between:
    """An amount that is known only to lie between two values, ends included [mL, or pieces]."""

    low: Decimal
    high: Decimal


@dataclass(frozen=True, kw_only=True, slots=True)
class Count:
    """What someone saw in a bottle, beside what the record expected there at that moment."""

    by_name: str
    at: datetime
    seen: Decimal
    expected: Between
    is_asked_about: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class Stock:
    """One medicine's bottle now.

    Attributes:
        left: What should be in it by the record, since it was opened or last counted.
        count: The newest count of it.
        not_counted: How many records of a dose say nothing about how much was taken.
        left_mg: What that is in mg, from the low end; none where one piece's mass is not known.
        dose: What one dose takes today [mL, or pieces]; none where it cannot be worked out, or the bottle is locked.
        doses_left: Whole doses in the low end.
        until: The last day of use, by the label or by print; none where neither says.
        is_past: Whether that day is over: ask the vet or the pharmacy before the next dose.
        runs_out_on: The day of the first dose that it does not hold any more; none when that is too far off to say.
        order_on: By when to order the next one.
        lock: Why the medicine is locked; none where it is not.
    """

    medicine: Medicine
    bottle: Bottle
    left: Between
    count: Count | None
    not_counted: int
    left_mg: Explained[Mass | OtherAmount] | None
    dose: Decimal | None
    doses_left: int | None
    until: Explained[date] | None
    is_past: bool
    runs_out_on: date | None
    order_on: date | None
    lock: str | None

    @property
    def last_day(self) -> date | None:
        """The last day on which a dose comes out of it: it runs out, or may be used no more."""
        days = [self.until.value] if self.until else []
        days += [self.runs_out_on - timedelta(days=1)] if self.runs_out_on else []
        return min(days, default=None)

    def say(self, amount: Decimal) -> str:
        """An amount of it in words."""
        return say_amount(amount, piece=self.bottle.piece)

    @property
    def left_words(self) -> str:
        """What should be left, in words: one amount, or the range it lies in."""
        if self.left.low == self.left.high:
            return self.say(self.left.low)
        return f"{write_number(self.left.low)} to {self.say(self.left.high)}"


def say_amount(amount: Decimal, *, piece: str | None) -> str:
    """ "41.5 mL", "1 tablet", "2.5 tablets".

    Args:
        amount: How much [mL, or pieces].
        piece: What is counted; None for mL.
    """
    if piece is None:
        return str(Volume(amount))
    return f"{write_number(amount)} {piece}{'' if amount == 1 else 's'}"


def read_stock(
    plan: CarePlan,
    *,
    entries: Sequence[KeptEntry],
    order_at: Callable[[str, datetime], Medicine | None],
    doubtful: frozenset[UUID],
    now: datetime,
) -> tuple[Stock, ...]:
    """The bottle in use of each medicine of the plan, in the plan's order; a medicine without one has none.

    Args:
        plan: The plan in force now.
        entries: Those that count, back to the opening of the oldest bottle in use.
        order_at: The order of a medicine that held at an instant.
        doubtful: Records of doses that may be another record told twice.
        now: The present instant.
    Raises:
        OutOfRange: the plan's weight can only be a slip.
    Source:
        the vet's order, the label and the record; supplies.*, shelf_life.*
    """
    bottles = newest_bottles(entries)
    return tuple(
        _read_bottle(
            medicine, bottles[medicine.id], plan, entries=entries, order_at=order_at, doubtful=doubtful, now=now
        )
        for medicine in plan.medicines
        if medicine.id in bottles
    )


def _read_bottle(
    medicine: Medicine,
    bottle: Bottle,
    plan: CarePlan,
    *,
    entries: Sequence[KeptEntry],
    order_at: Callable[[str, datetime], Medicine | None],
    doubtful: frozenset[UUID],
    now: datetime,
) -> Stock:
    left, count, not_counted = Between(bottle.held, bottle.held), None, 0
    slack = bottle.held * Decimal(str(READ_BY_EYE_FRACTION.value)) if bottle.piece is None else Decimal()
    for one in sorted(entries, key=lambda one: (one.entry.at, one.entry.id)):
        payload = one.entry.payload
        if one.entry.at < bottle.opened_at:
            continue
        if isinstance(payload, StockCounted) and payload.bottle == bottle.id:
            seen = payload.ml if payload.ml is not None else payload.pieces or Decimal()
            is_off = not left.low - slack <= seen <= left.high + slack
            count = Count(by_name=one.by_name, at=one.entry.at, seen=seen, expected=left, is_asked_about=is_off)
            left, not_counted = Between(seen, seen), 0
        elif isinstance(payload, MedicineGiven) and payload.medicine == medicine.id:
            taken = _taken(payload, order=order_at(medicine.id, one.entry.at), plan=plan, on=one.day)
            if taken is None:
                not_counted += 1
                continue
            sure = Decimal() if one.entry.id in doubtful else taken.low
            left = Between(max(Decimal(), left.low - taken.high), max(Decimal(), left.high - sure))
    household = plan.household
    today = household_day(at=now, time_zone=household.time_zone, day_starts=household.day_starts)
    until = last_use(bottle, time_zone=plan.household.time_zone)
    lock = strength_lock(medicine, bottle=bottle)
    # the plan's own mark says nothing about a bottle of another strength
    dose = dose_amount(medicine, plan, on=today) if lock is None else None
    runs_out_on = _runs_out_on(medicine, plan, left=left.low, now=now) if lock is None else None
    ends = [until.value + timedelta(days=1)] if until else []
    ends += [runs_out_on] if runs_out_on else []
    return Stock(
        medicine=medicine,
        bottle=bottle,
        left=left,
        count=count,
        not_counted=not_counted,
        left_mg=_left_mg(medicine, bottle, left.low),
        dose=dose,
        doses_left=int(left.low // dose) if dose else None,
        until=until,
        is_past=until is not None and now.astimezone(ZoneInfo(household.time_zone)).date() > until.value,
        runs_out_on=runs_out_on,
        order_on=min(ends) - timedelta(days=ORDER_AHEAD_DAYS.value) if ends else None,
        lock=lock,
    )


_SURELY_TAKEN = {Outcome.GIVEN, Outcome.PARTIAL, Outcome.CAME_BACK, Outcome.SPILLED}
_PERHAPS_TAKEN = {Outcome.REFUSED, Outcome.NOT_KNOWN}


def _taken(payload: MedicineGiven, *, order: Medicine | None, plan: CarePlan, on: date) -> Between | None:
    """What a recorded dose took out of the bottle; None where nothing says how much."""
    if payload.outcome not in _SURELY_TAKEN | _PERHAPS_TAKEN:
        return Between(Decimal(), Decimal())
    amount = payload.ml if payload.ml is not None else dose_amount(order, plan, on=on) if order else None
    if amount is None:
        return None
    return Between(amount if payload.outcome in _SURELY_TAKEN else Decimal(), amount)


def drawn_dose(medicine: Medicine, plan: CarePlan, *, on: date) -> Mark | TabletParts | None:
    """What the hand does for one dose of a day; None where that cannot be worked out.

    Args:
        medicine: The order.
        plan: The care plan.
        on: The household's day.
    Source:
        the vet's order
    """
    try:
        return draw(medicine, weight_kg=plan.animal.weight.weight_kg, syringes=plan.medicine_syringes, on=on).value
    except FillmarkError:
        return None


def ordered_mass(medicine: Medicine, plan: CarePlan, *, on: date) -> Decimal | None:
    """What the order comes to on a day, exact [mg]; None where it counts something else, or cannot be worked out.

    Args:
        medicine: The order.
        plan: The care plan.
        on: The household's day.
    Source:
        the vet's order
    """
    try:
        ordered = ordered_dose(medicine, weight_kg=plan.animal.weight.weight_kg, on=on).value
    except FillmarkError:
        return None
    return ordered.mg if isinstance(ordered, Mass) else None


def dose_amount(medicine: Medicine, plan: CarePlan, *, on: date) -> Decimal | None:
    """What one dose of a day takes out of the bottle [mL, or pieces]; None where it cannot be worked out.

    Args:
        medicine: The order.
        plan: The care plan.
        on: The household's day.
    Source:
        the vet's order
    """
    drawn = drawn_dose(medicine, plan, on=on)
    return _amount(drawn) if drawn is not None else None


def _amount(drawn: Mark | TabletParts) -> Decimal:
    if isinstance(drawn, Mark):
        return drawn.drawn.ml
    return Decimal(drawn.count.numerator) / Decimal(drawn.count.denominator)


def _left_mg(medicine: Medicine, bottle: Bottle, left: Decimal) -> Explained[Mass | OtherAmount] | None:
    strength = strength_of(with_strength(medicine, strength=bottle.strength))
    if strength is None:
        return None
    of = left * number_of(strength)
    mass = Mass(of) if isinstance(strength, Mass | Strength) else OtherAmount(of, unit_of(strength))
    return Explained(value=mass, because=f"{say_amount(left, piece=bottle.piece)} × {bottle.strength} = {mass}")


def last_use(bottle: Bottle, *, time_zone: str) -> Explained[date] | None:
    """The last day of use: what the label says, else what print says about such a medicine; None where neither does.

    Args:
        bottle: The bottle, with its label.
        time_zone: The household's time zone, an IANA name.
    Source:
        the label; shelf_life.*
    """
    label = bottle.label
    printed = [day for day in (label.discard_on, label.expires_on) if day is not None]
    begun_on = label.filled_on or bottle.opened_at.astimezone(ZoneInfo(time_zone)).date()
    match label.keeps_as:
        case None:
            by_rule = None
        case "water, no preservative" | "water, preserved" | "oil" | "dry":
            by_rule = beyond_use_day(compounded=label.keeps_as, made_on=begun_on)
        case _:
            by_rule = opened_until(opened_as=label.keeps_as, opened_on=begun_on)
    return use_until(label_on=min(printed, default=None), by_rule=by_rule)


def _doses_ahead(medicine: Medicine, plan: CarePlan, *, now: datetime) -> Iterator[tuple[date, int]]:
    """How many doses each day asks for from now on, by the order; a medicine for when needed is counted at its most."""
    household = plan.household
    today = household_day(at=now, time_zone=household.time_zone, day_starts=household.day_starts)
    timed = medicine.model_copy(update={"clocks": plan.timetable.meals}) if medicine.with_each_meal else medicine
    owed = 0.0
    for offset in range(int(LOOK_AHEAD_DAYS.value)):
        on = today + timedelta(days=offset)
        if medicine.held is not None or not is_in_course(medicine, on=on):
            continue
        order = order_on(timed, on=on)
        if order.clocks or order.first_dose is not None:
            times = planned_times(timed, on=on, time_zone=household.time_zone, day_starts=household.day_starts)
            yield on, sum(at > now.astimezone(UTC) for at in times)
            continue
        owed += doses_per_day(order) or 0.0
        yield on, int(owed)
        owed -= int(owed)


def _runs_out_on(medicine: Medicine, plan: CarePlan, *, left: Decimal, now: datetime) -> date | None:
    amounts: dict[str, Decimal | None] = {}
    for on, doses in _doses_ahead(medicine, plan, now=now):
        key = dose_on(medicine, on=on)
        if key not in amounts:
            amounts[key] = dose_amount(medicine, plan, on=on)
        dose = amounts[key]
        if dose is None:
            return None
        left -= doses * dose
        if left < 0:
            return on
    return None
