"""The second person reads the syringe: no mark, no amount and no first reading is on this screen before theirs."""

from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from fillmark.core.bedside.next_session import session_state
from fillmark.core.day.values import PlannedDose
from fillmark.core.doses.second_check import agrees, reader_of, say_reading
from fillmark.core.record.medicine_entries import SecondCheck
from fillmark.core.tube.syringe import Mark, scale_lines
from fillmark.core.values.errors import BadEntry, FillmarkError, NotAllowed
from fillmark.core.values.people import Capability
from fillmark.services import household, record
from fillmark.web.bedside import Bedside, at_the_bedside
from fillmark.web.bedside.page_context import page_context
from fillmark.web.bedside.todays_plan import planned_for
from fillmark.web.drawings.syringe import draw_scale
from fillmark.web.entry_form import EntryForm, choice, exact
from fillmark.web.phone.facts import page_facts
from fillmark.web.writing import write_fact


def _dose(bedside: Bedside, *, session: str, medicine: str) -> PlannedDose:
    planned = planned_for(bedside, session).find(session)
    found = next((dose for dose in planned.medicines if dose.medicine.id == medicine), None) if planned else None
    if found is None:
        raise BadEntry(
            field="medicine",
            got=f'The medicine "{medicine[:40]}", which the {session[11:]} session does not name',
            allowed="a medicine of this session",
            remedy="Go back to the session; the plan may have changed meanwhile.",
        )
    return found


def _form(bedside: Bedside, *, dose: PlannedDose, session: str) -> EntryForm:
    """What was read, and by whom: two people may share one phone."""
    others = [one for one in household.find_people(household_id=bedside.home.id) if one.id != bedside.caregiver.id]
    return EntryForm(
        {
            "kind": "second_check",
            "session": session,
            "medicine": dose.medicine.id,
            "ml" if isinstance(dose.drawn, Mark) else "pieces": exact(
                "read_typed", "read", field="mL" if isinstance(dose.drawn, Mark) else f"{dose.drawn.piece}s"
            ),
            "reader": choice("reader", of=[str(one.id) for one in others]),
            "reader_name": choice("reader", of={str(one.id): one.name for one in others}),
        }
    )


@require_http_methods(["GET", "POST"])
@at_the_bedside(what=Capability.RECORD_SESSION)
def second_check(request: HttpRequest, bedside: Bedside, *, session: str, medicine: str) -> HttpResponse:
    """Ask for the reading; once it is written down, say whether it is the dose."""
    dose = _dose(bedside, session=session, medicine=medicine)
    here = bedside.href("second_check", session=session, medicine=medicine)
    form = _form(bedside, dose=dose, session=session)
    error = None
    if request.method == "POST":
        try:
            entry = write_fact(request, bedside, form.read(request.POST))
            return redirect(f"{here}?read={entry.id}")
        except NotAllowed:
            raise
        except FillmarkError as refused:
            error = refused
    state = session_state(bedside.side_on(session), session)
    syringe = dose.drawn.syringe if isinstance(dose.drawn, Mark) else None
    context = page_context(bedside, under=f"Second check, {session[11:]}") | {
        "calls_href": f"{bedside.href('calls')}?in={session}",
        "walk_href": bedside.href("walk", session=session),
        "here": here,
        "form": form,
        "readers": form.fact["reader_name"]["of"].items(),
        # its name alone: neither strength nor amount stands anywhere on this page
        "phone": page_facts(bedside) | {"medicines": [{"id": medicine, "name": dose.medicine.name}]},
        "dose": dose,
        "syringe": syringe,
        "scale": draw_scale(syringe) if syringe else "",
        "piece": None if isinstance(dose.drawn, Mark) else dose.drawn.piece,
        "picks": [line.label for line in scale_lines(syringe) if line.label and line.ml] if syringe else [],
        "is_giver": state.held_by == bedside.caregiver.id,
        "error": error,
        "filled": request.POST,
        "result": _result(bedside, dose=dose, entry_id=request.GET.get("read", "")),
        "entry_id": request.POST.get("entry_id") or record.new_entry_id(now=bedside.now),
    }
    return render(request, "second_check/second_check.html", context, status=400 if error else 200)


def _result(bedside: Bedside, *, dose: PlannedDose, entry_id: str) -> dict[str, object] | None:
    """What a reading that is written down says; none for one that is not there, or is about another medicine."""
    try:
        kept = record.find_entry(household_id=bedside.home.id, entry_id=UUID(entry_id))
    except ValueError:
        return None
    payload = kept.entry.payload if kept else None
    if kept is None or not isinstance(payload, SecondCheck) or payload.medicine != dose.medicine.id:
        return None
    return {
        "agrees": agrees(payload, drawn=dose.drawn),
        "read": say_reading(payload, drawn=dose.drawn),
        "by": reader_of(kept, payload)[1],
    }
