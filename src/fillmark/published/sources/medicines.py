"""The publications about medicines and syringes, and about how long things keep."""

from fillmark.published.figure import Source

ISO_7886_1 = Source(
    id="iso_7886_1",
    title="ISO 7886-1, Sterile hypodermic syringes for single use",
    issuer="International Organization for Standardization",
    year=2017,
    where="Table 1, as worked by a surgical materials test laboratory",
)
ISO_80369_3 = Source(
    id="iso_80369_3",
    title="ISO 80369-3, Small-bore connectors for enteral applications",
    issuer="International Organization for Standardization",
    year=2016,
    where="Annex A, as quoted",
)
ARENAS_LOPEZ_2017 = Source(
    id="arenas_lopez_2017",
    title="Accuracy of small oral syringes, Archives of Disease in Childhood 102:655",
    issuer="Arenas-Lopez and others",
    year=2017,
    where="abstract",
)
DOSE_ROUNDING_2020 = Source(
    id="dose_rounding_2020",
    title="Rounding of doses for children, International Journal of Pharmacy Practice 28:107",
    issuer="a hospital pharmacy group",
    year=2020,
    where="what was counted as a concern",
)
HOSPITAL_SHEET_1619 = Source(
    id="hospital_sheet_1619",
    title="Teaching sheet 1619 on oral syringes",
    issuer="a children's hospital",
    year=None,
    where="short lines; which syringe to take; reading between lines",
)
ISMP_2011 = Source(
    id="ismp_2011",
    title="Guideline on timely administration of scheduled medications",
    issuer="Institute for Safe Medication Practices",
    year=2011,
    where="the time windows, as summarized elsewhere",
)
NHS_SPS = Source(
    id="nhs_sps",
    title="Advice on missed and late doses",
    issuer="NHS Specialist Pharmacy Service",
    year=None,
    where="late doses; never double",
)
CFR_520 = Source(
    id="cfr_21_520",
    title="Code of Federal Regulations, title 21, part 520: oral dosage form new animal drugs",
    issuer="U.S. Food and Drug Administration",
    year=None,
    where="sections named at each number",
)
MSD_CARDIAC = Source(
    id="msd_vet_manual",
    title="MSD Veterinary Manual",
    issuer="Merck & Co.",
    year=None,
    where="cardiac medications of dogs and cats; antiemetics",
)
CSAIM = Source(
    id="csaim",
    title="Clinical Small Animal Internal Medicine",
    issuer="Bruyette (editor)",
    year=2020,
    where="Tables 19.1, 51.3 and 53.2, page 806",
)
SAIM_6E = Source(
    id="saim_6e",
    title="Small Animal Internal Medicine, 6th edition",
    issuer="Nelson and Couto (editors)",
    year=2019,
    where="Tables 28.3 to 28.5 and 92.1",
)
JSAP_2010 = Source(
    id="jsap_2010",
    title="Journal of Small Animal Practice 51:4",
    issuer="a review of vomiting and its treatment",
    year=2010,
    where="Table 10",
)
ARMSTRONG_SHEET = Source(
    id="armstrong_sheet",
    title="Medication sheet on acute vomiting, Today's Veterinary Practice",
    issuer="Armstrong",
    year=None,
    where="table of medicines",
)
OSU_ANTIMICROBIAL = Source(
    id="osu_antimicrobial",
    title="Antimicrobial use in companion animals, open text",
    issuer="Ohio State University Veterinary Medical Center",
    year=None,
    where="page of each medicine",
)
MOTILITY_CHAPTER = Source(
    id="motility_chapter",
    title="Motility Disorders, chapter 129 of a veterinary textbook",
    issuer="a veterinary textbook",
    year=None,
    where="treatment of myasthenia",
)
MYASTHENIA_PROCEEDINGS = Source(
    id="myasthenia_proceedings",
    title="Proceedings on the treatment of myasthenia",
    issuer="LeCouteur",
    year=None,
    where="pyridostigmine",
)
OLD_HANDBOOK = Source(
    id="old_handbook",
    title="A standard veterinary drug handbook, older edition",
    issuer="second-hand",
    year=None,
    where="entry of each medicine",
)
DERMATOLOGY_3E = Source(
    id="dermatology_3e",
    title="Small Animal Dermatology, 3rd edition",
    issuer="a veterinary textbook",
    year=None,
    where="Table 13.1",
)
TAMU_B12 = Source(
    id="tamu_b12",
    title="Vitamin B12 by mouth, table by weight",
    issuer="Texas A&M Gastrointestinal Laboratory",
    year=2022,
    where="as reproduced elsewhere",
)
TVP_2018 = Source(
    id="tvp_2018",
    title="Gabapentin in dogs, Today's Veterinary Practice",
    issuer="a review",
    year=2018,
    where="doses by mouth",
)
COMPOUNDING_LEAFLET = Source(
    id="compounding_leaflet",
    title="Leaflet on mirtazapine",
    issuer="a compounding pharmacy",
    year=None,
    where="doses; a weak source",
)
INDIVIDUAL_TRIALS = Source(
    id="immunosuppressant_summary",
    title="Summary of doses of immunosuppressants",
    issuer="a secondary web page",
    year=None,
    where="a weak source",
)
SPC_METOCLOPRAMIDE = Source(
    id="spc_metoclopramide",
    title="Product summary of metoclopramide oral solution 1 mg/mL for dogs and cats (UK), with the Danish tablets",
    issuer="a medicines authority",
    year=None,
    where="composition, dose, weight bands",
)
SPC_PIMOBENDAN = Source(
    id="spc_pimobendan",
    title="Product summary of pimobendan for dogs (EU)",
    issuer="European Medicines Agency",
    year=None,
    where="dose and relation to food",
)
VET_POISONS_ACVP = Source(
    id="acvp_poisons",
    title="Page on metronidazole poisoning",
    issuer="American College of Veterinary Pharmacists",
    year=None,
    where="dose per day",
)
CLINIC_WORKED_EXAMPLE = Source(
    id="clinic_worked_example",
    title="Worked examples of doses",
    issuer="a veterinary clinic",
    year=None,
    where="pounds to kg, mg to mL, percent to mg/mL",
)
NURSING_DOSAGE_EXAMPLE = Source(
    id="nursing_dosage_example",
    title="Worked examples of dosage calculation",
    issuer="a nursing course",
    year=None,
    where="second-hand",
)
OPEN_RN = Source(
    id="open_rn",
    title="Nursing Skills, open textbook",
    issuer="Open RN",
    year=None,
    where="section 5.5, rounding",
)
CQC_WHEN_NEEDED = Source(
    id="cqc_when_needed",
    title="Medicines given when needed",
    issuer="Care Quality Commission",
    year=None,
    where="what a plan must hold: least interval, most in a day",
)
KUKANICH_SEPARATION = Source(
    id="kukanich_separation",
    title="Doxycycline with and without sucralfate in dogs",
    issuer="KuKanich and others",
    year=None,
    where="abstract",
)
JOINT_COMMISSION = Source(
    id="joint_commission",
    title="Do Not Use list, with the list of error-prone notations of the Institute for Safe Medication Practices",
    issuer="The Joint Commission",
    year=None,
    where="zeros, units, commas",
)
USP_795 = Source(
    id="usp_795",
    title="General chapter <795>, nonsterile compounding, official from November 2023",
    issuer="United States Pharmacopeia",
    year=2023,
    where="longest beyond-use dates by kind, as quoted on a trade page",
)
ILLINOIS_COMPOUNDING = Source(
    id="illinois_compounding",
    title="Procedure for dating what is compounded",
    issuer="University of Illinois veterinary hospital",
    year=None,
    where="day of making is day 1; never past the first ingredient to expire",
)
CARE_HOME_EXPIRY = Source(
    id="care_home_expiry",
    title="Expiry dates of medicines in care homes",
    issuer="local NHS guidance, after Lowe 2001",
    year=None,
    where="wording of dates; how long after opening",
)
CDC_SINGLE_DOSE = Source(
    id="cdc_single_dose",
    title="Position on single-dose vials",
    issuer="Centers for Disease Control and Prevention",
    year=2012,
    where="one use; written for injections",
)
