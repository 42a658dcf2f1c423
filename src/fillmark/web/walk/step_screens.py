"""The screens of one step: to do it, and to say what went otherwise."""

from collections.abc import Iterator

from fillmark.core.day.steps import Step, StepKind
from fillmark.core.record.fields import NOT_KNOWN
from fillmark.core.tube.syringe import scale_lines
from fillmark.core.values.quantities import write_number
from fillmark.web.entry_form import ml
from fillmark.web.walk.buttons import Press, Screen, SessionPlan
from fillmark.web.walk.presses import READ_AGAIN, REFUSED, reason_words

_BIG_WORDS = {
    StepKind.WASH: "Hands are washed",
    StepKind.LOOK: "Yes",
    StepKind.CHECK_MARK: "Yes",
    StepKind.CHECK_SKIN: "Yes",
    StepKind.STIR: "It is lukewarm",
    StepKind.CLOSE: "It is closed",
    StepKind.FLUSH: "It is in",
    StepKind.MEDICINE: "It is given",
    StepKind.WAIT: "The time is over",
    StepKind.FILL: "It is in",
    StepKind.UPRIGHT: "The time is over",
    StepKind.TASK: "It is done",
    StepKind.CLEAN: "It is clean",
}
_NEVER_LEFT_OUT = (StepKind.WASH, StepKind.CHECK_MARK, StepKind.STIR, StepKind.CLOSE)
_SKIN_REASONS = ("Red or swollen", "It leaks", "Pus, or a smell", "It hurts")
_HOLD_REASONS = ("The vet said so", "Vomiting or retching")


def _short_title(step: Step) -> str:
    return step.title.removesuffix(" through the tube") if step.label else step.title


def locked_screen(plan: SessionPlan, step: Step) -> Screen:
    """A medicine whose new bottle has another strength: nothing is drawn of it; it is held, or confirmed first.

    It is made for every medicine: a phone without a signal may know of a bottle that this page does not.
    """
    return Screen(
        name=f"locked-{step.id}",
        kind="locked",
        step=step,
        title=f"{plan.names.medicines.get(step.medicine_id or '', 'This medicine')}: draw none of it",
        detail="The new bottle has another strength than the plan. The old mark would be the wrong dose. A lead "
        "confirms the new strength first, with what the vet or the pharmacist says. Its mark is worked out by the "
        "household's machine: without a signal hold it, and call.",
        presses=(plan.held_press(step, "Hold it, and go on", "The strength of the new bottle is not confirmed yet"),),
        links=((plan.locked.get(step.medicine_id or "", plan.bottles_href), "Confirm the new strength"),),
    )


def _hold_screen(plan: SessionPlan, step: Step) -> Screen:
    """A medicine that the vet has stopped for now: no mark, and one press that says none was given."""
    return Screen(
        name=f"step-{step.id}",
        kind="locked",
        step=step,
        title=step.title,
        detail=step.detail,
        presses=(plan.held_press(step, "None given, go on", step.hold or ""),),
    )


def _too_much_screen(plan: SessionPlan, step: Step) -> Screen:
    """A fill of a meal that is more than the vet's most: no mark, and one press that leaves it out."""
    reason = "More than the vet's most at once"
    fact = plan.step_fact("out", step, {"reason": reason})
    button = plan.button("Leave it out, go on", fact, name="reason", value=reason, is_big=True)
    return Screen(
        name=f"step-{step.id}",
        kind="locked",
        step=step,
        title="Not this much at once",
        detail=plan.too_much,
        presses=(Press(what="out", step=step.id, buttons=(button,)),),
    )


def is_read_once(step: Step) -> bool:
    """Whether what a step asks is read once by each person on each day, and stands there as a line from then on."""
    return step.kind is StepKind.WASH and step.ask is not None


def step_screen(plan: SessionPlan, step: Step) -> Screen:
    if step.hold is not None:
        return _hold_screen(plan, step)
    if step.kind is StepKind.FILL and plan.too_much:
        return _too_much_screen(plan, step)
    is_fill, is_medicine = step.kind is StepKind.FILL, step.kind is StepKind.MEDICINE
    links: list[tuple[str, str]] = []
    if is_fill:
        links.append((f"#less-{step.id}", "Less went in"))
    elif is_medicine:
        links.append((f"#dose-{step.id}", "Not all, or none"))
        if step.medicine_id is not None and step.medicine_id in plan.checks:
            links.insert(0, (plan.checks[step.medicine_id], "A second person reads it"))
    elif step.if_no:
        links.append(("calls", "No"))
    elif step.kind is StepKind.CHECK_SKIN:
        links.append((f"#out-{step.id}", "No"))
    elif step.kind not in _NEVER_LEFT_OUT:
        links += [(plan.weigh_href, "Write down the weight")] if step.weighs and plan.weigh_href else []
        links.append((f"#out-{step.id}", "Leave out"))
    if len(links) == 1:  # with two, the mark must stay in sight; what came back is among "Not all, or none"
        links.append(("#back", "Came back"))
    words, fact = "Yes" if step.ask else _BIG_WORDS[step.kind], plan.step_fact("step", step, {})
    button = plan.button(words, fact, is_big=True, name="what", value="step")
    when = "!asked" if is_fill or is_medicine else "!read" if is_read_once(step) else ""
    presses = [Press(what="step", step=step.id, buttons=(button,), when=when)]
    if is_read_once(step):  # eight times a day, nobody reads it any more
        button = plan.button(_BIG_WORDS[step.kind], fact, is_big=True, name="what", value="step")
        presses.append(Press(what="step", step=step.id, buttons=(button,), when="read"))
    if is_fill or is_medicine:
        presses.append(plan.asked_press("step", fact, words=f"{words} all the same", told=step.title, step=step.id))
    return Screen(
        name=f"step-{step.id}",
        kind="step",
        step=step,
        # short, so that the mark stays in sight; the way it goes stands beside the mark
        title=f"Fill {step.fill_number} of {step.fill_count}" if is_fill else _short_title(step),
        detail="" if step.ask and step.ask.startswith(step.detail) else step.detail,
        presses=tuple(presses),
        links=tuple(links),
        seconds=step.minutes * 60 if step.minutes else None,
        is_fill=is_fill,
        is_read_once=is_read_once(step),
        last=plan.lasts.get("meal" if is_fill else step.medicine_id or "", ""),
        found=plan.finds.get(f"step-{step.id}", ()),
    )


def otherwise_screens(plan: SessionPlan, step: Step) -> Iterator[Screen]:
    """The questions about what went otherwise than planned in this step."""
    if step.kind is StepKind.FILL and step.mark is not None:
        yield _less_screen(plan, step)
    elif step.kind is StepKind.MEDICINE:
        if step.hold is None:
            yield _dose_screen(plan, step)
    elif step.kind is StepKind.CHECK_SKIN:
        yield _skin_screen(plan, step)
    elif step.if_no is None and step.kind not in _NEVER_LEFT_OUT:
        yield Screen(
            name=f"out-{step.id}",
            kind="ask",
            title="Why is it left out?",
            step=step,
            presses=plan.reason_presses("out", lambda form: plan.step_fact("out", step, form), step=step.id),
        )


def _skin_screen(plan: SessionPlan, step: Step) -> Screen:
    """A skin that looks different is written down and shown to the vet; by itself it stops nothing."""
    buttons = tuple(
        plan.button(words, plan.step_fact("out", step, {"reason": words}), name="reason", value=words)
        for words in _SKIN_REASONS
    )
    typed = plan.step_fact("out", step, {"reason": "-"}) | {"reason": reason_words("A skin that looks different")}
    return Screen(
        name=f"out-{step.id}",
        kind="ask",
        title="What is different?",
        detail="It is written down. Call the vet today; where the tube itself has moved, go back and say so.",
        step=step,
        presses=(
            Press(what="out", step=step.id, buttons=buttons),
            Press(
                what="out",
                step=step.id,
                field="reason_words",
                label="Something else",
                buttons=(plan.button("Write this down", typed, told="The skin looks different"),),
            ),
        ),
        links=(("calls", "The card for the site"),),
    )


def _less_screen(plan: SessionPlan, step: Step) -> Screen:
    mark = step.mark
    assert mark is not None  # noqa: S101
    drawn = mark.drawn.ml
    lefts = [line.label for line in scale_lines(mark.syringe) if line.label and 0 < line.ml < drawn]
    picks = tuple(
        plan.button(words, plan.step_fact("less", step, {"left": left}), name="left", value=left)
        for left, words in [*((left, f"{left} mL") for left in lefts), (write_number(drawn), "All of it")]
    )
    left = ml("left_typed", less_from=drawn, remedy=READ_AGAIN)
    typed = plan.step_fact("less", step, {"left": "0"}) | {"ml": left}
    return Screen(
        name=f"less-{step.id}",
        kind="ask",
        title="How much is still in the syringe?",
        detail=f"Read the line at the plunger. What is left is worked off the {mark.drawn}.",
        step=step,
        presses=(
            Press(what="less", step=step.id, shape="picks", buttons=picks),
            Press(
                what="less",
                step=step.id,
                field="left_typed",
                label="Another line, in mL",
                is_number=True,
                buttons=(plan.button("Write this down", typed, told=f"Fill {step.fill_number}: less went in"),),
            ),
        ),
    )


def _dose_screen(plan: SessionPlan, step: Step) -> Screen:
    ways = (
        ("partial", "Only a part went in"),
        ("spilled", "It was spilled"),
        ("came back", "It came back"),
        (NOT_KNOWN, "I don't know what went in"),
    )
    buttons = tuple(
        plan.button(words, plan.step_fact("dose", step, {"outcome": outcome}), name="outcome", value=outcome)
        for outcome, words in ways
    )
    if step.medicine_id in plan.by_mouth:
        refused = plan.step_fact("dose", step, {"outcome": "refused", "reason": REFUSED})
        buttons += (plan.button(REFUSED, refused, name="outcome", value="refused"),)
    held = plan.step_fact("dose", step, {"outcome": "held", "reason": "-"}) | {
        "reason": reason_words("A medicine that was not given")
    }
    reasons = tuple(
        plan.button(
            f"Not given: {reason[0].lower()}{reason[1:]}",
            plan.step_fact("dose", step, {"outcome": "held", "reason": reason}),
            name="reason",
            value=reason,
        )
        for reason in _HOLD_REASONS
    )
    return Screen(
        name=f"dose-{step.id}",
        kind="ask",
        title="What became of it?",
        step=step,
        reason="Do not give it again to make up for it. Ask the vet.",
        presses=(
            Press(what="dose", step=step.id, buttons=buttons),
            Press(what="dose", step=step.id, sent=(("outcome", "held"),), buttons=reasons),
            Press(
                what="dose",
                step=step.id,
                sent=(("outcome", "held"),),
                field="reason_words",
                label="Not given, because",
                buttons=(plan.button("It was not given", held, told=f"Not given: {step.title}"),),
            ),
        ),
    )
