"""The medicine bottles: what should be in them, until when, and what a new one changes for the hand."""

import json
from dataclasses import dataclass
from datetime import date
from typing import get_args
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.safestring import SafeString
from django.views.decorators.http import require_GET, require_http_methods

from fillmark.core.doses.bottle_in_use import strength_number, strength_of, with_strength
from fillmark.core.doses.bottles import Between, Stock, say_amount
from fillmark.core.gates.plan_gate import PlanFindings
from fillmark.core.orders.dose_text import PIECE_NAMES
from fillmark.core.orders.medicine import Medicine
from fillmark.core.orders.shelf_life import Compounded, OpenedAs
from fillmark.core.orders.slips import SLIPS, find_slip
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.values.errors import BadEntry, FillmarkError, NotAllowed
from fillmark.core.values.people import Capability, may
from fillmark.core.values.quantities import write_number
from fillmark.core.values.words import say_day
from fillmark.published.medicine import SLIP_CLOSENESS_FRACTION
from fillmark.services import medicines, plans, record
from fillmark.web.bedside import Bedside, at_the_bedside
from fillmark.web.bedside.page_context import page_context
from fillmark.web.bottles.bottle import draw_bottle
from fillmark.web.entry_form import EntryForm, Place, choice, day, exact, newest_bottle, printed_day, words
from fillmark.web.entry_form import strength as strength_printed
from fillmark.web.phone.facts import form_facts
from fillmark.web.vets_word import findings_to_answer, read_confirmation
from fillmark.web.words import say_many
from fillmark.web.writing import device_of, form_id, write_fact

_KEEPS_AS = {
    "water, no preservative": "made by the pharmacy with water, without a preservative",
    "water, preserved": "made by the pharmacy with water, preserved",
    "oil": "made by the pharmacy with oil",
    "dry": "made by the pharmacy, dry (capsules, powder)",
    "liquid": "a liquid from the maker",
    "antibiotic mixed up": "an antibiotic mixed up with water",
    "tablets in a weekly box": "tablets in a weekly box",
    "single dose": "one use",
}


@dataclass(frozen=True, kw_only=True, slots=True)
class ShownBottle:
    """One bottle as the screen shows it."""

    stock: Stock
    drawing: SafeString
    doses: str
    last_day: date | None
    is_to_order: bool
    count: str
    strength_href: str
    alarms: tuple[str, ...]


def _say_between(amount: Between, stock: Stock) -> str:
    low, high = write_number(amount.low), stock.say(amount.high)
    return high if amount.low == amount.high else f"{low} to {high}"


def _say_count(stock: Stock, bedside: Bedside) -> str:
    """What was counted, and the question where it does not fit."""
    count = stock.count
    if count is None:
        return ""
    at = count.at.astimezone(bedside.zone)
    seen = f"{count.by_name} counted {stock.say(count.seen)} on {say_day(at)} at {at:%H:%M}."
    if not count.is_asked_about:
        return seen
    return (
        f"{seen} The record expected {_say_between(count.expected, stock)}. Was some spilled, given without being "
        "written down, drawn for another animal, or written down twice?"
    )


def _show(stock: Stock, bedside: Bedside, *, alarms: tuple[str, ...]) -> ShownBottle:
    return ShownBottle(
        stock=stock,
        drawing=draw_bottle(stock),
        doses=say_many(stock.doses_left, "dose") if stock.doses_left is not None else "",
        last_day=stock.last_day,
        is_to_order=stock.order_on is not None and stock.order_on <= bedside.today,
        count=_say_count(stock, bedside),
        strength_href=bedside.href("strength", bottle=stock.bottle.id),
        alarms=alarms,
    )


@require_GET
@at_the_bedside(what=Capability.SEE_RECORD)
def bottles(request: HttpRequest, bedside: Bedside) -> HttpResponse:
    """Every bottle in use, as a drawn level."""
    found = medicines.stock(bedside.side)
    stored = bedside.side.stored
    opened = {one.medicine.id for one in found}
    states = medicines.verdicts(bedside.side)
    alarms = {one.medicine.id: one.alarms for one in states}
    context = page_context(bedside, under="The medicine bottles") | {
        "today": bedside.today,
        "bottles": [_show(one, bedside, alarms=alarms[one.medicine.id]) for one in found],
        "missing": [one for one in stored.plan.medicines if one.id not in opened] if stored else [],
        "vet": stored.plan.vet if stored else None,
        "phone": form_facts(bedside, medicines=states),
    }
    return render(request, "bottles/bottles.html", context)


def _medicine(bedside: Bedside, medicine: str) -> Medicine:
    stored = bedside.side.stored
    found = next((one for one in stored.plan.medicines if one.id == medicine), None) if stored else None
    if found is None:
        raise BadEntry(
            field="medicine",
            got=f'The medicine "{medicine[:40]}", which the plan in force does not name',
            allowed="a medicine of this animal's plan",
            remedy="Go back to the bottles and choose again.",
        )
    return found


def _amount(*, field: str, piece: str | None) -> dict[str, Place]:
    """The place of an amount, as an entry holds it: in mL, or in pieces."""
    return {"ml" if piece is None else "pieces": exact(field, field="mL" if piece is None else f"{piece}s")}


def _label_form(medicine: Medicine) -> EntryForm:
    """What a person copies from the label of a new bottle."""
    return EntryForm(
        {
            "kind": "bottle_opened",
            "medicine": medicine.id,
            "strength": strength_printed("strength"),
            **_amount(field="held", piece=_piece(medicine)),
            "expires_on": printed_day("expires"),
            "discard_on": day("discard_on"),
            "filled_on": day("filled_on"),
            "keeps_as": choice("keeps_as", of=[*get_args(Compounded), *get_args(OpenedAs)]),
            "lot": words("lot", most=80),
        }
    )


def _piece(medicine: Medicine) -> str | None:
    """What is counted in the bottle or box; none where it is measured in mL."""
    return PIECE_NAMES.get(medicine.form) if _is_counted(medicine) else None


def _is_counted(medicine: Medicine) -> bool:
    """Whether the bottle or box is counted in pieces: drops come out of a bottle that is measured."""
    return medicine.form not in ("liquid", "drops")


def _slip(medicine: Medicine, strength: str) -> str | None:
    old = strength_number(strength_of(medicine))
    new = strength_number(strength_of(with_strength(medicine, strength=strength)))
    return find_slip(value=new, reference=old) if old and new else None


@require_http_methods(["GET", "POST"])
@at_the_bedside(what=Capability.RECORD_SESSION)
def open_bottle(request: HttpRequest, bedside: Bedside, *, medicine: str) -> HttpResponse:
    """Write down the label of a new bottle; another strength locks its medicine."""
    order = _medicine(bedside, medicine)
    form = _label_form(order)
    error, slip = None, None
    if request.method == "POST":
        try:
            fact = form.read(request.POST)
            slip = _slip(order, fact["strength"])
            if slip is None or request.POST.get("sure") == fact["strength"]:
                entry = write_fact(request, bedside, fact)
                return _after_opening(bedside, entry.id)
        except NotAllowed:
            raise
        except FillmarkError as refused:
            error = refused
    piece = _piece(order)
    context = page_context(bedside, under=f"A new bottle of {order.name}") | {
        "medicine": order,
        "form": form,
        "slips": json.dumps({"slips": SLIPS, "closeness": SLIP_CLOSENESS_FRACTION.value}),
        "then": bedside.bottles_href,
        "phone": form_facts(bedside, medicines=medicines.verdicts(bedside.side)),
        "error": error,
        "slip": slip,
        "filled": request.POST,
        "piece": piece,
        "held_label": f"How many {piece}s it holds" if piece else "How many mL it holds",
        "example": f"5 mg/{piece}" if piece else "2 mg/mL",
        "kinds": _KEEPS_AS.items(),
        "entry_id": request.POST.get("entry_id") or record.new_entry_id(now=bedside.now),
    }
    return render(request, "bottles/open.html", context, status=400 if error else 200)


def _after_opening(bedside: Bedside, bottle: UUID) -> HttpResponse:
    """To the strength where it is another one; else to the bottles, or for a sitter to what is next."""
    states = medicines.verdicts(bedside.side_now())
    if any(one.is_locked and one.bottle is not None and one.bottle.id == bottle for one in states):
        return redirect(bedside.href("strength", bottle=bottle))
    return redirect(bedside.bottles_href)


@require_http_methods(["GET", "POST"])
@at_the_bedside(what=Capability.RECORD_ANYTHING)
def count_bottle(request: HttpRequest, bedside: Bedside, *, medicine: str) -> HttpResponse:
    """Write down how much a person sees in a bottle; the record's own figure is not shown before."""
    order = _medicine(bedside, medicine)
    found = next((one for one in medicines.stock(bedside.side) if one.medicine.id == medicine), None)
    if found is None:
        return redirect(bedside.href("open_bottle", medicine=medicine))
    form = EntryForm(
        {
            "kind": "stock_counted",
            "medicine": medicine,
            "bottle": newest_bottle(medicine, known=str(found.bottle.id)),
            **_amount(field="seen", piece=found.bottle.piece),
        }
    )
    error = None
    if request.method == "POST":
        try:
            write_fact(request, bedside, form.read(request.POST))
            return redirect(bedside.href("bottles"))
        except NotAllowed:
            raise
        except FillmarkError as refused:
            error = refused
    context = page_context(bedside, under=f"Count {order.name}") | {
        "medicine": order,
        "form": form,
        "phone": form_facts(bedside, medicines=medicines.verdicts(bedside.side)),
        "error": error,
        "filled": request.POST,
        "piece": found.bottle.piece,
        "held": say_amount(found.bottle.held, piece=found.bottle.piece),
        "entry_id": request.POST.get("entry_id") or record.new_entry_id(now=bedside.now),
    }
    return render(request, "bottles/count.html", context, status=400 if error else 200)


@require_http_methods(["GET", "POST"])
@at_the_bedside
def strength(request: HttpRequest, bedside: Bedside, *, bottle: UUID) -> HttpResponse:
    """Old and new mark side by side; a lead who has read the label puts the new strength into the plan."""
    error = None
    if request.method == "POST":
        try:
            _confirm(request, bedside, bottle)
            return redirect(bedside.href("bottles"))
        except NotAllowed:
            raise
        except FillmarkError as refused:
            error = refused
    found = medicines.strength_to_confirm(bedside.side, bottle=bottle)
    context = page_context(bedside, under=f"The strength of {found.medicine.name}") | {
        "today": bedside.today,
        "found": found,
        "change": found.change,
        "findings": findings_to_answer(_look_at(bedside, found.plan), request)
        if found.lock and not found.problem
        else None,
        "ratio": write_number(found.change.same_amount_ratio, digits=3) if found.change else "",
        "is_less": found.change is not None and found.change.same_amount_ratio < 1,
        "error": error,
        "filled": request.POST,
        "may_confirm": may(bedside.caregiver, what=Capability.CHANGE_PLAN, on=bedside.today),
        "entry_id": request.POST.get("entry_id") or record.new_entry_id(now=bedside.now),
    }
    return render(request, "bottles/strength.html", context, status=400 if error else 200)


def _look_at(bedside: Bedside, plan: CarePlan) -> PlanFindings:
    return plans.look_at(plan, **bedside.ids, now=bedside.now, effective_from=bedside.now)


def _confirm(request: HttpRequest, bedside: Bedside, bottle: UUID) -> None:
    medicines.confirm_strength(
        read_confirmation(request, bedside, about="the new strength"),
        animal_id=bedside.animal.id,
        bottle=bottle,
        typed=request.POST.get("typed", ""),
        entry_id=form_id(request),
        device=device_of(request),
    )
