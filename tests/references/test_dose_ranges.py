"""Printed dose ranges, typed a second time from the check rows and compared with the catalog.

Sources: Small Animal Internal Medicine, 6th edition (saim_6e), chapters 28 and 92 · Journal of Small Animal Practice
2010;51:4-22, Table 10 (jsap_2010) · a practice journal's medication sheet for acute vomiting (armstrong_sheet) ·
proceedings on myasthenia (myasthenia_proceedings) · an older handbook as mirrored (old_handbook) · a chapter on
motility (motility_chapter) · a GI laboratory's table for B12 as reproduced (tamu_b12) · Small Animal Dermatology, 3rd
edition, Table 13.1 (dermatology_3e) · a compounding pharmacy's leaflet (compounding_leaflet) · a practice journal of
2018 (tvp_2018) · a secondary summary (immunosuppressant_summary). No clinician has checked them; kind of row: copied.
Tolerance: none, the printed digits.
"""

import pytest

from fillmark.published.dose_ranges import ranges_for

PER_KG, PER_ANIMAL = "mg/kg per dose", "mg per dose"

ROWS = [
    ("saim_6e", "ranitidine", "cat", 1, 3.5, PER_KG),
    ("saim_6e", "famotidine", "dog", 0.1, 0.2, PER_KG),
    ("saim_6e", "sucralfate", "cat", 250, 500, PER_ANIMAL),  # printed 0.25 to 0.5 g
    ("saim_6e", "misoprostol", "dog", 0.002, 0.005, PER_KG),  # printed 2 to 5 mcg/kg
    ("saim_6e", "maropitant", "cat", 1, 1, PER_KG),
    ("saim_6e", "pradofloxacin", "dog", 3, 5, PER_KG),  # the lower end from memory
    ("jsap_2010", "metoclopramide", "dog", 0.2, 0.5, PER_KG),
    ("jsap_2010", "domperidone", "dog", 2, 5, PER_ANIMAL),
    ("jsap_2010", "ondansetron", "cat", 0.5, 1, PER_KG),
    ("armstrong_sheet", "cisapride", "dog", 0.5, 1.5, PER_KG),
    ("armstrong_sheet", "domperidone", "dog", 0.05, 0.1, PER_KG),
    ("armstrong_sheet", "dimenhydrinate", "dog", 4, 8, PER_KG),
    ("armstrong_sheet", "diphenhydramine", "cat", 2, 4, PER_KG),
    ("myasthenia_proceedings", "pyridostigmine", "dog", 0.5, 3, PER_KG),
    ("old_handbook", "pyridostigmine", "dog", 0.2, 2, PER_KG),
    ("old_handbook", "aminophylline", "dog", 6, 11, PER_KG),
    ("old_handbook", "aminophylline", "cat", 4, 5, PER_KG),
    ("tamu_b12", "cyanocobalamin", "dog", 0.25, 2, PER_ANIMAL),  # printed 250 to 2000 mcg
    ("tamu_b12", "cyanocobalamin", "cat", 0.25, 0.25, PER_ANIMAL),
    ("dermatology_3e", "azithromycin", "dog", 5, 10, PER_KG),
    ("dermatology_3e", "cephalexin", "cat", 22, 30, PER_KG),
    ("compounding_leaflet", "mirtazapine", "dog", 0.6, 0.6, PER_KG),
    ("compounding_leaflet", "mirtazapine", "cat", 1.88, 4, PER_ANIMAL),
    ("tvp_2018", "gabapentin", "dog", 5, 20, PER_KG),  # the upper end from memory
    ("motility_chapter", "azathioprine", "dog", 1, 2, PER_KG),
    ("immunosuppressant_summary", "mycophenolate", "dog", 7, 20, PER_KG),
]


@pytest.mark.parametrize(("source_id", "medicine", "species", "low", "high", "unit"), ROWS)
def test_a_range_stands_as_printed(source_id, medicine, species, low, high, unit):
    """Low, high and unit of this source's range for this medicine and species."""
    found = [band for band in ranges_for(name=medicine, species=species) if band.source.id == source_id]
    assert [(band.low, band.high, band.unit) for band in found] == [(low, high, unit)]


def test_two_sources_that_disagree_both_stand():
    """Per animal and per kg, twentyfold apart in a small dog: neither is left out, none is averaged."""
    units = {band.unit for band in ranges_for(name="domperidone", species="dog")}
    assert units == {PER_ANIMAL, PER_KG}
