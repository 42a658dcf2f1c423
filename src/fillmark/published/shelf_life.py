"""How long a medicine keeps: compounded, opened, or mixed up. The label of the pharmacy goes before all of it."""

from fillmark.published.figure import Band, Fact, Figure
from fillmark.published.sources import (
    CARE_HOME_EXPIRY,
    CDC_SINGLE_DOSE,
    FROM_MEMORY,
    ILLINOIS_COMPOUNDING,
    OWN_CHOICE,
    USP_795,
)

BEYOND_USE_DAYS = {
    "water, no preservative": Figure(
        id="shelf_life.water_unpreserved",
        value=14,
        unit="days in the refrigerator",
        source=USP_795,
        place="table of longest dates by kind",
        says="A liquid made with water and without a preservative keeps 14 days at most, in the refrigerator.",
    ),
    "water, preserved": Figure(
        id="shelf_life.water_preserved",
        value=35,
        unit="days",
        source=USP_795,
        place="table of longest dates by kind",
        says="A preserved liquid made with water keeps 35 days at most.",
    ),
    "oil": Figure(
        id="shelf_life.oil",
        value=90,
        unit="days",
        source=FROM_MEMORY,
        place="USP <795>, table of longest dates by kind",
        says="A liquid for the mouth made without water keeps 90 days at most.",
    ),
    "dry": Figure(
        id="shelf_life.dry",
        value=180,
        unit="days",
        source=FROM_MEMORY,
        place="USP <795>, table of longest dates by kind",
        says="Compounded capsules, tablets and powders keep 180 days at most.",
    ),
}
DAY_OF_MAKING = Figure(
    id="shelf_life.day_of_making",
    value=1,
    unit="number of the day of making",
    source=ILLINOIS_COMPOUNDING,
    place="how days are counted",
    says="The day of making is day 1.",
)
FIRST_TO_EXPIRE = Fact(
    id="shelf_life.first_to_expire",
    subject="ingredients",
    source=ILLINOIS_COMPOUNDING,
    place="how the date is set",
    says="Nothing compounded keeps longer than the first of its ingredients to expire.",
)
OPENED_LIQUID_MONTHS = Figure(
    id="shelf_life.opened_liquid",
    value=6,
    unit="months after opening",
    source=CARE_HOME_EXPIRY,
    place="liquids to swallow, where the maker gives no limit; NICE sets none",
    says="A liquid to swallow, with no limit from its maker, was kept six months after opening.",
)
OPENED_ANTIBIOTIC_DAYS = Band(
    id="shelf_life.opened_antibiotic",
    low=7,
    high=14,
    unit="days after mixing",
    source=CARE_HOME_EXPIRY,
    place="antibiotic liquids mixed from powder",
    says="An antibiotic mixed from powder keeps 7 or 14 days; its label says which.",
)
OPENED_WEEKLY_BOX_MONTHS = Figure(
    id="shelf_life.weekly_box",
    value=2,
    unit="months after filling",
    source=CARE_HOME_EXPIRY,
    place="tablets taken out of their packing",
    says="Tablets in a weekly box are kept two months.",
)
SINGLE_DOSE = Fact(
    id="shelf_life.single_dose",
    subject="single-dose vial",
    source=CDC_SINGLE_DOSE,
    place="the position itself; written for injections",
    says="A single-dose vial or pod is used once, and the rest is thrown away.",
)
MONTH_AS_DATE = Fact(
    id="shelf_life.month_as_date",
    subject="a month as expiry",
    source=CARE_HOME_EXPIRY,
    place="table of wordings",
    says="A month printed as expiry, or as the month to use it by, means the last day of that month.",
)
USE_BEFORE_MONTH = Fact(
    id="shelf_life.use_before_month",
    subject="use before a month",
    source=FROM_MEMORY,
    place="advice of pharmacies on use-by and use-before dates",
    says='"Use before" a month ends with the month before it; some read "use by" a month the same way.',
)
SHELF_LIFE_LIMITS_DAYS = Band(
    id="shelf_life.limits",
    low=1,
    high=3653,
    unit="days",
    source=OWN_CHOICE,
    place="one day to ten years",
    says="A medicine keeps neither shorter nor longer than this; another number is a slip.",
)
