"""What water does to a mix, as print has it."""

from fillmark.published.figure import Band, Figure
from fillmark.published.sources import COMMON_PRACTICE, OWN_CHOICE, SMALL_ANIMAL_NUTRITION

PRACTICE_WATER_PER_CAN_ML = Band(
    id="blend.practice_water_per_can",
    low=59.0,
    high=79.0,
    unit="mL for a can of 12 to 13 oz",
    source=COMMON_PRACTICE,
    place="a quarter to a third of a US cup",
    says="People who do this say that a quarter to a third of a cup of water lets such a can pass a gastrostomy tube.",
)
PRACTICE_CUPS_PER_CAN = Band(
    id="blend.practice_cups_per_can",
    low=1 / 4,
    high=1 / 3,
    unit="US cup for a can of 12 to 13 oz",
    source=COMMON_PRACTICE,
    place="how people who do this measure that water",
    says="The water for such a can is a quarter to a third of a US cup.",
)
PRACTICE_TUBE_CM = Figure(
    id="blend.practice_tube_length",
    value=30.0,
    unit="cm",
    source=COMMON_PRACTICE,
    place="the gastrostomy tube that such a mix passes",
    says="The tube that people who do this speak of is about 30 cm long.",
)
PRINTED_WATER_PER_CAN_ML = Band(
    id="blend.printed_water_per_can",
    low=95.0,
    high=120.0,
    unit="mL for a can of 12.7 oz",
    source=SMALL_ANIMAL_NUTRITION,
    place="Table 25-11, by the size of the tube",
    says="Print stirs 95 to 120 mL of water into such a can, more for a thinner tube.",
)
PRACTICE_AHEAD_DAYS = Figure(
    id="blend.practice_ahead_days",
    value=3.0,
    unit="days cooked ahead",
    source=COMMON_PRACTICE,
    place="kept cold",
    says="People who do this cook three days ahead.",
)
PRACTICE_AHEAD_MEALS = Figure(
    id="blend.practice_ahead_meals",
    value=2.0,
    unit="meals a day",
    source=COMMON_PRACTICE,
    place="of those cooked ahead",
    says="Those who cook three days ahead give two such meals a day.",
)
PRACTICE_PORTIONS = Figure(
    id="blend.practice_portions",
    value=6.0,
    unit="portions",
    source=COMMON_PRACTICE,
    place="two meals a day, three days ahead",
    says="Two meals a day, cooked three days ahead, are six portions.",
)
DENSITY_LIMITS_KCAL_PER_ML = Band(
    id="blend.density_limits",
    low=0.05,
    high=9.4,
    unit="kcal/mL",
    source=OWN_CHOICE,
    place="first watered feed to pure fat",
    says="No mix holds less or more energy than this; outside it, a measure was read in another unit.",
)
VOLUME_LIMITS_ML = Band(
    id="blend.volume_limits",
    low=0.0,
    high=20000.0,
    unit="mL",
    source=OWN_CHOICE,
    place="nothing to a big pot",
    says="A volume outside this is a slip of the unit.",
)
MEASURE_GAP_FRACTION = Figure(
    id="blend.measure_gap",
    value=0.10,
    unit="of the predicted volume",
    source=OWN_CHOICE,
    place="a jug read at eye level is right to a few percent",
    says="A measured volume a tenth away from the predicted one is asked about: air, a spill or a miscounted can.",
)
WHOLE_CAN_SLACK = Figure(
    id="blend.whole_can_slack",
    value=0.10,
    unit="of a can",
    source=OWN_CHOICE,
    place="what a spoon leaves in the can and a syringe in the jug",
    says="With a tenth of a can or less left over, the cans count as used whole.",
)
MIX_SURPLUS_FRACTION = Figure(
    id="blend.mix_surplus",
    value=0.10,
    unit="of the energy of the days it is made for",
    source=OWN_CHOICE,
    place="whole cans and spoons seldom add up to the goal; what is over stays in the jar, not in the meals",
    says="A mix may hold a tenth more energy than its days need; each meal still carries its share of the goal.",
)
CAN_PARTS = Figure(
    id="blend.can_parts",
    value=4.0,
    unit="parts of a can",
    source=OWN_CHOICE,
    place="what can be told apart by eye, or by a kitchen scale at once",
    says="A can is shared out in quarters.",
)
