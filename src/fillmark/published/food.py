"""What is in a food: how energy follows from analysis, and how cans are measured."""

from fillmark.published.figure import Band, Figure
from fillmark.published.sources import FEDIAF_2017, OWN_CHOICE, SMALL_ANIMAL_NUTRITION

KJ_PER_KCAL_PRINTED = Figure(
    id="food.kj_per_kcal",
    value=4.184,
    unit="kJ/kcal",
    source=SMALL_ANIMAL_NUTRITION,
    place="footnote to a table",
    says="One kcal is 4.184 kJ.",
)
LABEL_GAP_TIMES = Figure(
    id="food.label_gap",
    value=1.5,
    unit="times the energy of the analysis",
    source=OWN_CHOICE,
    place="a guaranteed analysis names the least and the most; kJ read as kcal is 4.2 times, a can for a kg 2 to 6",
    says="A label further than this from its own analysis was read in another unit.",
)


def _kcal_per_g(name: str, value: float, place: str, says: str) -> Figure:
    return Figure(id=f"food.{name}", value=value, unit="kcal/g", source=SMALL_ANIMAL_NUTRITION, place=place, says=says)


def _fediaf(name: str, value: float, unit: str, says: str) -> Figure:
    return Figure(id=f"food.{name}", value=value, unit=unit, source=FEDIAF_2017, place="annex on energy", says=says)


ATWATER_PROTEIN = _kcal_per_g(
    "atwater_protein", 3.5, "Box 1-6", "Modified Atwater counts 3.5 kcal for a gram of protein."
)
ATWATER_FAT = _kcal_per_g("atwater_fat", 8.5, "Box 1-6", "Modified Atwater counts 8.5 kcal for a gram of fat.")
ATWATER_CARBOHYDRATE = _kcal_per_g(
    "atwater_carbohydrate", 3.5, "Box 1-6", "Modified Atwater counts 3.5 kcal for a gram of carbohydrate."
)

GROSS_PROTEIN = _fediaf("gross_protein", 5.7, "kcal/g", "Burning a gram of protein gives 5.7 kcal.")
GROSS_FAT = _fediaf("gross_fat", 9.4, "kcal/g", "Burning a gram of fat gives 9.4 kcal.")
GROSS_CARBOHYDRATE = _fediaf(
    "gross_carbohydrate", 4.1, "kcal/g", "Burning a gram of carbohydrate, fiber included, gives 4.1 kcal."
)
DIGESTIBILITY_START = {
    "dog": _fediaf("digestibility_dog", 91.2, "%", "A dog digests 91.2 % of the energy of a food without fiber."),
    "cat": _fediaf("digestibility_cat", 87.9, "%", "A cat digests 87.9 % of the energy of a food without fiber."),
}
DIGESTIBILITY_PER_FIBER = {
    "dog": _fediaf("digestibility_per_fiber_dog", 1.43, "% per % fiber in dry matter", "Fiber lowers it in dogs."),
    "cat": _fediaf("digestibility_per_fiber_cat", 0.88, "% per % fiber in dry matter", "Fiber lowers it in cats."),
}
URINE_LOSS = {
    "dog": _fediaf("urine_loss_dog", 1.04, "kcal/g protein", "A dog loses 1.04 kcal in urine for a gram of protein."),
    "cat": _fediaf("urine_loss_cat", 0.77, "kcal/g protein", "A cat loses 0.77 kcal in urine for a gram of protein."),
}
NATURAL_PROTEIN = _fediaf("natural_protein", 4.0, "kcal/g", "Natural foods: 4 kcal for a gram of protein.")
NATURAL_FAT = {
    "dog": _fediaf("natural_fat_dog", 9.0, "kcal/g", "Natural foods: 9 kcal for a gram of fat, for a dog."),
    "cat": _fediaf("natural_fat_cat", 8.5, "kcal/g", "Natural foods: 8.5 kcal for a gram of fat, for a cat."),
}
NATURAL_CARBOHYDRATE = _fediaf(
    "natural_carbohydrate", 4.0, "kcal/g", "Natural foods: 4 kcal for a gram of carbohydrate."
)

ML_PER_CAN_OUNCE = Figure(
    id="food.ml_per_can_ounce",
    value=30.0,
    unit="mL/oz",
    source=SMALL_ANIMAL_NUTRITION,
    place="Tables 25-7 and 25-11",
    says="The printed mixes take an ounce of canned food as 30 mL.",
)
ENERGY_LIMITS_KCAL_PER_G = Band(
    id="food.energy_limits",
    low=0.1,
    high=9.4,
    unit="kcal/g",
    source=OWN_CHOICE,
    place="thin broth to pure fat",
    says="No food holds less or more energy than this; outside it, the label was read in another unit.",
)
DENSITY_LIMITS_G_PER_ML = Band(
    id="food.density_limits",
    low=0.2,
    high=1.6,
    unit="g/mL",
    source=OWN_CHOICE,
    place="puffed dry food to honey",
    says="A density outside this is a slip in weighing or measuring.",
)
PERCENT_LIMITS = Band(
    id="food.percent_limits",
    low=0.0,
    high=100.0,
    unit="%",
    source=OWN_CHOICE,
    place="arithmetic",
    says="A share lies between nothing and all.",
)
ANALYSIS_SLACK_PERCENT = Figure(
    id="food.analysis_slack",
    value=2.0,
    unit="%",
    source=OWN_CHOICE,
    place="labels print guaranteed minimums and maximums",
    says="An analysis may add up to a little over 100 % because labels print bounds, not means.",
)
