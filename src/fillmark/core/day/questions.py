"""What the vet has not said yet."""

from collections.abc import Iterator

from fillmark.core.day.values import VetQuestion
from fillmark.core.orders.medicine import Medicine
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.vet import Vet, say_moment
from fillmark.core.tube.tube_care import flush_question
from fillmark.core.values.quantities import write_number
from fillmark.core.values.trouble import Trouble
from fillmark.published.meals import PUBLISHED_PACE_ML_PER_MINUTE
from fillmark.published.medicine import ROLLING_DAY_HOURS
from fillmark.published.tube_care import FLUSH_AROUND_FEED_ML


def open_questions(plan: CarePlan) -> tuple[VetQuestion, ...]:
    """What has not been said yet, and what was found about the orders: the blocking ones first, then by weight."""
    found = (
        *_about_the_day(plan),
        *_about_water(plan),
        *(
            question
            for number, medicine in enumerate(plan.medicines, start=1)
            for question in _about_medicine(medicine, field=f"medicines[{number}]")
        ),
        *_about_meals(plan),
        *_about_the_tube(plan),
        *_about_calls(plan.vet),
        *_about_the_blend(plan),
    )
    return tuple(sorted(found, key=lambda question: not question.blocks))


def _ask(missing: bool, field: str, ask: str, *, blocks: bool = False) -> Iterator[VetQuestion]:
    if missing:
        yield VetQuestion(field=field, ask=ask, blocks=blocks)


def _about_the_day(plan: CarePlan) -> Iterator[VetQuestion]:
    orders = plan.orders
    yield from _ask(
        orders.energy is None and orders.meal_ml is None,
        "orders.energy",
        "How much energy a day: which factor of the resting energy, or how many kcal?",
        blocks=True,
    )
    yield from _ask(not plan.meals_a_day, "orders.meals_per_day", "How many meals a day?", blocks=True)
    yield from _ask(
        orders.idle_flush is not None and not plan.timetable.flushes,
        "timetable.flushes",
        "At what times does this household flush the idle tube?",
        blocks=True,
    )
    yield from _ask(
        bool(orders.meals_per_day) and not plan.timetable.meals,
        "timetable.meals",
        "At what times does this household give the meals? (yours to choose, inside the vet's gaps)",
        blocks=True,
    )


def _about_water(plan: CarePlan) -> Iterator[VetQuestion]:
    orders, animal = plan.orders, plan.animal
    feed = f"{write_number(FLUSH_AROUND_FEED_ML.low)} to {write_number(FLUSH_AROUND_FEED_ML.high)} mL"
    for when, ml in (("before", orders.flush_before_ml), ("after", orders.flush_after_ml)):
        yield from _ask(
            ml is None,
            f"orders.flush_{when}_ml",
            f"How much water {when} a meal? (Print for dogs and cats: {feed}.)",
            blocks=True,
        )
    yield from _ask(
        orders.flush_between_ml is None and bool(plan.medicines),
        "orders.flush_between_ml",
        f"How much water between medicines, for an animal of {write_number(animal.weight.weight_kg)} kg?",
        blocks=True,
    )
    if plan.medicines and orders.flush_between_ml is not None:
        tube = animal.tube
        flush = flush_question(
            flush_ml=orders.flush_between_ml, inner_mm=tube.inner_diameter_mm, length_cm=tube.length_cm
        )
        said = f"{flush.because}. {' '.join(flush.cautions)}"
        yield from _ask(flush.value, "orders.flush_between_ml", said)
    if orders.energy is not None and orders.energy.weight == "target":
        yield from _ask(animal.target_weight_kg is None, "animal.target_weight_kg", "Which target weight?", blocks=True)


def _about_medicine(medicine: Medicine, *, field: str) -> Iterator[VetQuestion]:
    is_counted = medicine.first_dose is not None
    is_timed = is_counted or bool(medicine.clocks) or medicine.with_each_meal or medicine.when_needed is not None
    hours = medicine.every_hours or 0.0
    fits_a_day = not (ROLLING_DAY_HOURS.value % hours and hours % ROLLING_DAY_HOURS.value) if hours else True
    yield from _ask(
        not is_timed and fits_a_day, f"{field}.clocks", f"At what times is {medicine.name} given?", blocks=True
    )
    yield from _ask(
        not is_timed and not fits_a_day,
        f"{field}.first_dose",
        f"On which day and at what time is {medicine.name} given first? Every {write_number(hours)} hours is "
        "counted from there.",
        blocks=True,
    )
    yield from _ask(
        not is_counted and hours > ROLLING_DAY_HOURS.value and medicine.start_on is None and fits_a_day,
        f"{field}.start_on",
        f"On which day is {medicine.name} given first? Its days are counted from there.",
        blocks=True,
    )
    yield from _ask(
        medicine.form in ("tablet", "capsule") and medicine.route == "tube" and medicine.crush == "ask",
        f"{field}.crush",
        f"May {medicine.name} be crushed or opened for the tube?",
        blocks=True,
    )


def _about_meals(plan: CarePlan) -> Iterator[VetQuestion]:
    orders, pace = plan.orders, PUBLISHED_PACE_ML_PER_MINUTE
    yield from _ask(plan.animal.by_mouth is None, "animal.by_mouth", "May anything be given by mouth?")
    yield from _ask(
        orders.cap_ml_per_kg is None, "orders.cap_ml_per_kg", "What is the most one session may hold, in mL/kg?"
    )
    yield from _ask(
        orders.warn_ml_per_kg is None, "orders.warn_ml_per_kg", "From how many mL/kg on do you want to be asked?"
    )
    yield from _ask(
        orders.pace_ml_per_minute is None,
        "orders.pace_ml_per_minute",
        "How fast may a meal go in, in mL/min? "
        f"(Print disagrees: {write_number(pace.low)} to {write_number(pace.high)} mL/min.)",
    )
    yield from _ask(
        orders.meal_gap_hours is None and plan.meals_a_day != 1,
        "orders.meal_gap_hours",
        "What is the shortest time from one meal to the next?",
    )
    yield from _ask(orders.upright_minutes is None, "orders.upright_minutes", "How long upright after a meal?")
    yield from _ask(
        orders.water_ml_per_kg_per_day is None, "orders.water_ml_per_kg_per_day", "How much water a day, in mL/kg?"
    )


def _about_the_tube(plan: CarePlan) -> Iterator[VetQuestion]:
    yield from _ask(
        plan.orders.flow_limit_level is None, "orders.flow_limit_level", "How thick may the blend be for this tube?"
    )
    yield from _ask(
        plan.animal.tube.mark_at_skin_cm is None and not plan.animal.tube.low_profile,
        "animal.tube.mark_at_skin_cm",
        "At which length mark does the tube leave the skin? Nothing goes through a tube that cannot be checked.",
        blocks=True,
    )


def _about_calls(vet: Vet) -> Iterator[VetQuestion]:
    yield from _ask(not vet.clinics, "vet.call", "Whom to call by day and by night?")
    for place, number in enumerate(vet.call, start=1):
        yield from _ask(
            not number.hours and not number.always,
            f"vet.call[{place}].hours",
            f"Until when does {number.who} answer? The plan has it only in words: {number.when}.",
        )
    silent = vet.silent_at()
    yield from _ask(
        silent is not None and not vet.nobody_at_night,
        "vet.call",
        f"Whom to call {say_moment(silent) if silent else ''}, when no number of the plan answers?",
    )
    yield from _ask(
        not any(number.is_poison_line for number in vet.call),
        "vet.call",
        "Which poison line for animals can be called here?",
    )
    yield from _ask(
        vet.words_for(Trouble.VOMITING) is None, "vet.troubles", "When should we call about food that comes back?"
    )


def _about_the_blend(plan: CarePlan) -> Iterator[VetQuestion]:
    yield from _ask(
        plan.blend.measured is None,
        "blend.measured",
        "What volume did the finished blend come to in a measuring jug?",
    )
