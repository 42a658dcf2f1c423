"""The publications about energy, food, fluid and flow."""

from fillmark.published.figure import Source

SMALL_ANIMAL_NUTRITION = Source(
    id="small_animal_nutrition_2010",
    title="Small Animal Clinical Nutrition, 5th edition",
    issuer="Hand, Thatcher, Remillard, Roudebush, Novotny (editors)",
    year=2010,
    where="Box 1-2, Box 1-6, Case 1-1, Tables 5-2, 25-7, 25-11 and 27-3, chapter 25 case",
)
FEDIAF_2017 = Source(
    id="fediaf_2017",
    title="Nutritional Guidelines for Complete and Complementary Pet Food",
    issuer="FEDIAF",
    year=2017,
    where="Tables VII-12 and VII-19b, annex on energy (with the NRC 2006 equations)",
)
AAFCO_2014 = Source(
    id="aafco_2014",
    title="AAFCO Dog and Cat Food Nutrient Profiles, proposed text",
    issuer="Association of American Feed Control Officials",
    year=2014,
    where="calorie basis table (dog), dry matter table (cat), Examples A2 and B1",
)
AAFCO_DOG_COPY = Source(
    id="aafco_dog_copy",
    title="The AAFCO profile for dogs of 2014, as a table copied by others",
    issuer="user page of an encyclopedia, undated",
    year=None,
    where="dry matter table",
)
COLYER = Source(
    id="colyer_guidelines",
    title="Nutrient guidelines after the AAFCO profile for growth",
    issuer="Colyer Institute",
    year=None,
    where="taurine",
)
CAT_VITAMIN_D_2021 = Source(
    id="cat_vitamin_d_2021",
    title="Frontiers in Veterinary Science 8:707741, on vitamin D",
    issuer="Frontiers",
    year=2021,
    where="Table 3, note e, which quotes FEDIAF 2020",
)
EU_2019_1125 = Source(
    id="eu_2019_1125",
    title="Implementing Regulation (EU) 2019/1125, zinc in feed",
    issuer="European Commission",
    year=2019,
    where="annex",
)
EU_VITAMIN_D_PAGE = Source(
    id="eu_vitamin_d_page",
    title="Vitamin D in dog food, with the law of the EU quoted",
    issuer="page of a feed laboratory",
    year=2019,
    where="legal most",
)
NRC_2006_PAGE = Source(
    id="nrc_2006_page",
    title="The NRC allowances of 2006 for a dog that eats 1,000 kcal",
    issuer="general page for owners, undated copy",
    year=2006,
    where="list of allowances",
)
NRC_1985 = Source(
    id="nrc_1985",
    title="Nutrient Requirements of Dogs",
    issuer="National Research Council",
    year=1985,
    where="page 39",
)
NRC_2006_BOOKLET = Source(
    id="nrc_2006_booklet",
    title="Booklet for owners on the nutrient needs of cats",
    issuer="National Research Council",
    year=2006,
    where="energy table, overweight domestic cat",
)
CAT_PROTOCOLS = Source(
    id="cat_protocols",
    title="Cat health-care protocols, nutritional assessment",
    issuer="a Canadian veterinary group",
    year=None,
    where="Table 1",
)
WSAVA_CAT_CHART = Source(
    id="wsava_cat_chart",
    title="Calorie chart for healthy adult cats, as quoted in a vet's article",
    issuer="WSAVA Global Nutrition Committee",
    year=None,
    where="second-hand, printed to the nearest 10 kcal",
)
WSAVA_2018 = Source(
    id="wsava_2018",
    title="World Congress proceedings, feline assisted feeding",
    issuer="WSAVA",
    year=2018,
    where="page 290",
)
ATWATER_SHEET = Source(
    id="atwater_sheet",
    title="Teaching sheet on the modified Atwater formula",
    issuer="a university",
    year=None,
    where="worked example",
)
VET_TIMES_2015 = Source(
    id="vet_times_2015",
    title="Assisted feeding and weight from condition score",
    issuer="Vet Times",
    year=2015,
    where="worked example, staging scheme and condition score",
)
AAHA_FLUID_2013 = Source(
    id="aaha_fluid_2013",
    title="AAHA/AAFP Fluid Therapy Guidelines",
    issuer="AAHA and AAFP",
    year=2013,
    where="tip-sheet table of maintenance rates",
)
DIBARTOLA = Source(
    id="dibartola",
    title="Fluid, Electrolyte and Acid-Base Disorders in Small Animal Practice",
    issuer="DiBartola (editor)",
    year=None,
    where="Tables 1-10, 14-2 and 14-9",
)
IDDSI = Source(
    id="iddsi",
    title="IDDSI flow test",
    issuer="International Dysphagia Diet Standardisation Initiative",
    year=2019,
    where="levels 0 and 1 read in print, levels 2 to 4 from memory",
)
ZORAN_2003 = Source(
    id="zoran_2003",
    title="Stomach capacity of cats and dogs, as quoted in a clinical summary",
    issuer="Zoran",
    year=2003,
    where="second-hand",
)
SUPPORT_2010 = Source(
    id="support_2010",
    title="Proceedings on nutritional support",
    issuer="a veterinary congress",
    year=2010,
    where="when support is indicated",
)
WEIGHT_LOSS_CASE = Source(
    id="weight_loss_case",
    title="Case of unexpected weight loss in a cat of 13 years",
    issuer="a pet nutrition institute",
    year=None,
    where="weights",
)
VET_COLUMN_2018 = Source(
    id="vet_column_2018",
    title="Newspaper column by a vet",
    issuer="a newspaper",
    year=2018,
    where="weight lost by a cat",
)
