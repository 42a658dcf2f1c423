"""The screens of a session that belong to no single step: which batch, what came back, afterwards, left out."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from fillmark.core.day.steps import Step
from fillmark.core.record.batches import Batch, Batches
from fillmark.core.record.fields import NOT_KNOWN
from fillmark.web.entry_form import ml
from fillmark.web.walk.buttons import Facts, Press, Screen, SessionPlan
from fillmark.web.walk.presses import READ_AGAIN, afterwards_payloads, reason_words, session_payload

STANDING_SCREENS = (
    "is-locked",
    "is-no-entry",
    "is-held",
    "is-behind",
    "is-paused",
    "is-stopped",
    "is-not-known",
    "is-skipped",
    "is-ended",
)


def holds_of(steps: Sequence[Step]) -> dict[str, str]:
    """Why none is given, by the id of each medicine of a session that is on hold."""
    return {step.medicine_id: step.hold for step in steps if step.medicine_id and step.hold is not None}


def batch_screen(plan: SessionPlan, batches: Batches, in_use: Batch) -> Screen:
    """Which batch the meal is fed from, and why not from this one."""

    def press(words: str, batch: str, reason: str = "", **more: Any) -> Press:
        form = {"batch": batch, "reason_words": reason}
        fact = session_payload("batch", session=plan.session, form=form)
        if reason:
            fact |= {"reason": reason_words("A batch given all the same")}
        return Press(what="batch", sent=(("batch", batch),), buttons=(plan.button(words, fact),), **more)

    presses = [press(f"From {one.name}", f"{one.made_on} {one.label}") for one in batches.to_choose]
    if plan.made_on is not None:
        presses.append(press("From a new batch, made today", f"{plan.made_on} Batch for {plan.session[11:]}"))
    if plan.may_overrule:
        presses.append(
            press(
                "Give it all the same",
                f"{in_use.made_on} {in_use.label}",
                reason="-",
                field="reason_words",
                label="A lead's reason to give it",
            )
        )
    links = ((plan.test_again, "Thin it, and test it again"),) if plan.test_again else ()
    return Screen(name="batch", kind="batch", presses=tuple(presses), links=links)


def back_screen(plan: SessionPlan) -> Screen:
    unknown = session_payload("back", session=plan.session, form={"ml": NOT_KNOWN})
    typed = unknown | {"ml": ml("ml_typed", remedy=READ_AGAIN)}
    return Screen(
        name="back",
        kind="ask",
        title="How much came back?",
        presses=(
            Press(
                what="back",
                buttons=(plan.button("I don't know how much", unknown, name="ml", value=NOT_KNOWN),),
            ),
            Press(
                what="back",
                field="ml_typed",
                label="About how many mL",
                is_number=True,
                buttons=(plan.button("Write this down", typed, told="Came back"),),
            ),
        ),
    )


def afterwards_screen(plan: SessionPlan) -> Screen:
    """What is written down when nobody walked through the session; its facts are dated by the plan."""
    held = holds_of(plan.steps)

    def facts(ml: str) -> Facts:
        return afterwards_payloads(
            session=plan.session, doses=plan.doses, held=held, meal_ml=plan.meal_ml, form={"ml": ml}
        )

    dated = plan.planned_at.isoformat()
    buttons = [plan.button("I don't know how much", *facts(NOT_KNOWN), name="ml", value=NOT_KNOWN)]
    given = len(plan.doses) - len(held)
    parts = [f"{given} medicine{'s' if given > 1 else ''}"] if given else []
    parts += [f"{plan.meal_ml:g} mL"] if plan.meal_ml else []
    if parts:
        words = f"All as planned: {' and '.join(parts)}"
        buttons.insert(0, plan.button(words, *facts("planned"), name="ml", value="planned"))
    presses = [Press(what="afterwards", buttons=tuple(buttons), dated=dated)]
    if not plan.doses:
        typed = [
            fact | {"total_ml": ml("ml_typed", remedy=READ_AGAIN)} if fact["kind"] == "meal_ended" else fact
            for fact in facts(NOT_KNOWN)
        ]
        button = plan.button("Write this down", *typed, told="Written down afterwards")
        presses.append(
            Press(
                what="afterwards",
                field="ml_typed",
                label="About how many mL",
                is_number=True,
                buttons=(button,),
                dated=dated,
            )
        )
    return Screen(name="afterwards", kind="ask", title="How much went in?", presses=tuple(presses))


def leave_screen(plan: SessionPlan) -> Screen:
    presses = plan.reason_presses("leave", lambda form: session_payload("leave", session=plan.session, form=form))
    return Screen(name="leave", kind="ask", title="Why was it left out?", presses=presses)


def standing_presses(plan: SessionPlan, name: str) -> tuple[Press, ...]:
    clock = plan.clock
    match name:
        case "is-no-entry":
            fact = session_payload("start", session=plan.session, form={})
            asked = plan.asked_press("start", fact, words=f"Start {clock} all the same", told=f"Started {clock}")
            return replace(plan.session_press("start", f"Start {clock}", is_big=True), when="!asked"), asked
        case "is-paused":
            stop = session_payload("stop", session=plan.session, form={"reason": "Food came back up"})
            stopping = plan.button("Stop this session", stop, name="what", value="stop", is_big=True)
            return (
                replace(plan.session_press("resume", "Go on", is_big=True), when="!back"),
                replace(plan.session_press("resume", "Nothing more comes, it breathes calmly: go on"), when="back"),
                Press(what="stop", sent=(("reason", "Food came back up"),), buttons=(stopping,), when="back"),
            )
        case "is-held":
            return (plan.session_press("take", f"Take over {clock}", is_big=True),)
        case "is-behind":
            return (plan.session_press("end", f"Nothing seen. End {clock}", is_big=True),)
        case "is-not-known":
            return (plan.session_press("resume", "Go on with it", is_big=True),)
        case "is-stopped":
            return (
                plan.session_press("resume", "They said: go on with this session"),
                plan.session_press("end", "They said: leave the rest, the next one as planned"),
            )
    return ()
