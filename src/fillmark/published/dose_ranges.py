"""What print says about doses, by medicine and species, for one question: "outside what print says: ask your vet".

Never a recommendation, and never a reason to call a dose right. Where print disagrees, each range stands by itself.
None of it was checked by a clinician for this project.
"""

from dataclasses import dataclass

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
    SPC_PIMOBENDAN,
    TAMU_B12,
    TVP_2018,
    VET_POISONS_ACVP,
)

KG, DAY, ANIMAL = "mg/kg per dose", "mg/kg per day", "mg per dose"
PER_LB = 1 / 0.45359237
"""What is printed per lb, per kg (1 lb is exactly 0.45359237 kg)."""


_UNIT_IN_ID = {KG: "", DAY: ".a_day", ANIMAL: ".an_animal"}


def _range(
    drug: str, species: str, low: float, high: float, unit: str, source: Source, place: str, *, is_second: bool
) -> Band:
    who = {"dog": "a dog", "cat": "a cat"}[species]
    return Band(
        id=f"dose.{drug.replace(' ', '_')}.{species}.{source.id}{_UNIT_IN_ID[unit] if is_second else ''}",
        low=low,
        high=high,
        unit=unit,
        source=source,
        place=place,
        says=f"Print gives {who} {low:,.4g} to {high:,.4g} {unit} of {drug}.",
    )


_T53 = "chapter 53, Table 53.2"
_T51 = "chapter 51, Table 51.3"
_T28 = "chapter 28, Tables 28.3 to 28.5"
_T19 = "chapter 19, Table 19.1"
_T92 = "chapter 92, Table 92.1"

# drug, species ("both" for dog and cat), low, high, unit, source, place
_ROWS: tuple[tuple[str, str, float, float, str, Source, str], ...] = (
    ("metoclopramide", "both", 0.5, 1.0, DAY, SPC_METOCLOPRAMIDE, "oral solution 1 mg/mL, as the hydrochloride"),
    ("metoclopramide", "dog", 0.2, 0.5, KG, JSAP_2010, "Table 10"),
    ("cisapride", "dog", 0.1, 0.5, KG, CSAIM, _T53),
    ("cisapride", "dog", 0.5, 1.5, KG, ARMSTRONG_SHEET, "every 8 or 12 hours"),
    ("mosapride", "dog", 0.25, 2.0, KG, CSAIM, _T53),
    ("mosapride", "cat", 5.0, 5.0, ANIMAL, CSAIM, _T53),
    ("prucalopride", "dog", 0.01, 0.6, KG, CSAIM, _T53),
    ("prucalopride", "cat", 0.24, 0.5, KG, CSAIM, _T53),
    ("erythromycin", "dog", 0.5, 1.0, KG, CSAIM, f"{_T53}, to move food on"),
    ("bethanechol", "dog", 5.0, 15.0, ANIMAL, CSAIM, _T53),
    ("ranitidine", "dog", 1.0, 2.0, KG, CSAIM, _T51),
    ("ranitidine", "cat", 1.0, 3.5, KG, SAIM_6E, _T28),
    ("nizatidine", "both", 2.5, 5.0, KG, CSAIM, _T53),
    ("domperidone", "dog", 2.0, 5.0, ANIMAL, JSAP_2010, "Table 10"),
    ("domperidone", "dog", 0.05, 0.1, KG, ARMSTRONG_SHEET, "every 12 to 24 hours"),
    ("sildenafil", "dog", 1.0, 3.0, KG, CSAIM, _T19),
    ("omeprazole", "both", 0.5, 1.0, KG, CSAIM, _T51),
    ("esomeprazole", "both", 0.5, 1.0, KG, CSAIM, _T51),
    ("famotidine", "both", 0.1, 0.2, KG, SAIM_6E, _T28),
    ("famotidine", "both", 0.5, 1.0, KG, CSAIM, _T51),
    ("sucralfate", "dog", 250.0, 1000.0, ANIMAL, CSAIM, _T51),
    ("sucralfate", "cat", 250.0, 500.0, ANIMAL, SAIM_6E, _T28),
    ("aluminium hydroxide", "both", 10.0, 30.0, KG, SAIM_6E, _T28),
    ("misoprostol", "dog", 0.002, 0.005, KG, SAIM_6E, _T28),
    ("maropitant", "dog", 2.0, 8.0, KG, CFR_520, "520.1315"),
    ("maropitant", "cat", 1.0, 1.0, KG, SAIM_6E, _T28),
    ("ondansetron", "both", 0.5, 1.0, KG, JSAP_2010, "Table 10"),
    ("ondansetron", "both", 0.1, 0.2, KG, MSD_CARDIAC, "list of antiemetics"),
    ("dimenhydrinate", "both", 4.0, 8.0, KG, ARMSTRONG_SHEET, "every 8 hours"),
    ("diphenhydramine", "both", 2.0, 4.0, KG, ARMSTRONG_SHEET, "every 8 hours"),
    ("pyridostigmine", "dog", 0.5, 3.0, KG, MYASTHENIA_PROCEEDINGS, "every 8 to 12 hours"),
    ("pyridostigmine", "dog", 0.2, 2.0, KG, OLD_HANDBOOK, "pyridostigmine"),
    ("prednisolone", "dog", 0.25, 2.2, DAY, CSAIM, "section 8, myasthenia, with proceedings for the upper end"),
    ("prednisone", "dog", 0.25, 2.2, DAY, CSAIM, "section 8, myasthenia, with proceedings for the upper end"),
    ("azathioprine", "dog", 1.0, 2.0, KG, MOTILITY_CHAPTER, "every 24 to 48 hours"),
    ("mycophenolate", "dog", 7.0, 20.0, KG, INDIVIDUAL_TRIALS, "secondary summary"),
    ("cyanocobalamin", "dog", 0.25, 2.0, ANIMAL, TAMU_B12, "table by weight, as reproduced"),
    ("cyanocobalamin", "cat", 0.25, 0.25, ANIMAL, TAMU_B12, "table by weight, as reproduced"),
    ("doxycycline", "both", 5.0, 10.0, KG, OSU_ANTIMICROBIAL, "doxycycline"),
    ("amoxicillin-clavulanate", "dog", 12.5, 25.0, KG, OSU_ANTIMICROBIAL, "both parts together"),
    ("amoxicillin-clavulanate", "cat", 10.0, 25.0, KG, OSU_ANTIMICROBIAL, "both parts together"),
    ("amoxicillin", "dog", 10.0, 22.0, KG, CFR_520, "520.88, upper end from an older handbook"),
    ("amoxicillin", "cat", 5 * PER_LB, 10 * PER_LB, KG, CFR_520, "520.88, printed per lb"),
    ("enrofloxacin", "dog", 5.0, 20.0, DAY, CFR_520, "520.812"),
    ("enrofloxacin", "cat", 5.0, 5.0, DAY, CFR_520, "520.812"),
    ("marbofloxacin", "both", 1.25 * PER_LB, 2.5 * PER_LB, KG, CFR_520, "520.1310, printed per lb"),
    ("pradofloxacin", "dog", 3.0, 5.0, KG, SAIM_6E, f"{_T92}, lower end from memory"),
    ("pradofloxacin", "cat", 7.5, 7.5, KG, SAIM_6E, f"{_T92}, suspension"),
    ("clindamycin", "dog", 2.5 * PER_LB, 15 * PER_LB, KG, CFR_520, "520.447, printed per lb"),
    ("clindamycin", "cat", 5 * PER_LB, 15 * PER_LB, KG, CFR_520, "520.447, printed per lb"),
    ("metronidazole", "both", 10.0, 15.0, KG, OSU_ANTIMICROBIAL, "metronidazole"),
    ("metronidazole benzoate", "cat", 25.0, 25.0, KG, OSU_ANTIMICROBIAL, "metronidazole, the benzoate"),
    ("azithromycin", "both", 5.0, 10.0, KG, DERMATOLOGY_3E, "Table 13.1"),
    ("cephalexin", "both", 22.0, 30.0, KG, DERMATOLOGY_3E, "Table 13.1"),
    ("aminophylline", "dog", 6.0, 11.0, KG, OLD_HANDBOOK, "aminophylline"),
    ("aminophylline", "cat", 4.0, 5.0, KG, OLD_HANDBOOK, "aminophylline"),
    ("terbutaline", "dog", 1.25, 5.0, ANIMAL, FROM_MEMORY, "every 8 to 12 hours"),
    ("terbutaline", "cat", 0.625, 0.625, ANIMAL, FROM_MEMORY, "every 12 hours"),
    ("pimobendan", "dog", 0.1, 0.3, KG, MSD_CARDIAC, "medicines for the heart"),
    ("pimobendan", "dog", 0.2, 0.6, DAY, SPC_PIMOBENDAN, "dose per day in two halves"),
    ("pimobendan", "cat", 0.25, 0.25, KG, MSD_CARDIAC, "medicines for the heart"),
    ("furosemide", "dog", 1.0, 6.0, KG, MSD_CARDIAC, "medicines for the heart"),
    ("furosemide", "cat", 1.0, 2.0, KG, MSD_CARDIAC, "medicines for the heart"),
    ("torsemide", "dog", 0.1, 0.4, KG, MSD_CARDIAC, "medicines for the heart"),
    ("torsemide", "cat", 0.05, 0.25, KG, MSD_CARDIAC, "medicines for the heart"),
    ("spironolactone", "dog", 1.0, 4.0, KG, MSD_CARDIAC, "medicines for the heart"),
    ("enalapril", "both", 0.25, 0.5, KG, MSD_CARDIAC, "medicines for the heart"),
    ("benazepril", "both", 0.25, 0.5, KG, MSD_CARDIAC, "medicines for the heart"),
    ("digoxin", "dog", 0.0025, 0.005, KG, MSD_CARDIAC, "medicines for the heart"),
    ("digoxin", "dog", 0.005, 0.0075, KG, CSAIM, _T19),
    ("amlodipine", "both", 0.1, 0.4, KG, CSAIM, _T19),
    ("levothyroxine", "dog", 0.01, 0.022, KG, CFR_520, "520.1248, lower end from trials"),
    ("capromorelin", "dog", 3.0, 3.0, KG, CFR_520, "520.292"),
    ("capromorelin", "cat", 2.0, 2.0, KG, CFR_520, "520.292"),
    ("mirtazapine", "dog", 0.6, 0.6, KG, COMPOUNDING_LEAFLET, "dogs"),
    ("mirtazapine", "cat", 1.88, 4.0, ANIMAL, COMPOUNDING_LEAFLET, "cats"),
    ("gabapentin", "dog", 5.0, 20.0, KG, TVP_2018, "upper end from memory"),
)

# what a source that has a range above says in another unit
_ROWS_BESIDE: tuple[tuple[str, str, float, float, str, Source, str], ...] = (
    ("doxycycline", "both", 5.0, 10.0, DAY, OSU_ANTIMICROBIAL, "5 every 12 hours or 10 every 24"),
    ("amoxicillin-clavulanate", "cat", 62.5, 62.5, ANIMAL, OSU_ANTIMICROBIAL, "label of the US, every 12 hours"),
    ("pimobendan", "cat", 1.25, 1.25, ANIMAL, MSD_CARDIAC, "medicines for the heart, the usual dose"),
    ("spironolactone", "dog", 2.0, 4.0, DAY, MSD_CARDIAC, "1 to 2 every 12 hours or 2 to 4 every 24"),
)

DOSE_RANGES = tuple(
    _range(drug, species, low, high, unit, source, place, is_second=is_second)
    for rows, is_second in ((_ROWS, False), (_ROWS_BESIDE, True))
    for drug, who, low, high, unit, source, place in rows
    for species in (("dog", "cat") if who == "both" else (who,))
)


def _cap(drug: str, species: str, value: float, unit: str, source: Source, place: str) -> Figure:
    return Figure(
        id=f"dose_cap.{drug}.{species}",
        value=value,
        unit=unit,
        source=source,
        place=place,
        says=f"Print names {value:g} {unit} of {drug} as the most for a {species}.",
    )


DOSE_CAPS = (
    _cap("furosemide", "dog", 12.0, DAY, MSD_CARDIAC, "medicines for the heart"),
    _cap("furosemide", "cat", 6.0, DAY, MSD_CARDIAC, "medicines for the heart"),
    _cap("digoxin", "dog", 0.25, ANIMAL, MSD_CARDIAC, "medicines for the heart"),
    _cap("enrofloxacin", "cat", 5.0, DAY, CFR_520, "520.812; blindness above it"),
    _cap("enrofloxacin", "dog", 20.0, DAY, CFR_520, "520.812"),
    _cap("metronidazole", "dog", 60.0, DAY, VET_POISONS_ACVP, "nerve damage above it; one series advises half"),
    _cap("metronidazole", "cat", 60.0, DAY, VET_POISONS_ACVP, "nerve damage above it; one series advises half"),
    _cap("cisapride", "dog", 3.0, DAY, CSAIM, _T53),
    _cap("levothyroxine", "dog", 0.044, DAY, CFR_520, "520.1248, one label"),
)


@dataclass(frozen=True, kw_only=True, slots=True)
class DoseForWeight(Figure):
    """One row of a printed table of doses by weight: the dose of every animal of these weights.

    Attributes:
        form: The form it is printed for, or None for any.
        over_kg: The animal is heavier than this [kg] …
        up_to_kg: … and not heavier than this [kg].
    """

    drug: str
    species: str
    form: str | None
    over_kg: float
    up_to_kg: float


LB = 1 / PER_LB
HEAVIEST_KG = 200.0
"""Heavier than any dog: the end of the last row."""


def _rows_by_weight(
    drug: str,
    species: str,
    rows: tuple[tuple[float, float, float], ...],
    *,
    unit: str,
    source: Source,
    place: str,
    form: str | None = None,
) -> tuple[DoseForWeight, ...]:
    return tuple(
        DoseForWeight(
            id=f"dose_by_weight.{drug}.{species}.over_{over_kg:.3g}_kg",
            value=dose_mg,
            unit=unit,
            source=source,
            place=place,
            says=f"Print gives a {species} of {over_kg:.3g} to {up_to_kg:.3g} kg {dose_mg:g} {unit} of {drug}.",
            drug=drug,
            species=species,
            form=form,
            over_kg=over_kg,
            up_to_kg=up_to_kg,
        )
        for over_kg, up_to_kg, dose_mg in rows
    )


_TABLETS = ((7.5, 12.5, 2.5), (12.5, 17.5, 3.75), (37.5, 45.0, 10.0))

DOSES_BY_WEIGHT = (
    *(
        row
        for species in ("dog", "cat")
        for row in _rows_by_weight(
            "metoclopramide",
            species,
            _TABLETS,
            unit=ANIMAL,
            source=SPC_METOCLOPRAMIDE,
            place="Danish tablets, four times a day; only the rows that were seen",
            form="tablet",
        )
    ),
    *_rows_by_weight(
        "cyanocobalamin",
        "dog",
        ((0.0, 22 * LB, 0.25), (22 * LB, 100 * LB, 1.0), (100 * LB, HEAVIEST_KG, 2.0)),
        unit="mg per day",
        source=TAMU_B12,
        place="table by weight, as reproduced: under 22 lb, to 100 lb, over it",
    ),
)


def printed_for_weight(*, name: str, species: str, form: str, weight_kg: float) -> DoseForWeight | None:
    """The row of a printed table of doses by weight that holds this animal, or None."""
    drug = read_name(name).substance
    rows = (row for row in DOSES_BY_WEIGHT if row.drug == drug and row.species == species and row.form in (None, form))
    return next((row for row in rows if row.over_kg < weight_kg <= row.up_to_kg), None)


def ranges_for(*, name: str, species: str) -> tuple[Band, ...]:
    """Every printed range for a medicine by its name, or none."""
    return tuple(band for band in DOSE_RANGES if band.id.startswith(f"dose.{_key(name)}.{species}."))


def caps_for(*, name: str, species: str) -> tuple[Figure, ...]:
    """Every printed largest dose for a medicine by its name."""
    return tuple(figure for figure in DOSE_CAPS if figure.id == f"dose_cap.{_key(name)}.{species}")


def _key(name: str) -> str:
    """The medicine's place in the ids of its figures; a name that is not known has none."""
    return (read_name(name).substance or "").replace(" ", "_")
