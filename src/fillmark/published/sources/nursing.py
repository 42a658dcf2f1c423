"""The publications about the tube, about watching the animal, and about what to do when something is wrong."""

from fillmark.published.figure import Source

STATPEARLS_GASTROSTOMY = Source(
    id="statpearls_gastrostomy",
    title="Gastrostomy tube replacement, StatPearls",
    issuer="National Library of Medicine bookshelf",
    year=None,
    where="age of the tract, and how fast it narrows; written for people",
)
PARKER_FREEMAN_2013 = Source(
    id="parker_freeman_2013",
    title="Solutions to dissolve clots of feeding diets, Journal of Veterinary Emergency and Critical Care",
    issuer="Parker and Freeman",
    year=2013,
    where="abstract",
)
ESPEN_HOME = Source(
    id="espen_home",
    title="Guideline on home enteral nutrition",
    issuer="European Society for Clinical Nutrition and Metabolism",
    year=None,
    where="flushing with medicines, as quoted; written for people",
)
ICU_NUTRITION = Source(
    id="icu_nutrition",
    title="Feeding the critical patient, Clinician's Brief",
    issuer="a review",
    year=None,
    where="flushing before and after a feed",
)
AJHP_2008 = Source(
    id="ajhp_2008",
    title="Medicines through feeding tubes, American Journal of Health-System Pharmacy 65:2347",
    issuer="a review",
    year=2008,
    where="figure on medicines that need an empty stomach, seen on a copy",
)
COMPENDIUM_2010 = Source(
    id="compendium_2010",
    title="Xylitol poisoning in dogs, Compendium",
    issuer="a review",
    year=2010,
    where="abstract",
)
VPIS_2021 = Source(
    id="vpis_2021",
    title="Propylene glycol in cats",
    issuer="Veterinary Poisons Information Service",
    year=2021,
    where="use over a long time",
)
LE_TRAON_2008 = Source(
    id="le_traon_2008",
    title="Levothyroxine tablet and solution in dogs",
    issuer="Le Traon and others",
    year=2008,
    where="abstract",
)
DORN_2024 = Source(
    id="dorn_2024",
    title="Rectal temperature of adult dogs, Animals 14:1970",
    issuer="Dorn and others",
    year=2024,
    where="abstract; 9117 dogs",
)
LEVY_2015 = Source(
    id="levy_2015",
    title="Rectal temperature of confined adult cats, Journal of Feline Medicine and Surgery 17:950",
    issuer="Levy and others",
    year=2015,
    where="summary; 200 cats",
)
LJUNGVALL_2014 = Source(
    id="ljungvall_2014",
    title="Sleeping and resting breathing of cats, Journal of Feline Medicine and Surgery",
    issuer="Ljungvall and others",
    year=2014,
    where="abstract; means of 141 cats",
)
RISHNIW_2012 = Source(
    id="rishniw_2012",
    title="Sleeping breathing of healthy dogs, Research in Veterinary Science 93:965",
    issuer="Rishniw and others",
    year=2012,
    where="abstract; 114 dogs",
)
SCANSEN_2017 = Source(
    id="scansen_2017",
    title="Breathing rate at home and heart failure in dogs",
    issuer="Scansen",
    year=2017,
    where="rate that predicted failure",
)
KOGAN_2008 = Source(
    id="kogan_2008",
    title="Aspiration pneumonia in 88 dogs",
    issuer="Kogan and others",
    year=2008,
    where="abstract",
)
BLOAT_PAGE = Source(
    id="bloat_page",
    title="Page on bloat with a twisted stomach",
    issuer="a veterinary emergency hospital",
    year=None,
    where="signs",
)
MSD_EMERGENCY = Source(
    id="msd_emergency",
    title="What to do in a dog or cat emergency, owner's edition of the MSD Veterinary Manual",
    issuer="Merck & Co.",
    year=None,
    where="opening, list of emergencies, unconsciousness",
)
SITUATIONS_CANNOT_WAIT = Source(
    id="situations_cannot_wait",
    title="Five clinical situations that cannot wait, Clinician's Brief",
    issuer="a peer-reviewed veterinary journal",
    year=None,
    where="gastric dilatation-volvulus",
)
RECOVER_2012 = Source(
    id="recover_2012",
    title="RECOVER evidence and knowledge gap analysis on veterinary CPR, part 3: basic life support, JVECC 22(S1):S26",
    issuer="Hopper and others",
    year=2012,
    where="abstract, as printed on a copy of the paper",
)
TASTENSEN_2024 = Source(
    id="tastensen_2024",
    title="Nonconvulsive seizures in dogs and cats with cluster seizures, JVIM, as a neurologist's practice sums it up",
    issuer="Tastensen and others",
    year=2024,
    where="definitions, second-hand",
)
DEVITT_SEIM_1997 = Source(
    id="devitt_seim_1997",
    title="Esophagostomy tubes for feeding and decompression, JAAHA 33:393",
    issuer="Devitt and Seim",
    year=1997,
    where="abstract; 13 dogs and 16 cats",
)
KENT_TUBE_LEAFLET = Source(
    id="kent_tube_leaflet",
    title="Feeding tube blockages, leaflet 00983, written for people",
    issuer="Kent Community Health NHS Foundation Trust",
    year=2022,
    where="push and pull technique",
)
BREHENY_2019 = Source(
    id="breheny_2019",
    title="Esophageal feeding tube placement and the associated complications in 248 cats, JVIM 33:1306",
    issuer="Breheny and others",
    year=2019,
    where="abstract",
)
FOODSAFETY_POWER = Source(
    id="foodsafety_power",
    title="Refrigerated food and power outages",
    issuer="FoodSafety.gov, U.S. government",
    year=None,
    where="rule of 4 hours and 40 °F, as quoted by several public offices",
)
