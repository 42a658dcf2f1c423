"""A dose as a volume, and as the mark on the syringe."""

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import replace
from datetime import date

from fillmark.core.orders.dose_text import PIECE_NAMES, Pieces, Route, bare_amount, number_of, unit_of
from fillmark.core.orders.dosing_days import amount_on, ordered_dose
from fillmark.core.orders.medicine import Medicine, read_strength
from fillmark.core.orders.tablets import TabletParts, no_strength, tablet_parts
from fillmark.core.tube.mark import find_mark
from fillmark.core.tube.syringe import Mark, Syringe, tip_misfit
from fillmark.core.values.errors import CannotDraw, WrongUnit
from fillmark.core.values.explain import Explained
from fillmark.core.values.other_amounts import OtherAmount, OtherStrength
from fillmark.core.values.quantities import Mass, Strength, Volume
from fillmark.published import Fact


def dose_volume(medicine: Medicine, *, weight_kg: float, on: date | None = None) -> Explained[Volume]:
    """What one dose is in this bottle, exact.

    Args:
        medicine: The order.
        weight_kg: Weight [kg].
        on: The household's day; none for the first dose.
    Raises:
        NotStated: the strength, or what the dose hangs on, is not stated.
        WrongUnit: the medicine is not measured by volume.
    Source:
        the vet's order and the bottle
    """
    dose = ordered_dose(medicine, weight_kg=weight_kg, on=on)
    strength = read_strength(medicine)
    if strength is None:
        raise no_strength(medicine)
    if isinstance(strength, Mass | OtherAmount):
        raise WrongUnit(
            field="strength",
            got=f"{medicine.name} of {medicine.strength}, to be drawn up",
            allowed="a mass in each mL",
            remedy=f"It is given by the {PIECE_NAMES[medicine.form]}.",
        )
    if unit_of(dose.value) != unit_of(strength):
        raise WrongUnit(
            field="strength",
            got=f"{medicine.name}, {dose.value}, from what holds {strength}",
            allowed=f"a strength in {unit_of(dose.value)}",
            remedy="Ask the vet or the pharmacy for the dose in what this label counts.",
        )
    volume = Volume(bare_amount(dose.value) / number_of(strength))
    return Explained(value=volume, because=f"{dose.value} ÷ {strength} = {volume}", parts=(dose,))


def draw(
    medicine: Medicine, *, weight_kg: float, syringes: Sequence[Syringe], on: date | None = None
) -> Explained[Mark | TabletParts]:
    """What the hand does for one dose: the line to fill a syringe to, or how many pieces to take.

    Args:
        medicine: The order.
        weight_kg: The newest weight [kg].
        syringes: What this household owns.
        on: The day it is for, where doses change by day.
    Raises:
        CannotDraw: nothing this household has comes near enough.
        NotStated: the vet's answer is missing.
    Source:
        the vet's order and the figures of the mark
    """
    measured = isinstance(read_strength(medicine), Strength | OtherStrength)
    counted = isinstance(amount_on(medicine, on=on), Pieces)
    if not medicine.is_drawn and not (
        measured and not counted and medicine.form in ("drops", "nebulizer vial", "powder")
    ):
        return tablet_parts(medicine, weight_kg=weight_kg, on=on)
    volume = dose_volume(medicine, weight_kg=weight_kg, on=on)
    found, misfit = _mark_for_route(volume.value, syringes=syringes, route=medicine.route)
    value, cautions = found.value, found.cautions
    if misfit:
        cautions = (
            *cautions,
            f"Does the {value.syringe.name} fit? {misfit.says} Ask for {_TIP_OF_ROUTE[medicine.route]}.",
        )
        value = replace(value, cautions=cautions)
    return Explained(
        value=value,
        because=found.because,
        figures=(*found.figures, misfit) if misfit else found.figures,
        parts=(volume, *found.parts),
        cautions=cautions,
    )


_TIP_OF_ROUTE = {
    "tube": "a syringe with a low-dose enteral tip",
    "mouth": "an oral syringe",
    "under the skin": "a syringe with a needle",
}


def _mark_for_route(
    volume: Volume, *, syringes: Sequence[Syringe], route: Route
) -> tuple[Explained[Mark], Fact | None]:
    """A syringe whose tip goes with the route where one measures the dose; else any, with what speaks against it."""
    fitting = [syringe for syringe in syringes if tip_misfit(tip=syringe.tip, route=route) is None]
    with suppress(CannotDraw):
        return find_mark(volume=volume, syringes=fitting), None
    found = find_mark(volume=volume, syringes=syringes)
    return found, tip_misfit(tip=found.value.syringe.tip, route=route)
