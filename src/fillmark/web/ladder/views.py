"""Up to full feeding, and back to eating: the rungs, where the plan and the record stand, and the next step."""

from collections.abc import Iterator
from datetime import timedelta

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from fillmark.core.changes.weaning import Eaten, Rung, StepUp, WayBack
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record.fields import MOST_FOOD_G
from fillmark.core.values.errors import BadEntry, FillmarkError, NotAllowed
from fillmark.core.values.people import Capability, may
from fillmark.core.values.quantities import read_number, write_number
from fillmark.core.values.words import say_day
from fillmark.published.meals import IDLE_FLUSHES_PER_DAY, TAPER_FROM_BY_MOUTH_FRACTION
from fillmark.services import plans, record, timetable, weaning
from fillmark.services.weaning import Ladders
from fillmark.web.bedside import Bedside, at_the_bedside
from fillmark.web.bedside.page_context import page_context
from fillmark.web.drawings.bars import Bar, BarFill, BarLine, Piece, draw_bar
from fillmark.web.entry_form import EntryForm, choice, ml, unknown
from fillmark.web.vets_word import findings_to_answer, read_confirmation
from fillmark.web.words import say_many
from fillmark.web.writing import write_fact


def _form(plan: CarePlan) -> EntryForm:
    needed = BadEntry(
        field="food", got="Food without its name", allowed="a food of this plan", remedy="Choose what it ate."
    )
    return EntryForm(
        {
            "kind": "ate",
            "food": choice("food", of=[food.id for food in plan.foods], needed=needed),
            "g": ml(
                "g_typed",
                "g",
                field="g",
                unit="g",
                above=0,
                high=MOST_FOOD_G,
                instead=unknown(),
                remedy="Weigh it again.",
            ),
        }
    )


def _rungs(back: WayBack) -> Iterator[dict[str, object]]:
    taper = f"{TAPER_FROM_BY_MOUTH_FRACTION.value:.0%}"
    flushes = write_number(IDLE_FLUSHES_PER_DAY.value)
    told = {
        Rung.WHOLE: f"Until it eats {taper} of its goal by mouth on its own.",
        Rung.REST: f"From {taper} on. The tube fills up to the goal.",
        Rung.IDLE: f"It eats all of its goal. The tube is flushed {flushes} times a day, so that it stays open.",
        Rung.OUT: "When it has eaten enough for long enough, the vet decides. Never take it out at home.",
    }
    for rung in Rung:
        yield {
            "title": rung.value,
            "words": told[rung],
            "is_planned": rung is back.planned,
            "is_recorded": rung is back.recorded,
        }


def _day(one: Eaten, *, goal_kcal: float) -> dict[str, object]:
    share = one.kcal / goal_kcal
    bar = Bar(
        whole=1.1 * max(goal_kcal, one.kcal),
        pieces=[Piece(fill=BarFill.IN, start=0, end=one.kcal)],
        limits=[(BarLine.WARNING, TAPER_FROM_BY_MOUTH_FRACTION.value * goal_kcal), (BarLine.GOAL, goal_kcal)],
    )
    times = say_many(one.unmeasured, "time")
    return {
        "name": say_day(one.on, has_weekday=True),
        "amount": f"{write_number(round(one.kcal))} kcal, {share:.0%}" if one.entries else "no entry",
        "bar": draw_bar(bar),
        "words": f"and {times} without anyone knowing how much" if one.unmeasured else "",
    }


def _say_back(found: Ladders, back: WayBack) -> dict[str, object]:
    goal = back.goal_kcal.value
    return {
        "goal": f"{write_number(round(goal))} kcal",
        "rungs": list(_rungs(back)),
        "days": [_day(one, goal_kcal=goal) for one in reversed((*back.days, found.today))],
        "is_back": back.is_back,
        "tube": f"{write_number(round(back.tube_kcal.value))} kcal" if back.tube_kcal else "",
        "by_mouth": write_number(round(back.days[-1].kcal)) if back.tube_kcal else "",
        "cautions": back.tube_kcal.all_cautions() if back.tube_kcal else (),
        "workings": [back.goal_kcal, *([back.tube_kcal] if back.tube_kcal else [])],
    }


def _say_up(up: StepUp) -> dict[str, object]:
    tomorrow = up.tomorrow
    return {
        "rungs": [
            {"day": number, "percent": write_number(percent), "is_now": number == up.rung}
            for number, percent in enumerate(up.percents, start=1)
        ],
        "starts_on": up.starts_on,
        "rung": up.rung,
        "tomorrow": tomorrow,
        "is_held": tomorrow is not None and up.rung is not None and tomorrow.value <= up.rung < len(up.percents),
    }


@require_http_methods(["GET", "POST"])
@at_the_bedside
def ladder(request: HttpRequest, bedside: Bedside) -> HttpResponse:
    error: FillmarkError | None = None
    if request.method == "POST":
        try:
            _confirm(request, bedside)
            return redirect(bedside.href("plan"))
        except NotAllowed:
            raise
        except FillmarkError as refused:
            error = refused
    found = weaning.find_ladders(bedside.side)
    plan = found.plan if found else None
    stored = timetable.find_usual(**bedside.ids, now=bedside.now).stored if plan else None
    context = page_context(bedside, under="Up to full feeding, back to eating") | {
        "error": error,
        "plan": plan,
        "up": _say_up(found.up) if found and found.up else None,
        "back": _say_back(found, found.back) if found and found.back else None,
        "ate": _form(plan) if plan else None,
        "foods": [(food.id, food.name) for food in plan.foods] if plan else [],
        "may_accept": may(bedside.caregiver, what=Capability.CHANGE_PLAN, on=bedside.today),
        "findings": _findings(request, bedside) if request.method == "POST" else None,
        "seen": stored.number if stored else "",
        "today": bedside.today,
        "vet": plan.vet if plan else None,
        "filled": {name: request.POST.get(name, "") for name in ("by_mouth", "vet_words", "vet_said_on")},
        "entry_id": record.new_entry_id(now=bedside.now),
    }
    return render(request, "ladder/ladder.html", context, status=400 if error else 200)


def _findings(request: HttpRequest, bedside: Bedside) -> dict[str, object] | None:
    """What speaks against the plan with the share that was typed; nothing where it makes no plan."""
    try:
        plan = weaning.plan_with_share(**bedside.ids, by_mouth_kcal=_read_share(request), now=bedside.now)
        starts_at = bedside.side.home.start_of(bedside.today + timedelta(days=1))
        found = plans.look_at(plan, **bedside.ids, now=bedside.now, effective_from=starts_at)
        return findings_to_answer(found, request)
    except FillmarkError:
        return None  # the message of the form says why


def _read_share(request: HttpRequest) -> float:
    return float(read_number(request.POST.get("by_mouth", ""), field="kcal by mouth"))


def _confirm(request: HttpRequest, bedside: Bedside) -> None:
    seen = request.POST.get("seen", "")
    weaning.put_in_force(
        read_confirmation(request, bedside, about="the tube's share"),
        animal_id=bedside.animal.id,
        by_mouth_kcal=_read_share(request),
        seen=int(seen) if seen.isdigit() else 0,
    )


@require_POST
@at_the_bedside
def ate(request: HttpRequest, bedside: Bedside) -> HttpResponse:
    """Write down what was eaten, from a browser without JavaScript."""
    found = weaning.find_ladders(bedside.side)
    if found is None or found.back is None:
        raise BadEntry(
            field="by_mouth",
            got="Food by mouth for an animal whose plan does not allow it",
            allowed="food by mouth where the vet has said so",
            remedy="If it ate all the same, write a note and call the vet.",
        )
    write_fact(request, bedside, _form(found.plan).read(request.POST))
    return redirect(bedside.href("ladder"))
