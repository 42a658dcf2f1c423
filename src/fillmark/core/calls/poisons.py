"""How much of a poison went in, for the call to the vet. Any amount is a call; a number only says how fast."""

from dataclasses import dataclass
from typing import Literal

from fillmark.core.food.energy import Species
from fillmark.core.values.explain import Explained
from fillmark.core.values.limits import check_at_least, check_range
from fillmark.core.values.quantities import write_number
from fillmark.published.input_limits import WEIGHT_LIMITS_KG
from fillmark.published.poisons import XYLITOL_LIVER_G_PER_KG, XYLITOL_SUGAR_G_PER_KG


@dataclass(frozen=True, kw_only=True, slots=True)
class XylitolEaten:
    """What xylitol may do.

    Attributes:
        g_per_kg: How much it was for each kg of the animal [g/kg].
        risk: What print knows of this much.
        call: What to do, as a sentence; never nothing.
    """

    g_per_kg: float
    risk: Literal["liver failure", "low blood sugar", "under the printed doses", "not known in this species"]
    call: str


def xylitol_eaten(*, species: Species, weight_kg: float, eaten_g: float) -> Explained[XylitolEaten]:
    """How dangerous an amount of xylitol is by print; there is no amount at which nobody is called.

    Raises:
        OutOfRange: the weight or the amount can only be a slip.
    Source:
        poisons.xylitol_sugar, poisons.xylitol_liver
    """
    check_range(field="weight_kg", value=weight_kg, limits=WEIGHT_LIMITS_KG)
    check_at_least(field="eaten_g", value=eaten_g, least=0, unit="g", remedy="Read the package again.")
    g_per_kg = eaten_g / weight_kg
    because = (
        f"{write_number(eaten_g)} g ÷ {write_number(weight_kg)} kg = {write_number(g_per_kg, digits=3)} g/kg of xylitol"
    )
    if species is not Species.DOG:
        value = XylitolEaten(
            g_per_kg=g_per_kg, risk="not known in this species", call="Call the vet now: print is about dogs."
        )
    elif g_per_kg > XYLITOL_LIVER_G_PER_KG.value:
        value = XylitolEaten(
            g_per_kg=g_per_kg, risk="liver failure", call="Emergency: go to the vet now. The liver can fail."
        )
    elif g_per_kg > XYLITOL_SUGAR_G_PER_KG.value:
        value = XylitolEaten(
            g_per_kg=g_per_kg,
            risk="low blood sugar",
            call="Emergency: go to the vet now. The blood sugar can fall within minutes.",
        )
    else:
        value = XylitolEaten(
            g_per_kg=g_per_kg,
            risk="under the printed doses",
            call="Call the vet now: no amount is known to be harmless to a dog.",
        )
    return Explained(value=value, because=because, figures=(XYLITOL_SUGAR_G_PER_KG, XYLITOL_LIVER_G_PER_KG))
