"""What does a batch hold as it was really made, beside what the plan counts with?"""

from dataclasses import dataclass

from fillmark.core.day.batch import batch_energy_and_water, batch_volume
from fillmark.core.food.blend import blend_energy
from fillmark.core.plan.answers import Raw
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record.care_entries import BatchMade
from fillmark.core.values.document import read_document
from fillmark.core.values.explain import Explained


@dataclass(frozen=True, kw_only=True, slots=True)
class HeldEnergy:
    """The energy of a batch as it was made, and of the plan's [kcal/mL]."""

    made: Explained[float]
    planned: Explained[float]

    @property
    def percent(self) -> int:
        """How much more it holds than the plan's, less than 0 for less [%]."""
        return round(100 * (self.made.value / self.planned.value - 1))


def density_of(plan: CarePlan) -> Explained[float]:
    """Energy of a plan's blend [kcal/mL].

    Raises:
        FillmarkError: it cannot be worked out.
    Source:
        the labels
    """
    return blend_energy(kcal=batch_energy_and_water(plan).value[0], volume=batch_volume(plan))


def energy_held(plan: CarePlan, made: BatchMade) -> HeldEnergy:
    """What a batch holds, beside the plan's blend.

    Args:
        plan: The plan that knows its foods.
        made: The batch as it was made.
    Raises:
        FillmarkError: one of the two cannot be worked out, or the plan does not know a food.
    Source:
        the labels
    """
    document = plan.model_dump(mode="json", exclude_unset=True)
    return HeldEnergy(made=density_of(read_document(CarePlan, with_batch(document, made))), planned=density_of(plan))


def with_batch(document: Raw, made: BatchMade) -> Raw:
    """A plan's document whose blend is a batch as it was made.

    Args:
        document: The plan's document.
        made: The batch.
    """
    values = made.model_dump(mode="json", exclude_none=True)
    blend = {key: value for key, value in document["blend"].items() if key != "measured"}
    blend |= {"foods": values["foods"], "water_ml": values["water_ml"]}
    measured = {key: values[key] for key in ("ml", "batch_g", "sample_ml", "sample_g") if key in values}
    if measured:
        blend["measured"] = {"on": values["made_on"], **measured}
    return document | {"blend": blend}
