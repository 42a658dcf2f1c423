"""Bounds on what a person can plausibly have meant: they catch slips, and say nothing about medicine."""

from fillmark.published.figure import Band, Figure
from fillmark.published.sources import OWN_CHOICE

WEIGHT_LIMITS_KG = Band(
    id="input.weight_kg",
    low=0.5,
    high=100.0,
    unit="kg",
    source=OWN_CHOICE,
    place="smallest kitten to largest dog fed at home",
    says="A weight outside this is a slip of the unit or the point.",
)
FRENCH_LIMITS = Band(
    id="input.tube_french",
    low=3.5,
    high=40.0,
    unit="Fr",
    source=OWN_CHOICE,
    place="thinnest to thickest feeding tube sold",
    says="A tube size outside this was read in another unit.",
)
WEIGHT_JUMP_FRACTION = Figure(
    id="input.weight_jump_fraction",
    value=0.10,
    unit="of the last weight",
    source=OWN_CHOICE,
    place="hazard of swapped kg and lb, or another scale",
    says="A jump of more than a tenth between two weighings is asked about before it is used.",
)
CAT_WEIGHT_LIMITS_KG = Band(
    id="input.cat_weight_kg",
    low=0.5,
    high=15.0,
    unit="kg",
    source=OWN_CHOICE,
    place="hazard of swapped kg and lb",
    says="A cat above this was most likely weighed in pounds.",
)
CONDITION_LIMITS = Band(
    id="input.condition_score",
    low=1.0,
    high=9.0,
    unit="points",
    source=OWN_CHOICE,
    place="scales of 5 and of 9 points",
    says="Condition scores start at 1.",
)
LENGTH_LIMITS_CM = Band(
    id="input.tube_length_cm",
    low=0.0,
    high=150.0,
    unit="cm",
    source=OWN_CHOICE,
    place="longest feeding tube sold",
    says="A length outside this was read in another unit.",
)
MEAL_GAP_LIMITS_HOURS = Band(
    id="input.meal_gap_hours",
    low=0.5,
    high=24.0,
    unit="hours",
    source=OWN_CHOICE,
    place="small meals of a first day to one meal a day",
    says="A shortest time from meal to meal outside this is a slip of the unit.",
)
LOAD_LIMITS_ML_PER_KG = Band(
    id="input.load_ml_per_kg",
    low=0.5,
    high=90.0,
    unit="mL/kg",
    source=OWN_CHOICE,
    place="the largest printed stomach capacity",
    says="A limit for one session outside this is a slip.",
)
UPRIGHT_LIMITS_MINUTES = Band(
    id="input.upright_minutes",
    low=0.0,
    high=180.0,
    unit="minutes",
    source=OWN_CHOICE,
    place="longest time an animal is kept upright",
    says="A longer time was meant as seconds.",
)
WATER_LIMITS_ML_PER_KG = Band(
    id="input.water_ml_per_kg_per_day",
    low=5.0,
    high=250.0,
    unit="mL/kg per day",
    source=OWN_CHOICE,
    place="between severe restriction and severe loss",
    says="A water order outside this was meant per hour, or for the whole animal.",
)
PLAN_AGREEMENT_FRACTION = Figure(
    id="input.plan_agreement_fraction",
    value=0.05,
    unit="of the energy goal",
    source=OWN_CHOICE,
    place="hazard of a discharge sheet read wrongly",
    says="Energy per mL × volume × meals and the energy goal must agree this closely, or the vet is asked.",
)
FOOD_LIMITS_CELSIUS = Band(
    id="input.food_celsius",
    low=15,
    high=42,
    unit="°C",
    source=OWN_CHOICE,
    place="a cool room to a little over body heat",
    says="Food outside this was read in °F, or would hurt.",
)
OLD_MEASURE_DAYS = Figure(
    id="input.old_measure",
    value=60,
    unit="days",
    source=OWN_CHOICE,
    place="two months, within which a tenth of the weight can be lost",
    says="A weight or a batch measured longer ago than this is measured again before a plan is made of it.",
)
FAR_DAYS = Figure(
    id="input.far_days",
    value=180,
    unit="days",
    source=OWN_CHOICE,
    place="half a year: further than most tapers reach, and nearer than a year that was written wrongly",
    says="A course or a step that begins later than this, or ended longer ago, is asked about.",
)
STARTING_DAYS = Figure(
    id="input.starting_days",
    value=14,
    unit="days since the tube was placed",
    source=OWN_CHOICE,
    place="the first two weeks",
    says="Feeding counts as just started for so long.",
)
DOCUMENT_LIMIT_BYTES = Figure(
    id="input.document_bytes",
    value=1_000_000,
    unit="bytes",
    source=OWN_CHOICE,
    place="many times the largest plan made by hand",
    says="A larger file is not a care plan.",
)
TASK_LIMITS_MINUTES = Band(
    id="input.task_minutes",
    low=0,
    high=240,
    unit="minutes",
    source=OWN_CHOICE,
    place="a glance at the site to a long walk",
    says="A task that takes, or stands from a meal, longer than this is a slip.",
)
IDLE_FLUSH_LIMITS = Band(
    id="input.idle_flushes",
    low=1,
    high=12,
    unit="times a day",
    source=OWN_CHOICE,
    place="once a day to every two hours",
    says="More flushes of an idle tube than this are a slip.",
)
AWAY_LIMITS_DAYS = Band(
    id="input.away_days",
    low=1,
    high=60,
    unit="days",
    source=OWN_CHOICE,
    place="a night to two months away from home",
    says="Longer than this is another home, and a new plan.",
)
KEEPS_LIMITS_DAYS = Band(
    id="input.keeps_days",
    low=1,
    high=14,
    unit="days",
    source=OWN_CHOICE,
    place="an opened can, or a blend of it, in the refrigerator",
    says="An opened can that keeps longer than this is a slip.",
)
