"""One slip of a pen or of an eye in a care plan, by kind, and whether arithmetic can tell it at all."""

import random
import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

from fillmark.core.orders.slips import is_inside
from fillmark.published.dose_intervals import interval_for, strengths_for
from fillmark.published.dose_ranges import ranges_for
from fillmark.published.energy import FACTOR_USUAL
from fillmark.published.meals import PUBLISHED_PACE_ML_PER_MINUTE
from fillmark.published.medicine import LITTLE_LIQUID_ML, MANY_PIECES, MUCH_LIQUID_ML_PER_KG
from fillmark.published.tube_care import NARROW_TUBE_FR
from tests.support.random_plans import DAY_MINUTES, TODAY, Document, RandomPlan, copied, minutes_of, resting_kcal

LB_PER_KG = 2.2046


@dataclass(frozen=True, kw_only=True)
class Slip:
    """A plan with one slip.

    Attributes:
        document: The plan with it.
        right: The same plan without it.
        before: The version before, without it; none for a first plan.
        is_catchable: Whether it leaves print, a limit, another part of the plan or the version before. What leaves
            none of them is a plan that a vet may well have meant.
    """

    document: Document
    right: Document
    before: Document | None
    is_catchable: bool = True


Maker = Callable[[RandomPlan, random.Random], Slip | None]
KINDS: dict[str, tuple[tuple[str, ...], Maker]] = {}
"""Each kind of slip: the hazards it belongs to, and what makes it."""


def _kind(name: str, *hazards: str) -> Callable[[Maker], Maker]:
    def keep(maker: Maker) -> Maker:
        KINDS[name] = hazards, maker
        return maker

    return keep


def _slip(plan: RandomPlan, *changes: tuple[str, Any], is_catchable: bool = True, has_before: bool = False) -> Slip:
    """The plan with values changed at dotted places: what the version before does not say shows beside it."""
    before = plan.before or (copied(plan.document) if has_before else None)
    return Slip(
        document=_changed(plan.document, *changes),
        right=plan.document,
        before=before,
        is_catchable=is_catchable or before is not None,
    )


def _changed(right: Document, *changes: tuple[str, Any]) -> Document:
    document = copied(right)
    for place, value in changes:
        *parts, last = place.split(".")
        part: Any = document
        for name in parts:
            part = part[int(name)] if name.isdigit() else part[name]
        if value is None:
            part.pop(last, None)
        else:
            part[int(last) if last.isdigit() else last] = value
    return document


def _with_right(plan: RandomPlan, right: list[tuple[str, Any]], wrong: list[tuple[str, Any]]) -> Slip:
    """A plan that says one thing more than the one it was made from, rightly and with a slip."""
    document = _changed(plan.document, *right)
    before = _changed(plan.before, *right) if plan.before is not None else None
    return Slip(document=_changed(document, *wrong), right=document, before=before)


def _times(value: float, factor: float) -> float:
    return float(f"{value * factor:.4g}")


def _stated(plan: RandomPlan, key: str) -> bool:
    return plan.document["orders"].get(key) not in (None, "not stated")


# Energy and food


def _energy(plan: RandomPlan, factor: float) -> Slip:
    (way, value), ratio = (
        next(iter(plan.document["orders"]["energy"].items())),
        plan.kcal / resting_kcal(plan.weight_kg),
    )
    is_unusual = not FACTOR_USUAL.holds(ratio * factor)
    is_over = plan.load_ml_per_kg * factor > plan.document["orders"]["cap_ml_per_kg"] * 1.15
    return _slip(plan, (f"orders.energy.{way}", _times(value, factor)), is_catchable=is_unusual or is_over)


@_kind("energy ten times as much", "H4", "H10")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    return _energy(plan, 10)


@_kind("energy ten times less", "H4")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    return _energy(plan, 0.1)


@_kind("energy worked out with lb for kg", "H5")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    way = next(iter(plan.document["orders"]["energy"]))
    if way == "factor":
        return None
    return _energy(plan, LB_PER_KG**0.75 if way == "kcal_per_day" else LB_PER_KG)


@_kind("energy per lb read per kg", "H5")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    return _energy(plan, 1 / LB_PER_KG) if "kcal_per_kg" in plan.document["orders"]["energy"] else None


@_kind("kJ read as kcal", "H10")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    return _energy(plan, 4.184) if "kcal_per_day" in plan.document["orders"]["energy"] else None


@_kind("a meal's volume ten times as much", "H4", "H10")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    return _meal_volume(plan, chance, 10)


@_kind("a meal's volume ten times less", "H4")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    return _meal_volume(plan, chance, 0.1)


def _meal_volume(plan: RandomPlan, chance: random.Random, factor: float) -> Slip:
    """A volume in the order, beside its energy or in the place of it."""
    meal_ml = round(plan.kcal / kcal_per_ml(plan.document) / plan.document["orders"]["meals_per_day"])
    right: list[tuple[str, Any]] = [("orders.meal_ml", meal_ml)]
    if chance.random() < 0.5:
        right.append(("orders.energy", None))
    return _with_right(plan, right, [("orders.meal_ml", _times(meal_ml, factor))])


def kcal_per_ml(document: Document) -> float:
    """Energy of the blend by its label and its measured volume [kcal/mL]."""
    food, blend = document["foods"][0], document["blend"]
    label = food["label"]
    grams = {"kg": 1000, "can": food["can_g"], "100 g": 100}[label["per"]]
    kcal = label["energy"] / (4.184 if label["unit"] == "kJ" else 1) / grams * food["can_g"] * blend["foods"][0]["cans"]
    measured = blend["measured"]
    ml = measured.get("ml") or measured["batch_g"] * measured["sample_ml"] / measured["sample_g"]
    return float(kcal / ml)


@_kind("batch volume ten times as much", "H8")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    return _batch(plan, lambda ml: ml * 10)


@_kind("batch volume ten times less", "H8")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    return _batch(plan, lambda ml: round(ml / 10))


@_kind("batch volume with two digits swapped", "H8")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    return _batch(plan, lambda ml: int(str(ml)[1] + str(ml)[0] + str(ml)[2:]))


def _batch(plan: RandomPlan, change: Callable[[int], int]) -> Slip | None:
    document = plan.document
    key = "ml" if "ml" in document["blend"]["measured"] else "batch_g"
    was = document["blend"]["measured"][key]
    now = change(was)
    food, blend = document["foods"][0], document["blend"]
    went_in = food["can_ml" if key == "ml" else "can_g"] * blend["foods"][0]["cans"] + blend["water_ml"]
    if now == was or not now:
        return None
    # a batch is cooked anew for each plan: the one before is no measure of it
    is_catchable = abs(now / went_in - 1) > 0.1
    return replace(_slip(plan, (f"blend.measured.{key}", now)), is_catchable=is_catchable)


@_kind("the batch measured a year ago", "H8")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    return _slip(plan, ("blend.measured.on", _year(plan.document["blend"]["measured"]["on"], -1)))


@_kind("label in kJ read as kcal", "H8")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    return _slip(plan, ("foods.0.label.unit", "kcal")) if plan.document["foods"][0]["label"]["unit"] == "kJ" else None


@_kind("label energy ten times less", "H10")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    return _slip(plan, ("foods.0.label.energy", _times(plan.document["foods"][0]["label"]["energy"], 0.1)))


@_kind("label energy ten times as much", "H8")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    return _slip(plan, ("foods.0.label.energy", _times(plan.document["foods"][0]["label"]["energy"], 10)))


@_kind("the energy of a can read as that of a kg", "H10")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    """Where a can is so small or so large that its analysis tells."""
    label, can_g = plan.document["foods"][0]["label"], plan.document["foods"][0]["can_g"]
    if label["per"] != "can":
        return None
    return replace(_slip(plan, ("foods.0.label.per", "kg")), is_catchable=can_g < 1000 / 1.6)


# The animal


@_kind("the newest weight in lb", "H5")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    last = len(plan.document["animal"]["weights"]) - 1
    kg = round(plan.weight_kg * LB_PER_KG, 1)
    return _slip(plan, (f"animal.weights.{last}.kg", kg), is_catchable=last > 0 or _weight_shows(plan, kg))


@_kind("every weight in lb", "H5")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    weights = [{**one, "kg": round(one["kg"] * LB_PER_KG, 1)} for one in plan.document["animal"]["weights"]]
    return _slip(plan, ("animal.weights", weights), is_catchable=_weight_shows(plan, plan.weight_kg * LB_PER_KG))


@_kind("a weight checked, and in lb all the same", "H5")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    last = len(plan.document["animal"]["weights"]) - 1
    kg = round(plan.weight_kg * LB_PER_KG, 1)
    return _slip(
        plan,
        (f"animal.weights.{last}.kg", kg),
        (f"animal.weights.{last}.checked", True),
        is_catchable=_weight_shows(plan, kg),
    )


def _weight_shows(plan: RandomPlan, kg: float) -> bool:
    """Whether a wrong weight contradicts a limit, the energy or a dose of a first plan."""
    document = plan.document
    if kg > (15 if document["animal"]["species"] == "cat" else 100):
        return True
    (way, value) = next(iter(document["orders"]["energy"].items()))
    kcal = {"factor": resting_kcal(kg) * value, "kcal_per_day": value, "kcal_per_kg": value * kg}[way]
    if not FACTOR_USUAL.holds(kcal / resting_kcal(kg)):
        return True
    return any(
        "dose_for_weight_kg" in medicine or not fits_print(medicine, plan, kg=kg) for medicine in document["medicines"]
    )


@_kind("lost more than a tenth within two months", "H23")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    lost = chance.uniform(0.12, 0.3)
    weights = [
        {"on": str(TODAY - timedelta(days=chance.randrange(30, 55))), "kg": round(plan.weight_kg / (1 - lost), 2)},
        {"on": str(TODAY - timedelta(days=2)), "kg": plan.weight_kg, "checked": True},
    ]
    return replace(_slip(plan, ("animal.weights", weights)), before=None)


@_kind("was starved", "H23")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    return _slip(plan, ("animal.starved", True))


@_kind("the newest weight ten times as much", "H4")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    return _newest_weight(plan, 10)


@_kind("the newest weight ten times less", "H4")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    return _newest_weight(plan, 0.1)


def _newest_weight(plan: RandomPlan, times: float) -> Slip:
    last, kg = len(plan.document["animal"]["weights"]) - 1, _times(plan.weight_kg, times)
    is_catchable = last > 0 or _weight_shows(plan, kg) or kg < 0.5
    return _slip(plan, (f"animal.weights.{last}.kg", kg), is_catchable=is_catchable)


@_kind("the weights of a year ago", "H28")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    weights = [{**one, "on": _year(one["on"], -1)} for one in plan.document["animal"]["weights"]]
    return _slip(plan, ("animal.weights", weights))


@_kind("the newest weight of next year", "H28")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    last = len(plan.document["animal"]["weights"]) - 1
    return _slip(plan, (f"animal.weights.{last}.on", _year(plan.document["animal"]["weights"][last]["on"], 1)))


@_kind("the other species", "H17")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    if plan.before is None:
        return None
    other = "cat" if plan.document["animal"]["species"] == "dog" else "dog"
    return _slip(plan, ("animal.species", other))


@_kind("a tube into the gut", "H10")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    return _slip(plan, ("animal.tube.kind", "jejunostomy"))


@_kind("a tube of a third of the width", "H9")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    french = round(plan.document["animal"]["tube"]["french"] / 3, 1)
    return replace(_slip(plan, ("animal.tube.french", french)), is_catchable=french < NARROW_TUBE_FR.value)


@_kind("the tube placed next year", "H13")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    placed = plan.document["animal"]["tube"]["placed_on"]
    return _slip(plan, ("animal.tube.placed_on", f"2027{placed[4:]}"))


def _year(day: str, years: int) -> str:
    found = date.fromisoformat(day)
    return str(found.replace(year=found.year + years, day=min(found.day, 28)))


# Steps up, and by mouth


@_kind("steps up a year late", "H23")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    return _ladder(plan, chance, 1)


@_kind("steps up a year early", "H23")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    return _ladder(plan, chance, -1)


def _ladder(plan: RandomPlan, chance: random.Random, years: int) -> Slip:
    starts_on = str(TODAY - timedelta(days=chance.choice((0, 1))))
    ladder = {"starts_on": starts_on, "percent": chance.choice(([50, 75, 100], [33, 67, 100], [25, 50, 75, 100]))}
    return _with_right(plan, [("orders.ladder", ladder)], [("orders.ladder.starts_on", _year(starts_on, years))])


@_kind("food by mouth where nothing is allowed", "H16")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    return _slip(plan, ("animal.by_mouth", "food and water"))


@_kind("what is eaten, besides a tube that gives all", "H10")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    """The energy left out of the order, and only the volume of whole meals kept."""
    meal_ml = round(plan.kcal / kcal_per_ml(plan.document) / plan.document["orders"]["meals_per_day"])
    eaten = {"by_mouth_kcal_per_day": round(plan.kcal * chance.uniform(0.2, 0.6))}
    return _with_right(
        plan,
        [("animal.by_mouth", "food and water"), ("orders.weaning", eaten)],
        [("orders.meal_ml", meal_ml), ("orders.energy", None)],
    )


# Meals and water


@_kind("the most at once ten times as much", "H4", "H10")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    return _slip(plan, ("orders.cap_ml_per_kg", plan.document["orders"]["cap_ml_per_kg"] * 10))


@_kind("the most at once ten times less", "H4")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    cap = plan.document["orders"]["cap_ml_per_kg"] / 10
    return _slip(plan, ("orders.cap_ml_per_kg", cap), ("orders.warn_ml_per_kg", cap))


@_kind("the most at once per lb read per kg", "H5", "H10")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    """As large a number as of a kg that weighs a lb: more than is in print, or beside the version before."""
    cap = round(plan.document["orders"]["cap_ml_per_kg"] * LB_PER_KG, 1)
    return _slip(plan, ("orders.cap_ml_per_kg", cap), is_catchable=cap > 20)


@_kind("the pace ten times as fast", "H4", "H10")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    if not _stated(plan, "pace_ml_per_minute"):
        return None
    pace = plan.document["orders"]["pace_ml_per_minute"] * 10
    is_catchable = pace > PUBLISHED_PACE_ML_PER_MINUTE.high
    return replace(_slip(plan, ("orders.pace_ml_per_minute", pace)), is_catchable=is_catchable)


@_kind("the gap between meals ten times less", "H37")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    if not _stated(plan, "meal_gap_hours"):
        return None
    return _slip(plan, ("orders.meal_gap_hours", _times(plan.document["orders"]["meal_gap_hours"], 0.1)))


@_kind("the gap between meals ten times as long", "H37")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    if not _stated(plan, "meal_gap_hours"):
        return None
    return _slip(plan, ("orders.meal_gap_hours", plan.document["orders"]["meal_gap_hours"] * 10))


@_kind("a meal an hour after another", "H37")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    meals = plan.document["timetable"]["meals"]
    place = chance.randrange(1, len(meals))
    minutes = minutes_of(meals[place - 1]) + chance.choice((15, 30, 60))
    changed = [*meals[:place], f"{minutes // 60:02}:{minutes % 60:02}", *meals[place + 1 :]]
    return _slip(plan, ("timetable.meals", changed)) if minutes < DAY_MINUTES else None


@_kind("a meal left out of the times", "H11")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    meals = list(plan.document["timetable"]["meals"])
    meals.pop(chance.randrange(len(meals)))
    return _slip(plan, ("timetable.meals", meals))


@_kind("the number of meals ten times as many", "H4")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    return _slip(plan, ("orders.meals_per_day", plan.document["orders"]["meals_per_day"] * 10))


for _when in ("before", "between", "after"):

    def _more(plan: RandomPlan, chance: random.Random, when: str = _when) -> Slip | None:
        ml = plan.document["orders"][f"flush_{when}_ml"] * 10
        return _slip(plan, (f"orders.flush_{when}_ml", ml))

    def _none(plan: RandomPlan, chance: random.Random, when: str = _when) -> Slip | None:
        return _slip(plan, (f"orders.flush_{when}_ml", 0))

    KINDS[f"the flush {_when} ten times as much"] = ("H4", "H10"), _more
    KINDS[f"no flush {_when}"] = ("H29",), _none


@_kind("the day's water ten times less", "H30")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    return _water(plan, 0.1)


@_kind("the day's water ten times as much", "H30")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    return _water(plan, 10)


@_kind("the day's water per lb read per kg", "H30")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    return _water(plan, 1 / LB_PER_KG)


def _water(plan: RandomPlan, factor: float) -> Slip | None:
    if not _stated(plan, "water_ml_per_kg_per_day"):
        return None
    band = plan.document["orders"]["water_ml_per_kg_per_day"]
    changed = {end: _times(value, factor) for end, value in band.items()}
    return _slip(plan, ("orders.water_ml_per_kg_per_day", changed))


# Medicines


def amount_mg(text: str, kg: float) -> tuple[float, bool]:
    """A dose in mg of one giving, and whether it was ordered for each kg."""
    number, unit, per = re.fullmatch(r"([\d.]+) (mg|mcg|g)(/kg)?", text).groups()  # type: ignore[union-attr]
    mg = float(number) * {"mg": 1, "mcg": 0.001, "g": 1000}[unit]
    return (mg * kg if per else mg), bool(per)


def fits_print(medicine: Document, plan: RandomPlan, *, kg: float | None = None, times: float = 1) -> bool:
    """Whether so many times the dose lies in a printed range of one dose, and of one day, where there are such.

    Args:
        medicine: As its order stands.
        plan: Whose it is.
        kg: The weight in the plan [kg]; that of the animal where none is given.
        times: What the dose of the order becomes.
    """
    weight_kg = kg or plan.weight_kg
    mg = amount_mg(medicine["dose"], weight_kg)[0] * times
    per_day = len(medicine["clocks"]) if medicine["every_hours"] <= 24 else 24 / medicine["every_hours"]
    bands = ranges_for(name=medicine["name"], species=plan.document["animal"]["species"])
    found: dict[bool, list[bool]] = {}
    for band in bands:
        value = {"mg per dose": mg, "mg/kg per dose": mg / weight_kg, "mg/kg per day": mg * per_day / weight_kg}
        found.setdefault(band.unit.endswith("per day"), []).append(is_inside(value[band.unit], band))
    return all(any(group) for group in found.values())


def _dose(plan: RandomPlan, chance: random.Random, times: float, *, is_a_slip_of_the_pen: bool = True) -> Slip | None:
    number = chance.randrange(len(plan.document["medicines"]))
    medicine = plan.document["medicines"][number]
    amount, unit = re.fullmatch(r"([\d.]+) (.*)", medicine["dose"]).groups()  # type: ignore[union-attr]
    changed = f"{_times(float(amount), times):.10f}".rstrip("0").rstrip(".") + f" {unit}"
    shows = not fits_print(medicine, plan, times=times) or not _can_be_given(medicine, plan, times=times)
    is_catchable = shows or (is_a_slip_of_the_pen and plan.before is not None)
    return replace(_slip(plan, (f"medicines.{number}.dose", changed)), is_catchable=is_catchable)


def _can_be_given(medicine: Document, plan: RandomPlan, *, times: float = 1) -> bool:
    """Whether a dose is a count of tablets or a volume that a person would draw."""
    mg, _ = amount_mg(medicine["dose"], plan.weight_kg)
    held = float(medicine["strength"].split()[0]) * (0.001 if "mcg" in medicine["strength"] else 1)
    number = mg * times / held
    if medicine["form"] == "tablet":
        quarters = round(number * 4)
        return bool(quarters) and abs(quarters / 4 / number - 1) <= 0.1 and number <= MANY_PIECES.value
    return LITTLE_LIQUID_ML.value <= number <= MUCH_LIQUID_ML_PER_KG.value * plan.weight_kg


@_kind("a dose ten times as much", "H4")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    return _dose(plan, chance, 10)


@_kind("a dose ten times less", "H4")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    return _dose(plan, chance, 0.1)


@_kind("a dose worked out with lb for kg", "H5")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    return _dose(plan, chance, LB_PER_KG)


@_kind("the day's dose each time", "H4")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    many = {len(medicine["clocks"]) for medicine in plan.document["medicines"]}
    if len(many) > 1 or many == {1}:
        return None
    return _dose(plan, chance, many.pop(), is_a_slip_of_the_pen=False)


def _in_the_order(name: str, *hazards: str, change: Callable[[Document, RandomPlan], dict[str, Any] | None]) -> None:
    """A kind of slip in the words of one order, which always shows."""

    def make(plan: RandomPlan, chance: random.Random) -> Slip | None:
        number = chance.randrange(len(plan.document["medicines"]))
        changed = change(plan.document["medicines"][number], plan)
        if changed is None:
            return None
        return _slip(plan, *((f"medicines.{number}.{key}", value) for key, value in changed.items()))

    KINDS[name] = hazards, make


def _swapped(medicine: Document, plan: RandomPlan) -> dict[str, Any]:
    dose = medicine["dose"]
    return {"dose": dose.replace("mcg", "mg") if "mcg" in dose else dose.replace("mg", "mcg")}


def _per_kg(change: Callable[[Document, RandomPlan], dict[str, Any]]) -> Callable[[Document, RandomPlan], Any]:
    return lambda medicine, plan: change(medicine, plan) if "/kg" in medicine["dose"] else None


_in_the_order("mg and mcg swapped", "H4", change=_swapped)
_in_the_order("mg/lb written down", "H5", change=_per_kg(lambda one, _: {"dose": one["dose"].replace("/kg", "/lb")}))
_in_the_order("a dose of a day written down", "H4", change=lambda one, _: {"dose": f"{one['dose']}/day"})
_in_the_order(
    "the weight of the dose in lb",
    "H5",
    change=_per_kg(lambda one, plan: {"dose_for_weight_kg": round(plan.weight_kg * LB_PER_KG, 1)}),
)


def _taper(name: str, *, from_on: str = "2026-12-10", times: float = 0.5) -> None:
    """A taper of a liquid to half the dose, with a slip in its step."""

    def make(plan: RandomPlan, chance: random.Random) -> Slip | None:
        number = chance.randrange(len(plan.document["medicines"]))
        medicine = plan.document["medicines"][number]
        if medicine["form"] == "tablet" or not fits_print(medicine, plan, times=0.5):
            return None
        place = f"medicines.{number}.steps"
        right = [{"from_on": "2026-12-10", "dose": _ten(medicine["dose"], 0.5)}]
        wrong = [{"from_on": from_on, "dose": _ten(medicine["dose"], times)}]
        slip = _with_right(plan, [(place, right)], [(place, wrong)])
        shows = from_on != "2026-12-10" or plan.before is not None
        shows = shows or not fits_print(medicine, plan, times=times) or not _can_be_given(medicine, plan, times=times)
        return replace(slip, is_catchable=shows)

    KINDS[name] = ("H4",), make


_taper("a taper with a step ten times as much", times=5)
_taper("a taper with a step ten times less", times=0.05)
_taper("a taper with a step of last year", from_on="2025-12-10")
_taper("a taper with a step of next year", from_on="2027-12-10")
_in_the_order("a course that begins next year", "H2", change=lambda one, _: {"start_on": "2027-11-20"})
_in_the_order(
    "a course that ended last year", "H2", change=lambda one, _: {"start_on": "2025-11-20", "stop_on": "2025-12-01"}
)
_in_the_order("the last day of a course before its first", "H4", change=lambda one, _: {"stop_on": "2025-12-01"})


def _ten(text: str, times: float) -> str:
    number, unit = re.fullmatch(r"([\d.]+) (.*)", text).groups()  # type: ignore[union-attr]
    return f"{_times(float(number), times):.10f}".rstrip("0").rstrip(".") + f" {unit}"


@_kind("four times as often", "H4")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    """Every 6 hours in the place of every 24, with the times of day of it."""
    number = chance.randrange(len(plan.document["medicines"]))
    medicine = plan.document["medicines"][number]
    hours = medicine["every_hours"] // 4
    if hours < 2 or 24 % hours or medicine["food"]["relation"] != "any":
        return None
    clocks = [f"{(7 + each * hours) % 24:02}:00" for each in range(24 // hours)]
    band = interval_for(name=medicine["name"], species=plan.document["animal"]["species"])
    often = {**medicine, "every_hours": hours, "clocks": clocks}
    shows = not fits_print(often, plan) or (band is not None and hours < band.low)
    slip = _slip(plan, (f"medicines.{number}.every_hours", hours), (f"medicines.{number}.clocks", clocks))
    return replace(slip, is_catchable=shows)


@_kind("a strength ten times too high", "H3")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    return _strength(plan, chance, 10)


@_kind("a strength ten times too low", "H3")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    return _strength(plan, chance, 0.1)


def _strength(plan: RandomPlan, chance: random.Random, times: float) -> Slip:
    number = chance.randrange(len(plan.document["medicines"]))
    medicine = plan.document["medicines"][number]
    held, unit = re.fullmatch(r"([\d.]+) (.*)", medicine["strength"]).groups()  # type: ignore[union-attr]
    in_print = strengths_for(name=medicine["name"], unit="mg/tablet" if medicine["form"] == "tablet" else "mg/mL")
    mg = float(held) * (0.001 if "mcg" in unit else 1)
    close = [abs(mg / one.value - 1) <= 0.05 for one in in_print]
    also = [abs(mg * times / one.value - 1) <= 0.05 for one in in_print]
    is_in_print = any(close) and not any(also)
    return _slip(
        plan,
        (f"medicines.{number}.strength", f"{_times(float(held), times):.10f}".rstrip("0").rstrip(".") + f" {unit}"),
        is_catchable=is_in_print or not _can_be_given(medicine, plan, times=1 / times),
    )


@_kind("another bottle than before", "H3")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    """Twice as strong, or half as strong, with the same dose."""
    number = chance.randrange(len(plan.document["medicines"]))
    strength = _ten(plan.document["medicines"][number]["strength"], chance.choice((2, 0.5)))
    return _slip(plan, (f"medicines.{number}.strength", strength), has_before=True)


@_kind("another form than before", "H3")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    number = chance.randrange(len(plan.document["medicines"]))
    medicine = plan.document["medicines"][number]
    if medicine["form"] != "tablet":
        return None
    strength = medicine["strength"].replace("/tablet", "/mL")
    return _slip(
        plan, (f"medicines.{number}.form", "liquid"), (f"medicines.{number}.strength", strength), has_before=True
    )


@_kind("the same medicine by another name", "H1", "H4")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    number = chance.randrange(len(plan.document["medicines"]))
    medicine = plan.document["medicines"][number]
    others = {"Furosemide": "Frusemide", "Frusemide": "Furosemide", "Amoxicillin": "Amoxycillin"}
    others |= {"Levothyroxine": "L-thyroxine", "Cefalexin": "Cephalexin", "Cyanocobalamin": "Vitamin B12"}
    name = others.get(medicine["name"])
    if name is None:
        return None
    again = {**medicine, "id": "again", "name": name}
    return _slip(plan, ("medicines", [*plan.document["medicines"], again]))


@_kind("two medicines too near each other", "H22")
def _(plan: RandomPlan, chance: random.Random) -> Slip | None:
    """An order to keep them apart for longer than their times are."""
    medicines = plan.document["medicines"]
    if len(medicines) < 2:
        return None
    apart = min(
        abs((minutes_of(one) - minutes_of(other) + 720) % DAY_MINUTES - 720)
        for one in medicines[0]["clocks"]
        for other in medicines[1]["clocks"]
    )
    hours = max(1, apart // 60 + 1)
    return _slip(plan, ("medicines.0.apart_from", [{"medicine": medicines[1]["id"], "hours": hours}]))


def _about_food(
    name: str, relations: tuple[str, ...], change: Callable[[Document, random.Random], dict[str, Any] | None]
) -> None:
    def make(plan: RandomPlan, chance: random.Random) -> Slip | None:
        for number, medicine in enumerate(plan.document["medicines"]):
            if medicine["food"]["relation"] in relations:
                changed = change(medicine, chance)
                return changed and _slip(plan, *((f"medicines.{number}.{key}", one) for key, one in changed.items()))
        return None

    KINDS[name] = ("H22",), make


def _moved(medicine: Document, chance: random.Random) -> dict[str, Any]:
    """One of its times an hour and more off."""
    clocks = list(medicine["clocks"])
    place = chance.randrange(len(clocks))
    minutes = (minutes_of(clocks[place]) + chance.choice((75, 90))) % DAY_MINUTES
    clocks[place] = f"{minutes // 60:02}:{minutes % 60:02}"
    return {"clocks": clocks}


_about_food("a time of day that misses its meal", ("before", "with"), _moved)
_about_food(
    "the minutes before food ten times as many",
    ("before", "empty stomach"),
    lambda one, _: {"food": {**one["food"], "minutes": one["food"]["minutes"] * 10}},
)
_about_food(
    "the minutes before food ten times less",
    ("before", "empty stomach"),
    lambda one, _: {"food": {**one["food"], "minutes": one["food"]["minutes"] // 10}},
)
