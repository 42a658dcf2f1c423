"""The foods on hand: those of the plan, and those the household writes down from their labels."""

import re
from collections.abc import Mapping
from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from fillmark.core.changes.mix_parts import measure_of
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.foods import Food
from fillmark.core.record.care_entries import FoodKept
from fillmark.core.record.entries import KeptEntry
from fillmark.core.values.errors import BadEntry, FillmarkError
from fillmark.core.values.people import Capability, may
from fillmark.core.values.quantities import read_number, write_number
from fillmark.published.nutrients import LEAST, MOST, RATIOS
from fillmark.services import mixes, record
from fillmark.services.timetable import find_usual
from fillmark.web.bedside import Bedside, at_the_bedside
from fillmark.web.bedside.page_context import page_context
from fillmark.web.writing import write_fact

_UNITS, _PER = ("kcal", "kJ", "MJ"), ("can", "kg", "100 g", "cup", "mL")
_NUTRIENT_PER = ("1,000 kcal", "100 g", "kg", "can")
_ANALYSIS = ("protein", "fat", "fiber", "moisture", "ash")
_WEIGHTS = (("can_g", "A can weighs, g"), ("can_ml", "A can holds, mL"), ("cup_g", "A level cup weighs, g"))


def _asked_nutrients(plan: CarePlan) -> list[tuple[str, str]]:
    """The nutrients that a profile for this animal bounds, besides those of the analysis, with the profile's unit."""
    found: dict[str, str] = {}
    for table in (*LEAST, *MOST):
        for (kind, nutrient), bound in table.items():
            if kind == plan.animal.species and nutrient not in ("protein", "fat"):
                found.setdefault(nutrient, bound.unit.split("/")[0])
    for kind, *pair in RATIOS:
        if kind == plan.animal.species:
            found |= {nutrient: "g" for nutrient in pair if nutrient not in found}
    return list(found.items())


def _say(food: Food) -> str:
    """What a label says, in a line."""
    parts = [str(food.label.printed)] if food.label else ["energy from its analysis" if food.analysis else "no energy"]
    if food.can_g:
        parts.append(f"{write_number(food.can_g)} g a can")
    if food.portion:
        parts.append(f"by the {food.portion.name}")
    parts.append({True: "complete", False: "not complete", None: "not stated to be complete"}[food.complete])
    return ", ".join(parts)


def _labels(bedside: Bedside) -> dict[str, KeptEntry]:
    """The newest label of each food that the household wrote down, by the food's id."""
    found: dict[str, KeptEntry] = {}
    for one in mixes.food_entries(**bedside.ids):
        assert isinstance(one.entry.payload, FoodKept)  # noqa: S101 - the service hands out no other kind
        found[one.entry.payload.food.id] = one
    return found


@require_GET
@at_the_bedside
def foods(request: HttpRequest, bedside: Bedside) -> HttpResponse:
    plan = find_usual(**bedside.ids, now=bedside.now).plan
    labels = _labels(bedside)
    shown = []
    for food in mixes.find_foods(**bedside.ids, plan=plan):
        kept = labels.get(food.id)
        is_of_plan = food.id in {one.id for one in plan.foods}
        try:
            measure_of(food, species=plan.animal.species)
            trouble = ""
        except FillmarkError as refused:
            trouble = f"{refused.got}. {refused.remedy}"
        shown.append(
            {
                "name": food.name,
                "words": _say(food),
                "trouble": trouble,
                "href": bedside.href("food", entry_id=kept.entry.id) if kept and not is_of_plan else "",
                "by": kept.by_name if kept and not is_of_plan else "",
            }
        )
    context = {
        **page_context(bedside, under="Foods on hand"),
        "foods": shown,
        "may_record": may(bedside.caregiver, what=Capability.RECORD_ANYTHING, on=bedside.today),
    }
    return render(request, "mixes/foods.html", context)


def _number(form: Mapping[str, str], name: str, *, what: str) -> float | None:
    text = form.get(name, "").strip()
    return float(read_number(text, field=what)) if text else None


def _food_id(name: str, *, taken: set[str]) -> str:
    """A handle for a new food, made of its name."""
    plain = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")
    base = f"food-{plain}"[:32].rstrip("-")
    return next(one for one in [base, *(f"{base}-{number}" for number in range(2, 400))] if one not in taken)


def _document(form: Mapping[str, str], *, plan: CarePlan, food_id: str) -> dict[str, Any]:
    """The label as a food of the plan's format.

    Raises:
        BadNumber: an amount that cannot be read.
        BadEntry: half an analysis, or half a spoon.
    """
    document: dict[str, Any] = {"id": food_id, "name": form.get("name", "").strip()}
    energy = _number(form, "energy", what="energy")
    if energy is not None:
        document["label"] = {"energy": energy, "unit": form.get("unit", ""), "per": form.get("per", "")}
    analysis = {f"{name}_percent": _number(form, name, what=name) for name in _ANALYSIS}
    stated = {name: value for name, value in analysis.items() if value is not None}
    if stated:
        missing = [name for name in _ANALYSIS[:4] if analysis[f"{name}_percent"] is None]
        if missing:
            raise BadEntry(
                field="analysis",
                got=f"An analysis without {' and '.join(missing)}",
                allowed="protein, fat, fiber and moisture together, or none of them",
                remedy="Copy them from the label, as fed. Ash may be left empty.",
            )
        document["analysis"] = stated
    for name, words in _WEIGHTS:
        value = _number(form, name, what=words)
        if value is not None:
            document[name] = value
    spoon = form.get("spoon", "").strip()
    g, ml = _number(form, "spoon_g", what="what the spoon weighs"), _number(form, "spoon_ml", what="what it holds")
    if spoon or g is not None or ml is not None:
        if not spoon or g is None or ml is None:
            raise BadEntry(
                field="portion",
                got="A spoon without its name, its weight or its volume",
                allowed="all three, or none",
                remedy="Weigh one level spoon of it on the kitchen scale.",
            )
        document["portion"] = {"name": spoon, "g": g, "ml": ml}
    keeps = _number(form, "keeps_days", what="days it keeps")
    if keeps is not None:
        document["keeps_days"] = int(keeps) if keeps == int(keeps) else keeps
    if form.get("complete") in ("yes", "no"):
        document["complete"] = form["complete"] == "yes"
    nutrients = []
    for place, (name, unit) in enumerate(_asked_nutrients(plan)):
        amount = _number(form, f"nutrient_{place}", what=name)
        if amount is not None:
            nutrients.append({"nutrient": name, "amount": amount, "unit": unit, "per": form.get("nutrient_per", "")})
    if nutrients:
        document["nutrients"] = nutrients
    return document


def _filled(food: Food | None, *, plan: CarePlan) -> dict[str, str]:
    """The form as it begins: empty, or with what the label said before."""
    if food is None:
        return {"unit": "kcal", "per": "can", "nutrient_per": "1,000 kcal"}

    def say(value: float | None) -> str:
        return "" if value is None else write_number(value, digits=8)

    filled = {"name": food.name, "nutrient_per": food.nutrients[0].per if food.nutrients else "1,000 kcal"}
    filled |= {name: say(getattr(food, name)) for name in ("can_g", "can_ml", "cup_g", "keeps_days")}
    filled |= {"unit": "kcal", "per": "can"}
    if food.label:
        filled |= {"energy": say(food.label.energy), "unit": food.label.unit, "per": food.label.per}
    if food.analysis:
        filled |= {name: say(getattr(food.analysis, f"{name}_percent")) for name in _ANALYSIS}
    if food.portion:
        filled |= {"spoon": food.portion.name, "spoon_g": say(food.portion.g), "spoon_ml": say(food.portion.ml)}
    filled["complete"] = {True: "yes", False: "no", None: ""}[food.complete]
    known = {one.nutrient: one.amount for one in food.nutrients}
    filled |= {f"nutrient_{place}": say(known.get(name)) for place, (name, _) in enumerate(_asked_nutrients(plan))}
    return filled


@require_http_methods(["GET", "POST"])
@at_the_bedside(what=Capability.RECORD_ANYTHING)
def food(request: HttpRequest, bedside: Bedside, *, entry_id: UUID | None = None) -> HttpResponse:
    """One label: new, put right, or taken out."""
    plan = find_usual(**bedside.ids, now=bedside.now).plan
    labels = _labels(bedside)
    kept = next((one for one in labels.values() if one.entry.id == entry_id), None)
    if entry_id is not None and kept is None:
        return redirect(bedside.href("foods"))
    known = kept.entry.payload.food if kept and isinstance(kept.entry.payload, FoodKept) else None
    filled, error = _filled(known, plan=plan), None
    if request.method == "POST":
        form = request.POST
        corrects = kept.entry.id if kept else None
        try:
            if kept and form.get("what") == "out":
                write_fact(request, bedside, {"kind": "withdrawn", "reason": "No longer on hand"}, corrects=corrects)
                return redirect(bedside.href("foods"))
            others = [one for one in mixes.find_foods(**bedside.ids, plan=plan) if known is None or one.id != known.id]
            name = form.get("name", "").strip()
            if any(one.name.lower() == name.lower() for one in others):
                raise BadEntry(
                    field="name",
                    got=f'"{name[:60]}", which is on hand already',
                    allowed="each food once",
                    remedy="Put its label right, or give this one another name.",
                )
            food_id = known.id if known else _food_id(name, taken={one.id for one in others})
            fact = {"kind": "food_kept", "food": _document(form, plan=plan, food_id=food_id)}
            write_fact(request, bedside, fact, corrects=corrects)
            return redirect(bedside.href("foods"))
        except FillmarkError as refused:
            error, filled = refused, {**filled, **form.dict()}
    context = {
        **page_context(bedside, under="A food on hand"),
        "error": error,
        "filled": filled,
        "is_known": known is not None,
        "units": _UNITS,
        "pers": _PER,
        "nutrient_pers": _NUTRIENT_PER,
        "analysis": [(name, filled.get(name, "")) for name in _ANALYSIS],
        "weights": [(name, words, filled.get(name, "")) for name, words in _WEIGHTS],
        "nutrients": [
            (f"nutrient_{place}", name, unit, filled.get(f"nutrient_{place}", ""))
            for place, (name, unit) in enumerate(_asked_nutrients(plan))
        ],
        "entry_id": record.new_entry_id(now=bedside.now),
    }
    return render(request, "mixes/food.html", context, status=400 if error else 200)
