"""The time from a medicine to food, against print."""

from collections.abc import Iterator

from fillmark.core.orders.medicine import Medicine
from fillmark.core.orders.slips import find_slip
from fillmark.core.values.finding import Finding, Weight
from fillmark.core.values.quantities import write_number
from fillmark.published import Printed
from fillmark.published.medicine import (
    EMPTY_AFTER_MINUTES,
    EMPTY_BEFORE_MINUTES,
    FOOD_IN_PRINT,
    MINUTES_BEFORE_FOOD,
    facts_about,
)
from fillmark.published.medicine_names import read_name


def about_food(medicine: Medicine) -> Iterator[Finding]:
    """What print says about food, and an order that says nothing about it.

    Args:
        medicine: The order.
    Source:
        medicine.before_food.*, medicine.food.*, medicine.empty_before, medicine.empty_after
    """
    food, parts = medicine.food, read_name(medicine.name).parts
    minutes = next((figure for drug, figure in MINUTES_BEFORE_FOOD.items() if drug in parts), None)
    facts = facts_about(medicine.name, FOOD_IN_PRINT)
    figures: tuple[Printed, ...] = ()
    weight = Weight.ASKED
    if minutes is not None and food.relation in ("with", "any"):
        said = "with food" if food.relation == "with" else "nothing about food"
        code, figures = "food-timing", (minutes,)
        text = (
            f"Print gives {medicine.name} about {write_number(minutes.value)} {minutes.unit}; the order says {said}. "
            "Ask the vet."
        )
    elif minutes is not None and (slip := find_slip(value=food.minutes or 0, reference=minutes.value)):
        code, figures = "food-timing", (minutes,)
        text = (
            f"Print gives {medicine.name} about {write_number(minutes.value)} {minutes.unit}; the order says "
            f"{write_number(food.minutes or 0)}, {slip}. Ask the vet."
        )
    elif facts and food.relation == "any":
        code, figures = "food-timing", facts
        text = f"{medicine.name}: {facts[0].says} The order says nothing about food. Ask the vet."
    elif "food" not in medicine.model_fields_set and medicine.route in ("tube", "mouth"):
        code, weight = "food-not-stated", Weight.SAID
        text = f"The order of {medicine.name} says nothing about food; it is planned without regard to it."
    elif food.relation != "empty stomach" or food.minutes is None:
        return
    elif food.after_minutes is None:
        code, figures = "empty-stomach", (EMPTY_BEFORE_MINUTES, EMPTY_AFTER_MINUTES)
        text = (
            f"How long after food may {medicine.name} be given? Its order says how long before, and not how long after."
        )
    elif food.minutes < EMPTY_BEFORE_MINUTES.low or food.after_minutes < EMPTY_AFTER_MINUTES.low:
        code, figures = "empty-stomach", (EMPTY_BEFORE_MINUTES, EMPTY_AFTER_MINUTES)
        text = (
            f"{medicine.name}: {write_number(food.minutes)} minutes before and {write_number(food.after_minutes)} "
            f"minutes after food, when the shortest in print is {write_number(EMPTY_BEFORE_MINUTES.low)} and "
            f"{write_number(EMPTY_AFTER_MINUTES.low)}. Ask the vet."
        )
    else:
        return
    yield Finding(code=code, weight=weight, field="food", text=text, figures=figures)
