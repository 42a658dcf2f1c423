"""Other ways to feed the day: all worth choosing from, one beside the present plan, and accepted only by a lead."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.safestring import SafeString
from django.views.decorators.http import require_GET

from fillmark.core.changes.blend_option import BlendOption
from fillmark.core.changes.canned_food import blend_unit, canned_food
from fillmark.core.changes.feeding_ways import Ways
from fillmark.core.day.values import DayPlan
from fillmark.core.food.blend import MeasuredVolume, blend_energy, explain_shortfall
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.values.errors import FillmarkError
from fillmark.core.values.quantities import write_number
from fillmark.services import ways as service
from fillmark.services.timetable import Usual, find_usual
from fillmark.web.bedside import Bedside, at_the_bedside
from fillmark.web.bedside.page_context import page_context
from fillmark.web.drawings.bars import Bar, BarFill, BarLine, Piece, draw_bar
from fillmark.web.ways.numbers import ShownWay, say_density, say_limits, show_way
from fillmark.web.words import say_many

_COUNT = re.compile("[0-9]{1,3}")
EXAMPLE_CAN_KCAL, EXAMPLE_CAN_ML, EXAMPLE_MEALS, EXAMPLE_MEAL_ML = 569.0, 383.0, 4, 190.0
EXAMPLE_WATERS_ML = (100.0, 300.0, 383.0)
"""A worked example that stands in print for the question: one can, three mixes, the same full syringes."""


@dataclass(frozen=True, kw_only=True, slots=True)
class WateredCan:
    """One can with one amount of water, and what the same meals then carry."""

    water: str
    density: str
    kcal: str
    bar: SafeString
    words: str


def mixes(
    *,
    kcal_per_can: float,
    ml_per_can: float,
    waters_ml: Sequence[float],
    meals_ml: Sequence[float],
    need_kcal: float,
) -> list[WateredCan]:
    """The same meals from one can with less or more water: the energy they carry against the day's need."""
    shown = []
    carried = [
        (water_ml, blend_energy(kcal=kcal_per_can, volume=MeasuredVolume(ml=ml_per_can + water_ml)))
        for water_ml in waters_ml
    ]
    most = max([need_kcal, *(energy.value * sum(meals_ml) for _, energy in carried)])
    for water_ml, energy in carried:
        short = explain_shortfall(needed_kcal=need_kcal, blend_ml=sum(meals_ml), kcal_per_ml=energy.value)
        kcal = energy.value * sum(meals_ml)
        shown.append(
            WateredCan(
                water=f"{write_number(water_ml)} mL",
                density=say_density(energy.value),
                kcal=f"{write_number(round(kcal))} kcal",
                bar=draw_bar(
                    Bar(
                        whole=1.04 * most,
                        pieces=[
                            Piece(fill=BarFill.SHORT if short.cautions else BarFill.IN, start=0, end=kcal),
                        ],
                        limits=[(BarLine.GOAL, need_kcal)],
                    )
                ),
                words=f"{write_number(round(short.value))} kcal short every day"
                if short.cautions
                else "the day's need is met",
            )
        )
    return shown


def _own_mixes(plan: CarePlan, day: DayPlan) -> list[WateredCan]:
    """This household's own can: with the water of now, with half a can more, and with a can more."""
    food = canned_food(plan, day=day).value
    now_ml = plan.blend.water_ml / blend_unit(plan).count
    more = [5 * round((now_ml + food.ml_per_can * part) / 5) for part in (0.5, 1.0)]
    return mixes(
        kcal_per_can=food.kcal_per_can,
        ml_per_can=food.ml_per_can,
        waters_ml=[now_ml, *more],
        meals_ml=day.meals.value,
        need_kcal=day.energy.value,
    )


def _example_mixes() -> list[WateredCan]:
    need = EXAMPLE_MEALS * EXAMPLE_MEAL_ML * EXAMPLE_CAN_KCAL / (EXAMPLE_CAN_ML + EXAMPLE_WATERS_ML[0])
    return mixes(
        kcal_per_can=EXAMPLE_CAN_KCAL,
        ml_per_can=EXAMPLE_CAN_ML,
        waters_ml=EXAMPLE_WATERS_ML,
        meals_ml=[EXAMPLE_MEAL_ML] * EXAMPLE_MEALS,
        need_kcal=need,
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class WaysByMeals:
    """The ways with one number of meals: the one that comes first, and the others."""

    meals: str
    first: ShownWay
    others: Sequence[ShownWay]


def _groups(usual: Usual, ways: Ways, chosen: Sequence[BlendOption]) -> Iterator[WaysByMeals]:
    plan, food = usual.plan, ways.food.value
    proposed = ways.choice.value.proposed

    def first(option: BlendOption) -> tuple[object, ...]:
        return option != proposed, option.water_due_ml > 0, not option.uses_whole_cans, option.fills, *option.costs

    for meals, found in groupby(sorted(chosen, key=lambda one: one.meals), key=lambda one: one.meals):
        shown = [
            show_way(
                option,
                plan=plan,
                wishes=ways.wishes.value,
                is_present=ways.is_present(option),
                food=food,
            )
            for option in sorted(found, key=first)
        ]
        yield WaysByMeals(meals=say_many(meals, "meal"), first=shown[0], others=shown[1:])


def _choices(usual: Usual, ways: Ways, form: Mapping[str, str]) -> dict[str, object]:
    """What the page shows of a search: the way proposed, the others, and what holds them."""
    choice = ways.choice.value
    most = form.get("most_meals", "")
    has_most = bool(_COUNT.fullmatch(most))
    chosen = [
        option
        for option in choice.best
        if (not has_most or option.meals <= int(most))
        and not (form.get("no_night") and option.needs_night_meal)
        and not (form.get("whole_cans") and not option.uses_whole_cans)
    ]
    wishes = ways.wishes.value
    proposed = choice.proposed
    shown = None
    if proposed is not None:
        shown = show_way(
            proposed,
            plan=usual.plan,
            wishes=wishes,
            is_present=ways.is_present(proposed),
            food=ways.food.value,
        )
    cautions = dict.fromkeys([*ways.choice.cautions, *ways.food.all_cautions(), *ways.wishes.cautions])
    buys = [one.words for one in choice.loosened if one.words in cautions]
    present = show_way(
        ways.present,
        plan=usual.plan,
        wishes=wishes,
        is_present=True,
        food=ways.food.value,
    )
    return {
        "proposed": shown,
        "present": present,
        "groups": list(_groups(usual, ways, chosen)),
        "count": len(choice.best),
        "left_out": len(choice.best) - len(chosen),
        "workings": [ways.choice, ways.food, ways.wishes],
        "buys": buys,
        "cautions": [words for words in cautions if words not in buys],
        "binding": choice.binding,
        "limits": say_limits(warn_ml_per_kg=wishes.warn_ml_per_kg, cap_ml_per_kg=wishes.cap_ml_per_kg),
    }


@require_GET
@at_the_bedside
def ways(request: HttpRequest, bedside: Bedside) -> HttpResponse:
    usual = find_usual(**bedside.ids, now=bedside.now)
    context = page_context(bedside, under=f"Ways to feed the day, version {usual.stored.number}")
    day = usual.stored.day(usual.starts_at.date())
    if day is not None:
        try:
            context["mixes"] = _own_mixes(usual.plan, day)
            context["unit"] = blend_unit(usual.plan).unit
            context["need"] = f"{write_number(round(day.energy.value))} kcal"
            context["meals"] = f"{len(day.meals.value)} × {write_number(day.meals.value[0])} mL"
        except FillmarkError:
            context["mixes"] = []  # what is missing is said above
    try:
        _, found = service.find_ways(**bedside.ids, now=bedside.now)
        context.update(_choices(usual, found, request.GET))
    except FillmarkError as error:
        context["error"] = error
    context.update(
        example=_example_mixes(),
        example_meals=f"{EXAMPLE_MEALS} × {write_number(EXAMPLE_MEAL_ML)} mL",
        example_can=f"{write_number(EXAMPLE_CAN_KCAL)} kcal in {write_number(EXAMPLE_CAN_ML)} mL",
        filled={name: request.GET.get(name, "") for name in ("most_meals", "no_night", "whole_cans")},
        meal_counts=range(2, 9),
        food=" and ".join(usual.plan.food(part.food).name for part in usual.plan.blend.foods),
    )
    return render(request, "ways/ways.html", context)


# What if
