"""The foods by their labels, and the recipe of a batch."""

from typing import Annotated, Literal, Self

from pydantic import AfterValidator, Field, WithJsonSchema, model_validator

from fillmark.core.food.food import Analysis, EnergyUnit, LabelBasis, LabelEnergy
from fillmark.core.plan.animal import Percent, Positive, VolumeMl
from fillmark.core.values.document import Day, Id, Name, Number, Part, Stated, refuse, within
from fillmark.core.values.errors import BadPlan, NotStated
from fillmark.published.input_limits import (
    KEEPS_LIMITS_DAYS,
)
from fillmark.published.nutrients import NUTRIENTS


class Label(Part):
    """The energy statement of a label, as printed.

    Attributes:
        energy: Energy on the label. The number, as printed.
        unit: In.
        per: For each. Can, cup, kg, 100 g or mL: as printed.
    """

    energy: Positive
    unit: Literal["kcal", "kJ", "MJ"]
    per: Literal["can", "cup", "kg", "100 g", "mL"]

    @property
    def printed(self) -> LabelEnergy:
        """The statement as the core knows it."""
        return LabelEnergy(energy=self.energy, unit=EnergyUnit(self.unit), per=LabelBasis(self.per))


class LabelAnalysis(Part):
    """The analysis on a label, as fed [% by weight]. Many labels print no ash: energy is not worked out without it.

    Attributes:
        protein_percent: Protein.
        fat_percent: Fat.
        fiber_percent: Fiber.
        moisture_percent: Moisture.
        ash_percent: Ash. Many labels print none; without it the energy is not worked out.
        carbohydrate_percent: Carbohydrate. Where it is printed.
    """

    protein_percent: Percent
    fat_percent: Percent
    fiber_percent: Percent
    moisture_percent: Percent
    ash_percent: Stated[Percent] = None
    carbohydrate_percent: Stated[Percent] = None

    @property
    def printed(self) -> Analysis:
        """The analysis as the core knows it.

        Raises:
            NotStated: the label prints no ash.
        """
        if self.ash_percent is None:
            raise NotStated(
                field="analysis.ash_percent",
                got="An analysis without ash",
                allowed="the ash in %, or the energy on the label",
                remedy="Copy the energy from the label, or ask the maker for the ash.",
            )
        return Analysis(
            protein_percent=self.protein_percent,
            fat_percent=self.fat_percent,
            fiber_percent=self.fiber_percent,
            moisture_percent=self.moisture_percent,
            ash_percent=self.ash_percent,
            carbohydrate_percent=self.carbohydrate_percent,
        )


def _known_nutrient(name: str) -> str:
    if name not in NUTRIENTS:
        raise refuse(
            BadPlan(
                field="",
                got=f'"{name[:40]}" for a nutrient',
                allowed=", ".join(NUTRIENTS),
                remedy="Write it as it stands in this list; leave out what no profile names.",
            )
        )
    return name


class LabelNutrient(Part):
    """How much of one nutrient a label prints, and for how much food. A percent is g in 100 g.

    Attributes:
        nutrient: Nutrient.
        amount: How much. As printed; a percent is g in 100 g.
        unit: In.
        per: For each.
    """

    nutrient: Annotated[str, AfterValidator(_known_nutrient), WithJsonSchema({"enum": list(NUTRIENTS)})]
    amount: Annotated[Number, Field(ge=0)]
    unit: Literal["g", "mg", "mcg", "units"]
    per: Literal["1,000 kcal", "100 g", "kg", "can"]


class Portion(Part):
    """What an additive is measured with: its name ("teaspoon"), and what it weighs and holds filled level.

    Attributes:
        name: Measured with. Teaspoon, scoop.
        g: It weighs.
        ml: It holds.
    """

    name: Name
    g: Positive
    ml: Positive

    @property
    def g_per_ml(self) -> float:
        """How heavy a milliliter of it is [g/mL]."""
        return self.g / self.ml


class Food(Part):
    """A food, by its label. Without a printed energy it is worked out from the analysis, by the method named.

    `keeps_days` is how long an opened can, or a blend of it, keeps in the refrigerator, as the label says [days].
    `portion` is for what comes in no can: an oil, a powder. `nutrients` are those that the label prints.

    Attributes:
        id: A short handle. The program makes it from the name.
        name: Name of the food. As on the label.
        label: Energy. As the label prints it.
        analysis: Analysis. Typical values, as fed.
        energy_method: How energy is worked out. Only where the label prints none.
        can_g: A can weighs. Its net weight.
        can_ml: A can holds. Its volume, where it is printed.
        cup_g: A cup weighs. Where the label gives energy for a cup.
        keeps_days: Keeps, once open. In the refrigerator, as the label says.
        complete: A complete food. The label says complete, or complete and balanced.
        portion: What it is measured with. For an oil or a powder that comes in no can.
        nutrients: Nutrients on the label.
    """

    id: Id
    name: Name
    label: Stated[Label] = None
    analysis: Stated[LabelAnalysis] = None
    energy_method: Literal["modified Atwater", "NRC 2006", "natural food"] = "NRC 2006"
    can_g: Stated[Positive] = None
    can_ml: Stated[VolumeMl] = None
    cup_g: Stated[Positive] = None
    keeps_days: Stated[Annotated[int, within(KEEPS_LIMITS_DAYS)]] = None
    complete: Stated[bool] = None
    portion: Stated[Portion] = None
    nutrients: tuple[LabelNutrient, ...] = Field(default=(), max_length=len(NUTRIENTS))


class BlendFood(Part):
    """How much of a food goes into one batch: whole or part cans, grams, or mL of what comes blended already.

    Attributes:
        food: Food.
        cans: Cans. Whole or part cans.
        g: Or weighed.
        ml: Or measured. What comes blended already.
    """

    food: Id
    cans: Positive | None = None
    g: Positive | None = None
    ml: VolumeMl | None = None

    @model_validator(mode="after")
    def _one_measure(self) -> Self:
        if [self.cans, self.g, self.ml].count(None) != 2:
            raise refuse(
                BadPlan(
                    field="",
                    got="A food of the blend with several of cans, g and ml, or with none",
                    allowed="one of cans, g and ml",
                    remedy="Say how much goes into one batch.",
                )
            )
        return self


class Measured(Part):
    """The finished batch: its volume in a jug, or its weight with a weighed syringe of it.

    Attributes:
        on: Measured on.
        ml: The whole batch, in a jug.
        batch_g: Or the whole batch weighs.
        sample_ml: A syringe of it holds.
        sample_g: That syringe of it weighs. Without the syringe.
    """

    on: Day
    ml: VolumeMl | None = None
    batch_g: Positive | None = None
    sample_ml: Positive | None = None
    sample_g: Positive | None = None

    @model_validator(mode="after")
    def _one_way(self) -> Self:
        weighed = (self.batch_g, self.sample_ml, self.sample_g)
        by_weight = all(value is not None for value in weighed)
        if (self.ml is not None) == by_weight or (self.ml is not None and any(value is not None for value in weighed)):
            raise refuse(
                BadPlan(
                    field="",
                    got="A measured blend with neither a volume nor a whole weighing, or with both",
                    allowed="ml alone, or batch_g with sample_ml and sample_g",
                    remedy="Pour the finished blend into a measuring jug and enter what it shows.",
                )
            )
        return self


class Blend(Part):
    """The recipe of one batch.

    Attributes:
        name: What this blend is called.
        foods: What goes in.
        water_ml: Water.
        measured: The batch as it was measured. What comes out is more, or less, than what went in.
    """

    name: Name
    foods: tuple[BlendFood, ...] = Field(min_length=1, max_length=40)
    water_ml: VolumeMl
    measured: Stated[Measured] = None
