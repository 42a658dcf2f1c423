"""What should this animal weigh, and how fast is it changing? The readings of print stand side by side."""

from collections.abc import Mapping

from fillmark.core.values.errors import NeedsHospital, OutOfRange
from fillmark.core.values.explain import Explained
from fillmark.core.values.limits import check_at_least, check_range
from fillmark.core.values.quantities import write_number
from fillmark.published.energy import (
    EXCESS_PER_POINT_PERCENT,
    FAT_PERCENT_BY_SCORE_5,
    IDEAL_FAT_PERCENT,
    IDEAL_SCORE_9,
    LOSS_NEEDS_SUPPORT_PERCENT,
    LOSS_PERIOD_DAYS,
)
from fillmark.published.food import PERCENT_LIMITS
from fillmark.published.input_limits import WEIGHT_LIMITS_KG


def ideal_weight_from_fat(*, weight_kg: float, fat_percent: float) -> Explained[float]:
    """Weight at which the same lean body would be 20 % fat [kg].

    Args:
        weight_kg: Weight today [kg].
        fat_percent: Body fat as the vet judged it [%].
    Raises:
        OutOfRange: a number can only be a slip.
    Source:
        weight.ideal_fat
    """
    check_range(field="weight_kg", value=weight_kg, limits=WEIGHT_LIMITS_KG)
    check_range(field="fat_percent", value=fat_percent, limits=PERCENT_LIMITS)
    kg = weight_kg * (100 - fat_percent) / (100 - IDEAL_FAT_PERCENT.value)
    return Explained(
        value=kg,
        because=f"{write_number(weight_kg)} kg × (100 − {write_number(fat_percent)}) % ÷ "
        f"(100 − {write_number(IDEAL_FAT_PERCENT.value)}) % = {write_number(kg, digits=3)} kg",
        figures=(IDEAL_FAT_PERCENT,),
    )


def ideal_weight_from_score_5(*, weight_kg: float, score: int) -> Explained[float]:
    """Ideal weight from a condition score of 4 or 5 on the scale to 5 [kg].

    Args:
        weight_kg: Weight today [kg].
        score: Body condition, 4 or 5.
    Raises:
        OutOfRange: print gives no body fat for this score.
    Source:
        weight.fat_at_4_of_5, weight.fat_at_5_of_5, weight.ideal_fat
    """
    fat = FAT_PERCENT_BY_SCORE_5.get(score)
    if fat is None:
        raise OutOfRange(
            field="condition score",
            got=f"A condition of {score} of 5",
            allowed="4 or 5 of 5",
            remedy="Print gives a body fat only for these: ask the vet for a target weight.",
        )
    weight = ideal_weight_from_fat(weight_kg=weight_kg, fat_percent=fat.value)
    return Explained(value=weight.value, because=f"{score} of 5: {weight.because}", figures=(fat,), parts=(weight,))


def ideal_weight_from_score_9(*, weight_kg: float, score: int) -> Mapping[str, Explained[float]]:
    """The three printed readings of a condition score above 5 on the scale to 9, by name, not averaged [kg].

    Two take each point as 10 or 15 % of the weight today; the third takes a point as 10 % above the ideal, which makes
    the same score a smaller excess.

    Args:
        weight_kg: Weight today [kg].
        score: Body condition, 6 to 9.
    Raises:
        OutOfRange: the score is not 6 to 9.
    Source:
        weight.excess_per_point_10, weight.excess_per_point_15
    """
    check_range(field="weight_kg", value=weight_kg, limits=WEIGHT_LIMITS_KG)
    if score not in range(6, 10):
        raise OutOfRange(
            field="condition score",
            got=f"A condition of {score} of 9",
            allowed="6, 7, 8 or 9 of 9",
            remedy="At 5 or below there is no excess to take away: ask the vet for a target weight.",
        )
    points = score - int(IDEAL_SCORE_9.value)
    readings: dict[str, Explained[float]] = {}
    for figure in EXCESS_PER_POINT_PERCENT:
        kg = weight_kg * (1 - points * figure.value / 100)
        readings[f"{write_number(figure.value)} % of today's weight per point"] = Explained(
            value=kg,
            because=f"{write_number(weight_kg)} kg × (1 − {points} × {write_number(figure.value)} %) = "
            f"{write_number(kg, digits=3)} kg",
            figures=(figure, IDEAL_SCORE_9),
        )
    above = EXCESS_PER_POINT_PERCENT[0]
    kg = weight_kg / (1 + points * above.value / 100)
    readings[f"{write_number(above.value)} % above the ideal per point"] = Explained(
        value=kg,
        because=f"{write_number(weight_kg)} kg ÷ (1 + {points} × {write_number(above.value)} %) = "
        f"{write_number(kg, digits=3)} kg",
        figures=(above, IDEAL_SCORE_9),
        cautions=("The readings differ: show them to the vet, who names the target weight.",),
    )
    return readings


def weight_change(*, from_kg: float, to_kg: float) -> Explained[float]:
    """Change of weight [%], a loss being negative.

    Args:
        from_kg: The earlier weight [kg].
        to_kg: The later weight [kg].
    Source:
        arithmetic only
    """
    for field, value in (("from_kg", from_kg), ("to_kg", to_kg)):
        check_range(field=field, value=value, limits=WEIGHT_LIMITS_KG)
    percent = (to_kg / from_kg - 1) * 100
    return Explained(
        value=percent,
        because=f"{write_number(from_kg)} kg → {write_number(to_kg)} kg = {percent:+.1f} %",
    )


def check_may_plan_at_home(*, loss_percent: float, over_days: float, is_starved: bool) -> None:
    """Refuse to plan for an animal that belongs in a hospital: feeding it up at home can kill it.

    Args:
        loss_percent: Weight lost [%], 0 or more.
        over_days: In what time it was lost [days].
        is_starved: The caregiver or the vet says that it was starved.
    Raises:
        NeedsHospital: it was starved, or lost more than a tenth within two months.
    Source:
        weight.loss_needs_support, weight.loss_period
    """
    check_range(field="loss_percent", value=loss_percent, limits=PERCENT_LIMITS)
    check_at_least(field="over_days", value=over_days, least=0, unit="days", remedy="Count the days.")
    lost_fast = loss_percent > LOSS_NEEDS_SUPPORT_PERCENT.value and over_days <= LOSS_PERIOD_DAYS.value
    if is_starved or lost_fast:
        got = (
            "An animal that was starved"
            if is_starved
            else f"A loss of {write_number(loss_percent)} % within {write_number(over_days)} days"
        )
        raise NeedsHospital(
            field="animal.weight_history",
            got=f"This needs the hospital. {got}",
            allowed=f"up to {write_number(LOSS_NEEDS_SUPPORT_PERCENT.value)} % within two months, and not starved",
            remedy="Call the vet now: food given back too fast can kill such an animal. No plan is made here.",
        )
