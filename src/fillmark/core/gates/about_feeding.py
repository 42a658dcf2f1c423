"""What stands against a plan in its food: the blend, the meals, the water, the steps up and down."""

from collections.abc import Iterator, Sequence
from datetime import date, timedelta

from fillmark.core.changes.mix_parts import check_blend
from fillmark.core.day.batch import measured_gap
from fillmark.core.day.values import DayPlan, PlannedSession
from fillmark.core.gates.about_a_change import check_agreement
from fillmark.core.gates.about_amounts import check_amounts
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.tube.meals import LoadLevel
from fillmark.core.tube.syringe import tip_misfit
from fillmark.core.values.errors import FillmarkError
from fillmark.core.values.finding import Finding, Weight
from fillmark.core.values.quantities import write_number
from fillmark.core.values.words import say_date
from fillmark.published.input_limits import OLD_MEASURE_DAYS, PLAN_AGREEMENT_FRACTION
from fillmark.published.meals import JEJUNAL_BOLUS, PUBLISHED_MEAL_ML_PER_KG
from fillmark.published.tube_care import NARROW_TUBE_FR


def check_feeding(plan: CarePlan, days: Sequence[DayPlan], *, on: date) -> Iterator[Finding]:
    """What to ask about the food of a plan.

    Args:
        plan: The plan.
        days: Its days that can be worked out and differ, the first one being that on which it begins to hold.
        on: The household's day on which it would begin to hold.
    Source:
        meals.*, input.plan_agreement_fraction, input.old_measure, tube_care.*; those of the amounts
    """
    yield from check_amounts(plan, days)
    yield from _about_the_blend(plan, on=on)
    yield from _about_what_cannot_be_drawn(plan, days)
    yield from _about_the_cap(plan, days)
    yield from _about_the_sums(days)
    yield from _about_the_ladder(plan, on=on)
    yield from _about_the_mouth(plan, days)
    yield from _about_the_tube(plan, days)
    yield from _about_flushes(plan)
    yield from _about_nutrients(plan, days)


def _about_the_blend(plan: CarePlan, *, on: date) -> Iterator[Finding]:
    gap = measured_gap(plan)
    if gap is not None and gap.cautions:
        yield Finding(
            code="batch-gap",
            weight=Weight.ASKED,
            field="blend.measured",
            text=f"{gap.because}. {' '.join(gap.cautions)}",
            figures=gap.figures,
        )
    measured = plan.blend.measured
    if measured is None:
        return
    days = (on - measured.on).days
    if days < 0:
        yield Finding(
            code="batch-to-come",
            weight=Weight.ASKED,
            field="blend.measured.on",
            text=f"The batch was measured on {say_date(measured.on)}, which is still to come. Check the day.",
        )
    elif days > OLD_MEASURE_DAYS.value:
        yield Finding(
            code="old-batch",
            weight=Weight.ASKED,
            field="blend.measured.on",
            text=f"The batch was measured on {say_date(measured.on)}, {days} days before this plan. Measure the next "
            "one: cans and blenders change.",
            figures=(OLD_MEASURE_DAYS,),
        )


def _about_what_cannot_be_drawn(plan: CarePlan, days: Sequence[DayPlan]) -> Iterator[Finding]:
    numbers = {medicine.id: number for number, medicine in enumerate(plan.medicines, start=1)}
    found = {
        (dose.medicine.id, dose.problem)
        for day in days
        for session in day.sessions
        for dose in session.medicines
        if dose.problem is not None
    }
    for medicine_id, problem in sorted(found):
        yield Finding(
            code="cannot-draw",
            about=medicine_id,
            weight=Weight.ASKED,
            field=f"medicines[{numbers[medicine_id]}].dose",
            text=f"{problem} Until then it is not offered.",
        )


def _fullest(days: Sequence[DayPlan]) -> tuple[DayPlan, PlannedSession]:
    return max(
        ((day, session) for day in days for session in day.sessions), key=lambda one: one[1].load.value.ml_per_kg
    )


def _about_the_cap(plan: CarePlan, days: Sequence[DayPlan]) -> Iterator[Finding]:
    if not any(day.sessions for day in days):
        return
    day, fullest = _fullest(days)
    load = fullest.load.value
    where = f"{fullest.label} on {say_date(day.on)}"
    if load.level is LoadLevel.OVER_CAP:
        yield Finding(
            code="over-cap",
            weight=Weight.NEEDS_VET,
            field="orders.cap_ml_per_kg",
            amount=round(load.ml_per_kg, 1),
            text=f"{where} puts {write_number(load.total_ml, digits=3)} mL into the stomach at once, "
            f"{write_number(load.ml_per_kg, digits=3)} mL/kg, and the vet's most is "
            f"{write_number(plan.orders.cap_ml_per_kg or 0)} mL/kg. It is not offered until the vet has said so.",
        )
    highest = max(band.high for band in PUBLISHED_MEAL_ML_PER_KG)
    if plan.orders.cap_ml_per_kg is None and load.ml_per_kg > highest:
        yield Finding(
            code="over-every-print",
            weight=Weight.NEEDS_VET,
            field="orders.cap_ml_per_kg",
            amount=round(load.ml_per_kg, 1),
            text=f"{where} puts {write_number(load.ml_per_kg, digits=3)} mL/kg into the stomach at once, more than any "
            f"figure in print ({write_number(highest)} mL/kg), and the vet stated no most.",
            figures=PUBLISHED_MEAL_ML_PER_KG,
        )


def _about_the_sums(days: Sequence[DayPlan]) -> Iterator[Finding]:
    for day in days:
        if any(not meal_ml for meal_ml in day.meals.value) and day.day_ml.value > 0:
            yield Finding(
                code="meal-of-nothing",
                weight=Weight.REFUSED,
                field="syringes",
                text=f"On {say_date(day.on)} a meal comes to nothing: {day.meals.because}. A syringe with finer "
                "lines, or fewer meals, is needed.",
            )
            return
        agreement = check_agreement(day)
        if agreement.cautions:
            yield Finding(
                code="agreement",
                weight=Weight.ASKED,
                field="orders.energy",
                text=f"On {say_date(day.on)}: {agreement.because}. {' '.join(agreement.cautions)}",
                figures=agreement.figures,
            )
            return


def _about_the_ladder(plan: CarePlan, *, on: date) -> Iterator[Finding]:
    ladder = plan.orders.ladder
    if ladder is None:
        return
    last_on = ladder.starts_on + timedelta(days=len(ladder.percent) - 1)
    if ladder.starts_on > on:
        yield Finding(
            code="ladder-to-come",
            weight=Weight.ASKED,
            field="orders.ladder.starts_on",
            text=f"The steps up to full feeding begin on {say_date(ladder.starts_on)}: until then this plan feeds "
            "nothing. Check the day and the year.",
        )
    elif (on - last_on).days > OLD_MEASURE_DAYS.value:
        yield Finding(
            code="ladder-long-over",
            weight=Weight.ASKED,
            field="orders.ladder.starts_on",
            text=f"The steps up to full feeding ended on {say_date(last_on)}: this plan feeds the whole goal from its "
            "first day on. Check the year, or take the steps out.",
            figures=(OLD_MEASURE_DAYS,),
        )


def _about_the_mouth(plan: CarePlan, days: Sequence[DayPlan]) -> Iterator[Finding]:
    orders = plan.orders
    if orders.weaning is None:
        if plan.animal.by_mouth == "food and water":
            yield Finding(
                code="eats-besides",
                weight=Weight.OPEN,
                field="orders.weaning",
                text=f"{plan.animal.name} may eat by mouth, and the tube gives the whole goal besides. Ask the vet how "
                "much of it is eaten, and what the tube leaves out for it.",
            )
        return
    if orders.energy is None:
        yield Finding(
            code="weaning-without-goal",
            weight=Weight.ASKED,
            field="orders.weaning",
            text="What is eaten by mouth is stated, and no energy goal: the tube gives the ordered volume whatever is "
            "eaten. Ask the vet what the tube leaves out.",
        )
        return
    for day in days:
        share = (day.kcal_planned.value + orders.weaning.by_mouth_kcal_per_day) / _goal_kcal(day)
        if share > 1 + PLAN_AGREEMENT_FRACTION.value:
            yield Finding(
                code="more-than-the-goal",
                weight=Weight.ASKED,
                field="orders.weaning",
                text=f"On {say_date(day.on)} tube and mouth together come to {share:.0%} of the energy goal. Ask the "
                "vet what the tube leaves out.",
                figures=(PLAN_AGREEMENT_FRACTION,),
            )
            return


def _goal_kcal(day: DayPlan) -> float:
    """The whole goal: the first number that the day's energy was worked out from [kcal]."""
    return max(float(part.value) for part in (day.energy, *day.energy.parts) if isinstance(part.value, int | float))


def _about_the_tube(plan: CarePlan, days: Sequence[DayPlan]) -> Iterator[Finding]:
    tube, name = plan.animal.tube, plan.animal.name
    largest_ml = max((ml for day in days for ml in day.meals.value), default=0.0)
    if tube.kind == "jejunostomy" and largest_ml:
        yield Finding(
            code="bolus-into-the-gut",
            weight=Weight.NEEDS_VET,
            field="animal.tube.kind",
            amount=largest_ml,
            text=f"This tube ends in the gut behind the stomach, where there is no room for {write_number(largest_ml)} "
            "mL at once: food usually runs in slowly there. Does the vet want meals by syringe?",
            figures=(JEJUNAL_BOLUS,),
        )
    level = plan.orders.flow_limit_level
    if tube.french < NARROW_TUBE_FR.value and (level is None or level > 0):
        yield Finding(
            code="narrow-tube",
            weight=Weight.ASKED,
            field="animal.tube.french",
            text=f"A tube of {write_number(tube.french)} Fr takes liquid food only, and this plan feeds "
            f"{plan.blend.name}. Ask the vet what may go through {name}'s tube.",
            figures=(NARROW_TUBE_FR,),
        )
    misfit = tip_misfit(tip=plan.feeding_syringe.tip, route="tube")
    if misfit is not None:
        yield Finding(
            code="tip-does-not-fit",
            weight=Weight.ASKED,
            field="syringes",
            text=f"The {plan.feeding_syringe.name} for meals has an {plan.feeding_syringe.tip} tip. {misfit.says}",
            figures=(misfit,),
        )


def _about_flushes(plan: CarePlan) -> Iterator[Finding]:
    orders = plan.orders
    for when, ml in (
        ("before", orders.flush_before_ml),
        ("between", orders.flush_between_ml if plan.medicines else None),
        ("after", orders.flush_after_ml),
    ):
        if ml == 0:
            yield Finding(
                code=f"no-flush-{when}",
                weight=Weight.ASKED,
                field=f"orders.flush_{when}_ml",
                text=f"No water {when} {'medicines' if when == 'between' else 'a meal'}: what stays in the tube dries "
                "and blocks it. Is 0 mL what the vet ordered?",
            )


def _about_nutrients(plan: CarePlan, days: Sequence[DayPlan]) -> Iterator[Finding]:
    try:
        check = check_blend(plan, kcal_per_day=max((day.energy.value for day in days), default=None))
    except FillmarkError:
        return
    outside = [line for line in check.value.missed if line.is_upper or line.is_ratio]
    if outside:
        told = "; ".join(
            f"{line.nutrient} {write_number(line.per_1000_kcal or 0, digits=3)}, "
            f"{'at most' if line.is_upper else 'at least'} {write_number(line.bound.value)} {line.bound.unit}"
            for line in outside
        )
        yield Finding(
            code="over-nutrient",
            weight=Weight.ASKED,
            field="blend.foods",
            text=f"The blend is outside what print allows of {told}. Ask the vet.",
            figures=tuple(line.bound for line in outside),
        )
    short = [line for line in check.value.missed if line not in outside]
    if short:
        yield Finding(
            code="short-of-nutrient",
            weight=Weight.OPEN,
            field="blend.foods",
            text="By its label the blend holds less than print asks for of "
            f"{', '.join(dict.fromkeys(line.nutrient for line in short))}: ask the vet.",
            figures=tuple(line.bound for line in short),
        )
