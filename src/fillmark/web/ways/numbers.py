"""One way of feeding as a page shows it: its amounts in words, and drawn against the vet's limits."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from django.utils.safestring import SafeString

from fillmark.core.changes.blend_option import BlendOption, BlendWishes, CannedFood
from fillmark.core.changes.canned_food import blend_unit
from fillmark.core.day.values import DayPlan
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.tube.mark import fills
from fillmark.core.values.quantities import write_number, write_sum
from fillmark.web.drawings.bars import Bar, BarFill, BarLine, Piece, draw_bar
from fillmark.web.ways.pictures import draw_fills, say_fills
from fillmark.web.words import say_many


@dataclass(frozen=True, kw_only=True, slots=True)
class ShownWay:
    """One way to feed the day, for the screen.

    Attributes:
        title: Meals and volume ("4 × 210 mL").
        query: What the comparing page needs to show it beside the plan.
        over_warning: It lies above the level the vet asks about.
        load_bar: What one session holds against warning and cap.
        facts: The rest in words, name and amount.
    """

    title: str
    meals: int
    query: str
    is_present: bool
    over_warning: bool
    fills: SafeString
    fill_words: str
    load_words: str
    load_bar: SafeString
    facts: Sequence[tuple[str, str]]


def say_load(ml_per_kg: float) -> str:
    return f"{write_number(ml_per_kg, digits=3)} mL/kg"


def say_density(kcal_per_ml: float) -> str:
    """The energy of a mix, to the hundredth that two mixes differ by."""
    return f"{write_number(round(kcal_per_ml, 2))} kcal/mL"


def load_bar(ml_per_kg: float, *, warn_ml_per_kg: float | None, cap_ml_per_kg: float | None) -> SafeString:
    """What one session holds, on a line that reaches a little past the cap."""
    limits = [(BarLine.WARNING, warn_ml_per_kg), (BarLine.MOST, cap_ml_per_kg)]
    stated = [(kind, at) for kind, at in limits if at is not None]
    whole = 1.1 * max([ml_per_kg, *(at for _, at in stated)])
    return draw_bar(Bar(whole=whole, pieces=[Piece(fill=BarFill.IN, start=0, end=ml_per_kg)], limits=stated))


def say_limits(*, warn_ml_per_kg: float | None, cap_ml_per_kg: float | None) -> str:
    """The vet's limits of a session in words; empty where none is stated."""
    parts = []
    if warn_ml_per_kg is not None:
        parts.append(f"the vet asks to be told above {write_number(warn_ml_per_kg)}")
    if cap_ml_per_kg is not None:
        parts.append(f"at most {write_number(cap_ml_per_kg)} mL/kg")
    return ", ".join(parts)


def show_way(
    option: BlendOption, *, plan: CarePlan, wishes: BlendWishes, is_present: bool, food: CannedFood
) -> ShownWay:
    """One option of the search."""
    marks = fills(total_ml=option.blend_ml_per_meal, syringe=plan.feeding_syringe)
    return ShownWay(
        title=f"{option.meals} × {write_number(option.blend_ml_per_meal)} mL",
        meals=option.meals,
        query=f"meals={option.meals}&water={option.added_ml_per_can:g}",
        is_present=is_present,
        over_warning=wishes.warn_ml_per_kg is not None and option.ml_per_kg > wishes.warn_ml_per_kg,
        fills=draw_fills(marks),
        fill_words=say_fills(marks),
        load_words=f"{say_load(option.ml_per_kg)} in one session",
        load_bar=load_bar(option.ml_per_kg, warn_ml_per_kg=wishes.warn_ml_per_kg, cap_ml_per_kg=wishes.cap_ml_per_kg),
        facts=tuple(_facts(option, food=food)),
    )


def _facts(option: BlendOption, *, food: CannedFood) -> Iterator[tuple[str, str]]:
    yield "Energy of the mix", say_density(option.kcal_per_ml)
    yield f"Water in a {food.unit}", f"{write_number(option.added_ml_per_can)} mL"
    days = "a day" if food.keeps_days == 1 else f"in {food.keeps_days} days"
    left = f"{option.waste_cans:.1f} of a {food.unit} left over"
    if option.uses_whole_cans:
        left = "next to nothing left over"
    yield "Cans opened" if food.unit == "can" else "Batches made", f"{option.cans_opened} {days}, {left}"
    yield "Fills", f"{option.fills} a day"
    yield "Pushing", f"{say_many(round(option.minutes), 'minute')} a day"
    due = option.water_due_ml
    short = f", {write_number(round(due))} mL short of the band" if due >= 1 else ""
    yield "Water, all of the day", f"{write_number(round(option.water_ml))} mL{short}"


def say_foods(plan: CarePlan, *, times: float = 1.0) -> str:
    """The foods of a batch, or of a part of one, each in its measure: "1.5 cans of Stew, 9 g of Oil"."""
    return ", ".join(
        f"{say_many_of(part.cans * times, 'can')} of {plan.food(part.food).name}"
        if part.cans is not None
        else f"{write_number((part.g or 0.0) * times, digits=2)} g of {plan.food(part.food).name}"
        for part in plan.blend.foods
    )


def say_many_of(count: float, word: str) -> str:
    """A count that need not be whole: "1.79 cans"."""
    return f"{write_number(count, digits=2)} {word}{'' if count == 1 else 's'}"


def day_rows(day: DayPlan, plan: CarePlan, *, in_cans: bool) -> dict[str, str]:
    """One plan's day as rows to put beside another's, by name.

    Args:
        day: The plan's day.
        plan: The plan.
        in_cans: Whether both plans have one food in its can; else all is told by the batch.
    """
    unit = blend_unit(plan)
    keeps_days = unit.keeps_days or 1
    cans_per_batch = unit.count if in_cans else 1.0
    pace = plan.orders.pace_ml_per_minute
    meals = [session for session in day.sessions if session.meal_ml]
    batch_kcal, _ = day.batch.value
    batch_ml = batch_kcal / day.kcal_per_ml.value
    day_ml = sum(day.meals.value)
    cans = day_ml / batch_ml * cans_per_batch
    fullest = max((session.load.value.ml_per_kg for session in day.sessions), default=0.0)
    volumes = [write_number(ml) for ml in sorted(set(day.meals.value), reverse=True)]
    used = {
        "Cans": f"{write_number(cans, digits=2)} a day, {write_number(cans * keeps_days, digits=2)} "
        f"while one keeps ({say_many(keeps_days, 'day')})"
    }
    if not in_cans:
        used = {"Foods of the day": say_foods(plan, times=cans)}
    return {
        "Food" if in_cans else "Foods of a batch": unit.name if in_cans else say_foods(plan),
        f"Water in a {'can' if in_cans else 'batch'}": f"{write_number(plan.blend.water_ml / cans_per_batch)} mL",
        "Energy of the mix": say_density(day.kcal_per_ml.value),
        "Meals": ", ".join(f"{session.clock:%H:%M}" for session in meals),
        "Each meal": f"{' or '.join(volumes)} mL",
        "Fullest session": say_load(fullest),
        "Energy of the day": f"{write_number(round(day.kcal_planned.value))} kcal",
        "Blend of the day": f"{write_sum(day.meals.value).total} mL",
        "Fills": f"{sum(len(session.fills) for session in meals)} a day",
        "Pushing": say_many(round(day_ml / pace), "minute") + " a day" if pace else "the vet stated no pace",
        "Water, all of the day": f"{day.water.value.total_words} mL",
        **used,
    }
