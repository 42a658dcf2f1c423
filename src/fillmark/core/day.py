"""What does this plan ask of one day? Energy, blend, meals, marks, water, and each session step by step."""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from fillmark.core.blend import (
    BlendVolume,
    FoodInBlend,
    MeasuredVolume,
    MeasuredWeight,
    PredictedVolume,
    batch_totals,
    blend_energy,
    daily_blend_volume,
)
from fillmark.core.counted_hours import place_dose
from fillmark.core.course import CourseNotes, course_notes
from fillmark.core.energy import Species, energy_goal
from fillmark.core.errors import NotStated
from fillmark.core.explain import Explained
from fillmark.core.food import (
    energy_per_can,
    energy_per_g,
    food_water,
    metabolizable_energy,
    modified_atwater,
    natural_food_energy,
)
from fillmark.core.giving import planned_times
from fillmark.core.meals import Load, load, split_day, weaning_tube_energy
from fillmark.core.medicine import (
    Medicine,
    TabletParts,
    counted_doses,
    draw,
    is_dosing_day,
    is_in_course,
    order_on,
)
from fillmark.core.order_checks import check_order
from fillmark.core.plan import BlendFood, CarePlan, Food, Task, ladder_fraction
from fillmark.core.quantities import Mass, write_number
from fillmark.core.syringe import Mark, fills
from fillmark.core.tube_care import flush_question, printed_flushes
from fillmark.core.walk import DrawnMedicine, Step, TaskNow, plan_walk
from fillmark.core.water import WaterBand, WaterIn, WaterLedger, flushes_in_session, water_ledger
from fillmark.published.input_limits import PLAN_AGREEMENT_FRACTION
from fillmark.published.meals import PUBLISHED_PACE_ML_PER_MINUTE
from fillmark.published.medicine import ROLLING_DAY_HOURS


@dataclass(frozen=True, kw_only=True, slots=True)
class Question:
    """Something nobody has said yet. `blocks` says that nothing can be worked out without it."""

    field: str
    ask: str
    blocks: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class DueMedicine:
    """A medicine that is due at a time of day.

    Attributes:
        due_at: The order's own time for it, where its hours are counted; none where it is the time of day itself.
        caution: What a person must be told where that is far from the time of day.
        is_last: Whether its course has no dose after it.
    """

    medicine: Medicine
    due_at: datetime | None = None
    caution: str | None = None
    is_last: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class PlannedDose:
    """One dose of a session: the order, and what the hand does, with its working.

    Attributes:
        due_at: The order's own time for it, where its hours are counted from its first dose; none otherwise.
        notes: Where it stands in its course.
    """

    medicine: Medicine
    working: Explained[Mark | TabletParts]
    due_at: datetime | None = None
    notes: CourseNotes = field(default_factory=CourseNotes)

    @property
    def drawn(self) -> Mark | TabletParts:
        """The line to fill a syringe to, or the pieces to take."""
        return self.working.value

    @property
    def mass(self) -> Mass | None:
        """The mass that was ordered; none where the order counts pieces."""
        return next((part.value for part in self.working.all_parts() if isinstance(part.value, Mass)), None)

    @property
    def amount(self) -> str:
        """The amount as people say it ("5.2 mL", "half a tablet")."""
        return str(self.drawn.drawn) if isinstance(self.drawn, Mark) else self.drawn.reading

    @property
    def water_ml(self) -> float:
        """What it adds to the stomach: the liquid itself, or the water it is given in [mL]; nothing while on hold."""
        if self.medicine.held is not None or self.medicine.route not in ("tube", "mouth"):
            return 0.0
        return float(self.drawn.drawn.ml) if isinstance(self.drawn, Mark) else self.drawn.water_ml or 0.0


@dataclass(frozen=True, kw_only=True, slots=True)
class PlannedSession:
    """One trip to the animal, as planned.

    Attributes:
        key: Its identity: the local date and time of day ("2026-11-25T07:00").
        clock: The planned local time of day.
        at: The planned instant, in the household's zone.
        meal_ml: Blend of its meal [mL], 0 for medicines only.
        fills: The marks of the meal, in order.
        medicines: What is given, in order.
        steps: The walk.
        load: What it puts into the stomach, against the vet's limits.
        tasks: Care beside food and medicines.
        idle_flush_ml: Water that keeps an idle tube open, where nothing else goes through it [mL].
    """

    key: str
    clock: time
    at: datetime
    meal_ml: float
    fills: tuple[Mark, ...]
    medicines: tuple[PlannedDose, ...]
    flush_ml: float
    steps: tuple[Step, ...]
    load: Explained[Load]
    tasks: tuple[Task, ...] = ()
    idle_flush_ml: float = 0.0

    @property
    def to_give(self) -> tuple[PlannedDose, ...]:
        """Its medicines without those that the vet has stopped for now."""
        return tuple(dose for dose in self.medicines if dose.medicine.held is None)

    @property
    def label(self) -> str:
        """What people call it."""
        kinds = ["meal"] if self.meal_ml else []
        if count := len(self.to_give):
            kinds.append(f"{count} medicine{'s' * (count > 1)}")
        if self.idle_flush_ml:
            kinds.append("flush")
        kinds += [task.name for task in self.tasks]
        return f"{self.clock:%H:%M} {' and '.join(kinds)}"


@dataclass(frozen=True, kw_only=True, slots=True)
class DayPlan:
    """One household day of one animal, as the plan wants it."""

    on: date
    energy: Explained[float]
    batch: Explained[tuple[float, float]]
    kcal_per_ml: Explained[float]
    day_ml: Explained[float]
    meals: Explained[tuple[float, ...]]
    kcal_planned: Explained[float]
    water: Explained[WaterLedger]
    sessions: tuple[PlannedSession, ...]
    questions: tuple[Question, ...]

    def explained(self) -> Iterator[Explained[object]]:
        """Every explained number of the day, in the order of the work."""
        yield from (self.energy, self.batch, self.kcal_per_ml, self.day_ml, self.meals, self.kcal_planned, self.water)
        for session in self.sessions:
            yield session.load
            yield from (dose.working for dose in session.medicines)

    def cautions(self) -> tuple[str, ...]:
        """Everything a person must be told about this day, each once."""
        found: dict[str, None] = {}
        for number in self.explained():
            found.update(dict.fromkeys(number.all_cautions()))
        return tuple(found)


def open_questions(plan: CarePlan) -> tuple[Question, ...]:
    """What has not been said yet, the blocking ones first."""
    orders, animal = plan.orders, plan.animal
    found = []

    def ask(missing: bool, field: str, words: str, *, blocks: bool = False) -> None:
        if missing:
            found.append(Question(field=field, ask=words, blocks=blocks))

    ask(
        orders.energy is None and orders.meal_ml is None,
        "orders.energy",
        "How much energy a day: which factor of the resting energy, or how many kcal?",
        blocks=True,
    )
    ask(not _meal_count(plan), "orders.meals_per_day", "How many meals a day?", blocks=True)
    ask(
        orders.idle_flush is not None and not plan.timetable.flushes,
        "timetable.flushes",
        "At what times does this household flush the idle tube?",
        blocks=True,
    )
    ask(
        bool(orders.meals_per_day) and not plan.timetable.meals,
        "timetable.meals",
        "At what times does this household give the meals? (yours to choose, inside the vet's gaps)",
        blocks=True,
    )
    feed, people = (f"{write_number(band.low)} to {write_number(band.high)} mL" for band in printed_flushes())
    for when, ml in (("before", orders.flush_before_ml), ("after", orders.flush_after_ml)):
        ask(
            ml is None,
            f"orders.flush_{when}_ml",
            f"How much water {when} a meal? (Print for dogs and cats: {feed}.)",
            blocks=True,
        )
    ask(
        orders.flush_between_ml is None and bool(plan.medicines),
        "orders.flush_between_ml",
        f"How much water between medicines? (Print for people: {people}.)",
        blocks=True,
    )
    if plan.medicines and orders.flush_between_ml is not None:
        tube = animal.tube
        flush = flush_question(
            flush_ml=orders.flush_between_ml, inner_mm=tube.inner_diameter_mm, length_cm=tube.length_cm
        )
        ask(flush.value, "orders.flush_between_ml", f"{flush.because}. {' '.join(flush.cautions)}")
    if orders.energy is not None and orders.energy.weight == "target":
        ask(animal.target_weight_kg is None, "animal.target_weight_kg", "Which target weight?", blocks=True)
    for number, medicine in enumerate(plan.medicines, start=1):
        is_counted = medicine.first_dose is not None
        is_timed = is_counted or bool(medicine.clocks) or medicine.with_each_meal or medicine.when_needed is not None
        hours = medicine.every_hours or 0.0
        fits_a_day = not (ROLLING_DAY_HOURS.value % hours and hours % ROLLING_DAY_HOURS.value) if hours else True
        ask(
            not is_timed and fits_a_day,
            f"medicines[{number}].clocks",
            f"At what times is {medicine.name} given?",
            blocks=True,
        )
        ask(
            not is_timed and not fits_a_day,
            f"medicines[{number}].first_dose",
            f"On which day and at what time is {medicine.name} given first? Every {write_number(hours)} hours is "
            "counted from there.",
            blocks=True,
        )
        ask(
            not is_counted and hours > ROLLING_DAY_HOURS.value and medicine.start_on is None and fits_a_day,
            f"medicines[{number}].start_on",
            f"On which day is {medicine.name} given first? Its days are counted from there.",
            blocks=True,
        )
        ask(
            medicine.form in ("tablet", "capsule") and medicine.route == "tube" and medicine.crush == "ask",
            f"medicines[{number}].crush",
            f"May {medicine.name} be crushed or opened for the tube?",
            blocks=True,
        )
        found += _order_questions(plan, medicine, field=f"medicines[{number}]")
    ask(animal.by_mouth is None, "animal.by_mouth", "May anything be given by mouth?")
    ask(orders.cap_ml_per_kg is None, "orders.cap_ml_per_kg", "What is the most one session may hold, in mL/kg?")
    ask(orders.warn_ml_per_kg is None, "orders.warn_ml_per_kg", "From how many mL/kg on do you want to be asked?")
    pace = PUBLISHED_PACE_ML_PER_MINUTE
    ask(
        orders.pace_ml_per_minute is None,
        "orders.pace_ml_per_minute",
        "How fast may a meal go in, in mL/min? "
        f"(Print disagrees: {write_number(pace.low)} to {write_number(pace.high)} mL/min.)",
    )
    ask(
        orders.meal_gap_hours is None and _meal_count(plan) != 1,
        "orders.meal_gap_hours",
        "What is the shortest time from one meal to the next?",
    )
    ask(orders.upright_minutes is None, "orders.upright_minutes", "How long upright after a meal?")
    ask(orders.water_ml_per_kg_per_day is None, "orders.water_ml_per_kg_per_day", "How much water a day, in mL/kg?")
    ask(orders.flow_limit_level is None, "orders.flow_limit_level", "How thick may the blend be for this tube?")
    ask(
        animal.tube.mark_at_skin_cm is None,
        "animal.tube.mark_at_skin_cm",
        "At which length mark does the tube leave the skin? Nothing goes through a tube that cannot be checked.",
        blocks=True,
    )
    ask(not plan.vet.call, "vet.call", "Whom to call by day and by night?")
    ask(plan.blend.measured is None, "blend.measured", "What volume did the finished blend come to in a measuring jug?")
    return tuple(sorted(found, key=lambda question: not question.blocks))


def _order_questions(plan: CarePlan, medicine: Medicine, *, field: str) -> list[Question]:
    """What looks like a slip in an order, or should be looked up. It asks, and holds nothing up."""
    try:
        asked = check_order(
            medicine,
            species=plan.animal.species,
            weight_kg=plan.animal.weight.weight_kg,
            tube_kind=plan.animal.tube.kind,
        )
    except NotStated as missing:
        return [Question(field=f"{field}.{missing.field}", ask=f"{missing.got}: {missing.remedy}")]
    return [Question(field=field, ask=question.text) for question in asked if question.code != "crush"]


def _meal_count(plan: CarePlan) -> int:
    return plan.orders.meals_per_day or len(plan.timetable.meals)


def food_energy_per_g(food: Food, *, species: Species) -> Explained[float]:
    """Energy of a gram of food, from the label where it states energy, else from the analysis [kcal/g].

    Args:
        food: The food.
        species: Who eats it: a method for the analysis may differ between dog and cat.
    Raises:
        NotStated: neither energy nor a whole analysis, or the weight that the label's energy is printed for.
        OutOfRange: no food holds that much or that little.
    Source:
        the label; the method that the food names
    """
    if food.label is not None:
        g_per_ml = food.portion.g_per_ml if food.portion else None
        return energy_per_g(food.label.printed, can_g=food.can_g, cup_g=food.cup_g, g_per_ml=g_per_ml)
    if food.analysis is None:
        raise NotStated(
            field=f"foods.{food.id}",
            got=f"{food.name}, with neither an energy statement nor an analysis",
            allowed="one of them",
            remedy="Copy it from the label, or ask the maker.",
        )
    analysis = food.analysis.printed
    match food.energy_method:
        case "modified Atwater":
            per_100_g = modified_atwater(analysis)
        case "natural food":
            per_100_g = natural_food_energy(analysis, species=species)
        case _:
            per_100_g = metabolizable_energy(analysis, species=species)
    return Explained(
        value=per_100_g.value / 100,
        because=f"{write_number(per_100_g.value)} kcal/100 g by {food.energy_method}",
        parts=(per_100_g,),
    )


def goal_of(plan: CarePlan) -> Explained[float]:
    """The vet's energy goal of a day of full feeding, by tube and by mouth together [kcal/day].

    Raises:
        NotStated: the vet has not ordered energy.
    Source:
        the vet's order
    """
    orders, animal = plan.orders, plan.animal
    if orders.energy is None:
        raise NotStated(
            field="orders.energy",
            got="A plan that does not state the energy goal",
            allowed="the vet's energy goal",
            remedy="Ask: How much energy a day?",
        )
    weight_kg = animal.weight.weight_kg
    if orders.energy.weight == "target":
        weight_kg = animal.target_weight_kg or weight_kg
    return energy_goal(weight_kg=weight_kg, order=orders.energy.order)


def _grams(food: Food, part: BlendFood, *, why: str) -> float:
    if part.g is not None:
        return part.g
    if food.can_g is None:
        raise NotStated(
            field=f"foods.{food.id}.can_g",
            got=f"{food.name}, without the net weight of a can, which is needed for {why}",
            allowed="the net weight of one can in g",
            remedy="Copy the net weight from the label.",
        )
    return food.can_g * (part.cans or 0)


def _batch(plan: CarePlan) -> Explained[tuple[float, float]]:
    """Energy [kcal] and water [mL] of one batch."""
    foods, parts = [], []
    for part in plan.blend.foods:
        food = plan.food(part.food)
        if part.cans is not None and food.label is not None:
            per_can = energy_per_can(food.label.printed, can_g=food.can_g)
            kcal = per_can.value * part.cans
            line = Explained(
                value=kcal,
                because=f"{write_number(part.cans)} × {food.name} = {write_number(kcal)} kcal",
                parts=(per_can,),
            )
        else:
            per_g = food_energy_per_g(food, species=plan.animal.species)
            grams = _grams(food, part, why="its energy")
            kcal = per_g.value * grams
            line = Explained(
                value=kcal,
                because=f"{write_number(grams)} g {food.name} × {write_number(per_g.value)} kcal/g = "
                f"{write_number(kcal)} kcal",
                parts=(per_g,),
            )
        parts.append(line)
        water_ml = 0.0
        if food.analysis is not None and (part.g is not None or food.can_g is not None):
            water = food_water(
                food_g=_grams(food, part, why="its water"), moisture_percent=food.analysis.moisture_percent
            )
            water_ml = water.value
            parts.append(water)
        foods.append(FoodInBlend(name=food.name, kcal=kcal, water_ml=water_ml))
    totals = batch_totals(foods, added_water_ml=plan.blend.water_ml)
    dry = [food.name for food in foods if food.water_ml == 0]
    return Explained(
        value=totals.value,
        because=totals.because,
        parts=tuple(parts),
        cautions=tuple(f"The water inside {name} is not stated and counts as 0." for name in dry),
    )


def _volume(plan: CarePlan) -> BlendVolume:
    measured = plan.blend.measured
    if measured is not None and measured.ml is not None:
        return MeasuredVolume(ml=measured.ml)
    if measured is not None and measured.batch_g and measured.sample_ml and measured.sample_g:
        return MeasuredWeight(batch_g=measured.batch_g, sample_ml=measured.sample_ml, sample_g=measured.sample_g)
    food_ml = 0.0
    for part in plan.blend.foods:
        food = plan.food(part.food)
        if food.portion is not None and part.g is not None:
            food_ml += part.g / food.portion.g_per_ml
            continue
        if food.can_ml is None or (part.cans is None and food.can_g is None):
            raise NotStated(
                field="blend.measured",
                got=f"A blend that was not measured, with {food.name}, whose volume is not stated",
                allowed="the volume of the finished blend",
                remedy="Pour the finished blend into a measuring jug and enter what it shows.",
            )
        cans = part.cans if part.cans is not None else (part.g or 0) / (food.can_g or 1)
        food_ml += cans * food.can_ml
    return PredictedVolume(food_ml=food_ml, water_ml=plan.blend.water_ml)


def instant_of(plan: CarePlan, *, on: date, clock: time) -> datetime:
    """The instant of a local time of day within the household's day, also where a clock change makes it 23 or 25 hours.

    A time that the clock change skips falls on the change itself; of a time that comes twice, the first is meant. So
    the order of the day line is the order of the instants.
    """
    zone = ZoneInfo(plan.household.time_zone)
    local_on = on if clock >= plan.household.day_starts else on + timedelta(days=1)
    wall = datetime.combine(local_on, clock, tzinfo=zone)
    instant = wall.astimezone(UTC)
    if instant.astimezone(zone).time() == clock:
        return instant.astimezone(zone)
    earliest = wall.replace(fold=1).astimezone(UTC)
    minutes = int((instant - earliest).total_seconds() // 60)
    changed = next(
        later
        for later in (earliest + timedelta(minutes=minute) for minute in range(minutes + 1))
        if later.astimezone(zone).utcoffset() != earliest.astimezone(zone).utcoffset()
    )
    return changed.astimezone(zone)


def due_medicines(plan: CarePlan, *, on: date) -> dict[time, tuple[DueMedicine, ...]]:
    """What is due at each time of day of a household day; a meal time may have no medicine.

    Times of day come first; then each dose whose hours are counted takes its place among them, in the plan's order.

    Raises:
        BadPlan: a dose finds no time on this day.
    Source:
        the vet's orders; medicine.window_*
    """
    due: dict[time, list[DueMedicine]] = {clock: [] for clock in plan.timetable.meals}
    ordered = [one for one in plan.medicines if one.when_needed is None and is_in_course(one, on=on)]
    for medicine in ordered:
        if is_dosing_day(medicine, on=on):
            for clock in plan.timetable.meals if medicine.with_each_meal else order_on(medicine, on=on).clocks:
                due.setdefault(clock, []).append(DueMedicine(medicine=medicine))
    zone = ZoneInfo(plan.household.time_zone)
    from_at, until_at = (
        datetime.combine(day, plan.household.day_starts, tzinfo=zone).astimezone(UTC)
        for day in (on, on + timedelta(days=1))
    )
    for medicine in ordered:
        for due_at in counted_doses(medicine, from_at=from_at, until_at=until_at, time_zone=zone.key):
            at_of = {clock: instant_of(plan, on=on, clock=clock).astimezone(UTC) for clock in due}
            place = place_dose(
                medicine,
                due_at=due_at,
                sessions={at: [one.medicine for one in due[clock]] for clock, at in at_of.items()},
                meals={at_of[clock] for clock in plan.timetable.meals},
                from_at=from_at,
                until_at=until_at,
                zone=zone,
            )
            found = DueMedicine(medicine=medicine, due_at=due_at, caution=place.caution)
            clocks = [clock for clock, at in at_of.items() if at == place.at] or [place.at.astimezone(zone).time()]
            due.setdefault(clocks[0], []).append(found)
    order = sorted(due, key=plan.since_day_start)
    last = {one.medicine.id: clock for clock in order for one in due[clock] if _ends_on(plan, one.medicine, on=on)}
    return {
        clock: tuple(replace(one, is_last=last.get(one.medicine.id) == clock) for one in due[clock]) for clock in order
    }


def _ends_on(plan: CarePlan, medicine: Medicine, *, on: date) -> bool:
    """Whether no dose of its course falls on a later day."""
    if medicine.stop_on is None:
        return False
    days = (on + timedelta(days=offset) for offset in range(1, (medicine.stop_on - on).days + 1))
    household = plan.household
    times = medicine.model_copy(update={"clocks": plan.timetable.meals}) if medicine.with_each_meal else medicine
    return not any(
        planned_times(times, on=day, time_zone=household.time_zone, day_starts=household.day_starts) for day in days
    )


def _flush_ml(plan: CarePlan, *, medicines: int, has_meal: bool) -> float:
    """All flushes of one session [mL]: one before, one after, the others between."""
    orders = plan.orders
    count = flushes_in_session(medicines=medicines, has_meal=has_meal).value
    between = max(0, count - 2) * (orders.flush_between_ml or 0)
    return (orders.flush_before_ml or 0) + between + (orders.flush_after_ml or 0) if count else 0.0


def _energy(plan: CarePlan, *, kcal_per_ml: float, on: date) -> Explained[float]:
    orders = plan.orders
    if orders.energy is None:
        kcal = (orders.meal_ml or 0) * _meal_count(plan) * kcal_per_ml
        return Explained(
            value=kcal,
            because=f"the vet ordered {_meal_count(plan)} × {write_number(orders.meal_ml or 0)} mL, which hold "
            f"{kcal:,.0f} kcal",
            cautions=("The vet stated a volume and no energy: it holds only for this mix. Ask for the energy.",),
        )
    goal = goal_of(plan)
    fraction = ladder_fraction(plan, on=on)
    if fraction == 1:
        if orders.weaning is None:
            return goal
        tube = weaning_tube_energy(goal_kcal=goal.value, by_mouth_kcal=orders.weaning.by_mouth_kcal_per_day)
        return replace(tube, parts=(goal, *tube.parts))
    kcal = goal.value * fraction
    return Explained(
        value=kcal,
        because=f"{goal.value:,.0f} kcal/day × {write_number(100 * fraction)} % by the vet's ladder = "
        f"{kcal:,.0f} kcal/day",
        parts=(goal,),
    )


def _day_volume(plan: CarePlan, *, energy: Explained[float], kcal_per_ml: float, on: date) -> Explained[float]:
    """Blend of the day [mL]: from the energy; where the vet also named a meal's volume, the two must agree."""
    by_energy = daily_blend_volume(kcal_per_day=energy.value, kcal_per_ml=kcal_per_ml)
    meal_ml, count = plan.orders.meal_ml, _meal_count(plan)
    if meal_ml is None or plan.orders.energy is None or ladder_fraction(plan, on=on) != 1 or plan.orders.weaning:
        return by_energy
    gap = meal_ml * count / by_energy.value - 1
    if abs(gap) > PLAN_AGREEMENT_FRACTION.value:
        raise NotStated(
            field="orders.meal_ml",
            got=f"{count} meals of {write_number(meal_ml)} mL, which hold {meal_ml * count * kcal_per_ml:,.0f} kcal of "
            f"this blend, with an energy goal of {energy.value:,.0f} kcal",
            allowed=f"a difference of {PLAN_AGREEMENT_FRACTION.value:.0%} or less",
            remedy="Ask the vet which of the two holds, and check the blend: it may be thinner than the vet thought.",
        )
    return Explained(
        value=meal_ml * count,
        because=f"the vet ordered {count} × {write_number(meal_ml)} mL, {gap:+.1%} of what the energy goal needs",
        figures=(PLAN_AGREEMENT_FRACTION,),
        parts=(by_energy,),
    )


def plan_day(plan: CarePlan, *, on: date) -> DayPlan:
    """One household day of one animal.

    Args:
        plan: The plan in force on that day.
        on: The household's day; it starts at the household's hour, so it may reach past midnight.
    Raises:
        NotStated: a vet's answer is missing without which nothing can be worked out; the message asks for it.
        OutOfRange: something in the plan can only be a slip.
        CannotDraw: a dose cannot be measured with what this household owns.
    Source:
        the vet's orders, and the figures named in each number's working
    """
    questions = open_questions(plan)
    blocking = [question for question in questions if question.blocks]
    if blocking:
        raise NotStated(
            field=blocking[0].field,
            got=f"A plan that does not state {blocking[0].field}",
            allowed="the vet's answer",
            remedy="Ask: " + " ".join(question.ask for question in blocking),
        )
    batch = _batch(plan)
    batch_kcal, batch_water_ml = batch.value
    kcal_per_ml = blend_energy(kcal=batch_kcal, volume=_volume(plan))
    batch_ml = batch_kcal / kcal_per_ml.value
    energy = _energy(plan, kcal_per_ml=kcal_per_ml.value, on=on)
    day_ml = _day_volume(plan, energy=energy, kcal_per_ml=kcal_per_ml.value, on=on)
    syringe = plan.feeding_syringe
    meals = split_day(day_ml=day_ml.value, meals=_meal_count(plan), step_ml=syringe.step_ml)
    given_ml = sum(meals.value)
    kcal = given_ml * kcal_per_ml.value
    kcal_planned = Explained(
        value=kcal,
        because=f"{write_number(given_ml)} mL × {write_number(kcal_per_ml.value)} kcal/mL = {kcal:,.0f} kcal planned",
        parts=(meals,),
    )
    sessions = _sessions(plan, on=on, meal_volumes_ml=meals.value)
    added_ml = plan.blend.water_ml / batch_ml * given_ml
    band = plan.orders.water_ml_per_kg_per_day
    weight_kg = plan.animal.weight.weight_kg
    water = water_ledger(
        WaterIn(
            food_ml=batch_water_ml / batch_ml * given_ml - added_ml,
            added_ml=added_ml,
            flush_ml=sum(session.flush_ml for session in sessions),
            carrier_ml=sum(dose.water_ml for session in sessions for dose in session.medicines),
        ),
        species=plan.animal.species,
        weight_kg=weight_kg,
        vets_band=WaterBand(low_ml=band.low * weight_kg, high_ml=band.high * weight_kg) if band else None,
        kcal_per_day=energy.value,
    )
    return DayPlan(
        on=on,
        energy=energy,
        batch=batch,
        kcal_per_ml=kcal_per_ml,
        day_ml=day_ml,
        meals=meals,
        kcal_planned=kcal_planned,
        water=water,
        sessions=sessions,
        questions=questions,
    )


def _planned_dose(plan: CarePlan, due: DueMedicine, *, on: date) -> PlannedDose:
    working = draw(due.medicine, weight_kg=plan.animal.weight.weight_kg, syringes=plan.medicine_syringes, on=on)
    if due.caution is not None:
        cautions = (due.caution, *working.cautions)
        working = replace(working, value=replace(working.value, cautions=cautions), cautions=cautions)
    notes = course_notes(due.medicine, on=on, is_last_dose=due.is_last)
    return PlannedDose(medicine=due.medicine, working=working, due_at=due.due_at, notes=notes)


def _drawn(dose: PlannedDose, *, zone: ZoneInfo) -> DrawnMedicine:
    """The dose as the walk tells of it."""
    why = []
    if dose.due_at is not None:
        hours = write_number(dose.medicine.every_hours or 0)
        why.append(f"Its own time is {dose.due_at.astimezone(zone):%H:%M}, every {hours} hours.")
    notes = tuple(filter(None, (dose.notes.place, *dose.notes.changes)))
    return DrawnMedicine(medicine=dose.medicine, drawn=dose.drawn, mass=dose.mass, notes=notes, why=" ".join(why))


def _sessions(plan: CarePlan, *, on: date, meal_volumes_ml: tuple[float, ...]) -> tuple[PlannedSession, ...]:
    """One session per time of day at which something is due, in order from the start of the day."""
    meal_at = dict(zip(plan.timetable.meals, meal_volumes_ml, strict=True))
    due_at = due_medicines(plan, on=on)
    tasks = due_tasks(plan, on=on)
    idle = plan.timetable.flushes if plan.orders.idle_flush is not None else ()
    sessions = []
    for clock in sorted({*due_at, *tasks, *idle}, key=plan.since_day_start):
        local_on = on if clock >= plan.household.day_starts else on + timedelta(days=1)
        sessions.append(
            build_session(
                plan,
                key=f"{local_on}T{clock:%H:%M}",
                at=instant_of(plan, on=on, clock=clock),
                clock=clock,
                meal_ml=meal_at.get(clock, 0.0),
                medicines=tuple(_planned_dose(plan, one, on=on) for one in due_at.get(clock, ())),
                tasks=tasks.get(clock, ()),
                is_flush_due=clock in idle,
            )
        )
    return tuple(sessions)


def due_tasks(plan: CarePlan, *, on: date) -> dict[time, tuple[Task, ...]]:
    """The tasks of a household day by their time of day, in the plan's order; the weekday is the day's own."""
    found: dict[time, list[Task]] = {}
    for task in plan.tasks:
        if task.is_due(on):
            for clock in plan.timetable.meals if task.with_each_meal else task.clocks:
                found.setdefault(clock, []).append(task)
    return {clock: tuple(tasks) for clock, tasks in found.items()}


def plan_needed(plan: CarePlan, medicine: Medicine, *, on: date, at: datetime) -> PlannedSession:
    """One dose of a medicine that is given when needed, as a trip of its own: its mark, its flushes, its steps.

    Args:
        plan: The plan in force.
        medicine: Its order.
        on: The household's day.
        at: The present instant.
    Raises:
        FillmarkError: it cannot be drawn, or must not be given this way.
    Source:
        the vet's orders
    """
    local = at.astimezone(ZoneInfo(plan.household.time_zone))
    dose = _planned_dose(plan, DueMedicine(medicine=medicine), on=on)
    return build_session(
        plan, key=f"{local:%Y-%m-%dT%H:%M}", at=local, clock=local.time(), meal_ml=0.0, medicines=(dose,)
    )


def build_session(
    plan: CarePlan,
    *,
    key: str,
    at: datetime,
    clock: time,
    meal_ml: float,
    medicines: tuple[PlannedDose, ...],
    tasks: tuple[Task, ...] = (),
    is_flush_due: bool = False,
) -> PlannedSession:
    """One session with its marks, flushes, steps and load.

    Args:
        plan: The plan it stands in.
        key: Its identity.
        at: Its instant.
        clock: The local time of day.
        meal_ml: Blend of its meal [mL], 0 for none.
        medicines: What is given, already drawn.
        tasks: Care beside food and medicines.
        is_flush_due: Whether the idle tube is to be flushed at this time; where anything goes through it, it is anyway.
    Source:
        the vet's orders
    """
    orders, tube, zone = plan.orders, plan.animal.tube, ZoneInfo(plan.household.time_zone)
    marks = fills(total_ml=meal_ml, syringe=plan.feeding_syringe) if meal_ml else ()
    through_tube = sum(dose.medicine.route == "tube" and dose.medicine.held is None for dose in medicines)
    flush_ml = _flush_ml(plan, medicines=through_tube, has_meal=bool(meal_ml))
    idle_flush_ml = 0.0
    if is_flush_due and not flush_ml and orders.idle_flush is not None:
        stated = orders.idle_flush.ml
        flush_ml = idle_flush_ml = (orders.flush_after_ml or 0.0) if stated is None else stated
    return PlannedSession(
        key=key,
        clock=clock,
        at=at,
        meal_ml=meal_ml,
        fills=marks,
        medicines=medicines,
        flush_ml=flush_ml,
        steps=plan_walk(
            medicines=tuple(_drawn(dose, zone=zone) for dose in medicines),
            meal_ml=meal_ml,
            fills=marks,
            flush_before_ml=orders.flush_before_ml or 0,
            flush_between_ml=orders.flush_between_ml or 0,
            flush_after_ml=orders.flush_after_ml or 0,
            pace_ml_per_minute=orders.pace_ml_per_minute,
            upright_minutes=orders.upright_minutes,
            tube_kind=tube.kind,
            mark_at_skin_cm=tube.mark_at_skin_cm,
            by_mouth=plan.animal.by_mouth,
            tasks=[
                TaskNow(id=one.id, name=one.name, is_after=one.food == "after", minutes=one.minutes, how=one.how)
                for one in tasks
            ],
            idle_flush_ml=idle_flush_ml,
        ),
        load=load(
            blend_ml=meal_ml,
            flush_ml=flush_ml,
            medicine_water_ml=sum(dose.water_ml for dose in medicines),
            weight_kg=plan.animal.weight.weight_kg,
            warn_ml_per_kg=orders.warn_ml_per_kg,
            cap_ml_per_kg=orders.cap_ml_per_kg,
        ),
        tasks=tasks,
        idle_flush_ml=idle_flush_ml,
    )
