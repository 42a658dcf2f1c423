"""Taking in a care plan file: read it, show everything that it comes to, and confirm what was shown."""

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from typing import Literal
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.safestring import SafeString
from django.views.decorators.http import require_http_methods

from fillmark.core.day.values import DayPlan, PlannedSession
from fillmark.core.gates.plan_gate import check_plan
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.reading import check_plan_size, plan_kind, read_plan, write_plan
from fillmark.core.tube.syringe import Mark
from fillmark.core.values.errors import BadPlan, FillmarkError, NotAllowed
from fillmark.core.values.people import Capability
from fillmark.core.values.quantities import KG_PER_LB, write_number
from fillmark.core.values.words import say_date, say_day
from fillmark.services import drafts, plans
from fillmark.services import take_in as service
from fillmark.services.take_in import By, Moment, Reading, When
from fillmark.web.at_home import AtHome, at_home
from fillmark.web.bedside import Bedside, at_the_bedside
from fillmark.web.bedside.page_context import page_context
from fillmark.web.plan.numbers import ShownNumber, brief_numbers_of
from fillmark.web.vets_word import findings_to_answer, read_confirmation
from fillmark.web.ways.numbers import say_limits
from fillmark.web.ways.pictures import draw_fills, say_fills


@dataclass(frozen=True, kw_only=True, slots=True)
class Came:
    """What a form brought: a plan, or the text that could not be read with what is wrong with it."""

    plan: CarePlan | None = None
    text: str = ""
    error: FillmarkError | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class ShownSession:
    """One session of the day that the plan makes."""

    clock: str
    contents: Sequence[str]
    meal: str
    fills: SafeString | str
    rest: str


@dataclass(frozen=True, kw_only=True, slots=True)
class ShownMark:
    """What the hand does for one medicine: a drawn syringe, or pieces in words."""

    name: str
    amount: str
    mark: Mark | None


@dataclass(frozen=True, kw_only=True, slots=True)
class ShownMoment:
    """From when on the plan may hold, in words."""

    value: str
    words: str
    cautions: tuple[str, ...]
    is_chosen: bool


@require_http_methods(["GET", "POST"])
@at_the_bedside(what=Capability.CHANGE_PLAN)
def take_in(request: HttpRequest, bedside: Bedside) -> HttpResponse:
    """A new version of this animal's plan."""
    at = AtHome(
        caregiver=bedside.caregiver,
        home=bedside.home,
        animals=(bedside.animal, *bedside.others),
        now=bedside.now,
    )
    return _answer(request, at, bedside)


@require_http_methods(["GET", "POST"])
@at_home(what=Capability.CHANGE_PLAN)
def take_in_new(request: HttpRequest, at: AtHome) -> HttpResponse:
    """The first plan of a new animal."""
    return _answer(request, at, None)


def _answer(request: HttpRequest, at: AtHome, bedside: Bedside | None) -> HttpResponse:
    came = _read(request) if request.method == "POST" else _read_version(request, bedside)
    error, reading = came.error, None
    clock = next((one for one in By if one.value == request.POST.get("clock")), None)
    if came.plan is not None:
        try:
            if request.POST.get("what") == "confirm":
                return _confirm(request, at, bedside, came.plan, clock)
        except NotAllowed:
            raise
        except FillmarkError as refused:
            error = refused
        try:
            reading = service.read_for(
                household_id=at.home.id,
                by=at.caregiver.id,
                animal_id=bedside.animal.id if bedside else None,
                plan=came.plan,
                clock=clock,
                now=at.now,
            )
        except NotAllowed:
            raise
        except FillmarkError as refused:
            error = error or refused
    context = _context(at, bedside, reading) | {
        "error": error,
        "findings": _findings(request, at, came.plan, reading),
        "draft": _draft_of(request) or "",
        "text": came.text or request.POST.get("document", ""),
    }
    if reading is not None and came.plan is not None:
        context |= _shown(request, at, reading) | {"document": write_plan(came.plan)}
    return render(request, "take_in/take_in.html", context, status=400 if error else 200)


def _read(request: HttpRequest) -> Came:
    """The plan that was shown before, else the file, else the text."""
    document, file, text = request.POST.get("document"), request.FILES.get("file"), request.POST.get("text", "")
    try:
        if document:
            return Came(plan=read_plan(document.encode(), kind="json"))
        if file is not None:
            kind = plan_kind(file.name or "")
            check_plan_size(file.size or 0)
            content = file.read()
            text = content.decode("utf-8-sig", errors="replace")
            return Came(plan=read_plan(content, kind=kind), text=text)
        if not text.strip():
            raise BadPlan(
                field="the file",
                got="No file and no text",
                allowed="a care plan file that ends in .toml or .json, or its text",
                remedy="Choose the file, or paste what it says.",
            )
        return Came(plan=read_plan(text.encode(), kind=_kind_of_text(text)), text=text)
    except FillmarkError as error:
        return Came(text=text, error=error)


def _read_version(request: HttpRequest, bedside: Bedside | None) -> Came:
    """The earlier version that is asked for, to be put in force again; nothing where none is."""
    number = request.GET.get("version")
    if bedside is None or number is None:
        return Came()
    found = next((one for one in plans.all_versions(**bedside.ids) if str(one.number) == number), None)
    return Came(plan=found.plan) if found else Came()


def _kind_of_text(text: str) -> Literal["toml", "json"]:
    return "json" if text.lstrip().startswith(("{", "[{")) else "toml"


def _confirm(
    request: HttpRequest, at: AtHome, bedside: Bedside | None, plan: CarePlan, clock: By | None
) -> HttpResponse:
    base = request.POST.get("base", "")
    kept = service.put_in_force(
        read_confirmation(request, at, about="this plan"),
        service.Accepted(
            plan=plan,
            animal_id=bedside.animal.id if bedside else None,
            clock=clock,
            seen=request.POST.get("seen", ""),
            base_number=int(base) if base.isdecimal() and len(base) < 9 else -1,
            when=next((one for one in When if one.value == request.POST.get("when")), None),
        ),
    )
    draft = _draft_of(request)
    if draft is not None:  # what was made page by page holds now
        drafts.drop(drafts.Who(household_id=at.home.id, by=at.caregiver.id, now=at.now), draft_id=draft)
    return redirect("plan", animal_id=kept.animal_id)


def _draft_of(request: HttpRequest) -> UUID | None:
    """The draft that the plan came from, made page by page; none for a file."""
    with suppress(ValueError):
        return UUID(request.POST.get("draft", ""))
    return None


def _findings(
    request: HttpRequest, at: AtHome, plan: CarePlan | None, reading: Reading | None
) -> dict[str, object] | None:
    """What speaks against the plan that is shown, or against one that makes no day; nothing where none was read."""
    if reading is not None:
        return findings_to_answer(reading.found, request)
    return findings_to_answer(check_plan(plan, on=at.today), request) if plan is not None else None


def _context(at: AtHome, bedside: Bedside | None, reading: Reading | None) -> dict[str, object]:
    if bedside is not None:
        return page_context(bedside, under="A plan to read" if reading else "Take in a care plan")
    return {"calls_href": at.calls_href, "home": at.home}


def _shown(request: HttpRequest, at: AtHome, reading: Reading) -> dict[str, object]:
    """Everything of the reading that a page shows, with what was typed already."""
    plan, day, form = reading.plan, reading.day, request.POST
    weight_kg = plan.animal.weight.weight_kg
    vet = plan.vet
    before = reading.base.plan.vet if reading.base else None
    # what the vet said the last time does not stand behind this change
    is_old = before is not None and (vet.words, vet.said_on) == (before.words, before.said_on)
    return {
        "reading": reading,
        "animal": plan.animal,
        "weight": f"{write_number(weight_kg, digits=3)} kg "
        f"({write_number(weight_kg / float(KG_PER_LB), digits=3)} lb) on "
        f"{say_date(plan.animal.weight.on)}",
        "numbers": [*brief_numbers_of(day, plan.orders), _show_agreement(reading)],
        "limits": say_limits(warn_ml_per_kg=plan.orders.warn_ml_per_kg, cap_ml_per_kg=plan.orders.cap_ml_per_kg),
        "sessions": [_show_session(one) for one in day.sessions],
        "marks": _marks(day),
        "moments": [_show_moment(one, at, chosen=form.get("when")) for one in reading.moments],
        "must_choose_clock": reading.by is None,
        "other_clock": By.HOME if reading.by is By.FILE else By.FILE,
        "filled": {
            "vet_words": form.get("vet_words", "" if is_old else vet.words or ""),
            "vet_said_on": form.get("vet_said_on", (at.today if is_old else vet.said_on).isoformat()),
            "telephone": "telephone" in form,
        },
        "is_by_telephone": reading.base is not None and _draft_of(request) is not None,
        "today": at.today,
        "household_href": reverse("household"),
    }


def _show_agreement(reading: Reading) -> ShownNumber:
    apart = abs(reading.agreement.value)
    amount = "less than 0.1 % apart" if apart < 0.001 else f"{write_number(round(100 * apart, 1))} % apart"
    return ShownNumber(name="Meals and energy goal", amount=amount, working=reading.agreement)


def _show_session(session: PlannedSession) -> ShownSession:
    parts = [f"{write_number(session.flush_ml)} mL water"] if session.flush_ml else []
    parts.append(f"{write_number(session.load.value.ml_per_kg, digits=3)} mL/kg in all")
    return ShownSession(
        clock=f"{session.clock:%H:%M}",
        contents=[
            *(f"{dose.medicine.name} {dose.amount}" for dose in session.medicines),
            *(task.name for task in session.tasks),
        ],
        meal=f"{say_fills(session.fills)} blend" if session.fills else "",
        fills=draw_fills(session.fills) if session.fills else "",
        rest=", ".join(parts),
    )


def _marks(day: DayPlan) -> Sequence[ShownMark]:
    """What the hand does for each medicine, each amount once."""
    found: dict[tuple[str, str], ShownMark] = {}
    for session in day.sessions:
        for dose in session.medicines:
            mark = dose.drawn if isinstance(dose.drawn, Mark) else None
            one = ShownMark(name=dose.medicine.name, amount=dose.amount, mark=mark)
            found.setdefault((one.name, one.amount), one)
    return list(found.values())


def _show_moment(moment: Moment, at: AtHome, *, chosen: str | None) -> ShownMoment:
    local = moment.at.astimezone(at.zone)
    words = {
        When.NOW: f"Now ({local:%H:%M})",
        When.SESSION: f"The next session, {local:%A} at {local:%H:%M}",
        When.DAY: f"The next day, {say_day(local, has_weekday=True)} from {local:%H:%M} on",
    }[moment.when]
    return ShownMoment(
        value=moment.when.value, words=words, cautions=moment.cautions, is_chosen=chosen == moment.when.value
    )
