"""The tube and its hole in the skin: how old it must be, what unblocks it, when it is changed.

Much of this was written for people, and says so.
"""

from fillmark.published.figure import Band, Fact, Figure
from fillmark.published.sources import (
    COMMON_PRACTICE,
    DEVITT_SEIM_1997,
    ESPEN_HOME,
    FROM_MEMORY,
    ICU_NUTRITION,
    KENT_TUBE_LEAFLET,
    OPEN_RN,
    OWN_CHOICE,
    PARKER_FREEMAN_2013,
    STATPEARLS_GASTROSTOMY,
)

TRACT_EARLY_DAYS = Figure(
    id="tube_care.tract_early",
    value=28,
    unit="days since placement",
    source=STATPEARLS_GASTROSTOMY,
    place="early removal; written for people",
    says="Under four weeks the hole can open into the belly, and what is put back can miss the stomach.",
)
TRACT_LEAST_DAYS = Figure(
    id="tube_care.tract_least",
    value=10,
    unit="days since placement",
    source=FROM_MEMORY,
    place="veterinary texts on gastrostomy tubes",
    says="In dogs and cats a hole needs at least ten days before a tube may be taken out.",
)
TRACT_NARROWS = Fact(
    id="tube_care.tract_narrows",
    subject="tract",
    source=STATPEARLS_GASTROSTOMY,
    place="late removal; written for people",
    says="An old hole narrows within hours, so a new tube must go in soon.",
)
NECK_HOLE_CLOSES = Fact(
    id="tube_care.neck_hole_closes",
    subject="hole of a neck tube",
    source=DEVITT_SEIM_1997,
    place="abstract; 13 dogs and 16 cats, tubes taken out on purpose",
    says="Once a neck tube was out, every hole closed by itself.",
)
UNCLOG_MOST_MINUTES = Figure(
    id="tube_care.unclog_most",
    value=30,
    unit="minutes",
    source=KENT_TUBE_LEAFLET,
    place="push and pull technique; written for people",
    says="Up to 30 minutes of warm water, gently back and forth, may open a tube; written for people.",
)
FLUSH_BETWEEN_MEDICINES_HUMAN_ML = Band(
    id="tube_care.flush_human",
    low=15.0,
    high=30.0,
    unit="mL",
    source=OPEN_RN,
    place="checklist; the upper end from the guideline on home feeding, as quoted; written for adults",
    says="An adult's tube is flushed with 15 to 30 mL before, between and after medicines.",
)
FLUSH_HUMAN_HOME_ML = Figure(
    id="tube_care.flush_human_home",
    value=30.0,
    unit="mL",
    source=ESPEN_HOME,
    place="medicines, as quoted; written for adults",
    says="An adult's tube is flushed with 30 mL around medicines at home.",
)
FLUSH_AROUND_FEED_ML = Band(
    id="tube_care.flush_around_feed",
    low=5.0,
    high=10.0,
    unit="mL",
    source=ICU_NUTRITION,
    place="before and after a feed",
    says="The tube of a dog or cat is flushed with 5 to 10 mL before and after a feed.",
)


def _unclog(name: str, subject: str, says: str, *, from_memory: bool = False) -> Fact:
    return Fact(
        id=f"tube_care.unclog_{name}",
        subject=subject,
        source=FROM_MEMORY if from_memory else PARKER_FREEMAN_2013,
        place="abstract, Parker and Freeman 2013" if from_memory else "abstract; clots of diet in a tube, no animal",
        says=says,
    )


UNCLOG_WATER = Fact(
    id="tube_care.unclog_water",
    subject="warm water",
    source=COMMON_PRACTICE,
    place="what is tried first",
    says="Plain warm water comes first: pushed and drawn back gently with a large syringe, and left to stand.",
)
UNCLOG_COLA = _unclog("cola", "cola", "Cola did worse than water.")
UNCLOG_ENZYME_STRONG = _unclog(
    "enzyme_strong",
    "half a teaspoon of pancreatic enzyme with bicarbonate",
    "Half a teaspoon of pancreatic enzyme with bicarbonate did worst of all that were tried.",
)
UNCLOG_ENZYME_WEAK = _unclog(
    "enzyme_weak",
    "a quarter teaspoon of pancreatic enzyme with bicarbonate",
    "A quarter teaspoon of pancreatic enzyme with bicarbonate in a little water did best.",
    from_memory=True,
)

NARROW_TUBE_FR = Figure(
    id="tube_care.narrow_tube",
    value=8,
    unit="Fr",
    source=FROM_MEMORY,
    place="diets for tubes, by their width",
    says="Through a tube thinner than this only a liquid diet runs.",
)
MUCH_FLUSH_ML_PER_KG = Figure(
    id="tube_care.much_flush",
    value=3,
    unit="mL/kg for one flush",
    source=OWN_CHOICE,
    place="three times what print gives an animal of 3.5 kg; a point that moved makes ten of it",
    says="A larger flush for the weight is asked about, where it is more than print clears a tube with.",
)
