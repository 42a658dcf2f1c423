"""The vet's word, as a form tells it."""

from datetime import date

from django.http import HttpRequest

from fillmark.core.gates.plan_gate import PlanFindings
from fillmark.core.values.errors import BadPlan
from fillmark.core.values.finding import Weight
from fillmark.core.values.typed import read_day
from fillmark.core.values.words import say_date
from fillmark.services.plans import Confirmation
from fillmark.web.at_home import AtHome
from fillmark.web.bedside import Bedside

TELEPHONE = "Said by telephone, read back."
"""What stands for the vet's words where one tap says so."""
ANSWER = "answer "
"""How the name of a field begins that takes what the vet said about one thing; the thing's key follows."""


def findings_to_answer(found: PlanFindings, request: HttpRequest) -> dict[str, object]:
    """What speaks against a plan, as the form that would put it in force shows it, with what was answered already.

    Args:
        found: What the gate found.
        request: The request, which may have brought answers.
    """
    meant = request.POST.getlist("meant")
    return {
        "refused": found.of(Weight.REFUSED),
        "needs_vet": [
            {
                "finding": one,
                "name": f"{ANSWER}{one.key}",
                # what was typed before this was found is not lost
                "words": request.POST.get(f"{ANSWER}{one.key}", "") or request.POST.get("vet_words", ""),
            }
            for one in found.of(Weight.NEEDS_VET)
        ],
        "asked": [{"finding": one, "is_meant": one.key in meant} for one in found.of(Weight.ASKED)],
        "open": found.of(Weight.OPEN),
        "said": found.of(Weight.SAID),
    }


def _read_said_on(text: str, *, about: str, today: date) -> date:
    found = read_day(text)
    if found is None:
        raise BadPlan(
            field="vet_said_on",
            got=f'"{text[:20]}" for the day on which the vet said it',
            allowed=f"a day, {say_date(today)} or earlier",
            remedy=f"Ask the vet about {about}, then enter the day.",
        )
    return found


def read_confirmation(request: HttpRequest, at: AtHome | Bedside, *, about: str) -> Confirmation:
    """Who confirms a change of the plan, and what the vet said about it and on which day.

    Where each thing that needs a word of the vet has its own, that is what the vet said about the change.

    Raises:
        BadPlan: there is no such day.
    """
    answers = {
        name.removeprefix(ANSWER): request.POST.get(name, "") for name in request.POST if name.startswith(ANSWER)
    }
    told = TELEPHONE if "telephone" in request.POST else " ".join(dict.fromkeys(answers.values()))
    return Confirmation(
        household_id=at.caregiver.household_id,
        by=at.caregiver.id,
        vet_words=request.POST.get("vet_words", "").strip() or told,
        vet_said_on=_read_said_on(request.POST.get("vet_said_on", ""), about=about, today=at.today),
        now=at.now,
        meant=frozenset(request.POST.getlist("meant")),
        answers=answers,
    )
