"""A plan begun with the vet's sheet: its text is pasted, read, and each value confirmed beside its words."""

from collections import defaultdict
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from fillmark.core.plan.from_sheet import still_open
from fillmark.core.plan.spots import spot_called
from fillmark.core.values.errors import FillmarkError
from fillmark.core.values.people import Capability
from fillmark.exchange.sheet_text import MOST_BYTES, read_sheet_file
from fillmark.services import drafts
from fillmark.services.drafts import Who
from fillmark.web.at_home import AtHome, at_home
from fillmark.web.make_plan.sheet_shown import next_group, show_group, show_groups, show_text
from fillmark.web.make_plan.shown import draft_name, href_of, title_of


def _who(at: AtHome) -> Who:
    return Who(household_id=at.home.id, by=at.caregiver.id, now=at.now)


def begin_from_sheet(request: HttpRequest, at: AtHome) -> tuple[tuple[UUID, ...], FillmarkError | None, str]:
    """The drafts of a sheet that was pasted or sent as a file; or what is wrong with it, and its text.

    Args:
        request: What came.
        at: Whose home.
    """
    text = request.POST.get("text", "")
    file = request.FILES.get("file")
    try:
        if file is not None and not isinstance(file, list):
            text = read_sheet_file(file.read(MOST_BYTES + 1), name=file.name or "")
        return drafts.begin_from_sheet(_who(at), text=text), None, text
    except FillmarkError as error:
        return (), error, text


@require_http_methods(["GET"])
@at_home(what=Capability.PREPARE_PLAN)
def from_sheet(request: HttpRequest, at: AtHome, draft_id: UUID) -> HttpResponse:
    """The sheet's text with what was not understood in it, and the pages on which its values are confirmed."""
    stored = drafts.find(_who(at), draft_id=draft_id)
    sheet = stored.draft.sheet
    if sheet is None:
        raise Http404
    groups = show_groups(stored)
    context = {
        "calls_href": at.calls_href,
        "name": draft_name(stored.draft),
        "draft_href": reverse("plan_draft", args=[stored.id]),
        "pieces": show_text(sheet.text),
        "asks": [one for one in sheet.asks if one.spot_id == "medicine-all" and one.words],
        "groups": groups,
        "count": len(sheet.proposed),
        "waiting": len(still_open(stored.draft.document, sheet, stored.draft.answered)),
        "following": next((one for one in groups if one.waiting), None),
    }
    return render(request, "make_plan/from_sheet.html", context)


@require_http_methods(["GET", "POST"])
@at_home(what=Capability.PREPARE_PLAN)
def check_sheet(request: HttpRequest, at: AtHome, draft_id: UUID, group: str) -> HttpResponse:
    """One page of checking: each value beside its words, confirmed by its tick."""
    stored = drafts.find(_who(at), draft_id=draft_id)
    if stored.draft.sheet is None:
        raise Http404
    faults: dict[str, FillmarkError] = {}
    if request.method == "POST":
        ticked: dict[str, list[str]] = defaultdict(list)
        for one in request.POST.getlist("right"):
            spot_id, _, name = one.partition(".")
            ticked[spot_id].append(name)
        _, faults = drafts.confirm_read(_who(at), draft_id=draft_id, ticked=ticked)
        if not faults:
            following = next_group(drafts.find(_who(at), draft_id=draft_id), after=group)
            if following is None:
                return redirect("plan_draft", draft_id=draft_id)
            return redirect("plan_check_sheet", draft_id=draft_id, group=following)
        stored = drafts.find(_who(at), draft_id=draft_id)
    groups = show_groups(stored)
    here = next((number for number, one in enumerate(groups, start=1) if one.key == group), None)
    if here is None:
        raise Http404
    following = next_group(stored, after=group)
    context = {
        "calls_href": at.calls_href,
        "name": draft_name(stored.draft),
        "title": groups[here - 1].title,
        "number": here,
        "count": len(groups),
        "parts": show_group(stored, group),
        "faults": [
            {"fault": fault, "href": href_of(stored, spot), "title": title_of(stored.draft.document, spot)}
            for id_, fault in faults.items()
            if (spot := spot_called(id_))
        ],
        "draft_href": reverse("plan_draft", args=[stored.id]),
        "sheet_href": reverse("plan_from_sheet", args=[stored.id]),
        "following_href": reverse("plan_check_sheet", args=[stored.id, following]) if following else "",
    }
    return render(request, "make_plan/check_sheet.html", context, status=400 if faults else 200)
