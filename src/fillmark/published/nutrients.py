"""Least and most of a nutrient for each 1,000 kcal, adult animals: by the profiles in print, and by law."""

from fillmark.published.figure import Figure, Source
from fillmark.published.sources import (
    AAFCO_2014,
    AAFCO_DOG_COPY,
    CAT_VITAMIN_D_2021,
    COLYER,
    EU_2019_1125,
    EU_VITAMIN_D_PAGE,
    FEDIAF_2017,
    FROM_MEMORY,
    NRC_2006_BOOKLET,
    NRC_2006_PAGE,
)

Bounds = dict[tuple[str, str], Figure]
"""One bound for each species and nutrient."""

_WAYS = {"least": "At least", "most": "At most"}


def _bounds(
    profile: str,
    species: str,
    kind: str,
    source: Source,
    place: str,
    held: dict[str, tuple[float, str]],
    *,
    note: str = "",
    column: str = "",
) -> Bounds:
    """Bounds that stand in one place of print; `note` is what must be said with each."""
    return {
        (species, nutrient): Figure(
            id=f"nutrients.{profile}.{species}.{nutrient.replace(' ', '_')}.{kind}{column}",
            value=value,
            unit=f"{unit}/1,000 kcal",
            source=source,
            place=place,
            says=f"{_WAYS[kind]} this much {nutrient} for each 1,000 kcal{note}.",
        )
        for nutrient, (value, unit) in held.items()
    }


_BY_ENERGY = "page 6, table by energy for adults, 4,000 kcal/kg"
_BY_DRY_MATTER = "dry matter table at 4,000 kcal/kg"
_CAT_TABLE = "page 14, dry matter table for adults at 4,000 kcal/kg"
_MEMORY = "adult, not found in print"
_BY_RULE = "substantiation for dogs: the NRC allowance and a fifth more; the row of the table not seen"
_CAT_COLUMN = "Tables III-4 and VII-19b, adult at 100 kcal/kg^0.67"

AAFCO_LEAST: Bounds = {
    **_bounds(
        *("aafco", "dog", "least", AAFCO_2014, _BY_ENERGY),
        {
            "fat": (13.8, "g"),
            "linoleic acid": (2.8, "g"),
            "calcium": (1.25, "g"),
            "potassium": (1.5, "g"),
            "sodium": (0.2, "g"),
            "chloride": (0.3, "g"),
            "iron": (10.0, "mg"),
            "phosphorus": (1.0, "g"),
            "magnesium": (0.15, "g"),
            "copper": (1.83, "mg"),
            "manganese": (1.25, "mg"),
        },
    ),
    **_bounds("aafco", "dog", "least", AAFCO_2014, "page 12, text: 1 mg/kg for both stages", {"iodine": (0.25, "mg")}),
    **_bounds(
        *("aafco", "dog", "least", AAFCO_DOG_COPY, _BY_DRY_MATTER),
        {
            "protein": (45.0, "g"),
            "zinc": (20.0, "mg"),
            "selenium": (0.0875, "mg"),
            "vitamin A": (1250.0, "units"),
            "vitamin D": (125.0, "units"),
            "vitamin E": (12.5, "units"),
            "thiamine": (0.5625, "mg"),
            "choline": (340.0, "mg"),
        },
    ),
    **_bounds(
        *("aafco", "cat", "least", AAFCO_2014, _CAT_TABLE),
        {
            "calcium": (1.5, "g"),
            "sodium": (0.5, "g"),
            "chloride": (0.75, "g"),
            "magnesium": (0.1, "g"),
            "phosphorus": (1.25, "g"),
            "potassium": (1.5, "g"),
            "iron": (20.0, "mg"),
            "zinc": (18.75, "mg"),
            "copper": (1.25, "mg"),
            "manganese": (1.9, "mg"),
            "iodine": (0.15, "mg"),
            "selenium": (0.075, "mg"),
            "linoleic acid": (1.5, "g"),
            "vitamin A": (833.0, "units"),
            "vitamin D": (70.0, "units"),
            "vitamin E": (10.0, "units"),
        },
    ),
    **_bounds(
        *("aafco", "cat", "least", AAFCO_2014, "page 17: kept from the profile before, 26 % of dry matter in a copy"),
        {"protein": (65.0, "g")},
    ),
    **_bounds(
        *("aafco", "cat", "least", NRC_2006_BOOKLET, "about 9 % of dry matter; AAFCO's own row not seen"),
        {"fat": (22.5, "g")},
    ),
    **_bounds(
        *("aafco", "cat", "least", COLYER, "0.20 % of dry matter, for growth; AAFCO's own row not seen"),
        {"taurine": (0.5, "g")},
    ),
    **_bounds("aafco", "cat", "least", FROM_MEMORY, _MEMORY, {"thiamine": (1.4, "mg")}),
}
AAFCO_MOST: Bounds = {
    **_bounds(*("aafco", "dog", "most", AAFCO_2014, _BY_ENERGY), {"calcium": (4.5, "g"), "phosphorus": (4.0, "g")}),
    **_bounds(
        *("aafco", "dog", "most", AAFCO_DOG_COPY, _BY_DRY_MATTER),
        {
            "selenium": (0.5, "mg"),
            "iodine": (2.75, "mg"),
            "vitamin A": (62_500.0, "units"),
            "vitamin D": (750.0, "units"),
        },
    ),
    **_bounds(
        *("aafco", "cat", "most", AAFCO_2014, _CAT_TABLE),
        {"iodine": (2.25, "mg"), "vitamin A": (83_325.0, "units"), "vitamin D": (7520.0, "units")},
    ),
}
FEDIAF_LEAST: Bounds = {
    **_bounds(
        *("fediaf", "cat", "least", FEDIAF_2017, _CAT_COLUMN),
        {
            "arginine": (2.5, "g"),
            "lysine": (0.85, "g"),
            "tryptophan": (0.33, "g"),
            "protein": (62.5, "g"),
            "fat": (22.5, "g"),
            "taurine": (0.5, "g"),
        },
    ),
    **_bounds(
        *("fediaf", "cat", "least", FEDIAF_2017, "substantiation of iodine, cats: 1.3 mg/kg; the stage not seen"),
        {"iodine": (0.325, "mg")},
    ),
    **_bounds(
        *("fediaf", "dog", "least", FEDIAF_2017, _BY_RULE),
        {
            "magnesium": (0.18, "g"),
            "copper": (1.8, "mg"),
            "iodine": (0.264, "mg"),
            "manganese": (1.44, "mg"),
            "zinc": (18.0, "mg"),
            "choline": (510.0, "mg"),
        },
    ),
    **_bounds(
        *("fediaf", "dog", "least", AAFCO_2014, "page 11 quotes FEDIAF: 36 mg/kg of dry matter"), {"iron": (9.0, "mg")}
    ),
    **_bounds(
        *("fediaf", "dog", "least", FROM_MEMORY, _MEMORY),
        {
            "protein": (45.0, "g"),
            "fat": (13.75, "g"),
            "linoleic acid": (3.27, "g"),
            "calcium": (1.25, "g"),
            "phosphorus": (1.0, "g"),
            "potassium": (1.25, "g"),
            "sodium": (0.25, "g"),
            "chloride": (0.38, "g"),
            "vitamin A": (1515.0, "units"),
            "vitamin D": (138.0, "units"),
            "vitamin E": (9.0, "units"),
            "thiamine": (0.54, "mg"),
        },
    ),
    **_bounds(
        *("fediaf", "cat", "least", FROM_MEMORY, _MEMORY),
        {
            "calcium": (1.0, "g"),
            "phosphorus": (0.64, "g"),
            "potassium": (1.5, "g"),
            "sodium": (0.19, "g"),
            "chloride": (0.29, "g"),
            "magnesium": (0.1, "g"),
            "iron": (20.0, "mg"),
            "zinc": (18.8, "mg"),
            "vitamin A": (833.0, "units"),
            "vitamin D": (62.5, "units"),
            "vitamin E": (9.5, "units"),
            "thiamine": (1.1, "mg"),
        },
    ),
}
FEDIAF_LEAST_EATS_LITTLE: Bounds = _bounds(
    *("fediaf", "cat", "least", FEDIAF_2017, "Table III-4, adult at 75 kcal/kg^0.67"),
    {
        "arginine": (3.25, "g"),
        "lysine": (1.125, "g"),
        "tryptophan": (0.425, "g"),
        "protein": (83.25, "g"),
        "fat": (22.5, "g"),
        "taurine": (0.675, "g"),
    },
    note=", for a cat that eats little",
    column=".eats_little",
)
"""A cat that eats less needs more of it in each kcal."""
EATS_AS_USUAL = Figure(
    id="nutrients.fediaf.cat.usual_energy",
    value=100,
    unit="kcal/kg^0.67 a day",
    source=FEDIAF_2017,
    place="Tables III-4 and VII-19b, head of the columns",
    says="The usual column for adult cats is made for a cat that eats this much; one that eats less has her own.",
)
CAT_POWER = Figure(
    id="nutrients.fediaf.cat.power",
    value=0.67,
    unit="power of the weight in kg",
    source=FEDIAF_2017,
    place="Tables III-4 and VII-19b, head of the columns",
    says="What cats eat is held against their weight to this power.",
)
FEDIAF_MOST: Bounds = {
    **_bounds(
        *("fediaf", "dog", "most", FEDIAF_2017, "substantiation of vitamin A: 40,000 units in 100 g of dry matter"),
        {"vitamin A": (100_000.0, "units")},
    ),
    **_bounds(
        *("fediaf", "cat", "most", FEDIAF_2017, "substantiation of vitamin A: 40,000 units in 100 g of dry matter"),
        {"vitamin A": (100_000.0, "units")},
    ),
    **_bounds(
        *("fediaf", "cat", "most", CAT_VITAMIN_D_2021, "Table 3, note e: 3,000 units in 100 g of dry matter"),
        {"vitamin D": (7500.0, "units")},
    ),
    **_bounds(
        *("fediaf", "cat", "most", FEDIAF_2017, "substantiation of sodium, adult cats"),
        {"sodium": (3.75, "g")},
        note=": no more than this has been tried; it is not a stated maximum",
    ),
}
_ADDED = ", by law, where it is an additive"
EU_MOST: Bounds = {
    **_bounds(
        *("eu", "dog", "most", EU_2019_1125, "annex: 200 mg in a kg of food with 12 % moisture, at 4,000 kcal/kg"),
        {"zinc": (56.8, "mg")},
        note=_ADDED,
    ),
    **_bounds(
        *("eu", "cat", "most", EU_2019_1125, "annex: 200 mg in a kg of food with 12 % moisture, at 4,000 kcal/kg"),
        {"zinc": (56.8, "mg")},
        note=_ADDED,
    ),
    **_bounds(
        *("eu", "dog", "most", EU_VITAMIN_D_PAGE, "2,000 units in a kg of food with 12 % moisture, at 4,000 kcal/kg"),
        {"vitamin D": (568.0, "units")},
        note=_ADDED,
    ),
}
NRC_LEAST: Bounds = _bounds(
    *("nrc", "dog", "least", NRC_2006_PAGE, "choline; FEDIAF's rule makes a fifth more of it"),
    {"choline": (425.0, "mg")},
)


def _ratio(
    profile: str, species: str, pair: tuple[str, str], kind: str, value: float, source: Source, place: str
) -> Figure:
    first, second = pair
    return Figure(
        id=f"nutrients.{profile}.{species}.{first}_to_{second}.{kind}".replace(" ", "_"),
        value=value,
        unit="to 1",
        source=source,
        place=place,
        says=f"{_WAYS[kind]} this many parts of {first} to one of {second}.",
    )


_CA_P, _OMEGAS = ("calcium", "phosphorus"), ("omega-6 fatty acids", "omega-3 fatty acids")
RATIOS: dict[tuple[str, str, str], tuple[Figure, ...]] = {
    ("dog", *_CA_P): (
        _ratio("aafco", "dog", _CA_P, "least", 1, AAFCO_2014, _BY_ENERGY),
        _ratio("aafco", "dog", _CA_P, "most", 2, AAFCO_2014, _BY_ENERGY),
    ),
    ("dog", *_OMEGAS): (_ratio("aafco", "dog", _OMEGAS, "most", 30, AAFCO_2014, _BY_ENERGY),),
    ("cat", *_CA_P): (
        _ratio("fediaf", "cat", _CA_P, "least", 1, FROM_MEMORY, _MEMORY),
        _ratio("fediaf", "cat", _CA_P, "most", 2, FROM_MEMORY, _MEMORY),
    ),
}
"""How much of one nutrient to one part of another, by species and the two."""
LEAST = (AAFCO_LEAST, FEDIAF_LEAST, NRC_LEAST)
MOST = (AAFCO_MOST, FEDIAF_MOST, EU_MOST)
NUTRIENTS = tuple(
    sorted(
        {nutrient for table in (*LEAST, *MOST) for _, nutrient in table}
        | {nutrient for _, *pair in RATIOS for nutrient in pair}
    )
)
"""Every nutrient that a profile bounds."""
