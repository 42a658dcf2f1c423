"""The publications about what medicines are called."""

from fillmark.published.figure import Source

ANZCA_2016 = Source(
    id="anzca_2016",
    title="Medication name changes, with the table of the Australian list",
    issuer="Australian and New Zealand College of Anaesthetists",
    year=2016,
    where="table of former and new names",
)
TGA_2016 = Source(
    id="tga_2016",
    title="Scheduling delegate's final decisions, 17 March 2016",
    issuer="Therapeutic Goods Administration",
    year=2016,
    where="section 4.1, updating names",
)
AJP_2019 = Source(
    id="ajp_2019",
    title="Change is coming",
    issuer="Australian Journal of Pharmacy",
    year=2019,
    where="list of changed names",
)
TORASEMIDE_PAGE = Source(
    id="torasemide_page",
    title="Encyclopedia page on torasemide, seen in two copies",
    issuer="volunteer authors",
    year=None,
    where="section on names, second-hand",
)
CO_AMOXICLAV_SPC = Source(
    id="co_amoxiclav_spc",
    title="Product summary of co-amoxiclav 250/125 mg tablets (UK)",
    issuer="the marketing holder",
    year=2023,
    where="composition",
)
USP_VETERINARY = Source(
    id="usp_veterinary",
    title="Amoxicillin and clavulanate (Veterinary, Systemic), a monograph",
    issuer="United States Pharmacopeia",
    year=None,
    where="its names, seen in a copy",
)
BMJ_1983 = Source(
    id="bmj_1983",
    title="Aluminium hydroxide versus sucralfate as a phosphate binder",
    issuer="British Medical Journal",
    year=1983,
    where="volume 286, page 1379, title",
)
NURSING_DRUG_GUIDE = Source(
    id="nursing_drug_guide",
    title="A nursing drug guide",
    issuer="a publisher of textbooks",
    year=None,
    where="monograph of aluminum hydroxide, seen in a copy",
)
NIOSH_SAMPLE = Source(
    id="niosh_sample",
    title="Sample list of drugs that should be handled as hazardous",
    issuer="National Institute for Occupational Safety and Health",
    year=2010,
    where="the list, seen in a copy",
)
FLAGYL_S = Source(
    id="flagyl_s",
    title="Product information of metronidazole benzoate suspension (Australia)",
    issuer="the marketing holder",
    year=None,
    where="section 2",
)
AZATHIOPRINE_CAT = Source(
    id="azathioprine_cat",
    title="Case report of azathioprine poisoning in a cat",
    issuer="Veterinary Information Network",
    year=None,
    where="the report, as named in a summary",
)
