"""What a press means: from a button of the walk to the one fact it records.

Amounts come from the plan's step, not from the page; the page only says which step, and what went otherwise.
"""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from fillmark.core.day.steps import Step, StepKind
from fillmark.core.record.fields import NOT_KNOWN
from fillmark.core.record.medicine_entries import Outcome
from fillmark.core.values.errors import BadEntry
from fillmark.web.entry_form import EntryForm, Place, ml, unknown, words

REFUSED = "Would not take it"
SKIP_REASONS = ("The vet said so", "It was not needed now", "It could not be done")


READ_AGAIN = "Read the syringe again."


def reason_words(what: str, *, field: str = "reason_words") -> Place:
    """The place of a reason; a press without one is refused."""
    missing = BadEntry(field="reason", got=f"{what} without a reason", allowed="a few words", remedy="Say why.")
    return words(field, needed=missing)


def _text(form: Mapping[str, str], field: str, *, what: str) -> str:
    """A reason that a button names, or the words that were typed."""
    chosen = form.get(field, "").strip()
    return chosen[:2000] or EntryForm({field: reason_words(what)}).read(form)[field]


def _ml(form: Mapping[str, str], field: str, *, most: Decimal | None = None) -> float | str:
    high = None if most is None else float(most)
    # what is left in a syringe is read from its lines; what came back may be unknown
    place = ml(f"{field}_typed", field, high=high, instead=unknown() if most is None else None, remedy=READ_AGAIN)
    read: float | str = EntryForm({field: place}).read(form)[field]
    return read


def session_payload(what: str, *, session: str, form: Mapping[str, str]) -> dict[str, Any]:
    """The fact behind a press that is about the session and not about one of its steps.

    Raises:
        BadEntry: an unknown press, or one without what it must say.
        BadNumber: an amount that cannot be read.
    """
    match what:
        case "start":
            return {"kind": "session_started", "session": session}
        case "take":
            return {"kind": "session_taken", "session": session}
        case "pause":
            return {"kind": "session_paused", "session": session}
        case "resume":
            return {"kind": "session_resumed", "session": session}
        case "end":
            return {"kind": "session_ended", "session": session}
        case "stop":
            return {"kind": "session_stopped", "session": session, "reason": _text(form, "reason", what="A stop")}
        case "leave":
            return {
                "kind": "session_skipped",
                "session": session,
                "reason": _text(form, "reason", what="A session left out"),
            }
        case "batch":
            made_on, _, label = form.get("batch", "").partition(" ")
            chosen: dict[str, Any] = {"kind": "batch_chosen", "session": session, "made_on": made_on}
            reason = form.get("reason_words", "").strip()
            return chosen | ({"batch": label} if label else {}) | ({"reason": reason[:2000]} if reason else {})
        case "back":
            return {"kind": "came_back", "session": session, "ml": _ml(form, "ml")}
    raise BadEntry(
        field="what", got=f'"{what[:40]}"', allowed="a button of this screen", remedy="Go back and press again."
    )


def afterwards_payloads(
    *,
    session: str,
    doses: Mapping[str, Mapping[str, str]],
    held: Mapping[str, str],
    meal_ml: float,
    form: Mapping[str, str],
) -> list[dict[str, Any]]:
    """The facts behind "It was given", written down when the session is over: its doses, its meal, its end.

    Args:
        session: The session it is about.
        doses: The ordered dose of each medicine of the session, as the record keeps it, by the medicine's id.
        held: Why none is given, by the id of each medicine that is on hold.
        meal_ml: The planned blend [mL], 0 for a session without a meal.
        form: What the page sent along: an amount in mL, "planned" for all of it, or "not known".
    Raises:
        BadNumber: an amount that cannot be read.
    """
    said = form.get("ml", "")
    outcome = Outcome.NOT_KNOWN if said == NOT_KNOWN else Outcome.GIVEN
    facts: list[dict[str, Any]] = [
        {"kind": "medicine_given", "session": session, "medicine": medicine, **_became(medicine, outcome, held), **dose}
        for medicine, dose in doses.items()
    ]
    if meal_ml or not doses:
        total_ml = meal_ml if said == "planned" else _ml(form, "ml")
        facts.append({"kind": "meal_ended", "session": session, "total_ml": total_ml, "fills": 0})
    return [*facts, {"kind": "session_ended", "session": session}]


def open_payloads(
    *, step: Step, session: str, dose: Mapping[str, str], form: Mapping[str, str]
) -> list[dict[str, Any]]:
    """The facts behind a press about a dose that stayed open: what became of it, and that its session is over.

    Args:
        step: The step of the dose.
        session: The session it belongs to.
        dose: The ordered dose as the record keeps it.
        form: What the page sent along: the outcome, the reason of a skip, who gave a dose that was told of.
    Raises:
        BadEntry: the press does not say what it must.
    """
    fact = _dose_payload("dose", step=step, session=session, dose=dose, form=form)
    told = {"given_by": form["given_by"]} if form.get("given_by") else {}
    return [fact | told, {"kind": "session_ended", "session": session}]


def _became(medicine: str, outcome: Outcome, held: Mapping[str, str]) -> dict[str, str]:
    """What became of a dose of a session that is over: of what is on hold nothing was given."""
    if medicine in held:
        return {"outcome": Outcome.HELD.value, "reason": held[medicine]}
    return {"outcome": outcome.value}


def step_payload(
    what: str, *, step: Step, session: str, dose: Mapping[str, str], form: Mapping[str, str]
) -> dict[str, Any]:
    """The fact behind a press that is about one step of the walk.

    Args:
        what: "step" (as planned), "less", "out" or "dose" (otherwise than planned).
        step: The step it is about.
        session: The session it belongs to.
        dose: Of a medicine, the ordered dose as the record keeps it; empty for other steps.
        form: What the page sent along.
    Raises:
        BadEntry: the press does not fit the step, or does not say what it must.
        BadNumber: an amount that cannot be read.
    """
    if what == "out" and step.if_no is None:
        return {
            "kind": "step_skipped",
            "session": session,
            "step": step.id,
            "reason": _text(form, "reason", what="A step left out"),
        }
    if what == "less" and step.kind is StepKind.FILL and step.mark is not None:
        drawn = step.mark.drawn.ml
        left = Decimal(str(_ml(form, "left", most=drawn)))
        return {"kind": "fill_given", "session": session, "fill": step.fill_number, "ml": float(drawn - left)}
    if step.kind is StepKind.MEDICINE and what in ("step", "dose"):
        return _dose_payload(what, step=step, session=session, dose=dose, form=form)
    if what == "step":
        if step.kind is StepKind.FILL:
            return {"kind": "fill_given", "session": session, "fill": step.fill_number, "ml": step.ml}
        if step.kind is StepKind.FLUSH:
            return {"kind": "flush_given", "session": session, "step": step.id, "ml": step.ml}
        return {"kind": "step_done", "session": session, "step": step.id}
    raise BadEntry(
        field="what",
        got=f'"{what[:40]}" for the step "{step.title}"',
        allowed="a button of this step",
        remedy="Go back to the step and press again.",
    )


def _dose_payload(
    what: str, *, step: Step, session: str, dose: Mapping[str, str], form: Mapping[str, str]
) -> dict[str, Any]:
    outcome = Outcome.GIVEN
    if what == "dose":
        try:
            outcome = Outcome(form.get("outcome", ""))
        except ValueError:
            raise BadEntry(
                field="outcome",
                got="A medicine without what became of it",
                allowed=", ".join(one.value for one in Outcome),
                remedy="Press the one that is true.",
            ) from None
    payload: dict[str, Any] = {
        "kind": "medicine_given",
        "session": session,
        "medicine": step.medicine_id,
        "outcome": outcome.value,
        **dose,
    }
    if outcome is Outcome.PARTIAL:
        payload["given_mg"] = NOT_KNOWN
    if outcome is Outcome.REFUSED and not form.get("reason"):
        payload["reason"] = REFUSED
    elif outcome in (Outcome.HELD, Outcome.REFUSED, Outcome.MISSED):
        payload["reason"] = _text(form, "reason", what="A medicine that was not given")
    return payload
