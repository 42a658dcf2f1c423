"""The publications that numbers in this project were taken from, and the three stand-ins for a publication.

None of these numbers was checked by a clinician for this project: they check arithmetic and agreement with print.
"""

from fillmark.published.figure import Basis, Source

OWN_CHOICE = Source(
    id="own_choice",
    title="Our own choice",
    issuer="Fillmark",
    year=None,
    where="the decision records",
    basis=Basis.OWN,
)
COMMON_PRACTICE = Source(
    id="common_practice",
    title="Common practice, no source",
    issuer="people who do this work",
    year=None,
    where="no print",
    basis=Basis.PRACTICE,
)
FROM_MEMORY = Source(
    id="from_memory",
    title="From memory, not yet checked in print",
    issuer="Fillmark",
    year=None,
    where="no print",
    basis=Basis.MEMORY,
)


def _print(*, id: str, title: str, issuer: str, year: int | None, where: str) -> Source:  # noqa: A002
    return Source(id=id, title=title, issuer=issuer, year=year, where=where, basis=Basis.PUBLISHED)


# Feeding
SMALL_ANIMAL_NUTRITION = _print(
    id="small_animal_nutrition_2010",
    title="Small Animal Clinical Nutrition, 5th edition",
    issuer="Hand, Thatcher, Remillard, Roudebush, Novotny (editors)",
    year=2010,
    where="Box 1-2, Box 1-6, Case 1-1, Tables 5-2, 25-7, 25-11 and 27-3, chapter 25 case",
)
FEDIAF_2017 = _print(
    id="fediaf_2017",
    title="Nutritional Guidelines for Complete and Complementary Pet Food",
    issuer="FEDIAF",
    year=2017,
    where="Tables VII-12 and VII-19b, annex on energy (with the NRC 2006 equations)",
)
AAFCO_2014 = _print(
    id="aafco_2014",
    title="AAFCO Dog and Cat Food Nutrient Profiles, proposed text",
    issuer="Association of American Feed Control Officials",
    year=2014,
    where="calorie basis table (dog), dry matter table (cat), Examples A2 and B1",
)
NRC_1985 = _print(
    id="nrc_1985",
    title="Nutrient Requirements of Dogs",
    issuer="National Research Council",
    year=1985,
    where="page 39",
)
NRC_2006_BOOKLET = _print(
    id="nrc_2006_booklet",
    title="Booklet for owners on the nutrient needs of cats",
    issuer="National Research Council",
    year=2006,
    where="energy table, overweight domestic cat",
)
CAT_PROTOCOLS = _print(
    id="cat_protocols",
    title="Cat health-care protocols, nutritional assessment",
    issuer="a Canadian veterinary group",
    year=None,
    where="Table 1",
)
WSAVA_CAT_CHART = _print(
    id="wsava_cat_chart",
    title="Calorie chart for healthy adult cats, as quoted in a vet's article",
    issuer="WSAVA Global Nutrition Committee",
    year=None,
    where="second-hand, printed to the nearest 10 kcal",
)
WSAVA_2018 = _print(
    id="wsava_2018",
    title="World Congress proceedings, feline assisted feeding",
    issuer="WSAVA",
    year=2018,
    where="page 290",
)
ATWATER_SHEET = _print(
    id="atwater_sheet",
    title="Teaching sheet on the modified Atwater formula",
    issuer="a university",
    year=None,
    where="worked example",
)
VET_TIMES_2015 = _print(
    id="vet_times_2015",
    title="Assisted feeding and weight from condition score",
    issuer="Vet Times",
    year=2015,
    where="worked example, staging scheme and condition score",
)
AAHA_FLUID_2013 = _print(
    id="aaha_fluid_2013",
    title="AAHA/AAFP Fluid Therapy Guidelines",
    issuer="AAHA and AAFP",
    year=2013,
    where="tip-sheet table of maintenance rates",
)
DIBARTOLA = _print(
    id="dibartola",
    title="Fluid, Electrolyte and Acid-Base Disorders in Small Animal Practice",
    issuer="DiBartola (editor)",
    year=None,
    where="Tables 1-10, 14-2 and 14-9",
)
IDDSI = _print(
    id="iddsi",
    title="IDDSI flow test",
    issuer="International Dysphagia Diet Standardisation Initiative",
    year=2019,
    where="levels 0 and 1 read in print, levels 2 to 4 from memory",
)
ZORAN_2003 = _print(
    id="zoran_2003",
    title="Stomach capacity of cats and dogs, as quoted in a clinical summary",
    issuer="Zoran",
    year=2003,
    where="second-hand",
)
SUPPORT_2010 = _print(
    id="support_2010",
    title="Proceedings on nutritional support",
    issuer="a veterinary congress",
    year=2010,
    where="when support is indicated",
)
WEIGHT_LOSS_CASE = _print(
    id="weight_loss_case",
    title="Case of unexpected weight loss in a cat of 13 years",
    issuer="a pet nutrition institute",
    year=None,
    where="weights",
)
VET_COLUMN_2018 = _print(
    id="vet_column_2018",
    title="Newspaper column by a vet",
    issuer="a newspaper",
    year=2018,
    where="weight lost by a cat",
)

# Medicines and syringes
ISO_7886_1 = _print(
    id="iso_7886_1",
    title="ISO 7886-1, Sterile hypodermic syringes for single use",
    issuer="International Organization for Standardization",
    year=2017,
    where="Table 1, as worked by a surgical materials test laboratory",
)
ISO_80369_3 = _print(
    id="iso_80369_3",
    title="ISO 80369-3, Small-bore connectors for enteral applications",
    issuer="International Organization for Standardization",
    year=2016,
    where="Annex A, as quoted",
)
ARENAS_LOPEZ_2017 = _print(
    id="arenas_lopez_2017",
    title="Accuracy of small oral syringes, Archives of Disease in Childhood 102:655",
    issuer="Arenas-Lopez and others",
    year=2017,
    where="abstract",
)
DOSE_ROUNDING_2020 = _print(
    id="dose_rounding_2020",
    title="Rounding of doses for children, International Journal of Pharmacy Practice 28:107",
    issuer="a hospital pharmacy group",
    year=2020,
    where="what was counted as a concern",
)
HOSPITAL_SHEET_1619 = _print(
    id="hospital_sheet_1619",
    title="Teaching sheet 1619 on oral syringes",
    issuer="a children's hospital",
    year=None,
    where="short lines; which syringe to take; reading between lines",
)
ISMP_2011 = _print(
    id="ismp_2011",
    title="Guideline on timely administration of scheduled medications",
    issuer="Institute for Safe Medication Practices",
    year=2011,
    where="the time windows, as summarized elsewhere",
)
NHS_SPS = _print(
    id="nhs_sps",
    title="Advice on missed and late doses",
    issuer="NHS Specialist Pharmacy Service",
    year=None,
    where="late doses; never double",
)
CFR_520 = _print(
    id="cfr_21_520",
    title="Code of Federal Regulations, title 21, part 520: oral dosage form new animal drugs",
    issuer="U.S. Food and Drug Administration",
    year=None,
    where="sections named at each number",
)
MSD_CARDIAC = _print(
    id="msd_vet_manual",
    title="MSD Veterinary Manual",
    issuer="Merck & Co.",
    year=None,
    where="cardiac medications of dogs and cats; antiemetics",
)
CSAIM = _print(
    id="csaim",
    title="Clinical Small Animal Internal Medicine",
    issuer="Bruyette (editor)",
    year=2020,
    where="Tables 19.1, 51.3 and 53.2, page 806",
)
SAIM_6E = _print(
    id="saim_6e",
    title="Small Animal Internal Medicine, 6th edition",
    issuer="Nelson and Couto (editors)",
    year=2019,
    where="Tables 28.3 to 28.5 and 92.1",
)
JSAP_2010 = _print(
    id="jsap_2010",
    title="Journal of Small Animal Practice 51:4",
    issuer="a review of vomiting and its treatment",
    year=2010,
    where="Table 10",
)
ARMSTRONG_SHEET = _print(
    id="armstrong_sheet",
    title="Medication sheet on acute vomiting, Today's Veterinary Practice",
    issuer="Armstrong",
    year=None,
    where="table of medicines",
)
OSU_ANTIMICROBIAL = _print(
    id="osu_antimicrobial",
    title="Antimicrobial use in companion animals, open text",
    issuer="Ohio State University Veterinary Medical Center",
    year=None,
    where="page of each medicine",
)
MOTILITY_CHAPTER = _print(
    id="motility_chapter",
    title="Motility Disorders, chapter 129 of a veterinary textbook",
    issuer="a veterinary textbook",
    year=None,
    where="treatment of myasthenia",
)
MYASTHENIA_PROCEEDINGS = _print(
    id="myasthenia_proceedings",
    title="Proceedings on the treatment of myasthenia",
    issuer="LeCouteur",
    year=None,
    where="pyridostigmine",
)
OLD_HANDBOOK = _print(
    id="old_handbook",
    title="A standard veterinary drug handbook, older edition",
    issuer="second-hand",
    year=None,
    where="entry of each medicine",
)
DERMATOLOGY_3E = _print(
    id="dermatology_3e",
    title="Small Animal Dermatology, 3rd edition",
    issuer="a veterinary textbook",
    year=None,
    where="Table 13.1",
)
TAMU_B12 = _print(
    id="tamu_b12",
    title="Vitamin B12 by mouth, table by weight",
    issuer="Texas A&M Gastrointestinal Laboratory",
    year=2022,
    where="as reproduced elsewhere",
)
TVP_2018 = _print(
    id="tvp_2018",
    title="Gabapentin in dogs, Today's Veterinary Practice",
    issuer="a review",
    year=2018,
    where="doses by mouth",
)
COMPOUNDING_LEAFLET = _print(
    id="compounding_leaflet",
    title="Leaflet on mirtazapine",
    issuer="a compounding pharmacy",
    year=None,
    where="doses; a weak source",
)
INDIVIDUAL_TRIALS = _print(
    id="immunosuppressant_summary",
    title="Summary of doses of immunosuppressants",
    issuer="a secondary web page",
    year=None,
    where="a weak source",
)
SPC_METOCLOPRAMIDE = _print(
    id="spc_metoclopramide",
    title="Product summary of metoclopramide oral solution 1 mg/mL for dogs and cats (UK), with the Danish tablets",
    issuer="a medicines authority",
    year=None,
    where="composition, dose, weight bands",
)
SPC_PIMOBENDAN = _print(
    id="spc_pimobendan",
    title="Product summary of pimobendan for dogs (EU)",
    issuer="European Medicines Agency",
    year=None,
    where="dose and relation to food",
)
VET_POISONS_ACVP = _print(
    id="acvp_poisons",
    title="Page on metronidazole poisoning",
    issuer="American College of Veterinary Pharmacists",
    year=None,
    where="dose per day",
)
CLINIC_WORKED_EXAMPLE = _print(
    id="clinic_worked_example",
    title="Worked examples of doses",
    issuer="a veterinary clinic",
    year=None,
    where="pounds to kg, mg to mL, percent to mg/mL",
)
NURSING_DOSAGE_EXAMPLE = _print(
    id="nursing_dosage_example",
    title="Worked examples of dosage calculation",
    issuer="a nursing course",
    year=None,
    where="second-hand",
)
OPEN_RN = _print(
    id="open_rn",
    title="Nursing Skills, open textbook",
    issuer="Open RN",
    year=None,
    where="section 5.5, rounding",
)
CQC_WHEN_NEEDED = _print(
    id="cqc_when_needed",
    title="Medicines given when needed",
    issuer="Care Quality Commission",
    year=None,
    where="what a plan must hold: least interval, most in a day",
)
KUKANICH_SEPARATION = _print(
    id="kukanich_separation",
    title="Doxycycline with and without sucralfate in dogs",
    issuer="KuKanich and others",
    year=None,
    where="abstract",
)
JOINT_COMMISSION = _print(
    id="joint_commission",
    title="Do Not Use list, with the list of error-prone notations of the Institute for Safe Medication Practices",
    issuer="The Joint Commission",
    year=None,
    where="zeros, units, commas",
)

# How long things keep
USP_795 = _print(
    id="usp_795",
    title="General chapter <795>, nonsterile compounding, official from November 2023",
    issuer="United States Pharmacopeia",
    year=2023,
    where="longest beyond-use dates by kind, as quoted on a trade page",
)
ILLINOIS_COMPOUNDING = _print(
    id="illinois_compounding",
    title="Procedure for dating what is compounded",
    issuer="University of Illinois veterinary hospital",
    year=None,
    where="day of making is day 1; never past the first ingredient to expire",
)
CARE_HOME_EXPIRY = _print(
    id="care_home_expiry",
    title="Expiry dates of medicines in care homes",
    issuer="local NHS guidance, after Lowe 2001",
    year=None,
    where="wording of dates; how long after opening",
)
CDC_SINGLE_DOSE = _print(
    id="cdc_single_dose",
    title="Position on single-dose vials",
    issuer="Centers for Disease Control and Prevention",
    year=2012,
    where="one use; written for injections",
)

# The tube and what goes wrong
STATPEARLS_GASTROSTOMY = _print(
    id="statpearls_gastrostomy",
    title="Gastrostomy tube replacement, StatPearls",
    issuer="National Library of Medicine bookshelf",
    year=None,
    where="age of the tract, and how fast it narrows; written for people",
)
PARKER_FREEMAN_2013 = _print(
    id="parker_freeman_2013",
    title="Solutions to dissolve clots of feeding diets, Journal of Veterinary Emergency and Critical Care",
    issuer="Parker and Freeman",
    year=2013,
    where="abstract",
)
ESPEN_HOME = _print(
    id="espen_home",
    title="Guideline on home enteral nutrition",
    issuer="European Society for Clinical Nutrition and Metabolism",
    year=None,
    where="flushing with medicines, as quoted; written for people",
)
ICU_NUTRITION = _print(
    id="icu_nutrition",
    title="Feeding the critical patient, Clinician's Brief",
    issuer="a review",
    year=None,
    where="flushing before and after a feed",
)
AJHP_2008 = _print(
    id="ajhp_2008",
    title="Medicines through feeding tubes, American Journal of Health-System Pharmacy 65:2347",
    issuer="a review",
    year=2008,
    where="figure on medicines that need an empty stomach, seen on a copy",
)
COMPENDIUM_2010 = _print(
    id="compendium_2010",
    title="Xylitol poisoning in dogs, Compendium",
    issuer="a review",
    year=2010,
    where="abstract",
)
VPIS_2021 = _print(
    id="vpis_2021",
    title="Propylene glycol in cats",
    issuer="Veterinary Poisons Information Service",
    year=2021,
    where="use over a long time",
)
LE_TRAON_2008 = _print(
    id="le_traon_2008",
    title="Levothyroxine tablet and solution in dogs",
    issuer="Le Traon and others",
    year=2008,
    where="abstract",
)

# Watching
DORN_2024 = _print(
    id="dorn_2024",
    title="Rectal temperature of adult dogs, Animals 14:1970",
    issuer="Dorn and others",
    year=2024,
    where="abstract; 9117 dogs",
)
LEVY_2015 = _print(
    id="levy_2015",
    title="Rectal temperature of confined adult cats, Journal of Feline Medicine and Surgery 17:950",
    issuer="Levy and others",
    year=2015,
    where="summary; 200 cats",
)
LJUNGVALL_2014 = _print(
    id="ljungvall_2014",
    title="Sleeping and resting breathing of cats, Journal of Feline Medicine and Surgery",
    issuer="Ljungvall and others",
    year=2014,
    where="abstract; means of 141 cats",
)
RISHNIW_2012 = _print(
    id="rishniw_2012",
    title="Sleeping breathing of healthy dogs, Research in Veterinary Science 93:965",
    issuer="Rishniw and others",
    year=2012,
    where="abstract; 114 dogs",
)
SCANSEN_2017 = _print(
    id="scansen_2017",
    title="Breathing rate at home and heart failure in dogs",
    issuer="Scansen",
    year=2017,
    where="rate that predicted failure",
)
KOGAN_2008 = _print(
    id="kogan_2008",
    title="Aspiration pneumonia in 88 dogs",
    issuer="Kogan and others",
    year=2008,
    where="abstract",
)
BLOAT_PAGE = _print(
    id="bloat_page",
    title="Page on bloat with a twisted stomach",
    issuer="a veterinary emergency hospital",
    year=None,
    where="signs",
)

# When something is wrong
MSD_EMERGENCY = _print(
    id="msd_emergency",
    title="What to do in a dog or cat emergency, owner's edition of the MSD Veterinary Manual",
    issuer="Merck & Co.",
    year=None,
    where="opening, list of emergencies, unconsciousness",
)
SITUATIONS_CANNOT_WAIT = _print(
    id="situations_cannot_wait",
    title="Five clinical situations that cannot wait, Clinician's Brief",
    issuer="a peer-reviewed veterinary journal",
    year=None,
    where="gastric dilatation-volvulus",
)
BREHENY_2019 = _print(
    id="breheny_2019",
    title="Esophageal feeding tube placement and the associated complications in 248 cats, JVIM 33:1306",
    issuer="Breheny and others",
    year=2019,
    where="abstract",
)
FOODSAFETY_POWER = _print(
    id="foodsafety_power",
    title="Refrigerated food and power outages",
    issuer="FoodSafety.gov, U.S. government",
    year=None,
    where="rule of 4 hours and 40 °F, as quoted by several public offices",
)

# Names of medicines
ANZCA_2016 = _print(
    id="anzca_2016",
    title="Medication name changes, with the table of the Australian list",
    issuer="Australian and New Zealand College of Anaesthetists",
    year=2016,
    where="table of former and new names",
)
TGA_2016 = _print(
    id="tga_2016",
    title="Scheduling delegate's final decisions, 17 March 2016",
    issuer="Therapeutic Goods Administration",
    year=2016,
    where="section 4.1, updating names",
)
AJP_2019 = _print(
    id="ajp_2019",
    title="Change is coming",
    issuer="Australian Journal of Pharmacy",
    year=2019,
    where="list of changed names",
)
TORASEMIDE_PAGE = _print(
    id="torasemide_page",
    title="Encyclopedia page on torasemide, seen in two copies",
    issuer="volunteer authors",
    year=None,
    where="section on names, second-hand",
)
CO_AMOXICLAV_SPC = _print(
    id="co_amoxiclav_spc",
    title="Product summary of co-amoxiclav 250/125 mg tablets (UK)",
    issuer="the marketing holder",
    year=2023,
    where="composition",
)
USP_VETERINARY = _print(
    id="usp_veterinary",
    title="Amoxicillin and clavulanate (Veterinary, Systemic), a monograph",
    issuer="United States Pharmacopeia",
    year=None,
    where="its names, seen in a copy",
)
BMJ_1983 = _print(
    id="bmj_1983",
    title="Aluminium hydroxide versus sucralfate as a phosphate binder",
    issuer="British Medical Journal",
    year=1983,
    where="volume 286, page 1379, title",
)
NURSING_DRUG_GUIDE = _print(
    id="nursing_drug_guide",
    title="A nursing drug guide",
    issuer="a publisher of textbooks",
    year=None,
    where="monograph of aluminum hydroxide, seen in a copy",
)
NIOSH_SAMPLE = _print(
    id="niosh_sample",
    title="Sample list of drugs that should be handled as hazardous",
    issuer="National Institute for Occupational Safety and Health",
    year=2010,
    where="the list, seen in a copy",
)
FLAGYL_S = _print(
    id="flagyl_s",
    title="Product information of metronidazole benzoate suspension (Australia)",
    issuer="the marketing holder",
    year=None,
    where="section 2",
)
AZATHIOPRINE_CAT = _print(
    id="azathioprine_cat",
    title="Case report of azathioprine poisoning in a cat",
    issuer="Veterinary Information Network",
    year=None,
    where="the report, as named in a summary",
)
