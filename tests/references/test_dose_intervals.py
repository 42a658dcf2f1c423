"""How far apart print gives doses, and which strengths it names, typed a second time from the check rows.

Sources: the chapters, labels and tables named in test_dose_ranges.py, by the ids beside each row. No clinician has
checked them; kind of row: copied. Tolerance: none, the printed digits. Strengths marked from memory are not rows.
"""

import pytest

from fillmark.published import Basis
from fillmark.published.dose_intervals import DOSE_INTERVALS, STRENGTHS, interval_for, strengths_for
from fillmark.published.dose_ranges import DOSE_RANGES, ranges_for

INTERVALS = [
    ("spc_metoclopramide", "metoclopramide", "cat", 6, 12),  # 2 or 3 doses, 6 hours apart or more
    ("csaim", "cisapride", "dog", 8, 12),
    ("csaim", "mosapride", "cat", 12, 12),
    ("csaim", "omeprazole", "dog", 12, 24),
    ("saim_6e", "ranitidine", "cat", 12, 12),
    ("saim_6e", "misoprostol", "dog", 8, 12),
    ("jsap_2010", "ondansetron", "cat", 8, 24),
    ("armstrong_sheet", "dimenhydrinate", "dog", 8, 8),
    ("myasthenia_proceedings", "pyridostigmine", "dog", 8, 12),
    ("motility_chapter", "azathioprine", "dog", 24, 48),
    ("immunosuppressant_summary", "mycophenolate", "dog", 12, 24),
    ("tamu_b12", "cyanocobalamin", "cat", 24, 24),
    ("osu_antimicrobial", "doxycycline", "dog", 12, 24),
    ("osu_antimicrobial", "amoxicillin-clavulanate", "cat", 8, 12),
    ("osu_antimicrobial", "metronidazole", "cat", 12, 12),
    ("osu_antimicrobial", "metronidazole benzoate", "cat", 12, 12),
    ("cfr_21_520", "clindamycin", "dog", 12, 12),
    ("cfr_21_520", "clindamycin", "cat", 24, 24),
    ("cfr_21_520", "marbofloxacin", "dog", 24, 24),
    ("cfr_21_520", "capromorelin", "cat", 24, 24),
    ("dermatology_3e", "azithromycin", "dog", 24, 24),
    ("dermatology_3e", "cephalexin", "cat", 12, 12),
    ("old_handbook", "aminophylline", "dog", 8, 8),
    ("msd_vet_manual", "furosemide", "dog", 8, 12),
    ("msd_vet_manual", "furosemide", "cat", 12, 24),
    ("msd_vet_manual", "pimobendan", "cat", 12, 12),
    ("msd_vet_manual", "digoxin", "dog", 12, 12),
    ("compounding_leaflet", "mirtazapine", "cat", 24, 72),
    ("tvp_2018", "gabapentin", "dog", 8, 12),
]
LABELS = [
    ("spc_metoclopramide", "metoclopramide", "mg/mL", (1,)),
    ("cfr_21_520", "furosemide", "mg/mL", (10,)),
    ("cfr_21_520", "furosemide", "mg/tablet", (12.5, 50)),
    ("cfr_21_520", "pimobendan", "mg/mL", (1.5,)),
    ("cfr_21_520", "pimobendan", "mg/tablet", (1.25, 2.5, 5, 10)),
    ("cfr_21_520", "capromorelin", "mg/mL", (20, 30)),  # for cats, for dogs
    ("cfr_21_520", "clindamycin", "mg/mL", (25,)),
    ("cfr_21_520", "amoxicillin", "mg/mL", (50,)),
    ("cfr_21_520", "maropitant", "mg/tablet", (16, 24, 60, 160)),
    ("cfr_21_520", "enrofloxacin", "mg/tablet", (22.7, 68, 136, 272)),
    ("cfr_21_520", "marbofloxacin", "mg/tablet", (25, 50, 100, 200)),
    ("osu_antimicrobial", "amoxicillin-clavulanate", "mg/mL", (50, 62.5)),  # drops in the UK, in the US
]
BESIDE = [
    ("osu_antimicrobial", "doxycycline", "dog", 5, 10, "mg/kg per day"),  # 5 every 12 hours or 10 every 24
    ("osu_antimicrobial", "amoxicillin-clavulanate", "cat", 62.5, 62.5, "mg per dose"),
    ("msd_vet_manual", "pimobendan", "cat", 1.25, 1.25, "mg per dose"),
    ("msd_vet_manual", "spironolactone", "dog", 2, 4, "mg/kg per day"),
    ("csaim", "mosapride", "cat", 5, 5, "mg per dose"),
    ("saim_6e", "pradofloxacin", "cat", 7.5, 7.5, "mg/kg per dose"),
    ("osu_antimicrobial", "metronidazole benzoate", "cat", 25, 25, "mg/kg per dose"),
]


@pytest.mark.parametrize(("source_id", "medicine", "species", "shortest", "longest"), INTERVALS)
def test_an_interval_stands_as_printed(source_id, medicine, species, shortest, longest):
    """Hours from one dose to the next."""
    found = interval_for(name=medicine, species=species)
    assert (found.source.id, found.low, found.high) == (source_id, shortest, longest)


@pytest.mark.parametrize(("source_id", "medicine", "unit", "printed"), LABELS)
def test_a_strength_stands_as_printed(source_id, medicine, unit, printed):
    """Every one that this source names."""
    found = [one.value for one in strengths_for(name=medicine, unit=unit) if one.source.id == source_id]
    assert found == list(printed)


@pytest.mark.parametrize(("source_id", "medicine", "species", "low", "high", "unit"), BESIDE)
def test_a_range_in_another_unit_stands_beside(source_id, medicine, species, low, high, unit):
    """What a source says of a day, or of an animal, beside what it says of each kg."""
    found = [
        (band.source.id, band.low, band.high)
        for band in ranges_for(name=medicine, species=species)
        if band.unit == unit
    ]
    assert (source_id, low, high) in found


def test_every_interval_is_about_a_medicine_with_a_range():
    """And what is from memory says so."""
    drugs = {band.id.split(".")[1] for band in DOSE_RANGES}
    assert {band.id.split(".")[1] for band in DOSE_INTERVALS} <= drugs
    assert {one.id.split(".")[1] for one in STRENGTHS} <= drugs
    assert {one.basis for one in STRENGTHS} == {Basis.PUBLISHED, Basis.MEMORY}
    assert ranges_for(name="Unheard of", species="dog") == ()
    assert interval_for(name="", species="dog") is None
    assert strengths_for(name="", unit="mg/mL") == ()
    assert len({tuple(band.id.split(".")[1:3]) for band in DOSE_INTERVALS}) == len(DOSE_INTERVALS)
