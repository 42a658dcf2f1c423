"""How far apart print gives the doses of a medicine, and which strengths of a liquid it names.

Read for one question each: "more often than print gives it" and "a tenth, or ten times, of a strength in print".
"""

from fillmark.published.figure import Band, Figure, Source
from fillmark.published.medicine_names import read_name
from fillmark.published.sources import (
    ARMSTRONG_SHEET,
    CFR_520,
    COMPOUNDING_LEAFLET,
    CSAIM,
    DERMATOLOGY_3E,
    FROM_MEMORY,
    INDIVIDUAL_TRIALS,
    JSAP_2010,
    MOTILITY_CHAPTER,
    MSD_CARDIAC,
    MYASTHENIA_PROCEEDINGS,
    OLD_HANDBOOK,
    OSU_ANTIMICROBIAL,
    SAIM_6E,
    SPC_METOCLOPRAMIDE,
    TAMU_B12,
    TVP_2018,
)

_HEART = "medicines for the heart"
_T53 = "chapter 53, Table 53.2"
_T28 = "chapter 28, Tables 28.3 to 28.5"

# drug, species ("both" for dog and cat), shortest, longest [hours], source, place
_INTERVALS: tuple[tuple[str, str, float, float, Source, str], ...] = (
    ("metoclopramide", "both", 6, 12, SPC_METOCLOPRAMIDE, "2 or 3 doses a day, 6 hours apart or more"),
    ("cisapride", "dog", 8, 12, CSAIM, _T53),
    ("mosapride", "both", 12, 12, CSAIM, _T53),
    ("prucalopride", "both", 24, 24, CSAIM, _T53),
    ("erythromycin", "dog", 8, 12, CSAIM, f"{_T53}; every 8 hours in another"),
    ("bethanechol", "dog", 8, 8, CSAIM, _T53),
    ("ranitidine", "dog", 8, 12, CSAIM, "chapter 51, Table 51.3"),
    ("ranitidine", "cat", 12, 12, SAIM_6E, _T28),
    ("nizatidine", "both", 12, 24, CSAIM, _T53),
    ("domperidone", "dog", 8, 24, JSAP_2010, "Table 10; every 12 to 24 hours in another"),
    ("sildenafil", "dog", 8, 12, CSAIM, "chapter 19, Table 19.1; every 12 hours in a trial"),
    ("omeprazole", "both", 12, 24, CSAIM, "chapter 51, Table 51.3"),
    ("esomeprazole", "both", 12, 24, CSAIM, "chapter 51, Table 51.3"),
    ("famotidine", "both", 12, 24, CSAIM, "chapter 51, Table 51.3"),
    ("sucralfate", "dog", 6, 8, CSAIM, "chapter 51, Table 51.3"),
    ("sucralfate", "cat", 8, 12, SAIM_6E, _T28),
    ("aluminium hydroxide", "both", 6, 8, SAIM_6E, _T28),
    ("misoprostol", "dog", 8, 12, SAIM_6E, _T28),
    ("maropitant", "both", 24, 24, CFR_520, "520.1315, the dog's label"),
    ("ondansetron", "both", 8, 24, JSAP_2010, "Table 10, every 12 to 24 hours; every 8 in another"),
    ("dimenhydrinate", "both", 8, 8, ARMSTRONG_SHEET, "list of antiemetics"),
    ("diphenhydramine", "both", 8, 8, ARMSTRONG_SHEET, "list of antiemetics"),
    ("pyridostigmine", "dog", 8, 12, MYASTHENIA_PROCEEDINGS, "treatment"),
    ("prednisolone", "dog", 12, 48, CSAIM, "section 8, myasthenia"),
    ("prednisone", "dog", 12, 48, CSAIM, "section 8, myasthenia"),
    ("azathioprine", "dog", 24, 48, MOTILITY_CHAPTER, "immunosuppressants"),
    ("mycophenolate", "dog", 12, 24, INDIVIDUAL_TRIALS, "secondary summary"),
    ("cyanocobalamin", "both", 24, 24, TAMU_B12, "once a day by mouth"),
    ("doxycycline", "both", 12, 24, OSU_ANTIMICROBIAL, "doxycycline"),
    ("amoxicillin-clavulanate", "both", 8, 12, OSU_ANTIMICROBIAL, "both parts together"),
    ("amoxicillin", "dog", 8, 12, OLD_HANDBOOK, "amoxicillin; every 12 hours on one label"),
    ("amoxicillin", "cat", 12, 24, CFR_520, "520.88, once a day; every 12 hours in use"),
    ("enrofloxacin", "dog", 12, 24, CFR_520, "520.812"),
    ("enrofloxacin", "cat", 12, 24, CFR_520, "520.812, the day's dose once or in two halves"),
    ("marbofloxacin", "both", 24, 24, CFR_520, "520.1310"),
    ("pradofloxacin", "both", 24, 24, SAIM_6E, "chapter 92, Table 92.1"),
    ("clindamycin", "dog", 12, 12, CFR_520, "520.447"),
    ("clindamycin", "cat", 24, 24, CFR_520, "520.447"),
    ("metronidazole", "both", 12, 12, OSU_ANTIMICROBIAL, "metronidazole"),
    ("metronidazole benzoate", "cat", 12, 12, OSU_ANTIMICROBIAL, "metronidazole, the benzoate"),
    ("azithromycin", "both", 24, 24, DERMATOLOGY_3E, "Table 13.1"),
    ("cephalexin", "both", 12, 12, DERMATOLOGY_3E, "Table 13.1"),
    ("aminophylline", "dog", 8, 8, OLD_HANDBOOK, "aminophylline"),
    ("aminophylline", "cat", 8, 12, OLD_HANDBOOK, "aminophylline"),
    ("terbutaline", "dog", 8, 12, FROM_MEMORY, "not looked up"),
    ("terbutaline", "cat", 12, 12, FROM_MEMORY, "not looked up"),
    ("pimobendan", "dog", 8, 12, MSD_CARDIAC, _HEART),
    ("pimobendan", "cat", 12, 12, MSD_CARDIAC, _HEART),
    ("furosemide", "dog", 8, 12, MSD_CARDIAC, _HEART),
    ("furosemide", "cat", 12, 24, MSD_CARDIAC, _HEART),
    ("torsemide", "both", 12, 24, MSD_CARDIAC, _HEART),
    ("spironolactone", "dog", 12, 24, MSD_CARDIAC, _HEART),
    ("enalapril", "both", 12, 24, MSD_CARDIAC, _HEART),
    ("benazepril", "both", 12, 24, MSD_CARDIAC, _HEART),
    ("digoxin", "dog", 12, 12, MSD_CARDIAC, _HEART),
    ("amlodipine", "both", 24, 24, CSAIM, "chapter 19, Table 19.1"),
    ("levothyroxine", "dog", 12, 24, CFR_520, "520.1248"),
    ("capromorelin", "both", 24, 24, CFR_520, "520.292"),
    ("mirtazapine", "dog", 24, 24, COMPOUNDING_LEAFLET, "dogs"),
    ("mirtazapine", "cat", 24, 72, COMPOUNDING_LEAFLET, "cats, every 72 hours; the shorter from memory"),
    ("gabapentin", "dog", 8, 12, TVP_2018, "every 12 hours; every 8 from memory"),
)

DOSE_INTERVALS = tuple(
    Band(
        id=f"dose_interval.{drug.replace(' ', '_')}.{species}.{source.id}",
        low=low,
        high=high,
        unit="hours",
        source=source,
        place=place,
        says=f"Print gives a {species} {drug} every {low:g}{f' to {high:g}' if high > low else ''} hours.",
    )
    for drug, who, low, high, source, place in _INTERVALS
    for species in (("dog", "cat") if who == "both" else (who,))
)


def _strength(drug: str, value: float, source: Source, place: str, *, unit: str = "mg/mL") -> Figure:
    return Figure(
        id=f"strength.{drug.replace(' ', '_')}.{unit.partition('/')[2].lower()}.{value:g}",
        value=value,
        unit=unit,
        source=source,
        place=place,
        says=f"{drug[0].upper()}{drug[1:]} of {value:,g} {unit} is in print.",
    )


# drug, mg in each tablet, source, place
_TABLETS: tuple[tuple[str, tuple[float, ...], Source, str], ...] = (
    ("metoclopramide", (5, 10), FROM_MEMORY, "tablets for animals"),
    ("mosapride", (2.5, 5), FROM_MEMORY, "tablets"),
    ("prucalopride", (1, 2), FROM_MEMORY, "tablets"),
    ("bethanechol", (5, 10, 25, 50), FROM_MEMORY, "tablets"),
    ("domperidone", (10,), FROM_MEMORY, "tablets"),
    ("sildenafil", (20, 25, 50, 100), FROM_MEMORY, "tablets"),
    ("famotidine", (10, 20, 40), FROM_MEMORY, "tablets"),
    ("sucralfate", (1000,), FROM_MEMORY, "tablets"),
    ("misoprostol", (0.1, 0.2), FROM_MEMORY, "tablets"),
    ("maropitant", (16, 24, 60, 160), CFR_520, "520.1315"),
    ("ondansetron", (4, 8), FROM_MEMORY, "tablets"),
    ("dimenhydrinate", (50,), FROM_MEMORY, "tablets"),
    ("pyridostigmine", (60, 180), FROM_MEMORY, "tablets; the larger must not be crushed"),
    ("prednisolone", (1, 5, 20), FROM_MEMORY, "tablets"),
    ("prednisone", (1, 5, 20), FROM_MEMORY, "tablets"),
    ("azathioprine", (50,), FROM_MEMORY, "tablets"),
    ("cyanocobalamin", (0.25, 0.5, 1), FROM_MEMORY, "tablets"),
    ("doxycycline", (20, 50, 100), FROM_MEMORY, "tablets"),
    ("amoxicillin", (50, 100, 150, 200, 400), CFR_520, "520.88"),
    ("enrofloxacin", (22.7, 68, 136, 272), CFR_520, "520.812"),
    ("marbofloxacin", (25, 50, 100, 200), CFR_520, "520.1310"),
    ("pradofloxacin", (15, 60, 120), FROM_MEMORY, "tablets"),
    ("metronidazole", (250, 500), FROM_MEMORY, "tablets"),
    ("aminophylline", (100, 200), FROM_MEMORY, "tablets"),
    ("terbutaline", (2.5, 5), FROM_MEMORY, "tablets"),
    ("pimobendan", (1.25, 2.5, 5, 10), CFR_520, "520.1780"),
    ("furosemide", (12.5, 50), CFR_520, "520.1010"),
    ("torsemide", (5, 10, 20), FROM_MEMORY, "tablets"),
    ("spironolactone", (25,), FROM_MEMORY, "tablets"),
    ("enalapril", (1, 2.5, 5, 10, 20), FROM_MEMORY, "tablets"),
    ("benazepril", (2.5, 5, 20), FROM_MEMORY, "tablets"),
    ("digoxin", (0.0625, 0.125, 0.25), FROM_MEMORY, "tablets"),
    ("amlodipine", (1.25, 2.5, 5, 10), FROM_MEMORY, "tablets"),
    ("levothyroxine", (0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 1), CFR_520, "520.1248"),
    ("mirtazapine", (7.5, 15), FROM_MEMORY, "tablets"),
)

STRENGTHS = (
    *(
        _strength(drug, value, source, place, unit="mg/tablet")
        for drug, values, source, place in _TABLETS
        for value in values
    ),
    _strength("metoclopramide", 1, SPC_METOCLOPRAMIDE, "oral solution"),
    _strength("sucralfate", 100, FROM_MEMORY, "suspension, 1 g in 10 mL"),
    _strength("amoxicillin", 50, CFR_520, "520.88, suspension"),
    _strength("amoxicillin-clavulanate", 50, OSU_ANTIMICROBIAL, "drops in the UK, both parts together"),
    _strength("amoxicillin-clavulanate", 62.5, OSU_ANTIMICROBIAL, "drops in the US, both parts together"),
    _strength("clindamycin", 25, CFR_520, "520.447, solution"),
    _strength("furosemide", 10, CFR_520, "520.1010, syrup"),
    _strength("pimobendan", 1.5, CFR_520, "520.1782, solution"),
    _strength("capromorelin", 20, CFR_520, "520.292, for cats"),
    _strength("capromorelin", 30, CFR_520, "520.292, for dogs"),
    _strength("levothyroxine", 1, FROM_MEMORY, "solution, on a secondary page"),
    _strength("doxycycline", 10, OSU_ANTIMICROBIAL, "suspension, and syrup of 50 mg in 5 mL"),
    _strength("pyridostigmine", 12, FROM_MEMORY, "syrup"),
    _strength("omeprazole", 2, FROM_MEMORY, "made by a pharmacy"),
    _strength("ondansetron", 0.8, FROM_MEMORY, "solution"),
    _strength("famotidine", 8, FROM_MEMORY, "suspension"),
    _strength("gabapentin", 50, TVP_2018, "solution for people; it may hold xylitol"),
    _strength("digoxin", 0.05, FROM_MEMORY, "elixir"),
    _strength("prednisolone", 3, FROM_MEMORY, "15 mg in 5 mL"),
    _strength("metronidazole", 25, OSU_ANTIMICROBIAL, "suspensions"),
    _strength("metronidazole", 50, OSU_ANTIMICROBIAL, "suspensions"),
    _strength("metronidazole", 100, OSU_ANTIMICROBIAL, "suspensions"),
    _strength("azithromycin", 40, FROM_MEMORY, "suspension"),
    _strength("cephalexin", 25, FROM_MEMORY, "suspension"),
    _strength("cephalexin", 50, FROM_MEMORY, "suspension"),
    _strength("domperidone", 1, FROM_MEMORY, "suspension"),
    _strength("erythromycin", 40, FROM_MEMORY, "suspension"),
    _strength("erythromycin", 80, FROM_MEMORY, "suspension"),
    _strength("aluminium hydroxide", 64, FROM_MEMORY, "suspension"),
    _strength("diphenhydramine", 2.5, FROM_MEMORY, "liquid; it may hold xylitol or alcohol"),
    _strength("mycophenolate", 200, FROM_MEMORY, "suspension"),
    _strength("pradofloxacin", 25, FROM_MEMORY, "suspension"),
)
"""Strengths that print names; a pharmacy makes others too, so only a point that moved is asked about."""


def interval_for(*, name: str, species: str) -> Band | None:
    """How far apart print gives the doses of a medicine by its name [hours]; None where print is silent here."""
    drug = (read_name(name).substance or "").replace(" ", "_")
    return next((band for band in DOSE_INTERVALS if band.id.startswith(f"dose_interval.{drug}.{species}.")), None)


def strengths_for(*, name: str, unit: str) -> tuple[Figure, ...]:
    """The strengths that print names for a medicine by its name, in "mg/mL" or "mg/tablet"."""
    drug = (read_name(name).substance or "").replace(" ", "_")
    return tuple(one for one in STRENGTHS if one.id.startswith(f"strength.{drug}.") and one.unit == unit)
