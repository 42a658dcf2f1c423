"""What does print say of this animal's energy, weight and food? Each form by itself, beside the vet's own numbers."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

from fillmark.core.day.batch import food_energy_per_g
from fillmark.core.day.plan_day import plan_day
from fillmark.core.food.analysis import dry_matter_percent, metabolizable_energy, modified_atwater, natural_food_energy
from fillmark.core.food.energy import explain_disagreement, maintenance_forms
from fillmark.core.food.target_weight import (
    check_may_plan_at_home,
    ideal_weight_from_score_5,
    ideal_weight_from_score_9,
    weight_change,
)
from fillmark.core.plan.animal import Animal
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.foods import Food
from fillmark.core.values.errors import FillmarkError, NeedsHospital
from fillmark.core.values.explain import Explained
from fillmark.published.energy import LOSS_PERIOD_DAYS


@dataclass(frozen=True, kw_only=True, slots=True)
class FoodReading:
    """One food by its label and by each method.

    Attributes:
        energies: Energy [kcal/100 g as fed], by its label and by each method that its analysis allows, by name.
        parts: Each part of its analysis as fed [%] and in the dry matter [%].
        trouble: What stands in the way of more; empty where nothing does.
    """

    name: str
    energies: Mapping[str, Explained[float]]
    parts: tuple[tuple[str, float, Explained[float]], ...]
    trouble: str


@dataclass(frozen=True, kw_only=True, slots=True)
class PrintReadings:
    """Print beside the plan.

    Attributes:
        goal: The vet's energy goal for the day; none where it cannot be worked out.
        forms: What each printed form says a healthy adult of the present weight needs [kcal/day].
        disagreement: How far they lie apart.
        weights: The printed readings of the condition score as an ideal weight [kg]; empty where print has none.
        no_weights: Why there are none.
        changes: From each weighing to the next [%], newest first.
        hospital: Why this animal is not one to plan for at home, where its weights say so.
        foods: The foods of the blend.
    """

    weight_kg: float
    goal: Explained[float] | None
    forms: Mapping[str, Explained[float]]
    disagreement: Explained[tuple[float, float]]
    weights: Mapping[str, Explained[float]]
    no_weights: str
    changes: tuple[tuple[date, date, Explained[float]], ...]
    hospital: NeedsHospital | None
    foods: tuple[FoodReading, ...]


def read_print(plan: CarePlan, *, on: date) -> PrintReadings:
    """Every printed form for this animal and its foods, none of them averaged.

    Args:
        plan: The plan.
        on: The day its goal is worked out for.
    Raises:
        OutOfRange: the weight is none an animal at home has.
    Source:
        energy.*, weight.*, food.*
    """
    animal = plan.animal
    weight_kg = animal.weight.weight_kg
    forms = maintenance_forms(species=animal.species, weight_kg=weight_kg)
    try:
        goal = plan_day(plan, on=on).energy
    except FillmarkError:
        goal = None
    weights, no_weights = _ideal_weights(animal)
    return PrintReadings(
        weight_kg=weight_kg,
        goal=goal,
        forms=forms,
        disagreement=explain_disagreement(forms),
        weights=weights,
        no_weights=no_weights,
        changes=tuple(
            (before.on, after.on, weight_change(from_kg=before.weight_kg, to_kg=after.weight_kg))
            for before, after in reversed(list(pairwise(animal.weights)))
        ),
        hospital=_needs_hospital(animal),
        foods=tuple(_read_food(plan.food(part.food), plan) for part in plan.blend.foods),
    )


def _ideal_weights(animal: Animal) -> tuple[Mapping[str, Explained[float]], str]:
    condition = animal.condition
    if condition is None:
        return {}, "No condition score is stated. Ask the vet: which score, on the scale to 5 or to 9?"
    score, whole = condition.score, round(condition.score)
    try:
        if condition.of == 9:
            if score <= 5:
                return {}, (
                    f"At {score:g} of 9 there is no excess to take away, and print has no reading for what is missing: "
                    "the vet names a target weight."
                )
            return ideal_weight_from_score_9(weight_kg=animal.weight.weight_kg, score=whole), ""
        return {"by body fat": ideal_weight_from_score_5(weight_kg=animal.weight.weight_kg, score=whole)}, ""
    except FillmarkError as refused:
        return {}, f"{refused.got}: print has readings for {refused.allowed}. {refused.remedy}"


def _needs_hospital(animal: Animal) -> NeedsHospital | None:
    """The fastest loss up to the newest weighing, by each weighing of the two months before it."""
    newest = animal.weight
    for before in animal.weights:
        over = newest.on - before.on
        if timedelta(0) < over <= timedelta(days=LOSS_PERIOD_DAYS.value) and before.weight_kg > newest.weight_kg:
            loss = 100 * (1 - newest.weight_kg / before.weight_kg)
            try:
                check_may_plan_at_home(loss_percent=loss, over_days=over.days, is_starved=False)
            except NeedsHospital as refused:
                return refused
    return None


def _read_food(food: Food, plan: CarePlan) -> FoodReading:
    energies: dict[str, Explained[float]] = {}
    troubles, species = [], plan.animal.species
    if food.label is not None:
        try:
            per_g = food_energy_per_g(food, species=species)
            energies["by its label"] = Explained(
                value=100 * per_g.value, because=per_g.because, figures=per_g.figures, parts=per_g.parts
            )
        except FillmarkError as refused:
            troubles.append(f"{refused.got}. {refused.remedy}")
    parts: tuple[tuple[str, float, Explained[float]], ...] = ()
    if food.analysis is None:
        troubles.append("No analysis is written down: copy it from the label.")
    else:
        stated = food.analysis
        named = (("protein", stated.protein_percent), ("fat", stated.fat_percent), ("fiber", stated.fiber_percent))
        parts = tuple(
            (name, percent, dry_matter_percent(as_fed_percent=percent, moisture_percent=stated.moisture_percent))
            for name, percent in named
        )
        try:
            energies["modified Atwater"] = modified_atwater(stated.printed)
            energies["NRC 2006"] = metabolizable_energy(stated.printed, species=species)
            energies["as a natural food"] = natural_food_energy(stated.printed, species=species)
        except FillmarkError as refused:
            troubles.append(f"{refused.got}. {refused.remedy}")
    return FoodReading(name=food.name, energies=energies, parts=parts, trouble=" ".join(troubles))
