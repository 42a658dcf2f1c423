"""Names of medicines in print: former and international names, salts, mixes, and which names are something else.

Sources: the Australian list of changed names by a college of anaesthetists (anzca_2016), the regulator (tga_2016) and a
journal of pharmacy (ajp_2019) · an encyclopedia page, second-hand (torasemide_page) · a product summary of
co-amoxiclav (co_amoxiclav_spc) · a monograph of the United States Pharmacopeia for animals (usp_veterinary) · the title
of a paper (bmj_1983) · a nursing drug guide (nursing_drug_guide) · a list of hazardous drugs (niosh_sample) · product
information of the benzoate of metronidazole (flagyl_s) · a case report, second-hand (azathioprine_cat). Rows without
one are from memory or from the tables of doses themselves, and say so. Kind of row: copied. Tolerance: none.
"""

import pytest

from fillmark.published.dose_ranges import DOSE_CAPS, DOSE_RANGES, DOSES_BY_WEIGHT
from fillmark.published.medicine import (
    HAZARDOUS_TO_HANDLE,
    MINUTES_BEFORE_FOOD,
    NOT_FOR_CATS,
    NOT_SWAPPABLE,
    WORKS_IN_THE_STOMACH,
    facts_about,
)
from fillmark.published.medicine_names import MEDICINE_NAMES, MIXES, OTHER_SUBSTANCES, SUBSTANCES, read_name

SAME = [
    ("anzca_2016", "Frusemide", "furosemide"),
    ("anzca_2016", "furosemide 10 mg/mL syrup", "furosemide"),
    ("torasemide_page", "Torasemide", "torsemide"),
    ("anzca_2016", "Cefalexin", "cephalexin"),
    ("anzca_2016", "Cefalexin monohydrate", "cephalexin"),
    ("ajp_2019", "Levothyroxine sodium", "levothyroxine"),
    ("ajp_2019", "Thyroxine", "levothyroxine"),
    ("ajp_2019", "thyroxine sodium", "levothyroxine"),
    ("from_memory", "L-thyroxine", "levothyroxine"),
    ("tga_2016", "Amoxycillin", "amoxicillin"),
    ("co_amoxiclav_spc", "Amoxicillin trihydrate", "amoxicillin"),
    ("co_amoxiclav_spc", "co-amoxiclav 250/125", "amoxicillin-clavulanate"),
    ("usp_veterinary", "Amoxicillin with clavulanic acid", "amoxicillin-clavulanate"),
    ("usp_veterinary", "amoxicillin and clavulanate", "amoxicillin-clavulanate"),
    ("usp_veterinary", "Amoxicillin + clavulanate", "amoxicillin-clavulanate"),
    ("usp_veterinary", "amoxicillin clavulanate", "amoxicillin-clavulanate"),
    ("usp_veterinary", "Amoxicillin/clavulanic acid 50 mg/mL", "amoxicillin-clavulanate"),
    ("co_amoxiclav_spc", "Potassium clavulanate with amoxicillin", "amoxicillin-clavulanate"),
    ("tga_2016", "Ciclosporin", "cyclosporine"),
    ("tga_2016", "Cyclosporin", "cyclosporine"),
    ("tga_2016", "Phenobarbitone", "phenobarbital"),
    ("bmj_1983", "Aluminium hydroxide", "aluminium hydroxide"),
    ("nursing_drug_guide", "Aluminum hydroxide gel", "aluminium hydroxide"),
    ("from_memory", "Vitamin B12 drops", "cyanocobalamin"),
    ("from_memory", "B-12", "cyanocobalamin"),
    ("niosh_sample", "Mycophenolate mofetil 200 mg/mL", "mycophenolate"),
]
OTHER = [
    ("anzca_2016", "Frusemide", "torsemide"),
    ("torasemide_page", "Torasemide", "furosemide"),
    ("anzca_2016", "Cefazolin", "cephalexin"),
    ("anzca_2016", "Cefadroxil", "cephalexin"),
    ("ajp_2019", "Liothyronine", "levothyroxine"),
    ("usp_veterinary", "Amoxicillin clavulanate", "amoxicillin"),
    ("from_memory", "Amoxicillin and sulbactam", "amoxicillin"),
    ("from_memory", "Ampicillin", "amoxicillin"),
    ("from_memory", "Cycloserine", "cyclosporine"),
    ("tga_2016", "Methylphenobarbitone", "phenobarbital"),
    ("from_memory", "Pentobarbital", "phenobarbital"),
    ("from_memory", "Aluminium phosphate", "aluminium hydroxide"),
    ("from_memory", "Hydroxocobalamin", "cyanocobalamin"),
    ("from_memory", "Methylcobalamin", "cyanocobalamin"),
    ("from_memory", "Mycophenolic acid", "mycophenolate"),
    ("flagyl_s", "Metronidazole benzoate", "metronidazole"),
    ("flagyl_s", "Metronidazole (as benzoate)", "metronidazole"),
    ("csaim", "Esomeprazole", "omeprazole"),
    ("csaim", "Omeprazole", "esomeprazole"),
    ("from_memory", "Methylprednisolone", "prednisolone"),
    ("from_memory", "methyl-prednisolone", "prednisolone"),
    ("from_memory", "Enalaprilat", "enalapril"),
    ("from_memory", "Levamlodipine", "amlodipine"),
    ("armstrong_sheet", "Dimenhydrinate", "diphenhydramine"),
    ("dermatology_3e", "Azithromycin", "erythromycin"),
    ("from_memory", "Prednisolone and omeprazole", "prednisolone"),
]


@pytest.mark.parametrize(("source_id", "name", "substance"), SAME)
@pytest.mark.hazard("H4")
def test_a_name_in_print_is_read_as_its_substance(source_id, name, substance):
    """Former, international and salt names; capital letters and strengths beside it change nothing."""
    assert read_name(name).substance == substance
    assert read_name(name.upper()).substance == substance


@pytest.mark.parametrize(("source_id", "name", "substance"), OTHER)
@pytest.mark.hazard("H4")
def test_a_name_that_only_looks_alike_is_not_taken_for_it(source_id, name, substance):
    """A longer name, another form, a mix."""
    assert read_name(name).substance != substance


@pytest.mark.hazard("H21")
def test_what_harms_the_handler_is_told_by_any_name():
    """The warning holds for the other form too, whose doses are not shared; a mix has the warnings of each part."""

    def warned(name):
        return [fact.subject for fact in facts_about(name, HAZARDOUS_TO_HANDLE)]

    assert warned("Cyclosporin") == ["cyclosporine"]
    assert warned("Mycophenolic acid") == ["mycophenolate"]
    assert warned("Prednisolone and azathioprine") == ["azathioprine"]
    assert warned("Cycloserine") == []
    assert [fact.subject for fact in facts_about("Metronidazole benzoate", NOT_SWAPPABLE)] == ["metronidazole"]
    assert facts_about("Enalaprilat", WORKS_IN_THE_STOMACH) == ()


@pytest.mark.parametrize(
    ("name", "unknown"),
    [("Prednisolone forte", ("forte",)), ("Omeprazole 20 mg capsules", ()), ("Drug", ("drug",)), ("", ())],
)
def test_words_that_stand_for_nothing_are_kept_to_be_said(name, unknown):
    """Strengths, forms and salts say nothing about what it is."""
    assert read_name(name).unknown == unknown


def test_every_table_is_about_a_substance_that_has_a_name():
    """What a table of doses or warnings is about can be reached by its own name."""
    facts = (*HAZARDOUS_TO_HANDLE, *NOT_SWAPPABLE, *WORKS_IN_THE_STOMACH, *NOT_FOR_CATS)
    figures = (*DOSE_RANGES, *DOSE_CAPS)
    drugs = {figure.id.split(".")[1].replace("_", " ") for figure in figures} | {row.drug for row in DOSES_BY_WEIGHT}
    drugs |= {fact.subject for fact in facts} | set(MINUTES_BEFORE_FOOD)

    assert {drug for drug in drugs if read_name(drug).substance != drug} == set()
    named = {one.substance for one in MEDICINE_NAMES} - set(SUBSTANCES) - set(MIXES.values())
    assert named == {"mycophenolic acid", "metronidazole benzoate"}
    assert not set(OTHER_SUBSTANCES) & drugs
