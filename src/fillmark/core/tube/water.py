"""How much water went in, how much is still due? Too little and too much both count."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from fillmark.core.food.energy import Species
from fillmark.core.values.errors import OutOfRange
from fillmark.core.values.explain import Explained
from fillmark.core.values.limits import check_at_least, check_range
from fillmark.core.values.quantities import WrittenSum, write_number, write_sum
from fillmark.published.input_limits import WEIGHT_LIMITS_KG
from fillmark.published.water import (
    ALLOWANCE_ML_PER_KCAL,
    ALLOWANCE_ML_PER_KG,
    LEDGER_LIMITS_ML,
    MAINTENANCE_FACTOR,
    MAINTENANCE_POWER,
    METABOLIC_G_PER_100_KCAL,
)


def flushes_in_session(*, medicines: int, has_meal: bool) -> Explained[int]:
    """How often the tube is flushed in one session: before, between and after all that goes in.

    Each medicine is given alone, so n things make n + 1 flushes; the meal counts as one thing.

    Args:
        medicines: How many are given.
        has_meal: Whether a meal is given too.
    Source:
        arithmetic only
    """
    check_at_least(field="medicines", value=medicines, least=0, unit="medicines", remedy="Count the medicines again.")
    things = medicines + has_meal
    count = things + 1 if things else 0
    return Explained(
        value=count,
        because=f"{medicines} medicine{'' if medicines == 1 else 's'}{' + the meal' if has_meal else ''}"
        f" → {count} flushes",
    )


def water_maintenance(*, species: Species, weight_kg: float) -> Explained[float]:
    """Water a healthy animal of this weight turns over in a day [mL/day].

    Args:
        species: Dog or cat.
        weight_kg: Weight [kg].
    Source:
        water.maintenance_cat, water.maintenance_dog, water.maintenance_power
    """
    check_range(field="weight_kg", value=weight_kg, limits=WEIGHT_LIMITS_KG)
    factor = MAINTENANCE_FACTOR[species]
    ml = factor.value * weight_kg**MAINTENANCE_POWER.value
    return Explained(
        value=ml,
        because=f"{factor.value:g} × {write_number(weight_kg)} kg^{MAINTENANCE_POWER.value:g} = {ml:,.0f} mL/day",
        figures=(factor, MAINTENANCE_POWER),
    )


def water_allowance(*, weight_kg: float) -> Explained[float]:
    """Water by the simple allowance for each kg [mL/day].

    Source:
        water.allowance_per_kg
    """
    check_range(field="weight_kg", value=weight_kg, limits=WEIGHT_LIMITS_KG)
    ml = ALLOWANCE_ML_PER_KG.value * weight_kg
    return Explained(
        value=ml,
        because=f"{ALLOWANCE_ML_PER_KG.value:g} mL/kg × {write_number(weight_kg)} kg = {ml:,.0f} mL/day",
        figures=(ALLOWANCE_ML_PER_KG,),
    )


def metabolic_water_from_energy(*, kcal: float) -> Explained[tuple[float, float]]:
    """Water the body makes from this energy, lower and upper end of print [mL].

    Source:
        water.metabolic_per_100_kcal
    """
    check_at_least(field="kcal", value=kcal, least=0, unit="kcal", remedy="Check the energy goal.")
    low, high = (kcal / 100 * end for end in (METABOLIC_G_PER_100_KCAL.low, METABOLIC_G_PER_100_KCAL.high))
    return Explained(
        value=(low, high),
        because=f"{write_number(kcal)} kcal × {METABOLIC_G_PER_100_KCAL.low:g} to {METABOLIC_G_PER_100_KCAL.high:g} "
        f"g/100 kcal = {write_number(low)} to {write_number(high)} mL",
        figures=(METABOLIC_G_PER_100_KCAL,),
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class WaterBand:
    """The vet's water for a day, both ends included [mL/day]."""

    low_ml: float
    high_ml: float

    def __post_init__(self) -> None:
        for field, value in (("water.low_ml", self.low_ml), ("water.high_ml", self.high_ml)):
            check_range(field=field, value=value, limits=LEDGER_LIMITS_ML)
        if self.low_ml > self.high_ml:
            raise OutOfRange(
                field="water.low_ml",
                got=f"A lower end of {write_number(self.low_ml)} mL above the upper end",
                allowed=f"{write_number(self.high_ml)} mL or less",
                remedy="Read both numbers in the vet's order again.",
            )


@dataclass(frozen=True, kw_only=True, slots=True)
class WaterIn:
    """Where the day's water comes from [mL]. Metabolic water is not in here."""

    food_ml: float = 0.0  # moisture of the food in the blend
    added_ml: float = 0.0  # water stirred into the blend
    flush_ml: float = 0.0  # all flushes
    carrier_ml: float = 0.0  # liquid medicines and the water others are stirred into
    by_mouth_ml: float = 0.0

    def __post_init__(self) -> None:
        for field in ("food_ml", "added_ml", "flush_ml", "carrier_ml", "by_mouth_ml"):
            check_range(field=f"water.{field}", value=getattr(self, field), limits=LEDGER_LIMITS_ML)

    @property
    def total_ml(self) -> float:
        """All of it together [mL]."""
        return self.food_ml + self.added_ml + self.flush_ml + self.carrier_ml + self.by_mouth_ml

    @property
    def written(self) -> WrittenSum:
        """The parts and their sum in words, so that they add up."""
        parts = (self.food_ml, self.added_ml, self.flush_ml, self.carrier_ml, self.by_mouth_ml)
        return write_sum(parts, is_whole=True)


_WATER_NAMES = ("food", "blend water", "flushes", "with medicines", "by mouth")


class WaterLevel(StrEnum):
    """Where the day's water stands."""

    TOO_LITTLE = "below the band"
    INSIDE = "inside the band"
    TOO_MUCH = "above the band"


@dataclass(frozen=True, kw_only=True, slots=True)
class WaterLedger:
    """The day's water against its band [mL]."""

    total_ml: float
    total_words: str  # as it stands beside its parts
    low_ml: float
    high_ml: float
    due_ml: float  # up to the lower end, 0 or more
    over_ml: float  # past the upper end, 0 or more
    level: WaterLevel
    is_vets_band: bool


def published_water_forms(
    *, species: Species, weight_kg: float, kcal_per_day: float | None = None
) -> Mapping[str, Explained[float]]:
    """What each printed form says of a day's water, by name, none of them averaged [mL/day].

    Args:
        species: Dog or cat.
        weight_kg: Weight [kg].
        kcal_per_day: Energy fed [kcal/day]; None leaves out the form that needs it.
    Source:
        water.maintenance_*, water.allowance_per_kg, water.allowance_per_kcal
    """
    forms: dict[str, Explained[float]] = {
        "by metabolic weight": water_maintenance(species=species, weight_kg=weight_kg),
        "by weight": water_allowance(weight_kg=weight_kg),
    }
    if kcal_per_day is not None:
        ml = kcal_per_day * ALLOWANCE_ML_PER_KCAL.value
        forms["by energy"] = Explained(
            value=ml,
            because=f"{write_number(kcal_per_day)} kcal × {ALLOWANCE_ML_PER_KCAL.value:g} mL/kcal = {ml:,.0f} mL/day",
            figures=(ALLOWANCE_ML_PER_KCAL,),
        )
    return forms


def water_ledger(
    water: WaterIn,
    *,
    species: Species,
    weight_kg: float,
    vets_band: WaterBand | None,
    kcal_per_day: float | None = None,
) -> Explained[WaterLedger]:
    """The day's water against the vet's band, or against the span of print when the vet stated none.

    Args:
        water: Where the water comes from.
        species: Dog or cat.
        weight_kg: Weight today [kg].
        vets_band: The vet's water for a day, or None when not stated.
        kcal_per_day: The energy goal [kcal/day], for the printed rule by energy.
    Source:
        the vet's band, or water.maintenance_*, water.allowance_per_kg, water.allowance_per_kcal
    """
    forms = published_water_forms(species=species, weight_kg=weight_kg, kcal_per_day=kcal_per_day)
    cautions: list[str] = []
    if vets_band is not None:
        low, high = vets_band.low_ml, vets_band.high_ml
    else:
        low, high = min(form.value for form in forms.values()), max(form.value for form in forms.values())
        cautions.append(
            f"The vet stated no amount of water. Print lies between {low:,.0f} and {high:,.0f} mL/day: ask, above all "
            "for a heart or kidney patient."
        )
    total = water.total_ml
    due, over = max(0.0, low - total), max(0.0, total - high)
    if over > 0:
        level = WaterLevel.TOO_MUCH
        cautions.append(f"{over:,.0f} mL more than the band: ask the vet before giving extra water.")
    elif due > 0:
        level = WaterLevel.TOO_LITTLE
        cautions.append(f"{due:,.0f} mL less than the band: ask the vet how to give the rest.")
    else:
        level = WaterLevel.INSIDE
    return Explained(
        value=WaterLedger(
            total_ml=total,
            total_words=water.written.total,
            low_ml=low,
            high_ml=high,
            due_ml=due,
            over_ml=over,
            level=level,
            is_vets_band=vets_band is not None,
        ),
        because=" + ".join(f"{name} {ml}" for name, ml in zip(_WATER_NAMES, water.written.parts, strict=True))
        + f" = {water.written.total} mL, {level} of {low:,.0f} to {high:,.0f} mL",
        parts=() if vets_band is not None else tuple(forms.values()),
        cautions=tuple(cautions),
    )
