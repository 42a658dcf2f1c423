"""Mixes of the foods on hand: what goes in, the day it makes, its nutrients, and why no smaller one."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import render
from django.utils.safestring import SafeString
from django.views.decorators.http import require_GET

from fillmark.core.changes.canned_food import blend_unit
from fillmark.core.changes.mix_parts import Measure, MixWay, MixWays, check_blend, measure_of
from fillmark.core.food.nutrients import NutrientCheck
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.foods import Food
from fillmark.core.tube.mark import fills
from fillmark.core.values.errors import BadPlan, FillmarkError
from fillmark.core.values.explain import Explained
from fillmark.core.values.people import Capability, may
from fillmark.core.values.quantities import write_number
from fillmark.published.input_limits import KEEPS_LIMITS_DAYS
from fillmark.services import mixes as service
from fillmark.services.timetable import Usual, find_usual
from fillmark.web.bedside import Bedside, at_the_bedside
from fillmark.web.bedside.page_context import page_context
from fillmark.web.mixes.pictures import ShownNutrient, draw_shares, show_nutrients
from fillmark.web.ways.numbers import load_bar, say_density, say_foods, say_limits, say_load
from fillmark.web.ways.pictures import draw_fills, say_fills
from fillmark.web.words import say_many

_COUNT = re.compile("[0-9]{1,3}")
_FEW = 12
"""With more foods than this, what holds a mix takes seconds to work out, and is worked out when it is asked for."""


@dataclass(frozen=True, kw_only=True, slots=True)
class ShownFood:
    """One food on hand as the question "what may go in?" shows it."""

    id: str
    name: str
    words: str
    spoon: str
    is_chosen: bool
    most: str
    trouble: str


@dataclass(frozen=True, kw_only=True, slots=True)
class ShownCheck:
    """The nutrients of a mix: bars for what the labels tell, names for what they do not."""

    completeness: str
    is_shown_complete: bool
    nutrients: Sequence[ShownNutrient]
    unknown: str
    cautions: Sequence[str]


@dataclass(frozen=True, kw_only=True, slots=True)
class ShownMix:
    """One mix for the screen."""

    title: str
    amounts: Sequence[str]
    shares: SafeString
    fills: SafeString
    fill_words: str
    load_bar: SafeString
    load_words: str
    facts: Sequence[tuple[str, str]]
    check: ShownCheck
    query: str


def _kcal_per_day(usual: Usual) -> float | None:
    """What a day of the plan feeds [kcal]; none where it cannot be worked out."""
    try:
        return usual.stored.day(usual.starts_at.date()).energy.value
    except FillmarkError:
        return None


def show_check(check: Explained[NutrientCheck], *, foods: int) -> ShownCheck:
    """The nutrients of a blend of so many foods."""
    nutrients, unknown = show_nutrients(check.value)
    is_complete = check.value.completeness.name == "COMPLETE"
    words = "By its label a complete food, only watered down: for each kcal it stays what its maker made it."
    if is_complete and foods > 1:
        words = "By their labels complete foods, only mixed and watered down."
    if not is_complete:
        words = "Not shown to be complete: ask the vet, or a veterinary nutritionist."
    return ShownCheck(
        completeness=words,
        is_shown_complete=is_complete,
        nutrients=nutrients,
        unknown=", ".join(unknown),
        cautions=[one for one in check.cautions if "not shown to be complete" not in one],
    )


def _show_mix(way: MixWay, *, plan: CarePlan, ways: MixWays) -> ShownMix:
    option, wishes = way.option, ways.wishes.value
    marks = fills(total_ml=option.blend_ml_per_meal, syringe=plan.feeding_syringe)
    limits = {"warn_ml_per_kg": wishes.warn_ml_per_kg, "cap_ml_per_kg": wishes.cap_ml_per_kg}
    amounts = [f"{measure.words(count)} of {measure.food.name}" for measure, count in way.amounts]
    kcals = [measure.kcal * count for measure, count in way.amounts]
    return ShownMix(
        title=f"{option.meals} × {write_number(option.blend_ml_per_meal)} mL",
        amounts=amounts,
        shares=draw_shares([(words, kcal / sum(kcals)) for words, kcal in zip(amounts, kcals, strict=True)]),
        fills=draw_fills(marks),
        fill_words=say_fills(marks),
        load_bar=load_bar(option.ml_per_kg, **limits),
        load_words=f"{say_load(option.ml_per_kg)} in one session",
        facts=tuple(_facts(way, days=ways.days)),
        check=show_check(way.nutrients, foods=len(way.amounts)),
        query=urlencode({"mix": write_mix(way.amounts), "mix_water": f"{way.water_ml:g}"}),
    )


def _facts(way: MixWay, *, days: int) -> list[tuple[str, str]]:
    option, mix = way.option, way.mix
    left = "next to nothing" if mix.uses_whole_cans else f"{write_number(mix.waste_cans, digits=2)} of a can"
    due = f", {write_number(round(option.water_due_ml))} mL short of the band" if option.water_due_ml >= 1 else ""
    return [
        ("A batch feeds", say_many(days, "day")),
        ("Water to stir in", f"{write_number(way.water_ml)} mL"),
        ("It comes to about", f"{write_number(round(mix.ml + way.water_ml))} mL"),
        ("Energy of the mix", say_density(option.kcal_per_ml)),
        ("Left over of opened cans", left),
        ("Fills", f"{option.fills} a day"),
        ("Water, all of the day", f"{write_number(round(option.water_ml))} mL{due}"),
    ]


def write_mix(amounts: Sequence[tuple[Measure, int]]) -> str:
    """A mix as an address holds it: "stew*2.25*cans,oil*9.2*grams"; the what-if page reads it."""
    parts = [measure.part(count) for measure, count in amounts]
    return ",".join("*".join((part.food, str(part.cans or part.g), "cans" if part.cans else "grams")) for part in parts)


def _show_food(food: Food, *, plan: CarePlan, form: QueryDict) -> ShownFood:
    is_asked = "days" in form
    words, spoon, trouble = "", "", ""
    try:
        measure = measure_of(food, species=plan.animal.species)
        a_whole = "can" if measure.parts > 1 else measure.name
        words = f"{write_number(round(measure.kcal * measure.parts, 1))} kcal a {a_whole}"
        spoon = "" if measure.parts > 1 and food.complete else a_whole
    except FillmarkError as refused:
        trouble = f"{refused.got}. {refused.remedy}"
    return ShownFood(
        id=food.id,
        name=food.name,
        words=words,
        spoon=spoon,
        trouble=trouble,
        is_chosen=not trouble and (food.id in form.getlist("food") if is_asked else bool(food.complete)),
        most=form.get(f"most_{food.id}", ""),
    )


def _read_count(form: Mapping[str, str], name: str, *, what: str, most: int) -> int | None:
    text = form.get(name, "").strip()
    if not text:
        return None
    if not _COUNT.fullmatch(text) or not 1 <= int(text) <= most:
        raise BadPlan(
            field=name,
            got=f'"{text[:20]}" {what}',
            allowed=f"a whole number from 1 to {most}",
            remedy="Enter it again.",
        )
    return int(text)


@require_GET
@at_the_bedside
def mixes(request: HttpRequest, bedside: Bedside) -> HttpResponse:
    form = request.GET
    usual = find_usual(**bedside.ids, now=bedside.now)
    plan = usual.plan
    on_hand = service.find_foods(**bedside.ids, plan=plan)
    shown = [_show_food(food, plan=plan, form=form) for food in on_hand]
    usual_days = blend_unit(plan).keeps_days or 1
    context = {
        **page_context(bedside, under="Mixes of several foods"),
        "foods": shown,
        "day_counts": range(1, int(KEEPS_LIMITS_DAYS.high) + 1),
        "days": usual_days,
        "now_foods": say_foods(plan),
        "may_record": may(bedside.caregiver, what=Capability.RECORD_ANYTHING, on=bedside.today),
    }
    try:
        context["present"] = show_check(
            check_blend(plan, kcal_per_day=_kcal_per_day(usual)), foods=len(plan.blend.foods)
        )
    except FillmarkError as error:
        context["present_error"] = error
    try:
        days = _read_count(form, "days", what="days", most=int(KEEPS_LIMITS_DAYS.high)) or usual_days
        context["days"] = days
        most = {
            food.id: count
            for food in shown
            if food.spoon and food.is_chosen
            for count in [_read_count(form, f"most_{food.id}", what="a day", most=40)]
            if count is not None
        }
        silent = [food.name for food in shown if food.spoon and food.is_chosen and food.id not in most]
        chosen = [food.id for food in shown if food.is_chosen and (not food.spoon or food.id in most)]
        is_quick = len(chosen) <= _FEW or "holds" in form
        _, found = service.find_mixes(
            **bedside.ids,
            foods=chosen,
            with_binding=is_quick,
            most_a_day=most,
            days=days,
            now=bedside.now,
        )
    except FillmarkError as error:
        context["error"] = error
    else:
        ways = [_show_mix(way, plan=plan, ways=found) for way in found.ways]
        wishes = found.wishes.value
        context.update(
            ways=ways,
            binding=found.binding,
            is_held_known=is_quick,
            asked=[(name, value) for name in form for value in form.getlist(name)],
            kept=", ".join(found.kept),
            not_kept=", ".join(found.unknown),
            is_all=found.is_all,
            silent=silent,
            working=found.working,
            cautions=found.wishes.cautions,
            limits=say_limits(warn_ml_per_kg=wishes.warn_ml_per_kg, cap_ml_per_kg=wishes.cap_ml_per_kg),
        )
    return render(request, "mixes/mixes.html", context)
