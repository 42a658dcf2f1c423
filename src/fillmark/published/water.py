"""How much water an animal needs, loses and makes, as print has it. Print disagrees by a factor of nearly two."""

from fillmark.published.figure import Band, Figure
from fillmark.published.sources import (
    AAHA_FLUID_2013,
    FROM_MEMORY,
    NRC_1985,
    OWN_CHOICE,
    SMALL_ANIMAL_NUTRITION,
)

MAINTENANCE_FACTOR = {
    "cat": Figure(
        id="water.maintenance_cat",
        value=80.0,
        unit="mL/day per kg^0.75",
        source=AAHA_FLUID_2013,
        place="tip-sheet table; DiBartola Table 14-2 agrees",
        says="A cat needs about 80 mL a day for each kg of metabolic weight.",
    ),
    "dog": Figure(
        id="water.maintenance_dog",
        value=132.0,
        unit="mL/day per kg^0.75",
        source=AAHA_FLUID_2013,
        place="tip-sheet table",
        says="A dog needs about 132 mL a day for each kg of metabolic weight.",
    ),
}
MAINTENANCE_POWER = Figure(
    id="water.maintenance_power",
    value=0.75,
    unit="power of kg",
    source=AAHA_FLUID_2013,
    place="tip-sheet table",
    says="Water need grows with the weight to the power 0.75.",
)
ALLOWANCE_ML_PER_KG = Figure(
    id="water.allowance_per_kg",
    value=60.0,
    unit="mL/kg per day",
    source=SMALL_ANIMAL_NUTRITION,
    place="chapter 25 case; DiBartola Table 14-9 starts from the same figure",
    says="A simple allowance is 60 mL a day for each kg.",
)
ALLOWANCE_ML_PER_KCAL = Figure(
    id="water.allowance_per_kcal",
    value=1.0,
    unit="mL/kcal",
    source=FROM_MEMORY,
    place="rule of thumb in textbooks",
    says="Another rule takes 1 mL of water for each kcal eaten.",
)


def _metabolic(name: str, value: float, place: str, says: str) -> Figure:
    return Figure(id=f"water.metabolic_{name}", value=value, unit="g water/g", source=NRC_1985, place=place, says=says)


METABOLIC_G_PER_100_KCAL = Band(
    id="water.metabolic_per_100_kcal",
    low=10.0,
    high=16.0,
    unit="g/100 kcal",
    source=NRC_1985,
    place="page 39",
    says="The body makes 10 to 16 g of water from every 100 kcal.",
)
LEDGER_LIMITS_ML = Band(
    id="water.ledger_limits",
    low=0.0,
    high=20000.0,
    unit="mL",
    source=OWN_CHOICE,
    place="nothing to more than the largest dog drinks",
    says="A volume outside this is a slip of the unit.",
)
