"""What stands against a plan in the animal itself: what it weighs, what it lost, whether it was starved."""

from collections.abc import Iterator
from datetime import date, timedelta

from fillmark.core.food.target_weight import check_may_plan_at_home
from fillmark.core.plan.animal import Animal, Weighing
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.vet import Vet
from fillmark.core.values.errors import NeedsHospital
from fillmark.core.values.finding import Finding, Weight
from fillmark.core.values.quantities import write_number
from fillmark.core.values.trouble import Trouble
from fillmark.core.values.words import say_date
from fillmark.published.energy import LOSS_NEEDS_SUPPORT_PERCENT, LOSS_PERIOD_DAYS, THIN_SCORE_FRACTION
from fillmark.published.input_limits import OLD_MEASURE_DAYS, STARTING_DAYS
from fillmark.published.vital_signs import BREATHING_NOW_PER_MINUTE


def check_recheck(vet: Vet, *, on: date) -> Iterator[Finding]:
    """Whether the day is past on which the vet wanted to see the animal again.

    Args:
        vet: The vet of the plan.
        on: The household's day on which the plan would begin to hold.
    """
    if vet.recheck_on is not None and vet.recheck_on < on:
        yield Finding(
            code="recheck-past",
            weight=Weight.OPEN,
            field="vet.recheck_on",
            text=f"{vet.name} wanted to see the animal again on {say_date(vet.recheck_on)}. Was it seen, and does this "
            "plan still hold?",
        )


def check_animal(animal: Animal, *, on: date) -> Iterator[Finding]:
    """What to ask about the animal before it is fed by a plan.

    Args:
        animal: The animal of the plan.
        on: The household's day on which the plan would begin to hold.
    Source:
        weight.loss_needs_support, weight.loss_period, input.old_measure
    """
    yield from _about_starving(animal, on=on)
    yield from _about_lost_weight(animal)
    yield from _about_old_weight(animal.weight, on=on)
    yield from _about_the_tube(animal, on=on)


def check_own_numbers(plan: CarePlan) -> Iterator[Finding]:
    """What only the vet can say of this animal, where print speaks of others.

    Args:
        plan: The plan.
    Source:
        vital_signs.breathing_now_*
    """
    if plan.vet.words_for(Trouble.BREATHING) is None:
        printed = BREATHING_NOW_PER_MINUTE[plan.animal.species.value]
        yield Finding(
            code="breathing-not-stated",
            weight=Weight.OPEN,
            field="vet.troubles",
            text=f"From how many breaths a minute at rest on should we call about {plan.animal.name}? The "
            f"{write_number(printed.value)} in print comes from heart patients ({printed.source.title}).",
            figures=(printed,),
        )


def _about_starving(animal: Animal, *, on: date) -> Iterator[Finding]:
    field = "animal.starved"
    if animal.starved:
        try:
            check_may_plan_at_home(loss_percent=0, over_days=0, is_starved=True)
        except NeedsHospital as refused:
            yield Finding(
                code="starved",
                weight=Weight.REFUSED,
                field=field,
                text=f"{refused.got}. {refused.remedy}",
                figures=(LOSS_NEEDS_SUPPORT_PERCENT,),
            )
    elif animal.starved is None:
        condition, placed_on = animal.condition, animal.tube.placed_on
        is_thin = condition is not None and condition.score / condition.of <= THIN_SCORE_FRACTION.value
        is_new = placed_on is not None and timedelta(0) <= on - placed_on <= timedelta(days=STARTING_DAYS.value)
        yield Finding(
            code="starved-not-stated",
            weight=Weight.ASKED if is_thin and is_new else Weight.OPEN,
            field=field,
            text=f"Was {animal.name} without food for days before the tube? After that, feeding up too fast can kill: "
            "the vet plans it. The plan does not say.",
            figures=(THIN_SCORE_FRACTION, STARTING_DAYS) if is_thin and is_new else (),
        )


def _about_lost_weight(animal: Animal) -> Iterator[Finding]:
    lost = max(
        (
            (100 * (1 - animal.weight.weight_kg / before.weight_kg), before)
            for before in animal.weights
            if timedelta(0) < animal.weight.on - before.on <= timedelta(days=LOSS_PERIOD_DAYS.value)
        ),
        key=lambda found: found[0],
        default=(0.0, animal.weight),
    )
    percent, before = lost
    days = (animal.weight.on - before.on).days
    if percent <= 0:
        return
    try:
        check_may_plan_at_home(loss_percent=percent, over_days=days, is_starved=False)
    except NeedsHospital:
        yield Finding(
            code="fast-loss",
            weight=Weight.NEEDS_VET,
            field="animal.weights",
            amount=round(percent, 1),
            text=f"{animal.name} went from {write_number(before.weight_kg, digits=3)} to "
            f"{write_number(animal.weight.weight_kg, digits=3)} kg in {days} days, {percent:.0f} % less. After such a "
            "loss feeding up can kill, and the first days belong into a hospital. Does the vet know of it, and is this "
            "the plan for it?",
            figures=(LOSS_NEEDS_SUPPORT_PERCENT, LOSS_PERIOD_DAYS),
        )


def _about_old_weight(weight: Weighing, *, on: date) -> Iterator[Finding]:
    days = (on - weight.on).days
    if days < 0:
        yield Finding(
            code="weight-to-come",
            weight=Weight.ASKED,
            field="animal.weights",
            text=f"The newest weighing is of {say_date(weight.on)}, which is still to come. Check its year.",
        )
    elif days > OLD_MEASURE_DAYS.value:
        yield Finding(
            code="old-weight",
            weight=Weight.ASKED,
            field="animal.weights",
            text=f"The newest weighing is of {say_date(weight.on)}, {days} days before this plan. Energy and doses "
            "hang on it: weigh again.",
            figures=(OLD_MEASURE_DAYS,),
        )


def _about_the_tube(animal: Animal, *, on: date) -> Iterator[Finding]:
    placed_on = animal.tube.placed_on
    if placed_on is not None and placed_on > on:
        yield Finding(
            code="tube-to-come",
            weight=Weight.ASKED,
            field="animal.tube.placed_on",
            text=f"The tube is placed on {say_date(placed_on)}, which is still to come. Check the day.",
        )
    born_on = animal.born_on
    if born_on is not None and born_on > min(on, animal.weights[0].on):
        yield Finding(
            code="born-later",
            weight=Weight.ASKED,
            field="animal.born_on",
            text=f"{animal.name} is born on {say_date(born_on)}, after the first weighing or after today. Check the "
            "year.",
        )
