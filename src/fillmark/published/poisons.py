"""What harms in a medicine's liquid, or off the kitchen table. No amount of it is called harmless here."""

from fillmark.published.figure import Fact, Figure
from fillmark.published.sources import COMPENDIUM_2010, VPIS_2021

XYLITOL_SUGAR_G_PER_KG = Figure(
    id="poisons.xylitol_sugar",
    value=0.1,
    unit="g/kg",
    source=COMPENDIUM_2010,
    place="abstract",
    says="Above this, xylitol drops a dog's blood sugar.",
)
PROPYLENE_GLYCOL_CAT = Fact(
    id="poisons.propylene_glycol_cat",
    subject="propylene glycol",
    source=VPIS_2021,
    place="use over a long time",
    says="Propylene glycol given to a cat for long harms its red blood cells: ask the vet.",
)
