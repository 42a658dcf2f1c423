"""Is this medicine in print here, for this animal? What is not known by its name is said, never passed over."""

from fillmark.core.food.energy import Species
from fillmark.core.orders.medicine import Medicine
from fillmark.core.values.finding import Finding, Weight
from fillmark.published.dose_ranges import caps_for, printed_for_weight, ranges_for
from fillmark.published.medicine import NOT_FOR_CATS, facts_about
from fillmark.published.medicine_names import read_name


def name_in_print(medicine: Medicine) -> str:
    """The name that doses in print are looked up by: of what the mg count, where the order says that it is the base.

    Args:
        medicine: The order.
    Source:
        medicine_name.*
    """
    known = read_name(medicine.name)
    counted = read_name(medicine.counts_as or "").substance
    bare = known.parts - {known.substance}
    if known.substance and bare and (counted in bare or (medicine.counts_as or "").strip().lower() == "base"):
        return min(bare)
    return medicine.name


def about_name(medicine: Medicine, *, species: Species, weight_kg: float) -> list[Finding]:
    """What a person must know about how far this medicine was checked at all.

    Args:
        medicine: The order.
        species: Dog or cat.
        weight_kg: The newest weight [kg].
    Source:
        medicine_name.*, medicine.not_for_cats.*
    """
    found = []
    if species is Species.CAT and (warned := facts_about(medicine.name, NOT_FOR_CATS)):
        found.append(
            Finding(
                code="not-for-this-species",
                weight=Weight.NEEDS_VET,
                field="name",
                text=f"{medicine.name} is ordered for a cat. {warned[0].says} Ask the vet before giving it.",
                blocks=True,
                figures=warned,
            )
        )
    said = _how_far(medicine, species=species, weight_kg=weight_kg)
    if said is not None:
        code, text = said
        found.append(Finding(code=code, weight=Weight.SAID, field="name", text=text))
    return found


def _how_far(medicine: Medicine, *, species: Species, weight_kg: float) -> tuple[str, str] | None:
    """How far print reaches for this name: not at all, not for this species, or not for all of its words."""
    name, known = name_in_print(medicine), read_name(medicine.name)

    def is_printed(kind: Species) -> bool:
        row = printed_for_weight(name=name, species=kind.value, form=medicine.form, weight_kg=weight_kg)
        return bool(ranges_for(name=name, species=kind.value) or caps_for(name=name, species=kind.value) or row)

    others = [kind for kind in Species if kind is not species and is_printed(kind)]
    if not is_printed(species) and others:
        return (
            "no-range-for-species",
            f"{medicine.name}: print has no range for a {species.value} here, only for a {others[0].value}: its dose "
            "was not checked.",
        )
    if not is_printed(species):
        mix = len(known.parts) > 1 or (known.parts and not known.substance)
        return (
            "not-in-print",
            f"{medicine.name} is not in print here{' as this mix' if mix else ''}: nothing was checked about its dose.",
        )
    if known.unknown:
        words = " ".join(known.unknown)
        return (
            "name-partly-known",
            f'{medicine.name} was looked up as {known.substance}; "{words}" in its name means nothing here.',
        )
    return None
