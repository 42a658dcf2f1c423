"""Care plans of invented animals with printed orders, made at random: what a vet may well order, and nothing else.

No number of the program's own tables of doses goes into them; what is worked out here is plain arithmetic.
"""

import json
import random
import tomllib
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from fillmark.examples import example_plan
from tests.spec.right_orders import RIGHT_ORDERS, RightOrder

Document = dict[str, Any]
TODAY = date(2026, 11, 25)
GRID_MINUTES, DAY_MINUTES = 15, 1440
EMPTY = {"relation": "empty stomach", "minutes": 60, "after_minutes": 120}
# what print says about food beside these medicines
FOOD = {
    "Pimobendan": {"relation": "before", "minutes": 60},
    "Cisapride": {"relation": "before", "minutes": 30},
    "Sucralfate": EMPTY,
    "Azithromycin": EMPTY,
    "Mycophenolate mofetil": EMPTY,
    "Levothyroxine": EMPTY,
    "L-thyroxine": EMPTY,
}
LEFT_OUT = {
    "orders.meal_gap_hours", "orders.pace_ml_per_minute", "orders.upright_minutes", "orders.water_ml_per_kg_per_day",
    "orders.warn_ml_per_kg", "orders.flow_limit_level", "animal.condition", "animal.starved", "animal.born_on",
}  # fmt: skip
"""What a vet now and then does not say."""


@dataclass(frozen=True, kw_only=True)
class RandomPlan:
    """A plan without a slip, and what was put into it.

    Attributes:
        document: The plan, as its file has it.
        before: The version before it; none for a first plan.
        orders: The printed orders in it, as its medicines stand.
        kcal: The day's energy [kcal].
        load_ml_per_kg: The fullest session, by blend, water and medicines [mL/kg].
    """

    document: Document
    before: Document | None
    orders: tuple[RightOrder, ...]
    kcal: float
    load_ml_per_kg: float

    @property
    def weight_kg(self) -> float:
        """The newest weight [kg]."""
        return float(self.orders[0].weight_kg)


def written(document: Document) -> bytes:
    """The bytes of a plan file."""
    return json.dumps(document, default=str).encode()


def resting_kcal(weight_kg: float) -> float:
    """70 kcal for each kg to the power of three quarters."""
    return float(70 * weight_kg**0.75)


def a_random_plan(chance: random.Random) -> RandomPlan:
    """A plan that keeps every rule it states."""
    while True:
        plan = _try(chance)
        if plan is not None:
            return plan


def _try(chance: random.Random) -> RandomPlan | None:
    orders = _orders(chance)
    species, weight_kg = orders[0].species, float(orders[0].weight_kg)
    base = tomllib.loads(example_plan("juniper" if species == "dog" else "sorrel").decode())
    meals = _meals(chance)
    medicines = []
    for number, order in enumerate(orders):
        medicine = _medicine(chance, order, meals, number=number)
        if medicine is None:
            return None
        medicines.append(medicine)
    sessions: dict[str, int] = dict.fromkeys(meals, 1)
    for medicine in medicines:
        for clock in medicine["clocks"]:
            sessions[clock] = sessions.get(clock, 0) + 1
    food, blend, kcal_per_ml, water_fraction = _blend(chance)
    factor = round(chance.uniform(1.0, 1.6), 1)
    energy, kcal = _energy(chance, weight_kg=weight_kg, factor=factor)
    before_ml, between_ml, after_ml = (
        (chance.choice((5, 6, 8)), chance.choice((3, 4, 5)), chance.choice((5, 6, 8, 10)))
        if weight_kg < 8
        else (chance.choice((10, 15)), chance.choice((5, 10)), chance.choice((10, 15, 20)))
    )
    day_ml = kcal / kcal_per_ml
    meal_ml = day_ml / len(meals)
    most = max(sessions[clock] for clock in meals)
    # a liquid of the shelf is below 2 mL/kg, most of them far below
    load = (meal_ml + before_ml + after_ml + (most - 1) * (between_ml + 0.4 * weight_kg)) / weight_kg
    cap = next((one for one in (8, 10, 12, 14, 16, 18, 20) if one >= 1.1 * load), None)
    if cap is None:
        return None
    flush_ml = sum(before_ml + after_ml + (things - 1) * between_ml for things in sessions.values())
    water = (day_ml * water_fraction + flush_ml) / weight_kg
    document: Document = {
        "format": base["format"],
        "household": base["household"],
        "animal": {
            "name": base["animal"]["name"],
            "species": species,
            "born_on": "2019-05-02",
            "sex": base["animal"]["sex"],
            "condition": {"score": chance.choice((4, 5)), "of": 9},
            "starved": False,
            "by_mouth": chance.choice(("nothing", "nothing", "water")),
            "weights": _weights(chance, weight_kg),
            "tube": {
                "kind": chance.choice(("gastrostomy", "esophagostomy")),
                "french": chance.choice((14, 16, 18, 19, 20) if species == "cat" else (18, 20, 22, 24)),
                "length_cm": chance.choice((20, 25, 30)),
                "mark_at_skin_cm": chance.choice((5, 6.5, 8)),
                "placed_on": str(TODAY - timedelta(days=chance.randrange(5, 300))),
            },
        },
        "vet": {key: base["vet"][key] for key in ("name", "practice", "said_on", "words", "call")},
        "orders": {
            "energy": energy,
            "meals_per_day": len(meals),
            "meal_gap_hours": chance.choice((2, 2.5, 3)),
            "warn_ml_per_kg": cap - 1,
            "cap_ml_per_kg": cap,
            "flush_before_ml": before_ml,
            "flush_between_ml": between_ml,
            "flush_after_ml": after_ml,
            "pace_ml_per_minute": max(1, round(meal_ml / chance.uniform(8, 20))),
            "upright_minutes": chance.choice((15, 20, 30)),
            "water_ml_per_kg_per_day": {"low": int(0.75 * water), "high": int(1.35 * water) + 1},
            "flow_limit_level": chance.choice((1, 2, 3)),
        },
        "foods": [food],
        "blend": blend,
        "syringes": _syringes(),
        "medicines": medicines,
        "timetable": {"meals": meals},
    }
    for path in sorted(LEFT_OUT):
        if chance.random() < 0.06:
            part, _, key = path.partition(".")
            document[part][key] = "not stated"
    before = _before(document) if chance.random() < 0.5 else None
    return RandomPlan(document=document, before=before, orders=orders, kcal=kcal, load_ml_per_kg=load)


def _orders(chance: random.Random) -> tuple[RightOrder, ...]:
    """One printed order with its animal; now and then another of the same species that is ordered for each kg."""
    first = chance.choice(RIGHT_ORDERS)
    others = [
        one
        for one in RIGHT_ORDERS
        if one.species == first.species and "/kg" in one.dose and one.name.split()[0] != first.name.split()[0]
    ]
    if others and chance.random() < 0.5:
        second = chance.choice(others)
        moved = RightOrder(
            second.print,
            second.species,
            first.weight_kg,
            second.name,
            second.dose,
            second.strength,
            second.every_hours,
            second.extra,
        )
        return first, moved
    return (first,)


def _meals(chance: random.Random) -> list[str]:
    count = chance.choice((3, 4, 4, 5, 6))
    starts = {3: (420, 450, 480), 4: (390, 420, 450), 5: (390, 420), 6: (360, 375)}[count]
    every = {3: 420, 4: 300, 5: 240, 6: 195}[count]
    start = chance.choice(starts)
    return [_clock(start + number * every) for number in range(count)]


def _clock(minutes: int) -> str:
    return f"{minutes // 60 % 24:02}:{minutes % 60:02}"


def minutes_of(clock: str) -> int:
    """Minutes since midnight."""
    return int(clock[:2]) * 60 + int(clock[3:])


def food_holds(clock: int, meals: list[int], food: Document) -> bool:
    """Whether a time of day keeps what its order says about food, and stays out of the time after a meal."""
    ahead = [(meal - clock) % DAY_MINUTES for meal in meals]
    since = min((clock - meal) % DAY_MINUTES for meal in meals)
    match food["relation"]:
        case "with":
            return 0 in ahead
        case "before":
            return food["minutes"] <= min(ahead) <= food["minutes"] + 30 and since > 45
        case "empty stomach":
            return min(ahead) >= food["minutes"] and since >= food["after_minutes"]
        case _:
            return since == 0 or since > 45


def _medicine(chance: random.Random, order: RightOrder, meals: list[str], *, number: int) -> Document | None:
    food = FOOD.get(order.name) or chance.choice(({"relation": "with"}, {"relation": "with"}, {"relation": "any"}))
    if order.name == "Doxycycline":
        food = {"relation": "with"}
    clocks = _dose_clocks(chance, order.every_hours, list(map(minutes_of, meals)), food)
    if clocks is None:
        return None
    medicine: Document = {
        "id": f"drug-{number + 1}",
        "name": order.name,
        "form": "liquid",
        "strength": order.strength,
        "dose": order.dose,
        "route": "tube",
        "every_hours": order.every_hours,
        "clocks": [_clock(one) for one in clocks],
        "start_on": "2026-11-20",
        "food": food,
        "crush": "not allowed",
    }
    if "/kg" in order.dose:
        medicine["dose_for_weight_kg"] = order.weight_kg
    medicine |= {key: tomllib.loads(f"value = {text}")["value"] for key, text in order.extra.items()}
    if medicine["form"] == "tablet":
        medicine["carrier_water_ml"] = 5
    return medicine


def _dose_clocks(chance: random.Random, every_hours: int, meals: list[int], food: Document) -> list[int] | None:
    """Times of day that keep the order's rhythm within a tenth, and its word about food."""
    count, every = max(1, 24 // every_hours), min(every_hours, 24) * 60
    admissible = [one for one in range(0, DAY_MINUTES, GRID_MINUTES) if food_holds(one, meals, food)]
    chance.shuffle(admissible)
    for start in admissible:
        clocks = [start]
        for dose in range(1, count):
            meant = start + dose * every
            near = [one for one in admissible if abs((one - meant + 720) % DAY_MINUTES - 720) <= 0.1 * every]
            if near:
                clocks.append(min(near, key=lambda one: abs((one - meant + 720) % DAY_MINUTES - 720)))
        clocks = sorted(set(clocks))
        if len(clocks) == count:
            return clocks
    return None


def _blend(chance: random.Random) -> tuple[Document, Document, float, float]:
    """A canned food and its blend, with the energy in each mL and the share of it that is water."""
    can_g = chance.choice((156, 170, 360, 370, 400, 410))
    kcal_per_kg = chance.randrange(950, 1351, 10)
    moisture = round(78 - (kcal_per_kg - 950) / 400 * 8, 1)
    can_ml = round(can_g / chance.uniform(1.03, 1.06))
    per = chance.choice(("kg", "can", "100 g"))
    grams = {"kg": 1000, "can": can_g, "100 g": 100}[per]
    unit = chance.choice(("kcal", "kcal", "kJ"))
    energy = round(kcal_per_kg * grams / 1000 * (4.184 if unit == "kJ" else 1))
    food: Document = {
        "id": "stew",
        "name": "Canned stew (invented)",
        "label": {"energy": energy, "unit": unit, "per": per},
        "can_g": can_g,
        "can_ml": can_ml,
        "keeps_days": 2,
        "complete": True,
    }
    # of what is dry in it, two parts in five are protein
    dry = 100 - moisture - 2.5
    food["analysis"] = {
        "protein_percent": round(0.42 * dry, 1),
        "fat_percent": round(0.27 * dry, 1),
        "fiber_percent": 0.5,
        "moisture_percent": moisture,
        "ash_percent": 2,
    }
    cans = chance.choice((1, 2, 3))
    went_in_ml = cans * can_ml
    water_ml = round(went_in_ml * chance.uniform(0.05, 0.3) / 5) * 5
    ml = round((went_in_ml + water_ml) * chance.uniform(0.95, 1.03))
    measured_on = str(TODAY - timedelta(days=chance.randrange(0, 20)))
    measured: Document = {"on": measured_on, "ml": ml}
    if chance.random() < 0.3:
        batch_g = round((cans * can_g + water_ml) * chance.uniform(0.96, 1.02))
        sample_g = round(50 * batch_g / ml, 1)
        measured, ml = {"on": measured_on, "batch_g": batch_g, "sample_ml": 50, "sample_g": sample_g}, ml
    blend = {
        "name": "Stew and warm water",
        "foods": [{"food": "stew", "cans": cans}],
        "water_ml": water_ml,
        "measured": measured,
    }
    kcal_per_ml = cans * can_g / 1000 * kcal_per_kg / ml
    return food, blend, kcal_per_ml, (cans * can_g * moisture / 100 + water_ml) / ml


def _energy(chance: random.Random, *, weight_kg: float, factor: float) -> tuple[Document, float]:
    kcal = resting_kcal(weight_kg) * factor
    way = chance.choice(("factor", "kcal_per_day", "kcal_per_kg"))
    if way == "factor":
        return {"factor": factor}, kcal
    if way == "kcal_per_day":
        return {"kcal_per_day": round(kcal / 5) * 5}, round(kcal / 5) * 5
    return {"kcal_per_kg": round(kcal / weight_kg, 1)}, round(kcal / weight_kg, 1) * weight_kg


def _weights(chance: random.Random, weight_kg: float) -> list[Document]:
    """Up to three weighings of the last two months, the newest that of the order."""
    days = sorted(chance.sample(range(2, 55), chance.choice((1, 2, 3))), reverse=True)
    found = [
        {"on": str(TODAY - timedelta(days=one)), "kg": round(weight_kg * chance.uniform(0.96, 1.03), 2)} for one in days
    ]
    found[-1]["kg"] = weight_kg
    return found


def _syringes() -> list[Document]:
    small = ((1, 0.01, 0.1), (3, 0.1, 0.5), (5, 0.2, 1), (10, 0.2, 1), (20, 1, 5), (50, 1, 10))
    found: list[Document] = [{"id": "feeding", "size_ml": 60, "step_ml": 1, "numbered_every_ml": 10, "tip": "enteral"}]
    found += [
        {"id": f"drawn-{size}", "size_ml": size, "step_ml": step, "numbered_every_ml": each, "tip": "low-dose enteral"}
        for size, step, each in small
    ]
    return found


def copied(document: Document) -> Document:
    """A plan of its own, to be changed."""
    result: Document = json.loads(written(document))
    return result


def _before(document: Document) -> Document:
    """The version before: without its newest weighing, where there is an older one."""
    before = copied(document)
    if len(before["animal"]["weights"]) > 1:
        del before["animal"]["weights"][-1]
    return before
