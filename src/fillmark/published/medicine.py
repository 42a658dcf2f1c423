"""Medicines: when a dose counts as on time, how far a weight may move, what a slip looks like."""

from fillmark.published.figure import Band, Figure
from fillmark.published.sources import ISMP_2011, NHS_SPS, OWN_CHOICE, SPC_METOCLOPRAMIDE

DOSE_WEIGHT_MOVED_FRACTION = Figure(
    id="medicine.weight_moved",
    value=0.10,
    unit="of the weight the dose was made for",
    source=OWN_CHOICE,
    place="the same share that is refused for rounding",
    says="When the weight has moved by more than this, the vet is asked whether a dose per kg still holds.",
)
GAP_LIMITS_HOURS = Band(
    id="medicine.gap_limits",
    low=0.5,
    high=24.0 * 31,
    unit="hours",
    source=OWN_CHOICE,
    place="half an hour to once a month",
    says="Doses closer or further apart than this are a slip.",
)
TIMES_PER_DAY_LIMITS = Band(
    id="medicine.times_limits",
    low=1,
    high=24,
    unit="times a day",
    source=OWN_CHOICE,
    place="once a day to once an hour",
    says="A number of doses a day outside this is a slip.",
)
FOOD_MINUTES_LIMITS = Band(
    id="medicine.food_minutes_limits",
    low=0,
    high=720,
    unit="minutes",
    source=OWN_CHOICE,
    place="none to half a day",
    says="A wait before or after food outside this is a slip of the unit.",
)
CARRIER_WATER_LIMITS_ML = Band(
    id="medicine.carrier_water_limits",
    low=0,
    high=100,
    unit="mL",
    source=OWN_CHOICE,
    place="none to more than a large syringe",
    says="Water to carry one medicine outside this is a slip.",
)
WINDOW_TIME_CRITICAL_MINUTES = Figure(
    id="medicine.window_time_critical",
    value=30,
    unit="minutes",
    source=ISMP_2011,
    place="time-critical medicines, as summarized",
    says="A time-critical dose is on time within half an hour either way.",
)
WINDOW_DAILY_MINUTES = Figure(
    id="medicine.window_daily",
    value=120,
    unit="minutes",
    source=ISMP_2011,
    place="daily and less often, as summarized",
    says="A dose given once a day or less often is on time within two hours either way.",
)
WINDOW_SEVERAL_MINUTES = Figure(
    id="medicine.window_several",
    value=60,
    unit="minutes",
    source=ISMP_2011,
    place="more often than daily, at most every 4 hours, as summarized",
    says="A dose given several times a day is on time within an hour either way.",
)
WINDOW_FREQUENT_FRACTION = Figure(
    id="medicine.window_frequent",
    value=0.25,
    unit="of the interval",
    source=ISMP_2011,
    place="more often than every 4 hours, as summarized",
    says="A dose given more often than every 4 hours is on time within a quarter of its interval.",
)
WINDOW_FREQUENT_BELOW_HOURS = Figure(
    id="medicine.window_frequent_below",
    value=4,
    unit="hours",
    source=ISMP_2011,
    place="where the quarter rule begins, as summarized",
    says="The quarter rule holds for intervals shorter than this.",
)
LATE_IS_FINE_HOURS = Figure(
    id="medicine.late_acceptable",
    value=2,
    unit="hours",
    source=NHS_SPS,
    place="advice on missed and late doses",
    says="For most medicines a dose up to two hours late may be given and the next time kept.",
)
SAME_MEAL_MINUTES = Figure(
    id="medicine.same_meal",
    value=60,
    unit="minutes",
    source=OWN_CHOICE,
    place="shorter than any two meals through a tube",
    says="Two doses with food closer than this belong to one meal.",
)
ROLLING_DAY_HOURS = Figure(
    id="medicine.rolling_day",
    value=24,
    unit="hours",
    source=OWN_CHOICE,
    place="a day that no clock change can shorten",
    says="The most for a day is counted over 24 hours really gone by.",
)
SLIP_CLOSENESS_FRACTION = Figure(
    id="medicine.slip_closeness",
    value=0.05,
    unit="of the ratio",
    source=OWN_CHOICE,
    place="rounding of a dose on either side",
    says="A dose this close to 10, 100, 1000 or 2.2 times another is asked about as a slip.",
)
METOCLOPRAMIDE_BASE_FRACTION = Figure(
    id="medicine.metoclopramide_base",
    value=0.891,
    unit="mg of base in 1 mg of hydrochloride",
    source=SPC_METOCLOPRAMIDE,
    place="composition",
    says="1 mg of metoclopramide hydrochloride holds 0.891 mg of metoclopramide.",
)

HAZARDOUS_TO_HANDLE = ("azathioprine", "mycophenolate", "misoprostol", "chlorambucil", "cyclophosphamide")
"""Medicines that can harm the person who crushes them. From memory; the list is not complete."""
WORKS_IN_THE_STOMACH = ("sucralfate", "aluminium hydroxide", "enalapril")
"""Medicines that a tube into the gut below the stomach may bring past their place of work.

Enalapril: NHS Specialist Pharmacy Service. The others: from memory.
"""
NOT_SWAPPABLE = ("levothyroxine", "metronidazole", "metoclopramide")
"""Medicines whose forms or salts do not hold the same effect in the same mg.

Levothyroxine: Le Traon 2008, a tablet gave about half the exposure of the solution. Metoclopramide: product summary.
Metronidazole (benzoate): from memory.
"""
