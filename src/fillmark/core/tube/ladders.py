"""Ladders of feeding: up after a start, down in weaning, and a shortfall spread over what is left."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import floor

from fillmark.core.tube.meals import check_step
from fillmark.core.values.explain import Explained
from fillmark.core.values.limits import check_at_least, check_range
from fillmark.core.values.quantities import write_number
from fillmark.published.blend import VOLUME_LIMITS_ML
from fillmark.published.meals import (
    IDLE_FLUSHES_PER_DAY,
    TAPER_FROM_BY_MOUTH_FRACTION,
)


def next_step(*, rung: int, last: int, vomited: bool, all_kept: bool) -> Explained[int]:
    """The vet's step for tomorrow: back after vomiting, the same when not all was kept, else one up; never two.

    Args:
        rung: Today's step, 1 being the first.
        last: The last step.
        vomited: The animal vomited or regurgitated a tube meal today.
        all_kept: Every meal of today was given whole and stayed in.
    Source:
        arithmetic only
    """
    if vomited:
        tomorrow = max(1, rung - 1)
        return Explained(
            value=tomorrow,
            because=f"vomiting: step {rung} → step {tomorrow}",
            cautions=("The animal vomited: call the vet before the next meal.",),
        )
    if not all_kept:
        return Explained(value=rung, because=f"not all of today's food was given and kept: stay on step {rung}")
    tomorrow = min(last, rung + 1)
    return Explained(value=tomorrow, because=f"all kept: step {rung} → step {tomorrow} of {last}")


def weaning_tube_energy(*, goal_kcal: float, by_mouth_kcal: float) -> Explained[float]:
    """Energy still to give by tube while the animal learns to eat [kcal/day], 0 or more.

    Tube meals stay whole until it eats the share by mouth from which print tapers; then the tube fills up the rest.

    Args:
        goal_kcal: The day's energy goal [kcal/day].
        by_mouth_kcal: What it ate by itself [kcal/day].
    Source:
        meals.taper_from, meals.idle_flushes
    """
    check_at_least(field="goal_kcal", value=goal_kcal, least=1, unit="kcal", remedy="Check the vet's energy goal.")
    check_at_least(field="by_mouth_kcal", value=by_mouth_kcal, least=0, unit="kcal", remedy="Check what was eaten.")
    share = by_mouth_kcal / goal_kcal
    if share < TAPER_FROM_BY_MOUTH_FRACTION.value:
        return Explained(
            value=goal_kcal,
            because=f"{share:.0%} by mouth is below {TAPER_FROM_BY_MOUTH_FRACTION.value:.0%}: tube meals stay whole",
            figures=(TAPER_FROM_BY_MOUTH_FRACTION,),
        )
    rest = max(0.0, goal_kcal - by_mouth_kcal)
    return Explained(
        value=rest,
        because=f"{write_number(goal_kcal)} − {write_number(by_mouth_kcal)} kcal by mouth = {write_number(rest)} kcal "
        "by tube",
        figures=(TAPER_FROM_BY_MOUTH_FRACTION, IDLE_FLUSHES_PER_DAY),
        cautions=()
        if rest
        else (
            f"The tube stands idle: flush it {write_number(IDLE_FLUSHES_PER_DAY.value)} times a day until the vet "
            "takes it out.",
        ),
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class Spread:
    """What the meals still to come can carry after something went wrong [mL of blend]."""

    blend_ml_per_meal: tuple[float, ...]
    carried_ml: float  # of what was missing
    let_go_ml: float  # never pushed after


def spread_missing(
    *, planned_ml: Sequence[float], missing_ml: float, day_left_ml: float, most_ml: Sequence[float], step_ml: float
) -> Explained[Spread]:
    """Spread what a missed, short or returned meal left out over the meals still to come; the rest is left out.

    No meal passes the cap, no meal is doubled, no meal is added, and the day never gets more than it still needs.

    Args:
        planned_ml: Blend planned for each meal still to come today, in order [mL].
        missing_ml: Blend that should be in by now and is not [mL].
        day_left_ml: Blend the day still needs in all [mL].
        most_ml: The most blend each of them may hold, from the vet's cap [mL].
        step_ml: Distance between two marks of the syringe [mL].
    Raises:
        OutOfRange: a number can only be a slip.
    Source:
        the vet's cap
    """
    for field, value in (
        ("missing_ml", missing_ml),
        ("day_left_ml", day_left_ml),
        *(("planned_ml", planned) for planned in planned_ml),
        *(("most_ml", most) for most in most_ml),
    ):
        check_range(field=field, value=value, limits=VOLUME_LIMITS_ML)
    check_step(step_ml)
    meals = list(planned_ml)
    # an own bound below the cap: no meal reaches twice its plan, whatever the cap allows
    room = [
        max(0, floor((min(most - planned, planned - step_ml) + 1e-9) / step_ml))
        for planned, most in zip(planned_ml, most_ml, strict=True)
    ]
    still_needed = max(0.0, day_left_ml - sum(meals))
    steps = floor((min(missing_ml, still_needed) + 1e-9) / step_ml)
    carried = 0
    while carried < steps and any(room):
        # one step at a time to the meal with the most room, so that no meal is loaded before another
        index = max(range(len(meals)), key=lambda i: room[i])
        meals[index] = round(meals[index] + step_ml, 6)
        room[index] -= 1
        carried += 1
    carried_ml = round(carried * step_ml, 6)
    let_go_ml = max(0.0, round(missing_ml - carried_ml, 6))
    return Explained(
        value=Spread(blend_ml_per_meal=tuple(meals), carried_ml=carried_ml, let_go_ml=let_go_ml),
        because=f"{write_number(missing_ml)} mL are missing; {len(meals)} meals to come carry "
        f"{write_number(carried_ml)} mL of it under the cap; {write_number(let_go_ml)} mL are let go",
        cautions=("Never double a meal to catch up.",) if let_go_ml else (),
    )
