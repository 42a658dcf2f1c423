"""Medicines: when a dose counts as on time, how far a weight may move, what a slip looks like."""

from fillmark.published.figure import Band, Fact, Figure, Source
from fillmark.published.medicine_names import read_name
from fillmark.published.sources import (
    AJHP_2008,
    ARMSTRONG_SHEET,
    AZATHIOPRINE_CAT,
    CSAIM,
    DERMATOLOGY_3E,
    FLAGYL_S,
    FROM_MEMORY,
    INDIVIDUAL_TRIALS,
    ISMP_2011,
    LE_TRAON_2008,
    NHS_SPS,
    OSU_ANTIMICROBIAL,
    OWN_CHOICE,
    SPC_METOCLOPRAMIDE,
    SPC_PIMOBENDAN,
)

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
COUNTED_LIMITS_HOURS = Band(
    id="medicine.counted_limits",
    low=3,
    high=24.0 * 31,
    unit="hours",
    source=OWN_CHOICE,
    place="more than twice the hour that a changed clock shows twice, to once a month",
    says="An order whose hours are counted from its first dose lies inside this; a shorter one has times of day.",
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
WEIGHT_ROUNDING_FRACTION = Figure(
    id="medicine.weight_rounding",
    value=0.01,
    unit="of a printed limit",
    source=OWN_CHOICE,
    place="2.2 for 2.2046 lb is a fifth of this; a clinic's worked example rounds 3.63 kg to 3.6, most of it",
    says="A weight is rounded when a dose is worked out: a dose this close to a printed limit stands on it.",
)
RANGES_FAR_APART = Figure(
    id="medicine.ranges_far_apart",
    value=10,
    unit="times from the lowest to the highest in print",
    source=OWN_CHOICE,
    place="as far as a point that moved",
    says="Where print is this far apart, fitting one printed range says little, and all of them are shown.",
)
MANY_PIECES = Figure(
    id="medicine.many_pieces",
    value=5,
    unit="tablets, capsules, sachets or vials for one dose",
    source=OWN_CHOICE,
    place="most doses are one or two; a strength ten times too low makes ten of them",
    says="More than this for one dose is asked about.",
)
MUCH_LIQUID_ML_PER_KG = Figure(
    id="medicine.much_liquid",
    value=2,
    unit="mL/kg for one dose",
    source=OWN_CHOICE,
    place="most liquids in print come to less than 1",
    says="More than this of one medicine in one dose is asked about.",
)
LITTLE_LIQUID_ML = Figure(
    id="medicine.little_liquid",
    value=0.1,
    unit="mL for one dose",
    source=OWN_CHOICE,
    place="the first number on a 1 mL syringe, and less than a standard enteral tip displaces",
    says="Less than this of a liquid in one dose is asked about: a strength ten times too high makes it.",
)
CLOCKS_CLOSER_FRACTION = Figure(
    id="medicine.clocks_closer",
    value=0.75,
    unit="of the interval",
    source=OWN_CHOICE,
    place="8:00 and 17:00 for every 12 hours",
    says="Two times of day that stand closer than this share of the interval do not keep the order.",
)
METOCLOPRAMIDE_BASE_FRACTION = Figure(
    id="medicine.metoclopramide_base",
    value=0.891,
    unit="mg of base in 1 mg of hydrochloride",
    source=SPC_METOCLOPRAMIDE,
    place="composition",
    says="1 mg of metoclopramide hydrochloride holds 0.891 mg of metoclopramide.",
)


def _fact(topic: str, drug: str, says: str, *, source: Source = FROM_MEMORY, place: str) -> Fact:
    return Fact(id=f"medicine.{topic}.{drug.replace(' ', '_')}", subject=drug, source=source, place=place, says=says)


HAZARDOUS_TO_HANDLE = tuple(
    _fact("hazardous", drug, f"{drug.capitalize()} can harm the person who crushes it.", place="lists of NIOSH")
    for drug in (
        "azathioprine",
        "chlorambucil",
        "chloramphenicol",
        "cyclophosphamide",
        "cyclosporine",
        "leflunomide",
        "lomustine",
        "melphalan",
        "methotrexate",
        "misoprostol",
        "mycophenolate",
    )
)
"""Medicines that can harm the person who handles them; the list is not complete."""
NOT_FOR_CATS = (
    _fact(
        "not_for_cats",
        "azathioprine",
        "A report tells of a cat that azathioprine poisoned; print gives it to dogs only.",
        source=AZATHIOPRINE_CAT,
        place="case report, second-hand",
    ),
)
"""Medicines that print warns of for a cat at any dose."""
WORKS_IN_THE_STOMACH = (
    _fact(
        "stomach",
        "sucralfate",
        "Sucralfate coats the stomach; past it there is nothing to coat.",
        place="textbooks, not looked up",
    ),
    _fact("stomach", "aluminium hydroxide", "It binds what is in the stomach.", place="textbooks, not looked up"),
    _fact(
        "stomach",
        "enalapril",
        "Enalapril given below the stomach may not be taken up as it should.",
        source=NHS_SPS,
        place="medicines through tubes",
    ),
)
"""Medicines that a tube into the gut below the stomach may bring past their place of work."""
NOT_SWAPPABLE = (
    _fact(
        "not_swappable",
        "levothyroxine",
        "A levothyroxine tablet gave a dog about half the exposure of the solution.",
        source=LE_TRAON_2008,
        place="abstract",
    ),
    _fact(
        "not_swappable",
        "metoclopramide",
        "The mg of metoclopramide count the hydrochloride on one label and the base on another.",
        source=SPC_METOCLOPRAMIDE,
        place="composition",
    ),
    _fact(
        "not_swappable",
        "metronidazole",
        "320 mg of its benzoate hold 200 mg of metronidazole; some labels count the one, some the other.",
        source=FLAGYL_S,
        place="section 2",
    ),
)
"""Medicines whose forms or salts do not hold the same effect in the same mg."""
MINUTES_BEFORE_FOOD = {
    "pimobendan": Figure(
        id="medicine.before_food.pimobendan",
        value=60,
        unit="minutes before food",
        source=SPC_PIMOBENDAN,
        place="how to give it",
        says="Pimobendan is given about an hour before food.",
    ),
    "cisapride": Figure(
        id="medicine.before_food.cisapride",
        value=30,
        unit="minutes before food",
        source=ARMSTRONG_SHEET,
        place="table of medicines; another page has 15 to 30",
        says="Cisapride is given about half an hour before each feed.",
    ),
}
FOOD_IN_PRINT = (
    _fact(
        "food",
        "sucralfate",
        "Print gives it on an empty stomach, an hour before food or two hours after it.",
        source=CSAIM,
        place="chapter 51, Table 51.3, with a chapter on motility",
    ),
    _fact("food", "doxycycline", "Print gives it with food.", source=OSU_ANTIMICROBIAL, place="doxycycline"),
    _fact(
        "food",
        "azithromycin",
        "Print gives it on an empty stomach: food lowers what is taken up.",
        source=DERMATOLOGY_3E,
        place="Table 13.1",
    ),
    _fact(
        "food",
        "levothyroxine",
        "Print has the same relation to food each day: food took nearly half of what was taken up.",
        source=LE_TRAON_2008,
        place="abstract",
    ),
    _fact(
        "food",
        "mycophenolate",
        "Print prefers an empty stomach.",
        source=INDIVIDUAL_TRIALS,
        place="secondary summary",
    ),
)
"""What print says about food without a number of minutes."""
EMPTY_BEFORE_MINUTES = Band(
    id="medicine.empty_before",
    low=30,
    high=60,
    unit="minutes before food",
    source=AJHP_2008,
    place="medicines for an empty stomach, through a tube into the stomach",
    says="One recommendation has 30 minutes before food, another up to 60.",
)
EMPTY_AFTER_MINUTES = Band(
    id="medicine.empty_after",
    low=30,
    high=120,
    unit="minutes after food",
    source=AJHP_2008,
    place="medicines for an empty stomach, through a tube into the stomach",
    says="One recommendation has 30 minutes after food, another up to 120.",
)
PERCENT_LIMITS = Band(
    id="medicine.percent_limits",
    low=1,
    high=90,
    unit="%",
    source=OWN_CHOICE,
    place="hardly less to nearly nothing",
    says="A step of a taper outside this is a slip.",
)


def facts_about(name: str, facts: tuple[Fact, ...]) -> tuple[Fact, ...]:
    """What print says about a medicine by its name, among these facts."""
    return tuple(fact for fact in facts if fact.subject in read_name(name).parts)
