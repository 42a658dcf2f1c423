"""How a mix flows: the syringe flow test, and what a tube resists."""

from fillmark.published.figure import Band, Figure
from fillmark.published.sources import FROM_MEMORY, IDDSI, OWN_CHOICE, SMALL_ANIMAL_NUTRITION

FLOW_TEST_SYRINGE_ML = Figure(
    id="flow.test_syringe",
    value=10.0,
    unit="mL",
    source=IDDSI,
    place="flow test",
    says="The flow test fills a 10 mL slip-tip syringe of 61.5 mm scale length to the top mark.",
)
FLOW_TEST_SECONDS = Figure(
    id="flow.test_seconds", value=10.0, unit="s", source=IDDSI, place="flow test", says="It runs for 10 seconds."
)
FLOW_LEVEL_STARTS_ML = (
    Figure(
        id="flow.level_1_from",
        value=1.0,
        unit="mL left",
        source=IDDSI,
        place="flow test, level 1",
        says="Less than 1 mL left is level 0; from 1 mL it is level 1.",
    ),
    Figure(
        id="flow.level_2_from",
        value=4.0,
        unit="mL left",
        source=FROM_MEMORY,
        place="IDDSI flow test, level 2",
        says="From 4 mL left it is level 2.",
    ),
    Figure(
        id="flow.level_3_from",
        value=8.0,
        unit="mL left",
        source=FROM_MEMORY,
        place="IDDSI flow test, level 3",
        says="With more than 8 mL left and some flow it is level 3; without any flow the test says nothing more.",
    ),
)
FLOW_NOISE_ML = Figure(
    id="flow.noise",
    value=0.5,
    unit="mL",
    source=OWN_CHOICE,
    place="reading a syringe while it drips",
    says="Two tests of one batch may differ by half a milliliter.",
)
PASS_CHANCE = Figure(
    id="flow.pass_chance",
    value=0.9,
    unit="chance to pass",
    source=OWN_CHOICE,
    place="one batch in ten is stirred again with a little more water",
    says="Water is proposed so that nine batches of ten pass the flow test.",
)
MM_PER_FRENCH = Figure(
    id="flow.mm_per_french",
    value=1 / 3,
    unit="mm outer diameter",
    source=FROM_MEMORY,
    place="definition of the French gauge",
    says="One French is a third of a millimeter of outer diameter.",
)
WATER_LIMITS_ML_PER_100_G = Band(
    id="flow.water_limits",
    low=0.0,
    high=400.0,
    unit="mL/100 g food",
    source=OWN_CHOICE,
    place="undiluted to a thin soup",
    says="More water than this is a slip of the unit.",
)
PRIOR_WATER_ML_PER_100_G = Figure(
    id="flow.prior_water",
    value=25.0,
    unit="mL/100 g food",
    source=SMALL_ANIMAL_NUTRITION,
    place="Table 25-11: 95 to 120 mL for a can of about 380 g",
    says="Before the first test, a food is taken to pass with about 25 mL water for 100 g.",
)
PRIOR_WATER_SPREAD_ML_PER_100_G = Figure(
    id="flow.prior_water_spread",
    value=20.0,
    unit="mL/100 g food",
    source=OWN_CHOICE,
    place="print and practice span 16 to 31 mL/100 g; other foods more",
    says="That first guess may be off by 20 mL for 100 g.",
)
PRIOR_THINNING_PER_ML = Figure(
    id="flow.prior_thinning",
    value=0.039,
    unit="per mL/100 g",
    source=OWN_CHOICE,
    place="60 mL water in 240 mL blend cut thickness by about 62 %",
    says="Each mL of water for 100 g is first taken to thin a blend by about 4 %.",
)
PRIOR_THINNING_SPREAD = Figure(
    id="flow.prior_thinning_spread",
    value=0.5,
    unit="of the logarithm",
    source=OWN_CHOICE,
    place="foods differ",
    says="The thinning of another food may well be half or twice that.",
)
UNTRIED_STEP_FRACTION = Figure(
    id="flow.untried_step",
    value=0.2,
    unit="of the least water that was tested",
    source=OWN_CHOICE,
    place="a curve is not followed far beyond the tests it was drawn from",
    says="No less water is proposed than a fifth below the least that was tested: the next batch is tested there.",
)
