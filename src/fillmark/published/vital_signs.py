"""Temperature and breathing of a dog or cat at rest: what print found in healthy and in sick ones.

The numbers on breathing come from healthy animals and from heart patients. The vet's own number goes before them.
"""

from fillmark.published.figure import Band, Fact, Figure
from fillmark.published.sources import (
    BLOAT_PAGE,
    DORN_2024,
    KOGAN_2008,
    LEVY_2015,
    LJUNGVALL_2014,
    OWN_CHOICE,
    RISHNIW_2012,
    SCANSEN_2017,
)

RECTAL_CELSIUS = {
    "dog": Band(
        id="vital_signs.temperature_dog",
        low=37.7,
        high=39.5,
        unit="°C",
        source=DORN_2024,
        place="reference interval",
        says="Of 9117 adult dogs, 95 in 100 had 37.7 to 39.5 °C.",
    ),
    "cat": Band(
        id="vital_signs.temperature_cat",
        low=36.7,
        high=38.9,
        unit="°C",
        source=LEVY_2015,
        place="reference interval",
        says="Of 200 adult cats, 95 in 100 had 36.7 to 38.9 °C.",
    ),
}
TEMPERATURE_LIMITS_CELSIUS = Band(
    id="vital_signs.temperature_limits",
    low=30.0,
    high=44.0,
    unit="°C",
    source=OWN_CHOICE,
    place="what a living animal can show",
    says="A temperature outside this is a slip, or another unit.",
)
BREATHING_CALL_PER_MINUTE = {
    "dog": Figure(
        id="vital_signs.breathing_dog",
        value=30,
        unit="breaths a minute asleep",
        source=RISHNIW_2012,
        place="3 of 114 healthy dogs ever passed it",
        says="A healthy dog asleep hardly ever breathes more than 30 times a minute.",
    ),
    "cat": Figure(
        id="vital_signs.breathing_cat",
        value=30,
        unit="breaths a minute asleep",
        source=LJUNGVALL_2014,
        place="means of all cats were below it",
        says="A cat asleep breathes less than 30 times a minute on the mean.",
    ),
}
BREATHING_NOW_PER_MINUTE = {
    "dog": Figure(
        id="vital_signs.breathing_now_dog",
        value=40,
        unit="breaths a minute at rest",
        source=SCANSEN_2017,
        place="rate at home",
        says="Over 40 a minute at rest strongly predicted heart failure in dogs.",
    ),
    "cat": Figure(
        id="vital_signs.breathing_now_cat",
        value=40,
        unit="breaths a minute at rest",
        source=OWN_CHOICE,
        place="as in dogs",
        says="A cat over 40 a minute at rest is taken as urgent, as a dog is.",
    ),
}
BREATHS_LIMITS_PER_MINUTE = Band(
    id="vital_signs.breathing_limits",
    low=2,
    high=300,
    unit="breaths a minute",
    source=OWN_CHOICE,
    place="hardly breathing to panting",
    says="A rate outside this is a slip of the count or of the seconds.",
)
NUMBERS_RULE_NOTHING_OUT = Fact(
    id="vital_signs.numbers_rule_nothing_out",
    subject="aspiration pneumonia",
    source=KOGAN_2008,
    place="abstract; signs of 88 dogs",
    says="Under half of the dogs with aspiration pneumonia had a high temperature, heart rate or breathing rate.",
)
BLOAT = Fact(
    id="vital_signs.bloat",
    subject="bloat",
    source=BLOAT_PAGE,
    place="signs",
    says="Retching with nothing coming up, a tight swollen belly, drooling and restlessness are signs of bloat.",
)
