"""The numbers of a planned day, each with its working in place."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from django.utils.safestring import SafeString

from fillmark.core.chart.words import say_lock
from fillmark.core.day.values import DayPlan, PlannedDose
from fillmark.core.orders.tablets import TabletParts
from fillmark.core.plan.feeding_orders import Orders
from fillmark.core.tube.meals import Load
from fillmark.core.tube.syringe import Mark
from fillmark.core.values.explain import Explained
from fillmark.core.values.quantities import write_number, write_sum
from fillmark.web.ways.numbers import load_bar, say_density


@dataclass(frozen=True, kw_only=True, slots=True)
class ShownNumber:
    """One number of the plan with its name, its amount in words and its working."""

    name: str
    amount: str
    working: Explained[object]
    bar: SafeString | str = ""


_NO_LOCKS: Mapping[str, str] = MappingProxyType({})


def numbers_of(day: DayPlan, orders: Orders, *, locks: Mapping[str, str] = _NO_LOCKS) -> Iterator[ShownNumber]:
    """Energy, blend, meals, what each session puts into the stomach, each dose, and the water.

    Args:
        day: The day as planned.
        orders: What the vet ordered for feeding.
        locks: By medicine whose bottle in use has another strength, why: no mark of it is shown.
    """
    yield ShownNumber(name="Energy", amount=f"{write_number(round(day.energy.value))} kcal a day", working=day.energy)
    yield ShownNumber(name="This mix", amount=say_density(day.kcal_per_ml.value), working=day.kcal_per_ml)
    yield ShownNumber(name="Blend", amount=f"{write_sum(day.meals.value).total} mL a day", working=day.meals)
    kcal = write_number(round(day.kcal_planned.value))
    yield ShownNumber(name="Planned", amount=f"{kcal} kcal a day", working=day.kcal_planned)
    for session in day.sessions:
        load = session.load.value
        amount = f"{load.total_words} mL, {write_number(load.ml_per_kg, digits=3)} mL/kg"
        yield ShownNumber(
            name=f"{session.label}, water included",
            amount=amount,
            working=session.load,
            bar=load_bar(load.ml_per_kg, warn_ml_per_kg=orders.warn_ml_per_kg, cap_ml_per_kg=orders.cap_ml_per_kg),
        )
    for session in day.sessions:
        for dose in session.medicines:
            yield _show_dose(dose, f"{dose.medicine.name}, {session.clock:%H:%M}", lock=locks.get(dose.medicine.id))
    yield ShownNumber(name="Water", amount=f"{day.water.value.total_words} mL a day", working=day.water)


def _show_dose(dose: PlannedDose, name: str, *, lock: str | None) -> ShownNumber:
    """What is drawn of a medicine, or why nothing is."""
    held = dose.medicine.held
    why = say_lock(lock) if lock else f"on hold: {held}" if held else None
    if why is None:
        return ShownNumber(name=name, amount=dose.amount, working=dose.working)
    return ShownNumber(name=name, amount="locked" if lock else "none", working=Explained(value=None, because=why))


def brief_numbers_of(day: DayPlan, orders: Orders) -> Iterator[ShownNumber]:
    """The same numbers with only the fullest session, and each dose once for each amount."""
    fullest = max((session.load.value.ml_per_kg for session in day.sessions), default=0.0)
    is_load_shown, doses = False, set()
    for number in numbers_of(day, orders):
        value = number.working.value
        if isinstance(value, Load):
            if is_load_shown or value.ml_per_kg < fullest:
                continue
            is_load_shown = True
        if isinstance(value, Mark | TabletParts):
            name = number.name.rpartition(",")[0]
            if (name, number.amount) in doses:
                continue
            doses.add((name, number.amount))
            number = replace(number, name=name)
        yield number
