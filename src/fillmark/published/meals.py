"""Meals through a tube: how much, how fast, in which steps. Print disagrees; each scheme stands by itself."""

from fillmark.published.figure import Band, Fact, Figure, Source
from fillmark.published.sources import (
    COMMON_PRACTICE,
    FROM_MEMORY,
    OWN_CHOICE,
    SMALL_ANIMAL_NUTRITION,
    ZORAN_2003,
)

MEALS_LIMITS = Band(
    id="meals.count_limits",
    low=1,
    high=24,
    unit="meals a day",
    source=OWN_CHOICE,
    place="one meal to one an hour",
    says="A number of meals outside this is a slip.",
)
PUBLISHED_MEAL_ML_PER_KG = (
    Band(
        id="meals.ml_per_kg_narrow",
        low=5.0,
        high=10.0,
        unit="mL/kg per meal",
        source=FROM_MEMORY,
        place="discharge instructions in print",
        says="Some instructions keep a meal between 5 and 10 mL/kg.",
    ),
    Band(
        id="meals.ml_per_kg_wide",
        low=5.0,
        high=20.0,
        unit="mL/kg per meal",
        source=FROM_MEMORY,
        place="discharge instructions in print",
        says="Others allow a meal of 5 to 20 mL/kg.",
    ),
    Band(
        id="meals.ml_per_kg_case",
        low=8.57,
        high=12.86,
        unit="mL/kg per meal",
        source=SMALL_ANIMAL_NUTRITION,
        place="chapter 25 case, day 1 and day 3",
        says="A cat of 3.5 kg went from 30 mL to 45 mL a meal in three days.",
    ),
)
STOMACH_ML_PER_KG = {
    "cat": Band(
        id="meals.stomach_cat",
        low=45.0,
        high=60.0,
        unit="mL/kg",
        source=ZORAN_2003,
        place="second-hand; the lower end from memory",
        says="A cat's stomach holds up to about 60 mL/kg when healthy; that is a capacity, never a meal.",
    ),
    "dog": Band(
        id="meals.stomach_dog",
        low=80.0,
        high=90.0,
        unit="mL/kg",
        source=ZORAN_2003,
        place="second-hand",
        says="A dog's stomach holds 80 to 90 mL/kg when healthy; that is a capacity, never a meal.",
    ),
}
PUBLISHED_PACE_ML_PER_MINUTE = Band(
    id="meals.pace",
    low=6.0,
    high=10.0,
    unit="mL/min",
    source=SMALL_ANIMAL_NUTRITION,
    place="chapter 25 case: 30 mL over 3 to 5 minutes",
    says="A cat was given 30 mL over 3 to 5 minutes.",
)
SHORTEST_MEAL_MINUTES = Figure(
    id="meals.shortest",
    value=3,
    unit="minutes",
    source=SMALL_ANIMAL_NUTRITION,
    place="chapter 25 case: 30 mL over 3 to 5 minutes",
    says="No meal in print goes in faster than within 3 minutes.",
)
PACE_LIMITS_ML_PER_MINUTE = Band(
    id="meals.pace_limits",
    low=0.2,
    high=120.0,
    unit="mL/min",
    source=OWN_CHOICE,
    place="drip to a fast push for a giant dog",
    says="A pace outside this is a slip of the unit.",
)
CLEARING_FLUSH_ML = Band(
    id="meals.clearing_flush",
    low=20.0,
    high=30.0,
    unit="mL",
    source=COMMON_PRACTICE,
    place="after a meal, warm water",
    says="People who do this clear the tube after a meal with 20 to 30 mL of warm water.",
)
PRINTED_FLUSH_ML = Band(
    id="meals.printed_flush",
    low=5.0,
    high=10.0,
    unit="mL",
    source=SMALL_ANIMAL_NUTRITION,
    place="chapter 25",
    says="Print clears the tube with 5 to 10 mL.",
)
PRACTICE_SYRINGE_ML = Figure(
    id="meals.practice_syringe",
    value=60.0,
    unit="mL",
    source=COMMON_PRACTICE,
    place="the largest feeding syringe in common use",
    says="People who do this feed with a 60 mL syringe: it has to be refilled the least often.",
)
UPRIGHT_MINUTES = Band(
    id="meals.upright",
    low=20.0,
    high=45.0,
    unit="minutes",
    source=COMMON_PRACTICE,
    place="where food goes by mouth",
    says="People who do this keep the animal upright for 20 to 45 minutes after food by mouth.",
)


def _rung(name: str, fraction: float, source: Source, place: str) -> Figure:
    return Figure(
        id=f"meals.{name}",
        value=fraction,
        unit="of the full day",
        source=source,
        place=place,
        says=f"This step gives {fraction:.0%} of the full day.",
    )


TAPER_FROM_BY_MOUTH_FRACTION = Figure(
    id="meals.taper_from",
    value=0.60,
    unit="of the energy goal by mouth",
    source=FROM_MEMORY,
    place="weaning from a tube",
    says="Tube meals are taken back once the animal eats 60 % of its goal by mouth.",
)
IDLE_FLUSHES_PER_DAY = Figure(
    id="meals.idle_flushes",
    value=4.0,
    unit="flushes a day",
    source=FROM_MEMORY,
    place="a tube that is not used for food",
    says="A tube that stands idle is flushed four times a day until it is removed.",
)

JEJUNAL_BOLUS = Fact(
    id="meals.jejunal_bolus",
    subject="meals into the gut behind the stomach",
    source=COMMON_PRACTICE,
    place="feeding behind the stomach",
    says="The gut behind the stomach has no room for a meal at once: food runs in slowly there.",
)
