"""What if: a change of feeding beside the present plan, and accepted only by a lead."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import time

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.safestring import SafeString
from django.views.decorators.http import require_http_methods

from fillmark.core.changes.canned_food import blend_unit
from fillmark.core.changes.feeding_change import FeedingChange, MixChange, meal_clocks
from fillmark.core.changes.what_if import OtherTube, what_if_tube
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.foods import BlendFood, Food
from fillmark.core.values.errors import BadPlan, FillmarkError, NotAllowed
from fillmark.core.values.people import Capability, may
from fillmark.core.values.quantities import read_number, write_number
from fillmark.published.meals import MEALS_LIMITS
from fillmark.services import mixes, plans, ways
from fillmark.services.timetable import find_usual
from fillmark.services.ways import FeedingOffer
from fillmark.web.bedside import Bedside, at_the_bedside
from fillmark.web.bedside.page_context import page_context
from fillmark.web.drawings.bars import Bar, BarFill, Piece, draw_bar
from fillmark.web.vets_word import findings_to_answer, read_confirmation
from fillmark.web.ways.numbers import day_rows, load_bar, say_limits
from fillmark.web.ways.pictures import draw_fills, say_fills
from fillmark.web.words import say_many

_COUNT = re.compile("[0-9]{1,3}")
_MIX_PART = re.compile(r"(?P<food>[a-z][a-z0-9-]{0,39})\*(?P<amount>[0-9]{1,5}(\.[0-9]{1,4})?)\*(?P<unit>cans|grams)")
_FIELDS = ("meals", "water", "food", "french", "inner_mm", "days", "mix", "mix_water")


@dataclass(frozen=True, kw_only=True, slots=True)
class ComparedAmount:
    """One amount of two plans, side by side; `new` is empty where nothing changes."""

    name: str
    old: str
    new: str


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


def _read_tube(form: Mapping[str, str]) -> OtherTube | None:
    """The other tube asked for; none where no French was typed."""
    french, inner = form.get("french", "").strip(), form.get("inner_mm", "").strip()
    if not french:
        return None
    return OtherTube(
        french=float(read_number(french, field="French")),
        inner_mm=float(read_number(inner, field="inner diameter")) if inner else None,
    )


def _other_tube(plan: CarePlan, form: Mapping[str, str]) -> dict[str, object] | None:
    """The tube in use beside another one: what the same push meets in each."""
    new = _read_tube(form)
    if new is None:
        return None
    tube = plan.animal.tube
    result = what_if_tube(old=OtherTube(french=tube.french, inner_mm=tube.inner_diameter_mm), new=new)
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
    journey = ways.away(**bedside.ids, change=change, days=days, now=bedside.now)
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


def _findings(request: HttpRequest, bedside: Bedside, offer: FeedingOffer | None) -> dict[str, object] | None:
    """What speaks against the new plan, for the form that would put it in force."""
    if offer is None:
        return None
    starts_at = offer.usual.starts_at
    found = plans.look_at(offer.compared.new_plan, **bedside.ids, now=bedside.now, effective_from=starts_at)
    return findings_to_answer(found, request)


@require_http_methods(["GET", "POST"])
@at_the_bedside
def what_if(request: HttpRequest, bedside: Bedside) -> HttpResponse:
    form = request.POST if request.method == "POST" else request.GET
    usual = find_usual(**bedside.ids, now=bedside.now)
    offer, error = None, None
    change = FeedingChange()
    try:
        change = _read_change(usual.plan, form, foods=mixes.find_foods(**bedside.ids, plan=usual.plan))
        if request.method == "POST":
            ways.put_in_force(
                read_confirmation(request, bedside, about="the new plan"),
                animal_id=bedside.animal.id,
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
            offer = ways.compare(**bedside.ids, change=change, now=bedside.now)
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
        "findings": _findings(request, bedside, offer),
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
