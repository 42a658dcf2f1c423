"""The animal and its tube, as the plan states them."""

from itertools import pairwise
from typing import Annotated, Literal, Self

from pydantic import Field, field_validator, model_validator

from fillmark.core.food.energy import Species
from fillmark.core.values.document import Day, Name, Number, Part, Stated, refuse, within
from fillmark.core.values.errors import BadPlan, OutOfRange
from fillmark.core.values.quantities import KG_PER_LB, write_number
from fillmark.core.values.words import say_date
from fillmark.published.blend import VOLUME_LIMITS_ML
from fillmark.published.input_limits import (
    CAT_WEIGHT_LIMITS_KG,
    CONDITION_LIMITS,
    FRENCH_LIMITS,
    LENGTH_LIMITS_CM,
    WEIGHT_JUMP_FRACTION,
    WEIGHT_LIMITS_KG,
)

VolumeMl = Annotated[Number, within(VOLUME_LIMITS_ML)]


Percent = Annotated[Number, Field(ge=0, le=100)]


Positive = Annotated[Number, Field(gt=0)]


class Weighing(Part):
    """One weight, in the unit the scale showed. `checked` says that a surprising one was weighed again.

    Attributes:
        on: Weighed on.
        kg: Weight. Where the scale shows kilograms.
        lb: Weight. Where the scale shows pounds.
        scale: Which scale. Two scales rarely agree.
        checked: Weighed again, and it is so. For a weight that surprises.
    """

    on: Day
    kg: Annotated[Number, within(WEIGHT_LIMITS_KG, remedy="If the scale showed grams, divide by 1000.")] | None = None
    lb: Positive | None = None
    scale: Stated[Name] = None
    checked: bool = False

    @model_validator(mode="after")
    def _one_unit(self) -> Self:
        if (self.kg is None) == (self.lb is None):
            raise refuse(
                BadPlan(
                    field="",
                    got="A weight with both kg and lb, or with neither",
                    allowed="one of kg and lb",
                    remedy="Keep the unit that the scale showed.",
                )
            )
        if not WEIGHT_LIMITS_KG.holds(self.weight_kg):
            raise refuse(
                OutOfRange(
                    field="",
                    got=f"A weight of {write_number(self.lb or 0)} lb",
                    allowed=f"{write_number(WEIGHT_LIMITS_KG.low)} to {write_number(WEIGHT_LIMITS_KG.high)} kg",
                    remedy="Check the number and its unit.",
                )
            )
        return self

    @property
    def weight_kg(self) -> float:
        """The weight [kg]."""
        return self.kg if self.kg is not None else (self.lb or 0) * float(KG_PER_LB)


class Condition(Part):
    """The body condition score that the vet gave, and the scale it is on.

    Attributes:
        score: Condition score. The number that the vet gave.
        of: On a scale of.
    """

    score: Annotated[Number, within(CONDITION_LIMITS)]
    of: Literal[5, 9]

    @model_validator(mode="after")
    def _on_scale(self) -> Self:
        if self.score > self.of:
            raise refuse(
                OutOfRange(
                    field="",
                    got=f"A condition score of {write_number(self.score)} of {self.of}",
                    allowed=f"1 to {self.of}",
                    remedy="Check which scale the vet uses, 5 or 9 points.",
                )
            )
        return self


class Tube(Part):
    """The feeding tube: what it is, and what must be the same at every look.

    `low_profile` is a button that ends flat at the skin and has no length mark to read.

    Attributes:
        kind: Kind of tube. Into the stomach through the skin; at the neck; through the nose; into the gut.
        french: Size in French. It is printed on the tube, as 20 Fr; about 3 times the mm.
        low_profile: A button that ends flat at the skin. It has no length mark to read.
        placed_on: Placed on.
        length_cm: Length of the tube. From tip to tip, where the sheet says it.
        mark_at_skin_cm: Mark at the skin. The number on the tube where it leaves the skin. It must be the same at every
            look.
        inner_diameter_mm: Inner diameter. Only where the maker prints it.
        balloon_ml: Water in the balloon. What holds it inside, where it has a balloon.
    """

    kind: Literal["gastrostomy", "esophagostomy", "nasoesophageal", "jejunostomy"]
    french: Annotated[Number, within(FRENCH_LIMITS, remedy="French is printed on the tube: about 3 times the mm.")]
    low_profile: bool = False
    placed_on: Stated[Day] = None
    length_cm: Stated[Annotated[Number, within(LENGTH_LIMITS_CM)]] = None
    mark_at_skin_cm: Stated[Annotated[Number, Field(ge=0), within(LENGTH_LIMITS_CM)]] = None
    inner_diameter_mm: Stated[Positive] = None
    balloon_ml: Stated[VolumeMl] = None

    def is_another(self, old: "Tube") -> bool:
        """Whether another tube lies in its place; a mark read otherwise, or what was not stated, makes none."""
        told = (
            (self.placed_on, old.placed_on),
            (self.length_cm, old.length_cm),
            (self.inner_diameter_mm, old.inner_diameter_mm),
        )
        is_told_otherwise = any(None not in (new, before) and new != before for new, before in told)
        kinds = ((one.kind, one.french, one.low_profile) for one in (self, old))
        return is_told_otherwise or len(set(kinds)) > 1


class Animal(Part):
    """The animal, and the tube it is fed through. `starved` says whether it was without food for days before.

    Attributes:
        name: Name.
        species: Dog or cat.
        born_on: Born on. A guess is better than nothing, as the first of that month.
        sex: Sex.
        condition: Condition. How lean or round it is.
        starved: Was it without food for days before? After days without food the first meals must be small: say yes if
            in doubt.
        target_weight_kg: Weight to reach. Only where the vet gave one.
        by_mouth: By mouth. What may be given by mouth now.
        weights: Weights. The oldest first.
        tube: The tube.
    """

    name: Name
    species: Species = Field(strict=False)
    born_on: Stated[Day] = None
    sex: Stated[Literal["female", "male", "female, neutered", "male, neutered"]] = None
    condition: Stated[Condition] = None
    starved: Stated[bool] = None
    target_weight_kg: Stated[Annotated[Number, within(WEIGHT_LIMITS_KG)]] = None
    by_mouth: Stated[Literal["nothing", "water", "tastes", "food and water"]] = None
    weights: tuple[Weighing, ...] = Field(min_length=1, max_length=5000)
    tube: Tube

    @property
    def weight(self) -> Weighing:
        """The newest weighing."""
        return self.weights[-1]

    @field_validator("weights")
    @classmethod
    def _believable(cls, weights: tuple[Weighing, ...]) -> tuple[Weighing, ...]:
        """Faults stand at the weighing, also while nothing else is known of the animal."""
        for number, (before, after) in enumerate(pairwise(weights), start=2):
            place = f"[{number}]"
            if after.on < before.on:
                raise refuse(
                    BadPlan(
                        field=place,
                        got=f"A weighing of {say_date(after.on)} after one of {say_date(before.on)}",
                        allowed="oldest first",
                        remedy="Put the weighings in order, or check the year.",
                    )
                )
            change = after.weight_kg / before.weight_kg - 1
            if abs(change) > WEIGHT_JUMP_FRACTION.value and not after.checked:
                ratio = after.weight_kg / before.weight_kg
                pounds = float(1 / KG_PER_LB)
                slip = ratio if ratio > 1 else 1 / ratio
                hint = (
                    "It looks like pounds read as kg: write lb if the scale showed pounds. "
                    if abs(slip / pounds - 1) < 0.15
                    else ""
                )
                raise refuse(
                    OutOfRange(
                        field=place,
                        got=f"A weight of {write_number(after.weight_kg)} kg after {write_number(before.weight_kg)} kg",
                        allowed=f"a change of {WEIGHT_JUMP_FRACTION.value:.0%} or less between two weighings",
                        remedy=f"{hint}If a second weighing shows the same, add checked = true and tell the vet.",
                    )
                )
        return weights

    @model_validator(mode="after")
    def _fits_species(self) -> Self:
        if self.species is Species.CAT and not CAT_WEIGHT_LIMITS_KG.holds(self.weight.weight_kg):
            raise refuse(
                OutOfRange(
                    field="weights",
                    got=f"A cat of {write_number(self.weight.weight_kg)} kg",
                    allowed=f"{write_number(CAT_WEIGHT_LIMITS_KG.low)} to {write_number(CAT_WEIGHT_LIMITS_KG.high)} kg",
                    remedy="If the scale showed pounds, write lb in place of kg.",
                )
            )
        return self
