"""What of today still fits after a meal was missed or came back."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from math import ceil, fsum

from fillmark.core.record.amounts import Amount, add_up
from fillmark.core.today.meals_today import (
    DUST_ML,
    MealAhead,
    MealRules,
    MealState,
    MealToday,
    RestOfToday,
    WaterToday,
    meal_state,
)
from fillmark.core.tube.ladders import Spread, spread_missing
from fillmark.core.tube.meals import largest_blend_per_meal
from fillmark.core.values.errors import OutOfRange
from fillmark.core.values.explain import Explained
from fillmark.core.values.limits import check_range
from fillmark.core.values.quantities import write_number
from fillmark.published.blend import DENSITY_LIMITS_KCAL_PER_ML, VOLUME_LIMITS_ML
from fillmark.published.record_rules import STAYS_NEXT_MINUTES


def _kept(meal: MealToday, state: MealState) -> Amount:
    """What of a meal went in and stayed in; of one that is not known, anything up to what was planned."""
    blend, back = meal.record.blend, meal.record.back
    low, high = (blend.low_ml, blend.high_ml) if blend else (0.0, 0.0)
    if state is MealState.NOT_KNOWN:
        high = max(high, meal.planned_ml)
    back_low, back_high = (back.low_ml, back.high_ml) if back else (0.0, 0.0)
    return Amount(max(0.0, low - back_high), max(0.0, high - back_low))


def _fed_at(meal: MealToday, state: MealState, now: datetime) -> datetime | None:
    """When blend last went in, or may have; the distance to the next meal counts from here."""
    record = meal.record
    if state is MealState.IN_HAND:
        return now
    last_at = record.fills[-1].at if record.fills else record.last_at
    if state is MealState.NOT_KNOWN:
        return last_at or meal.planned_at
    return last_at if record.blend is not None and record.blend.high_ml > 0 else None


def rest_of_today(
    meals: Sequence[MealToday],
    *,
    now: datetime,
    rules: MealRules,
    water: WaterToday,
    came_back_ml: float = 0.0,
    placed: Mapping[str, datetime | None] | None = None,
) -> Explained[RestOfToday]:
    """What today still needs, and how much of it the meals still to come can carry.

    A meal is moved later when it would come too close to the one before, and left out when no time is left for it. No
    meal passes the cap, flushes and medicine water included; none grows past the level from which the vet wants to be
    asked; none reaches twice its plan; none is added; and the day never gets more than it needs. It is a proposal: the
    plan and the record stay as they are.

    Args:
        meals: Every meal of the day, and every other session in which blend went in; in any order.
        now: The present instant.
        rules: What holds of every meal of the day.
        water: The day's water.
        came_back_ml: What came back outside of any session, at the least [mL].
        placed: When each meal to come is to be, where that is settled already; none for one that is skipped.
    Raises:
        OutOfRange: a number can only be a slip.
    Source:
        the vet's orders; record.stays_next_minutes
    """
    _check(meals, rules=rules, came_back_ml=came_back_ml)
    day = _read_day(meals, now=now, came_back_ml=came_back_ml, settled=placed or ())
    if placed is None:
        timed = _timed(day.to_come, last_fed_at=day.last_fed_at, now=now, rules=rules)
    else:
        timed = [(meal, placed.get(meal.session)) for meal in day.to_come]
    ahead, spread = _share_out([(meal, at) for meal, at in timed if at is not None], day=day, rules=rules)
    beside_ml = fsum(meal.beside_ml for meal, at in timed if at is not None)
    water_due_ml, water_short_ml, water_room_ml = _water(ahead, day=day, water=water, beside_ml=beside_ml)
    rest = RestOfToday(
        day_ml=day.planned_ml,
        kept_ml=day.kept,
        due_ml=day.due_ml,
        due_kcal=day.due_ml * rules.kcal_per_ml,
        in_hand_ml=day.in_hand_ml,
        meals=ahead,
        dropped=tuple(meal.session for meal, at in timed if at is None),
        carried_ml=round(fsum(meal.blend_ml - meal.planned_ml for meal in ahead), 6),
        let_go_ml=spread.value.let_go_ml,
        let_go_kcal=spread.value.let_go_ml * rules.kcal_per_ml,
        water_due_ml=water_due_ml,
        water_short_ml=water_short_ml,
        water_room_ml=water_room_ml,
        ask=tuple(meal.session for meal in day.ordered if day.states[meal.session] is MealState.NOT_KNOWN),
    )
    return Explained(
        value=rest,
        because=_because(rest),
        figures=(STAYS_NEXT_MINUTES,),
        parts=(spread,) if ahead else (),
        cautions=tuple(_cautions(rest, day=day, rules=rules, says_why_dropped=placed is None)),
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class _Day:
    """The day as the record has it: what is kept, what is in hand, and what is to come."""

    ordered: tuple[MealToday, ...]
    states: Mapping[str, MealState]
    kept: Amount
    in_hand_ml: float
    last_fed_at: datetime | None
    has_come_back: bool

    @property
    def planned_ml(self) -> float:
        return fsum(meal.planned_ml for meal in self.ordered)

    @property
    def due_ml(self) -> float:
        return max(0.0, self.planned_ml - self.kept.high_ml)

    @property
    def to_come(self) -> list[MealToday]:
        return [m for m in self.ordered if self.states[m.session] is MealState.TO_COME and m.planned_ml > 0]


def _read_day(meals: Sequence[MealToday], *, now: datetime, came_back_ml: float, settled: Iterable[str]) -> _Day:
    ordered = tuple(sorted(meals, key=lambda meal: (meal.planned_at, meal.session)))
    states = {meal.session: meal_state(meal, now=now) for meal in ordered}
    states.update(dict.fromkeys(settled, MealState.TO_COME))
    all_kept = add_up(_kept(meal, states[meal.session]) for meal in ordered)
    in_hand_ml = fsum(
        max(0.0, meal.planned_ml - (meal.record.blend.high_ml if meal.record.blend else 0.0))
        for meal in ordered
        if states[meal.session] is MealState.IN_HAND
    )
    fed = [at for meal in ordered if (at := _fed_at(meal, states[meal.session], now)) is not None]
    return _Day(
        ordered=ordered,
        states=states,
        kept=Amount(max(0.0, all_kept.low_ml - came_back_ml), max(0.0, all_kept.high_ml - came_back_ml)),
        in_hand_ml=in_hand_ml,
        last_fed_at=max(fed, default=None),
        has_come_back=came_back_ml > 0 or any(meal.record.back for meal in ordered),
    )


def _share_out(
    timed: Sequence[tuple[MealToday, datetime]], *, day: _Day, rules: MealRules
) -> tuple[tuple[MealAhead, ...], Explained[Spread]]:
    """What is still due, shared out over the meals to come; never past the cap, the warning, or the day's need."""
    most = [_most_ml(meal, limit_ml_per_kg=rules.cap_ml_per_kg, rules=rules) for meal, _ in timed]
    unasked = [_most_ml(meal, limit_ml_per_kg=rules.warn_ml_per_kg, rules=rules) for meal, _ in timed]
    room_for_all = max(0.0, day.due_ml - day.in_hand_ml)
    start = _within_need(
        [
            meal.planned_ml if limit is None else min(meal.planned_ml, limit)
            for (meal, _), limit in zip(timed, most, strict=True)
        ],
        need_ml=room_for_all,
        step_ml=rules.step_ml,
    )
    spread = spread_missing(
        planned_ml=start,
        missing_ml=max(0.0, room_for_all - fsum(start)),
        day_left_ml=room_for_all,
        most_ml=[
            planned if cap is None or not rules.may_grow else cap if ask is None else min(cap, max(planned, ask))
            for planned, cap, ask in zip(start, most, unasked, strict=True)
        ],
        step_ml=rules.step_ml,
    )
    ahead = tuple(
        MealAhead(
            session=meal.session,
            planned_at=meal.planned_at,
            planned_ml=meal.planned_ml,
            at=at,
            blend_ml=blend_ml,
            most_ml=limit,
        )
        for (meal, at), limit, blend_ml in zip(timed, most, spread.value.blend_ml_per_meal, strict=True)
    )
    return ahead, spread


def _check(meals: Sequence[MealToday], *, rules: MealRules, came_back_ml: float) -> None:
    for meal in meals:
        for field, value in (("planned_ml", meal.planned_ml), ("beside_ml", meal.beside_ml)):
            check_range(field=field, value=value, limits=VOLUME_LIMITS_ML)
    check_range(field="kcal_per_ml", value=rules.kcal_per_ml, limits=DENSITY_LIMITS_KCAL_PER_ML)
    check_range(field="came_back_ml", value=came_back_ml, limits=VOLUME_LIMITS_ML)
    if rules.shortest_gap < timedelta(0):
        raise OutOfRange(
            field="shortest_gap",
            got=f"A shortest time from meal to meal of {rules.shortest_gap.total_seconds() / 60:,.0f} minutes",
            allowed="0 minutes or more",
            remedy="Read the vet's order again.",
        )


def _timed(
    to_come: Sequence[MealToday],
    *,
    last_fed_at: datetime | None,
    now: datetime,
    rules: MealRules,
) -> list[tuple[MealToday, datetime | None]]:
    """Each meal with the earliest time neither before its plan nor too close to the one before; None where too late."""
    timed: list[tuple[MealToday, datetime | None]] = []
    before = last_fed_at
    for meal in to_come:
        # in UTC: across a clock change, wall clocks lie about distances
        earliest = [meal.planned_at.astimezone(UTC), now.astimezone(UTC)]
        if before is not None:
            earliest.append(before.astimezone(UTC) + rules.shortest_gap)
        at = max(earliest).astimezone(meal.planned_at.tzinfo)
        if meal.planned_at < at > rules.last_meal_by:
            timed.append((meal, None))
            continue
        timed.append((meal, at))
        before = at
    return timed


def _most_ml(meal: MealToday, *, limit_ml_per_kg: float | None, rules: MealRules) -> float | None:
    if limit_ml_per_kg is None:
        return None
    return largest_blend_per_meal(
        weight_kg=rules.weight_kg,
        cap_ml_per_kg=limit_ml_per_kg,
        flush_ml=meal.beside_ml,
        medicine_water_ml=0,
        step_ml=rules.step_ml,
    ).value


def _within_need(blend_ml: list[float], *, need_ml: float, step_ml: float) -> list[float]:
    """Taken back from the last meal on, on the syringe's marks, until the day no longer gets more than it needs."""
    over_ml = fsum(blend_ml) - need_ml
    for index in reversed(range(len(blend_ml))):
        if over_ml <= DUST_ML:
            break
        taken_ml = min(blend_ml[index], ceil((over_ml - DUST_ML) / step_ml) * step_ml)
        blend_ml[index] = round(blend_ml[index] - taken_ml, 6)
        over_ml -= taken_ml
    return blend_ml


def _water(
    ahead: Sequence[MealAhead], *, day: _Day, water: WaterToday, beside_ml: float
) -> tuple[float, float, float | None]:
    """Water still due, what of it nothing to come brings, and the room that the cap leaves [mL]."""
    due_ml = max(0.0, water.planned_ml - day.kept.low_ml * water.per_blend_ml - water.beside_so_far_ml)
    coming_ml = (fsum(meal.blend_ml for meal in ahead) + day.in_hand_ml) * water.per_blend_ml
    short_ml = max(0.0, due_ml - coming_ml - beside_ml - water.beside_to_come_ml)
    limits = [meal.most_ml - meal.blend_ml for meal in ahead if meal.most_ml is not None]
    room_ml = fsum(limits) if len(limits) == len(ahead) else None
    return due_ml, round(short_ml, 6), room_ml


def _ml(amount: Amount) -> str:
    low = write_number(round(amount.low_ml, 1))
    return low if amount.is_exact else f"{low} to {write_number(round(amount.high_ml, 1))}"


def _because(rest: RestOfToday) -> str:
    said = (
        f"{write_number(rest.day_ml)} mL for the day, {_ml(rest.kept_ml)} mL in and kept: {write_number(rest.due_ml)} "
        f"mL ({rest.due_kcal:,.0f} kcal) still due"
    )
    if rest.in_hand_ml:
        said += f"; the meal in hand still brings {write_number(rest.in_hand_ml)} mL"
    count = len(rest.meals)
    carried = write_number(fsum(meal.blend_ml for meal in rest.meals))
    said += f"; {count} meal{'s' * (count != 1)} to come {'carry' if count != 1 else 'carries'} {carried} mL"
    return f"{said}; {write_number(rest.let_go_ml)} mL ({rest.let_go_kcal:,.0f} kcal) are let go"


def _cautions(rest: RestOfToday, *, day: _Day, rules: MealRules, says_why_dropped: bool) -> Iterator[str]:
    clocks = {meal.session: f"{meal.planned_at:%H:%M}" for meal in day.ordered}
    for session in rest.ask:
        yield (
            f"Nobody has said whether the meal of {clocks[session]} went in: nothing is made up for it. Say what "
            "happened."
        )
    if day.has_come_back:
        yield "Something came back: ask the vet before more than the plan is given."
    if rest.let_go_ml >= rules.step_ml - DUST_ML:
        yield (
            f"{write_number(rest.let_go_ml)} mL ({rest.let_go_kcal:,.0f} kcal) do not fit today and are let go. Never "
            "double a meal to catch up."
        )
        if rules.may_grow and rules.cap_ml_per_kg is None:
            yield "The vet stated no most for one session: no meal is made larger. Ask for it."
        is_under_cap = any(meal.most_ml is not None and meal.most_ml - meal.blend_ml > DUST_ML for meal in rest.meals)
        if rules.may_grow and rules.warn_ml_per_kg is not None and is_under_cap:
            warning = write_number(rules.warn_ml_per_kg)
            yield f"No meal is raised above the vet's warning of {warning} mL/kg without asking."
    if any(meal.blend_ml > meal.planned_ml + DUST_ML for meal in rest.meals):
        yield "A larger meal than planned: only where the vet has said that what was missed may be made up."
    if rest.dropped and says_why_dropped:
        yield (
            f"No time is left today for the meal of {' and '.join(clocks[session] for session in rest.dropped)}: two "
            "meals would come too close."
        )
    if rest.water_short_ml >= 1:
        yield (
            f"{rest.water_short_ml:,.0f} mL of today's water has no place in the sessions to come: ask the vet how to "
            "give it."
        )
