"""A plan made question by question: begin, answer, leave for later, look it over, and read it as a whole."""

from collections.abc import Mapping
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from fillmark.core.plan.answers import Typed
from fillmark.core.plan.draft import Draft, is_needed, next_spot, the_way
from fillmark.core.plan.from_sheet import asks_at, still_open
from fillmark.core.plan.questions import asked_on
from fillmark.core.plan.reading import write_plan
from fillmark.core.plan.spots import Spot, items_at, spot_called, spot_of
from fillmark.core.plan.words import compare_plans
from fillmark.core.values.errors import FillmarkError
from fillmark.core.values.people import Capability
from fillmark.services import drafts
from fillmark.services.drafts import Look, StoredDraft, Who
from fillmark.web.at_home import AtHome, at_home
from fillmark.web.bedside import Bedside, at_the_bedside
from fillmark.web.make_plan.sheet_views import begin_from_sheet
from fillmark.web.make_plan.shown import (
    ShownSpot,
    draft_name,
    found_here,
    href_of,
    say_answers,
    show_asides,
    show_fields,
    show_items,
    show_way,
    title_of,
)
from fillmark.web.plan.numbers import brief_numbers_of
from fillmark.web.vets_word import findings_to_answer


def _who(at: AtHome) -> Who:
    return Who(household_id=at.home.id, by=at.caregiver.id, now=at.now)


@require_http_methods(["GET", "POST"])
@at_home(what=Capability.PREPARE_PLAN)
def make_plan(request: HttpRequest, at: AtHome) -> HttpResponse:
    """Begin the plan of a new animal, or go on with a draft."""
    error, text = None, ""
    if request.method == "POST" and request.POST.get("what") == "sheet":
        begun, error, text = begin_from_sheet(request, at)
        if begun:
            return redirect("plan_from_sheet", draft_id=begun[0])
    elif request.method == "POST":
        return _to_draft(drafts.begin(_who(at), animal_id=None))
    names = {one.id: one.name for one in at.animals}
    found = [
        {
            "href": reverse("plan_draft", args=[one.id]),
            "name": (names.get(one.animal_id) if one.animal_id else "") or draft_name(one.draft),
            "is_change": one.animal_id is not None,
            "is_readable": one.is_readable,
            "by": one.changed_by_name,
            "at": one.changed_at.astimezone(at.zone),
        }
        for one in drafts.all_drafts(_who(at))
    ]
    context = {"calls_href": at.calls_href, "home": at.home, "drafts": found, "may_change": _may_change(at)}
    context |= {"error": error, "text": text}
    return render(request, "make_plan/make_plan.html", context, status=400 if error else 200)


@require_http_methods(["POST"])
@at_the_bedside(what=Capability.PREPARE_PLAN)
def change_plan(request: HttpRequest, bedside: Bedside) -> HttpResponse:
    """Begin a change of an animal's plan; at the page that is asked for, where one is."""
    who = Who(household_id=bedside.home.id, by=bedside.caregiver.id, now=bedside.now)
    draft_id = drafts.begin(who, animal_id=bedside.animal.id)
    spot = spot_called(request.POST.get("spot", ""))
    return redirect("plan_question", draft_id=draft_id, spot=spot.id) if spot else _to_draft(draft_id)


def _to_draft(draft_id: UUID) -> HttpResponse:
    return redirect("plan_draft", draft_id=draft_id)


def _may_change(at: AtHome) -> bool:
    return at.may(Capability.CHANGE_PLAN)


@require_http_methods(["GET", "POST"])
@at_home(what=Capability.PREPARE_PLAN)
def plan_draft(request: HttpRequest, at: AtHome, draft_id: UUID) -> HttpResponse:
    """A draft as a whole: what is answered, what is open, and the day that it makes."""
    if request.method == "POST":
        drafts.drop(_who(at), draft_id=draft_id)
        return redirect("make_plan")
    stored = drafts.find(_who(at), draft_id=draft_id)
    look = drafts.look(stored, on=at.today)
    way = show_way(stored)
    following = next_spot(stored.draft)
    kept = spot_called(request.GET.get("kept", ""))
    context = _context(at, stored, look) | {
        "kept": (href_of(stored, kept), title_of(stored.draft.document, kept)) if kept else None,
        "way": way,
        "asides": _asides(stored),
        "count": len(way),
        "answered": sum(not one.is_open and not one.is_later for one in way),
        "following": next((one for one in way if following and one.spot.id == following.id), None),
        "waiting": len(still_open(stored.draft.document, stored.draft.sheet, stored.draft.answered)),
        "sheet_href": reverse("plan_from_sheet", args=[stored.id]) if stored.draft.sheet else "",
        "changes": compare_plans(look.old, look.plan) if look.old and look.plan else (),
        "day_changes": drafts.day_changes(look),
        "document": write_plan(look.plan) if look.plan else "",
        "faults": [] if look.plan else _faults(stored),
        "findings": findings_to_answer(look.found, request) if look.found else None,
        "take_in_href": reverse("take_in", args=[stored.animal_id]) if stored.animal_id else reverse("take_in_new"),
        "may_change": _may_change(at),
    }
    return render(request, "make_plan/draft.html", context)


def _asides(stored: StoredDraft) -> list[ShownSpot]:
    """What the sheet may say more about, each page once."""
    found: dict[str, ShownSpot] = {}
    for spot in the_way(stored.draft.document):
        found |= {one.spot.id: one for one in show_asides(stored, spot)}
    return list(found.values())


def _faults(stored: StoredDraft) -> list[dict[str, object]]:
    """What keeps the draft from being a plan, beside the page that asks for it; what is only missing is open anyway."""
    found = []
    for fault in drafts.faults_of(stored):
        spot = spot_of(fault.field)
        if spot is not None and spot.id in stored.draft.answered:
            title = title_of(stored.draft.document, spot)
            found.append({"fault": fault, "href": href_of(stored, spot), "title": title})
    return found


def _context(at: AtHome, stored: StoredDraft, look: Look) -> dict[str, object]:
    day = look.found.day if look.found else None
    return {
        "calls_href": at.calls_href,
        "stored": stored,
        "name": draft_name(stored.draft),
        "is_change": stored.animal_id is not None,
        "draft_href": reverse("plan_draft", args=[stored.id]),
        "day": day,
        "numbers": list(brief_numbers_of(day, look.plan.orders)) if day and look.plan else [],
    }


@require_http_methods(["GET", "POST"])
@at_home(what=Capability.PREPARE_PLAN)
def plan_question(request: HttpRequest, at: AtHome, draft_id: UUID, spot: str) -> HttpResponse:
    """One page of a draft."""
    stored = drafts.find(_who(at), draft_id=draft_id)
    asked = spot_called(spot)
    if asked is None:
        raise Http404
    if asked.is_whole_list:
        return _several(request, at, stored, asked)
    if request.method == "POST" and request.POST.get("what") == "later":
        return _go_on(stored, drafts.put_off(_who(at), draft_id=draft_id, spot=asked), asked)
    if request.method == "POST" and request.POST.get("what") == "take out":
        drafts.take_out(_who(at), draft_id=draft_id, spot=asked)
        return redirect(href_of(stored, Spot(asked.page, asked.at[:-1])))
    typed: dict[str, Typed] | None = None
    errors: dict[str, FillmarkError] = {}
    if request.method == "POST":
        typed = _typed(request, asked)
        draft, errors = drafts.give_answer(
            _who(at),
            draft_id=draft_id,
            spot=asked,
            typed=typed,
            is_unsaid=request.POST.get("what") == "unsaid",
            seen=request.POST.get("seen", ""),
        )
        if not errors:
            stored = drafts.find(_who(at), draft_id=draft_id)
            look = drafts.look(stored, on=at.today)
            # in a change the next page shows what speaks against it, and the one after asks
            asks = set() if stored.animal_id else {one.key for one in found_here(look.found, asked)}
            if asks <= set(request.POST.getlist("shown")):
                return _go_on(stored, draft, asked, came_from=spot_called(request.POST.get("from", "")))
            typed = None
    return _ask(request, at, stored, asked, typed, errors)


def _typed(request: HttpRequest, spot: Spot) -> dict[str, Typed]:
    return {
        field.name: Typed(tuple(request.POST.getlist(field.name)), request.POST.get(f"{field.name}.unit", ""))
        for field in asked_on(spot.page)
    }


def _go_on(stored: StoredDraft, draft: Draft, spot: Spot, *, came_from: Spot | None = None) -> HttpResponse:
    """To the next question; in a change to the overview, and from what few sheets need back to where it was opened."""
    if stored.animal_id is not None:
        return redirect(f"{reverse('plan_draft', args=[stored.id])}?kept={spot.id}")
    if spot.page.is_aside and came_from is None:
        return redirect("plan_draft", draft_id=stored.id)
    if came_from is not None and came_from.id not in draft.answered and came_from in the_way(draft.document):
        return redirect(href_of(stored, came_from))
    following = next_spot(draft, after=came_from or spot)
    if following is None:
        return redirect("plan_draft", draft_id=stored.id)
    return redirect(f"{href_of(stored, following)}?kept={spot.id}")


def _ask(
    request: HttpRequest,
    at: AtHome,
    stored: StoredDraft,
    spot: Spot,
    typed: Mapping[str, Typed] | None,
    errors: Mapping[str, FillmarkError],
) -> HttpResponse:
    draft = stored.draft
    look = drafts.look(stored, on=at.today)
    way = [one.id for one in the_way(draft.document)]
    fields = show_fields(draft, spot, typed, errors, before=drafts.part_in_force(stored, spot))
    first, more = fields[: len(spot.page.asks)], fields[len(spot.page.asks) :]
    kept = spot_called(request.GET.get("kept", ""))
    context = _context(at, stored, look) | {
        "spot": spot,
        "title": title_of(draft.document, spot),
        "fields": first,
        "more": more,
        "is_more_open": any(one.text or one.is_ticked or one.error for one in more),
        "may_be_unsaid": any(one.may_be_unsaid for one in asked_on(spot.page)),
        "is_one_of_several": spot.page.is_list and spot.at[-1] < len(items_at(draft.document, spot)),
        "error": errors.get(""),
        "has_errors": bool(errors),
        "seen": drafts.seal(draft, spot),
        "came_from": request.POST.get("from") or request.GET.get("from", ""),
        "number": way.index(spot.id) + 1 if spot.id in way else 0,
        "count": len(way),
        "asides": show_asides(stored, spot),
        "said_otherwise": asks_at(draft.sheet, spot),
        "sheet_href": reverse("plan_from_sheet", args=[stored.id]) if draft.sheet else "",
        "kept": say_answers(draft.document, kept) if kept and not kept.is_whole_list else "",
        "asks": found_here(look.found, spot) if spot.id in draft.answered else [],
    }
    return render(request, "make_plan/question.html", context, status=400 if errors else 200)


def _several(request: HttpRequest, at: AtHome, stored: StoredDraft, spot: Spot) -> HttpResponse:
    """The several parts of a list, and whether there is one more."""
    items = show_items(stored, spot)
    if request.method == "POST":
        draft = drafts.end_list(_who(at), draft_id=stored.id, spot=spot)
        return _go_on(stored, draft, spot)
    way = [one.id for one in the_way(stored.draft.document)]
    one_more = Spot(spot.page, (*spot.at, len(items)))
    context = _context(at, stored, Look()) | {
        "spot": spot,
        "title": title_of(stored.draft.document, spot),
        "items": items,
        "one_more_href": href_of(stored, one_more),
        "may_end": bool(items) or spot.page.is_aside or not is_needed(spot.page),
        "number": way.index(spot.id) + 1 if spot.id in way else 0,
        "count": len(way),
    }
    return render(request, "make_plan/several.html", context)
