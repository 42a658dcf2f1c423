"""The screens of a dose that stayed open when its session was over: give it now, skip it, or it was given."""

from collections.abc import Iterator
from datetime import timedelta
from typing import Any

from fillmark.core.day.steps import Step
from fillmark.core.record.fields import NOT_KNOWN
from fillmark.core.values.errors import BadEntry
from fillmark.web.entry_form import choice
from fillmark.web.walk.buttons import Press, Screen, SessionPlan
from fillmark.web.walk.presses import SKIP_REASONS, open_payloads, reason_words

SOMEBODY = "Somebody else"
_EVERY, _BEFORE, _AFTER = timedelta(minutes=10), timedelta(hours=1), timedelta(hours=8)


def asked_flag(step: Step) -> str:
    """The flag that says whether the gate asks about this dose."""
    return f"asked-open-{step.id}"


def open_dose_screens(plan: SessionPlan, step: Step) -> Iterator[Screen]:
    """Every screen about one dose that is still open."""
    name, flag = f"open-{step.id}", asked_flag(step)
    given, *rest = _facts(plan, step, "given")
    big = plan.button("It is given", given, *rest, is_big=True, name="outcome", value="given")
    asked = plan.asked_press(
        "open", given, *rest, words="It is given all the same", told=step.title, step=step.id, when=flag
    )
    yield Screen(
        name=name,
        kind="step",
        title=step.title if len(step.title) < 40 else step.title.removesuffix(" through the tube"),
        step=step,
        detail=step.detail,
        presses=(Press(what="open", step=step.id, buttons=(big,), when=f"!{flag}"), asked),
        links=((f"#skip-{step.id}", "Skip it"), (f"#told-{step.id}", "It was given")),
        last=plan.lasts.get(step.medicine_id or "", ""),
        found=plan.finds.get(name, ()),
    )
    yield _skip_screen(plan, step)
    yield _told_screen(plan, step)


def _facts(plan: SessionPlan, step: Step, outcome: str, **form: str) -> list[dict[str, Any]]:
    dose = plan.doses.get(step.medicine_id or "", {})
    return open_payloads(step=step, session=plan.session, dose=dose, form={"outcome": outcome, **form})


def _skip_screen(plan: SessionPlan, step: Step) -> Screen:
    buttons = tuple(
        plan.button(reason, *_facts(plan, step, "missed", reason=reason), name="reason", value=reason)
        for reason in SKIP_REASONS
    )
    skipped, *rest = _facts(plan, step, "missed", reason="-")
    typed = skipped | {"reason": reason_words("A dose that is skipped")}
    sent = (("outcome", "missed"),)
    return Screen(
        name=f"skip-{step.id}",
        kind="ask",
        title="Why is it skipped?",
        step=step,
        reason="Do not double the next one.",
        presses=(
            Press(what="open", step=step.id, buttons=buttons, sent=sent),
            Press(
                what="open",
                step=step.id,
                sent=sent,
                field="reason_words",
                label="Something else",
                buttons=(plan.button("Skip it", typed, *rest, told=f"Skipped: {step.title}"),),
            ),
        ),
    )


def _told_screen(plan: SessionPlan, step: Step) -> Screen:
    missing = BadEntry(
        field="given_by",
        got="A dose that was given, without who gave it",
        allowed="one of the household, or somebody else",
        remedy="Ask the person; where nobody knows, press Not known.",
    )
    given, *rest = _facts(plan, step, "given")
    told = given | {"given_by": choice("given_by", of=[*plan.people, SOMEBODY], needed=missing)}
    unknown = plan.button(
        "Not known", *_facts(plan, step, NOT_KNOWN), name="outcome", value=NOT_KNOWN, told=f"Not known: {step.title}"
    )
    first = plan.planned_at - _BEFORE
    count = (_BEFORE + _AFTER) // _EVERY
    return Screen(
        name=f"told-{step.id}",
        kind="told",
        step=step,
        people=(*plan.people, SOMEBODY),
        times=tuple(first + place * _EVERY for place in range(count + 1)),
        presses=(
            Press(
                what="open",
                step=step.id,
                sent=(("outcome", "given"),),
                buttons=(plan.button("It was given", told, *rest, told=f"Given, as told: {step.title}"),),
            ),
            Press(what="open", step=step.id, buttons=(unknown,), dated=plan.planned_at.isoformat()),
        ),
    )
