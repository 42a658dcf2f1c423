"""Other ways to feed the day: all worth choosing from, one beside the present plan, and accepted only by a lead."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import time
from itertools import groupby

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.safestring import SafeString
from django.views.decorators.http import require_GET, require_http_methods

from fillmark.core.changes.blend_option import BlendOption
from fillmark.core.changes.canned_food import blend_unit, canned_food
from fillmark.core.changes.feeding_change import FeedingChange, MixChange, meal_clocks
from fillmark.core.changes.feeding_ways import Ways
from fillmark.core.changes.what_if import Tube, what_if_tube
from fillmark.core.day.values import DayPlan
from fillmark.core.food.blend import MeasuredVolume, blend_energy, explain_shortfall
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.foods import BlendFood, Food
from fillmark.core.values.errors import BadPlan, FillmarkError, NotAllowed
from fillmark.core.values.people import Capability, may
from fillmark.core.values.quantities import read_number, write_number
from fillmark.published.meals import MEALS_LIMITS
from fillmark.services import feeding, plans
from fillmark.services.feeding import FeedingOffer
from fillmark.services.timetables import Usual, find_usual
from fillmark.web.bedside import Bedside, at_the_bedside
from fillmark.web.bedside.page_context import page_context
from fillmark.web.drawings.bars import Bar, BarFill, BarLine, Piece, draw_bar
from fillmark.web.vets_word import read_confirmation
from fillmark.web.ways.numbers import ShownWay, day_rows, load_bar, say_density, say_limits, show_way
from fillmark.web.ways.pictures import draw_fills, say_fills
from fillmark.web.words import say_many

_COUNT = re.compile("[0-9]{1,3}")
_MIX_PART = re.compile(r"(?P<food>[a-z][a-z0-9-]{0,39})\*(?P<amount>[0-9]{1,5}(\.[0-9]{1,4})?)\*(?P<unit>cans|grams)")
_FIELDS = ("meals", "water", "food", "french", "inner_mm", "days", "mix", "mix_water")
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


@dataclass(frozen=True, kw_only=True, slots=True)
class ComparedAmount:
    """One amount of two plans, side by side; `new` is empty where nothing changes."""

    name: str
    old: str
    new: str


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
    day = plans.planned_day(**bedside.ids, day=usual.starts_at.date(), at=usual.starts_at)
    if day is not None:
        try:
            context["mixes"] = _own_mixes(usual.plan, day)
            context["unit"] = blend_unit(usual.plan).unit
            context["need"] = f"{write_number(round(day.energy.value))} kcal"
            context["meals"] = f"{len(day.meals.value)} × {write_number(day.meals.value[0])} mL"
        except FillmarkError:
            context["mixes"] = []  # what is missing is said above
    try:
        _, found = feeding.find_ways(**bedside.ids, now=bedside.now)
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


def _read_count(text: str) -> int | None:
    if not text.strip():
        return None
    if not _COUNT.fullmatch(text.strip()) or not MEALS_LIMITS.holds(int(text)):
        raise BadPlan(
            field="meals",
            got=f'"{text[:20]}" meals a day',
            allowed=f"{write_number(MEALS_LIMITS.low)} to {write_number(MEALS_LIMITS.high)}",
            remedy="Enter how many meals a day are meant.",
        )
    return int(text)


def _read_clocks(plan: CarePlan, form: Mapping[str, str]) -> tuple[time, ...] | None:
    """The meal times asked for: as typed for that many meals, else spread over the day; none where nothing changes."""
    count = _read_count(form.get("meals", ""))
    if count is None:
        return None
    typed = [form.get(f"clock_{place}", "").strip() for place in range(1, count + 1)]
    is_complete = all(typed) and form.get("clocks_for") == str(count)
    if not is_complete:
        return meal_clocks(plan, meals=count)
    try:
        return tuple(time.fromisoformat(text).replace(second=0, microsecond=0, tzinfo=None) for text in typed)
    except ValueError:
        raise BadPlan(
            field="timetable.meals",
            got=f'"{", ".join(typed)[:60]}" for the meal times',
            allowed="times from 00:00 to 23:59",
            remedy="Write each time as the clock on the wall shows it, such as 07:30.",
        ) from None


def _read_change(plan: CarePlan, form: Mapping[str, str], *, foods: Sequence[Food]) -> FeedingChange:
    water = form.get("water", "").strip()
    return FeedingChange(
        meals=_read_clocks(plan, form),
        food=form.get("food") or None,
        water_ml_per_can=float(read_number(water, field="water")) if water else None,
        mix=_read_mix(form, foods),
    )


def _read_mix(form: Mapping[str, str], foods: Sequence[Food]) -> MixChange | None:
    """The mix asked for, as the page of mixes writes it; none without one.

    Raises:
        BadPlan: it names a food that is not on hand, or cannot be read.
    """
    text = form.get("mix", "").strip()
    if not text:
        return None
    known = {food.id: food for food in foods}
    found = [_MIX_PART.fullmatch(part) for part in text.split(",")]
    parts = [part for part in found if part is not None and part["food"] in known and float(part["amount"]) > 0]
    if len(parts) != len(found):
        raise BadPlan(
            field="mix",
            got=f'"{text[:60]}" for a mix',
            allowed="foods on hand with their cans or grams",
            remedy="Choose it again on the page of mixes: a food may have been taken out meanwhile.",
        )
    return MixChange(
        parts=tuple(
            BlendFood(food=part["food"], **{"cans" if part["unit"] == "cans" else "g": float(part["amount"])})
            for part in parts
        ),
        water_ml=float(read_number(form.get("mix_water", ""), field="water")),
        foods=tuple(known[part["food"]] for part in parts),
    )


def _read_tube(form: Mapping[str, str]) -> Tube | None:
    """The other tube asked for; none where no French was typed."""
    french, inner = form.get("french", "").strip(), form.get("inner_mm", "").strip()
    if not french:
        return None
    return Tube(
        french=float(read_number(french, field="French")),
        inner_mm=float(read_number(inner, field="inner diameter")) if inner else None,
    )


def _other_tube(plan: CarePlan, form: Mapping[str, str]) -> dict[str, object] | None:
    """The tube in use beside another one: what the same push meets in each."""
    new = _read_tube(form)
    if new is None:
        return None
    tube = plan.animal.tube
    result = what_if_tube(old=Tube(french=tube.french, inner_mm=tube.inner_diameter_mm), new=new)
    times = result.value.new.push_times
    bars = []
    if times is not None:
        most = 1.05 * max(1.0, times)
        bars = [
            {"name": name, "amount": f"{write_number(push, digits=2)} ×", "bar": _push_bar(push, most)}
            for name, push in (("Now", 1.0), ("Then", times))
        ]
    return {"result": result, "bars": bars}


def _push_bar(times: float, most: float) -> SafeString:
    return draw_bar(Bar(whole=most, pieces=[Piece(fill=BarFill.IN, start=0, end=times)]))


def _read_days(text: str) -> int | None:
    if not text.strip():
        return None
    if not _COUNT.fullmatch(text.strip()):
        raise BadPlan(
            field="days",
            got=f'"{text[:20]}" days away',
            allowed="a whole number of days",
            remedy="Enter how many days you will be away.",
        )
    return int(text)


def _away(bedside: Bedside, change: FeedingChange, form: Mapping[str, str]) -> dict[str, object] | None:
    """One day at home beside the days away, and what to bring."""
    days = _read_days(form.get("days", ""))
    if days is None:
        return None
    journey = feeding.away(**bedside.ids, change=change, days=days, now=bedside.now)
    old, new = journey.value.change.old, journey.value.change.new
    unit = blend_unit(find_usual(**bedside.ids, now=bedside.now).plan).unit if change.mix is None else "batch"
    return {
        "days": say_many(days, "day"),
        "journey": journey,
        "rows": [
            (name, write_number(round(getattr(old, field))), write_number(round(getattr(new, field))) + unit)
            for name, field, unit in (
                ("Meals", "meals", ""),
                ("Cans to have" if unit == "can" else "Batches of food to have", "cans", ""),
                ("Batches", "batches", ""),
                ("Blend", "blend_ml", " mL"),
                ("Water in the blend", "mixing_water_ml", " mL"),
                ("Water for flushes and medicines", "beside_water_ml", " mL"),
                ("Fills", "fills", ""),
            )
        ],
    }


def _rows(offer: FeedingOffer) -> list[ComparedAmount]:
    compared = offer.compared
    pairs = ((compared.old, compared.old_plan), (compared.new, compared.new_plan))
    in_cans = all(blend_unit(plan).unit == "can" for _, plan in pairs)
    both = [day_rows(day, plan, in_cans=in_cans) for day, plan in pairs]
    old, new = both
    return [ComparedAmount(name=name, old=old[name], new=new[name] if new[name] != old[name] else "") for name in old]


def _pictures(offer: FeedingOffer) -> list[dict[str, object]]:
    """Old and new as syringes and as a load, each with its words."""
    shown: list[dict[str, object]] = []
    for title, day, plan in (
        ("Now", offer.compared.old, offer.compared.old_plan),
        ("Then", offer.compared.new, offer.compared.new_plan),
    ):
        meals = [session for session in day.sessions if session.meal_ml]
        fullest = max(meals, key=lambda session: session.load.value.ml_per_kg)
        orders = plan.orders
        limits = {"warn_ml_per_kg": orders.warn_ml_per_kg, "cap_ml_per_kg": orders.cap_ml_per_kg}
        shown.append(
            {
                "title": title,
                "meals": say_many(len(meals), "meal"),
                "fills": draw_fills(meals[0].fills),
                "fill_words": say_fills(meals[0].fills),
                "bar": load_bar(fullest.load.value.ml_per_kg, **limits),
                "load": f"{write_number(fullest.load.value.ml_per_kg, digits=3)} mL/kg",
                "limits": say_limits(**limits),
            }
        )
    return shown


@require_http_methods(["GET", "POST"])
@at_the_bedside
def what_if(request: HttpRequest, bedside: Bedside) -> HttpResponse:
    form = request.POST if request.method == "POST" else request.GET
    usual = find_usual(**bedside.ids, now=bedside.now)
    offer, error = None, None
    change = FeedingChange()
    try:
        change = _read_change(usual.plan, form, foods=feeding.find_foods(**bedside.ids, plan=usual.plan))
        if request.method == "POST":
            feeding.accept(
                **read_confirmation(request, bedside, about="the new plan"),
                change=change,
                seen=request.POST.get("seen", ""),
            )
            return redirect(bedside.href("what_if"))
    except NotAllowed:
        raise
    except FillmarkError as refused:
        error = refused
    tube, away = None, None
    try:
        tube, away = _other_tube(usual.plan, form), _away(bedside, change, form)
    except FillmarkError as refused:
        error = error or refused
    if change != FeedingChange():
        try:
            offer = feeding.compare(**bedside.ids, change=change, now=bedside.now)
        except FillmarkError as refused:
            error = error or refused
    stored = usual.stored
    count = len(change.meals) if change.meals else 0
    context = {
        **page_context(bedside, under=f"What if? Beside version {stored.number}"),
        "stored": stored,
        "begins": stored.effective_from.astimezone(bedside.zone) if stored.effective_from > bedside.now else None,
        "starts_at": usual.starts_at,
        "error": error,
        "offer": offer,
        "rows": _rows(offer) if offer else (),
        "pictures": _pictures(offer) if offer else (),
        "is_changed": bool(offer and offer.compared.new_plan != offer.compared.old_plan),
        "tube": tube,
        "away": away,
        "is_asked": bool(offer or tube or away),
        "old_tube": usual.plan.animal.tube,
        "filled": {name: form.get(name, "") for name in _FIELDS},
        "clocks": [f"{clock:%H:%M}" for clock in change.meals or ()],
        "clocks_for": count,
        "meal_counts": range(1, 9),
        "foods": [(food.id, food.name) for food in usual.plan.foods],
        "unit": "batch" if change.mix or len(usual.plan.blend.foods) > 1 else "can",
        "present_meals": len(usual.plan.timetable.meals),
        "may_accept": may(bedside.caregiver, what=Capability.CHANGE_PLAN, on=bedside.today),
        "vet": usual.plan.vet,
        "vet_words": request.POST.get("vet_words", ""),
        "vet_said_on": request.POST.get("vet_said_on", ""),
        "today": bedside.today,
    }
    return render(request, "ways/what_if.html", context, status=400 if error else 200)
