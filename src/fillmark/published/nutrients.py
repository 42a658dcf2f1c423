"""Least and most of a nutrient for each 1,000 kcal, adult animals."""

from fillmark.published.figure import Figure, Source
from fillmark.published.sources import AAFCO_2014, FEDIAF_2017, FROM_MEMORY


def _bound(kind: str, profile: str, species: str, nutrient: str, value: float, unit: str, source: Source) -> Figure:
    return Figure(
        id=f"nutrients.{profile}.{species}.{nutrient.replace(' ', '_')}.{kind}",
        value=value,
        unit=f"{unit}/1,000 kcal",
        source=source,
        place="adult, calorie basis" if species == "dog" else "adult, dry matter table at 4,000 kcal/kg",
        says=f"At {'least' if kind == 'least' else 'most'} this much {nutrient} for each 1,000 kcal.",
    )


def _bounds(
    kind: str, profile: str, species: str, unit_by_nutrient: dict[str, tuple[float, str]], source: Source
) -> dict[tuple[str, str], Figure]:
    return {
        (species, nutrient): _bound(kind, profile, species, nutrient, value, unit, source)
        for nutrient, (value, unit) in unit_by_nutrient.items()
    }


_DOG_SEEN = {
    "fat": (13.8, "g"),
    "linoleic acid": (2.8, "g"),
    "calcium": (1.25, "g"),
    "potassium": (1.5, "g"),
    "sodium": (0.2, "g"),
    "chloride": (0.3, "g"),
    "iron": (10.0, "mg"),
}
_DOG_MEMORY = {
    "protein": (45.0, "g"),
    "phosphorus": (1.0, "g"),
    "magnesium": (0.15, "g"),
    "copper": (1.83, "mg"),
    "manganese": (1.25, "mg"),
    "zinc": (20.0, "mg"),
    "iodine": (0.25, "mg"),
    "selenium": (0.08, "mg"),
    "vitamin A": (1250.0, "units"),
    "vitamin D": (125.0, "units"),
    "vitamin E": (12.5, "units"),
    "thiamine": (0.56, "mg"),
    "choline": (340.0, "mg"),
}
_CAT_SEEN = {
    "calcium": (1.5, "g"),
    "sodium": (0.5, "g"),
    "chloride": (0.75, "g"),
    "magnesium": (0.1, "g"),
}
_CAT_MEMORY = {
    "protein": (65.0, "g"),
    "fat": (22.5, "g"),
    "phosphorus": (1.25, "g"),
    "potassium": (1.5, "g"),
    "iron": (20.0, "mg"),
    "zinc": (18.8, "mg"),
    "taurine": (0.5, "g"),
    "thiamine": (1.4, "mg"),
    "vitamin A": (833.0, "units"),
    "vitamin D": (70.0, "units"),
    "vitamin E": (10.0, "units"),
}
AAFCO_LEAST = {
    **_bounds("least", "aafco", "dog", _DOG_SEEN, AAFCO_2014),
    **_bounds("least", "aafco", "dog", _DOG_MEMORY, FROM_MEMORY),
    **_bounds("least", "aafco", "cat", _CAT_SEEN, AAFCO_2014),
    **_bounds("least", "aafco", "cat", _CAT_MEMORY, FROM_MEMORY),
}
AAFCO_MOST = _bounds("most", "aafco", "dog", {"calcium": (4.5, "g"), "phosphorus": (4.0, "g")}, AAFCO_2014)
_DOG_FEDIAF_MEMORY = {
    "protein": (45.0, "g"),
    "fat": (13.75, "g"),
    "linoleic acid": (3.27, "g"),
    "calcium": (1.25, "g"),
    "phosphorus": (1.0, "g"),
    "potassium": (1.25, "g"),
    "sodium": (0.25, "g"),
    "chloride": (0.38, "g"),
    "magnesium": (0.18, "g"),
    "copper": (1.8, "mg"),
    "iodine": (0.26, "mg"),
    "iron": (9.0, "mg"),
    "manganese": (1.44, "mg"),
    "zinc": (18.0, "mg"),
    "vitamin A": (1515.0, "units"),
    "vitamin D": (138.0, "units"),
    "vitamin E": (9.0, "units"),
    "thiamine": (0.54, "mg"),
    "choline": (425.0, "mg"),
}
_CAT_FEDIAF_MEMORY = {
    "protein": (62.5, "g"),
    "fat": (22.5, "g"),
    "calcium": (1.0, "g"),
    "phosphorus": (0.64, "g"),
    "potassium": (1.5, "g"),
    "sodium": (0.19, "g"),
    "chloride": (0.29, "g"),
    "magnesium": (0.1, "g"),
    "iron": (20.0, "mg"),
    "zinc": (18.8, "mg"),
    "taurine": (0.5, "g"),
    "vitamin A": (833.0, "units"),
    "vitamin D": (62.5, "units"),
    "vitamin E": (9.5, "units"),
    "thiamine": (1.1, "mg"),
}
FEDIAF_LEAST = {
    **_bounds(
        "least",
        "fediaf",
        "cat",
        {"arginine": (2.5, "g"), "lysine": (0.85, "g"), "tryptophan": (0.33, "g")},
        FEDIAF_2017,
    ),
    **_bounds("least", "fediaf", "dog", _DOG_FEDIAF_MEMORY, FROM_MEMORY),
    **_bounds("least", "fediaf", "cat", _CAT_FEDIAF_MEMORY, FROM_MEMORY),
}
NUTRIENTS = tuple(sorted({nutrient for _, nutrient in (*AAFCO_LEAST, *AAFCO_MOST, *FEDIAF_LEAST)}))
"""Every nutrient that a profile bounds."""
