"""What of today still fits after a meal was missed or came back."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import UTC, datetime, timedelta
from math import ceil, fsum

from fillmark.core.record.amounts import Amount, add_up
from fillmark.core.today.meals_today import (
    DUST_ML,
    MealAhead,
    MealState,
    MealToday,
    RestOfToday,
    WaterToday,
    meal_state,
)
from fillmark.core.tube.ladders import spread_missing
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
    weight_kg: float,
    cap_ml_per_kg: float | None,
    shortest_gap: timedelta,
    last_meal_by: datetime,
    step_ml: float,
    kcal_per_ml: float,
    water: WaterToday,
    warn_ml_per_kg: float | None = None,
    came_back_ml: float = 0.0,
    placed: Mapping[str, datetime | None] | None = None,
    may_grow: bool = True,
) -> Explained[RestOfToday]:
    """What today still needs, and how much of it the meals still to come can carry.

    A meal is moved later when it would come too close to the one before, and left out when no time is left for it. No
    meal passes the cap, flushes and medicine water included; none grows past the level from which the vet wants to be
    asked; none reaches twice its plan; none is added; and the day never gets more than it needs. It is a proposal: the
    plan and the record stay as they are.

    Args:
        meals: Every meal of the day, and every other session in which blend went in; in any order.
        now: The present instant.
        weight_kg: Weight today [kg].
        cap_ml_per_kg: What the vet allows at most in one session [mL/kg]; without it no meal is made larger.
        shortest_gap: Least time from one meal to the next.
        last_meal_by: No meal of today after this: the end of the day, or so long before tomorrow's first meal.
        step_ml: Distance between two marks of the syringe [mL].
        kcal_per_ml: Energy of the blend [kcal/mL].
        water: The day's water.
        warn_ml_per_kg: From where on the vet wants to be asked [mL/kg]; a meal planned above it stays as planned.
        came_back_ml: What came back outside of any session, at the least [mL].
        placed: When each meal to come is to be, where that is settled already; none for one that is let go.
        may_grow: Whether what was missed may be made up; the vet may have said that it is let go.
    Raises:
        OutOfRange: a number can only be a slip.
    Source:
        the vet's orders; record.stays_next_minutes
    """
    _check(meals, shortest_gap=shortest_gap, kcal_per_ml=kcal_per_ml, came_back_ml=came_back_ml)
    ordered = sorted(meals, key=lambda meal: (meal.planned_at, meal.session))
    states = {meal.session: meal_state(meal, now=now) for meal in ordered}
    states.update(dict.fromkeys(placed or (), MealState.TO_COME))
    day_ml = fsum(meal.planned_ml for meal in ordered)
    all_kept = add_up(_kept(meal, states[meal.session]) for meal in ordered)
    kept = Amount(max(0.0, all_kept.low_ml - came_back_ml), max(0.0, all_kept.high_ml - came_back_ml))
    in_hand_ml = fsum(
        max(0.0, meal.planned_ml - (meal.record.blend.high_ml if meal.record.blend else 0.0))
        for meal in ordered
        if states[meal.session] is MealState.IN_HAND
    )
    due_ml = max(0.0, day_ml - kept.high_ml)

    to_come = [meal for meal in ordered if states[meal.session] is MealState.TO_COME and meal.planned_ml > 0]
    fed = [at for meal in ordered if (at := _fed_at(meal, states[meal.session], now)) is not None]
    if placed is None:
        timed = _timed(
            to_come, last_fed_at=max(fed, default=None), now=now, shortest_gap=shortest_gap, last_meal_by=last_meal_by
        )
    else:
        timed = [(meal, placed.get(meal.session)) for meal in to_come]
    kept_times = [(meal, at) for meal, at in timed if at is not None]
    dropped = tuple(meal.session for meal, at in timed if at is None)

    most, unasked = (
        [_most_ml(meal, weight_kg=weight_kg, limit_ml_per_kg=limit, step_ml=step_ml) for meal, _ in kept_times]
        for limit in (cap_ml_per_kg, warn_ml_per_kg)
    )
    room_for_all = max(0.0, due_ml - in_hand_ml)
    start = _within_need(
        [
            meal.planned_ml if limit is None else min(meal.planned_ml, limit)
            for (meal, _), limit in zip(kept_times, most, strict=True)
        ],
        need_ml=room_for_all,
        step_ml=step_ml,
    )
    missing_ml = max(0.0, room_for_all - fsum(start))
    spread = spread_missing(
        planned_ml=start,
        missing_ml=missing_ml,
        day_left_ml=room_for_all,
        most_ml=[
            planned if cap is None or not may_grow else cap if warning is None else min(cap, max(planned, warning))
            for planned, cap, warning in zip(start, most, unasked, strict=True)
        ],
        step_ml=step_ml,
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
        for (meal, at), limit, blend_ml in zip(kept_times, most, spread.value.blend_ml_per_meal, strict=True)
    )
    water_due_ml, water_short_ml, water_room_ml = _water(
        ahead,
        water=water,
        kept_ml=kept.low_ml,
        in_hand_ml=in_hand_ml,
        beside_ml=fsum(meal.beside_ml for meal, _ in kept_times),
    )
    rest = RestOfToday(
        day_ml=day_ml,
        kept_ml=kept,
        due_ml=due_ml,
        due_kcal=due_ml * kcal_per_ml,
        in_hand_ml=in_hand_ml,
        meals=ahead,
        dropped=dropped,
        carried_ml=round(fsum(meal.blend_ml - meal.planned_ml for meal in ahead), 6),
        let_go_ml=spread.value.let_go_ml,
        let_go_kcal=spread.value.let_go_ml * kcal_per_ml,
        water_due_ml=water_due_ml,
        water_short_ml=water_short_ml,
        water_room_ml=water_room_ml,
        ask=tuple(meal.session for meal in ordered if states[meal.session] is MealState.NOT_KNOWN),
    )
    has_come_back = came_back_ml > 0 or any(meal.record.back for meal in ordered)
    return Explained(
        value=rest,
        because=_because(rest),
        figures=(STAYS_NEXT_MINUTES,),
        parts=(spread,) if ahead else (),
        cautions=tuple(
            _cautions(
                rest,
                clocks={meal.session: f"{meal.planned_at:%H:%M}" for meal in ordered},
                step_ml=step_ml,
                has_cap=cap_ml_per_kg is not None,
                warn_ml_per_kg=warn_ml_per_kg,
                has_come_back=has_come_back,
                says_why_dropped=placed is None,
                may_grow=may_grow,
            )
        ),
    )


def _check(meals: Sequence[MealToday], *, shortest_gap: timedelta, kcal_per_ml: float, came_back_ml: float) -> None:
    for meal in meals:
        for field, value in (("planned_ml", meal.planned_ml), ("beside_ml", meal.beside_ml)):
            check_range(field=field, value=value, limits=VOLUME_LIMITS_ML)
    check_range(field="kcal_per_ml", value=kcal_per_ml, limits=DENSITY_LIMITS_KCAL_PER_ML)
    check_range(field="came_back_ml", value=came_back_ml, limits=VOLUME_LIMITS_ML)
    if shortest_gap < timedelta(0):
        raise OutOfRange(
            field="shortest_gap",
            got=f"A shortest time from meal to meal of {shortest_gap.total_seconds() / 60:,.0f} minutes",
            allowed="0 minutes or more",
            remedy="Read the vet's order again.",
        )


def _timed(
    to_come: Sequence[MealToday],
    *,
    last_fed_at: datetime | None,
    now: datetime,
    shortest_gap: timedelta,
    last_meal_by: datetime,
) -> list[tuple[MealToday, datetime | None]]:
    """Each meal with the earliest time neither before its plan nor too close to the one before; None where too late."""
    timed: list[tuple[MealToday, datetime | None]] = []
    before = last_fed_at
    for meal in to_come:
        # in UTC: across a clock change, wall clocks lie about distances
        earliest = [meal.planned_at.astimezone(UTC), now.astimezone(UTC)]
        if before is not None:
            earliest.append(before.astimezone(UTC) + shortest_gap)
        at = max(earliest).astimezone(meal.planned_at.tzinfo)
        if meal.planned_at < at > last_meal_by:
            timed.append((meal, None))
            continue
        timed.append((meal, at))
        before = at
    return timed


def _most_ml(meal: MealToday, *, weight_kg: float, limit_ml_per_kg: float | None, step_ml: float) -> float | None:
    if limit_ml_per_kg is None:
        return None
    return largest_blend_per_meal(
        weight_kg=weight_kg,
        cap_ml_per_kg=limit_ml_per_kg,
        flush_ml=meal.beside_ml,
        medicine_water_ml=0,
        step_ml=step_ml,
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
    ahead: Sequence[MealAhead], *, water: WaterToday, kept_ml: float, in_hand_ml: float, beside_ml: float
) -> tuple[float, float, float | None]:
    """Water still due, what of it nothing to come brings, and the room that the cap leaves [mL]."""
    due_ml = max(0.0, water.planned_ml - kept_ml * water.per_blend_ml - water.beside_so_far_ml)
    coming_ml = (fsum(meal.blend_ml for meal in ahead) + in_hand_ml) * water.per_blend_ml
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


def _cautions(
    rest: RestOfToday,
    *,
    clocks: Mapping[str, str],
    step_ml: float,
    has_cap: bool,
    warn_ml_per_kg: float | None,
    has_come_back: bool,
    says_why_dropped: bool,
    may_grow: bool,
) -> Iterator[str]:
    for session in rest.ask:
        yield (
            f"Nobody has said whether the meal of {clocks[session]} went in: nothing is made up for it. Say what "
            "happened."
        )
    if has_come_back:
        yield "Something came back: ask the vet before more than the plan is given."
    if rest.let_go_ml >= step_ml - DUST_ML:
        yield (
            f"{write_number(rest.let_go_ml)} mL ({rest.let_go_kcal:,.0f} kcal) do not fit today and are let go. Never "
            "double a meal to catch up."
        )
        if may_grow and not has_cap:
            yield "The vet stated no most for one session: no meal is made larger. Ask for it."
        is_under_cap = any(meal.most_ml is not None and meal.most_ml - meal.blend_ml > DUST_ML for meal in rest.meals)
        if may_grow and warn_ml_per_kg is not None and is_under_cap:
            yield f"No meal is raised above the vet's warning of {write_number(warn_ml_per_kg)} mL/kg without asking."
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
