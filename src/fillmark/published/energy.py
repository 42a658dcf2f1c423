"""How much energy an animal needs, as print has it. Where print disagrees, every form is here and none is averaged."""

from fillmark.published.figure import Band, Figure
from fillmark.published.sources import (
    FEDIAF_2017,
    FROM_MEMORY,
    NRC_2006_BOOKLET,
    OWN_CHOICE,
    SMALL_ANIMAL_NUTRITION,
    SUPPORT_2010,
    VET_TIMES_2015,
    WSAVA_2018,
)

RESTING_FACTOR = Figure(
    id="energy.resting_factor",
    value=70.0,
    unit="kcal/day per kg^0.75",
    source=SMALL_ANIMAL_NUTRITION,
    place="Box 1-2",
    says="Resting energy is 70 kcal a day for each kg of metabolic weight.",
)
RESTING_POWER = Figure(
    id="energy.resting_power",
    value=0.75,
    unit="power of kg",
    source=SMALL_ANIMAL_NUTRITION,
    place="Box 1-2",
    says="Metabolic weight is the weight to the power 0.75.",
)
LINEAR_SLOPE = Figure(
    id="energy.linear_slope",
    value=30.0,
    unit="kcal/day per kg",
    source=SMALL_ANIMAL_NUTRITION,
    place="Table 5-2",
    says="The straight-line form of resting energy adds 30 kcal a day for each kg.",
)
LINEAR_START = Figure(
    id="energy.linear_start",
    value=70.0,
    unit="kcal/day",
    source=SMALL_ANIMAL_NUTRITION,
    place="Table 5-2",
    says="The straight-line form of resting energy starts from 70 kcal a day.",
)
LINEAR_RANGE_KG = Band(
    id="energy.linear_range",
    low=2.0,
    high=45.0,
    unit="kg",
    source=SMALL_ANIMAL_NUTRITION,
    place="Table 5-2",
    says="The straight-line form holds for weights of 2 to 45 kg only.",
)
FACTOR_LIMITS = Band(
    id="energy.factor_limits",
    low=0.2,
    high=6.0,
    unit="× resting energy",
    source=OWN_CHOICE,
    place="first rung of a ladder to a nursing mother",
    says="A factor outside this is a slip of the point.",
)
FACTOR_USUAL = Band(
    id="energy.factor_usual",
    low=0.8,
    high=2.0,
    unit="× resting energy",
    source=FROM_MEMORY,
    place="weight loss to active adult",
    says="Factors for adults at home usually lie between 0.8 and 2; outside that, the order is read again.",
)
KCAL_PER_KG_LIMITS = Band(
    id="energy.kcal_per_kg_limits",
    low=5.0,
    high=400.0,
    unit="kcal/kg per day",
    source=OWN_CHOICE,
    place="first rung of a giant dog to a growing kitten",
    says="An energy goal outside this for the weight is a slip of the unit or the point.",
)
CAT_KCAL_PER_KG = Figure(
    id="energy.cat_kcal_per_kg",
    value=50.0,
    unit="kcal/kg per day",
    source=WSAVA_2018,
    place="page 290",
    says="An assisted-feeding example for a cat plans 50 kcal a day for each kg.",
)
CAT_ACTIVE_FACTOR = Figure(
    id="energy.cat_active_factor",
    value=100.0,
    unit="kcal/day per kg^0.67",
    source=FEDIAF_2017,
    place="Table VII-12",
    says="An active adult cat needs about 100 kcal a day for each kg^0.67.",
)
CAT_INDOOR_FACTOR = Figure(
    id="energy.cat_indoor_factor",
    value=75.0,
    unit="kcal/day per kg^0.67",
    source=FEDIAF_2017,
    place="Table VII-12",
    says="A neutered or indoor cat needs about 75 kcal a day for each kg^0.67.",
)
CAT_POWER = Figure(
    id="energy.cat_power",
    value=0.67,
    unit="power of kg",
    source=FEDIAF_2017,
    place="Table VII-12",
    says="Metabolic weight of a lean cat is the weight to the power 0.67.",
)
CAT_OVERWEIGHT_FACTOR = Figure(
    id="energy.cat_overweight_factor",
    value=130.0,
    unit="kcal/day per kg^0.4",
    source=NRC_2006_BOOKLET,
    place="overweight domestic cat; the formula is matched to the printed table",
    says="An overweight cat needs about 130 kcal a day for each kg^0.4.",
)
CAT_OVERWEIGHT_POWER = Figure(
    id="energy.cat_overweight_power",
    value=0.4,
    unit="power of kg",
    source=NRC_2006_BOOKLET,
    place="overweight domestic cat; the formula is matched to the printed table",
    says="For an overweight cat the weight counts to the power 0.4.",
)
DOG_LOW_ACTIVITY_FACTOR = Figure(
    id="energy.dog_low_activity_factor",
    value=95.0,
    unit="kcal/day per kg^0.75",
    source=FEDIAF_2017,
    place="Table VII-12",
    says="An adult dog of low activity needs about 95 kcal a day for each kg^0.75.",
)
DOG_ACTIVE_FACTOR = Figure(
    id="energy.dog_active_factor",
    value=110.0,
    unit="kcal/day per kg^0.75",
    source=FEDIAF_2017,
    place="Table VII-12, from the example of 838 kcal for 15 kg",
    says="A moderately active adult dog needs about 110 kcal a day for each kg^0.75.",
)
DOG_POWER = Figure(
    id="energy.dog_power",
    value=0.75,
    unit="power of kg",
    source=FEDIAF_2017,
    place="Table VII-12",
    says="Metabolic weight of a dog is the weight to the power 0.75.",
)
CAT_MAINTENANCE_RESTING_FACTOR = Figure(
    id="energy.cat_maintenance_resting_factor",
    value=1.4,
    unit="× resting energy",
    source=SMALL_ANIMAL_NUTRITION,
    place="Box 1-2",
    says="The worked example feeds an adult cat 1.4 times its resting energy.",
)

IDEAL_FAT_PERCENT = Figure(
    id="weight.ideal_fat",
    value=20.0,
    unit="% body fat",
    source=SMALL_ANIMAL_NUTRITION,
    place="Table 27-3",
    says="An animal at its ideal weight is about 20 % fat.",
)
FAT_PERCENT_BY_SCORE_5 = {
    4: Figure(
        id="weight.fat_at_4_of_5",
        value=30.0,
        unit="% body fat",
        source=SMALL_ANIMAL_NUTRITION,
        place="Table 27-3",
        says="Condition 4 of 5 goes with about 30 % fat.",
    ),
    5: Figure(
        id="weight.fat_at_5_of_5",
        value=40.0,
        unit="% body fat",
        source=SMALL_ANIMAL_NUTRITION,
        place="Table 27-3",
        says="Condition 5 of 5 goes with about 40 % fat.",
    ),
}
EXCESS_PER_POINT_PERCENT = (
    Figure(
        id="weight.excess_per_point_10",
        value=10.0,
        unit="% of the weight per point above 5 of 9",
        source=VET_TIMES_2015,
        place="weight from condition score",
        says="Each point above 5 of 9 is about 10 % too much.",
    ),
    Figure(
        id="weight.excess_per_point_15",
        value=15.0,
        unit="% of the weight per point above 5 of 9",
        source=VET_TIMES_2015,
        place="weight from condition score",
        says="Each point above 5 of 9 may be as much as 15 % too much.",
    ),
)
IDEAL_SCORE_9 = Figure(
    id="weight.ideal_score_9",
    value=5.0,
    unit="of 9",
    source=VET_TIMES_2015,
    place="weight from condition score",
    says="The ideal condition is 5 of 9.",
)
LOSS_NEEDS_SUPPORT_PERCENT = Figure(
    id="weight.loss_needs_support",
    value=10.0,
    unit="% of body weight",
    source=SUPPORT_2010,
    place="when support is indicated",
    says="A loss of 10 % of body weight or more means that nutrition support is indicated.",
)
THIN_SCORE_FRACTION = Figure(
    id="weight.thin_score",
    value=1 / 3,
    unit="of the condition scale",
    source=OWN_CHOICE,
    place="3 of 9 and below",
    says="At or below this the animal counts as thin.",
)
LOSS_PERIOD_DAYS = Figure(
    id="weight.loss_period",
    value=60.0,
    unit="days",
    source=OWN_CHOICE,
    place="two months",
    says="More than a tenth lost within two months is not planned for at home.",
)
