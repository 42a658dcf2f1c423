"""All the screens of one session, made at once: a phone keeps them, and shows the one that fits what is recorded.

Every button carries the facts it records, so that pressing it needs no signal. Where a person types a number or a
reason, the fact holds a place for it (web/entry_form.py).
"""

import json
from collections.abc import Collection, Container, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any

from fillmark.core.day.steps import Step, StepKind
from fillmark.core.record.batches import Batch, Batches
from fillmark.core.record.entries import read_payload
from fillmark.core.record.fields import NOT_KNOWN
from fillmark.core.record.sessions import SessionRecord, Standing
from fillmark.core.tube.syringe import scale_lines
from fillmark.core.values.quantities import write_number
from fillmark.web.entry_form import ml
from fillmark.web.walk.presses import (
    READ_AGAIN,
    REFUSED,
    SKIP_REASONS,
    afterwards_payloads,
    reason_words,
    session_payload,
    step_payload,
)
from fillmark.web.walk.progress import Walk
from fillmark.web.words import Names, say_payload

_BIG_WORDS = {
    StepKind.WASH: "Hands are washed",
    StepKind.CHECK_MARK: "Yes",
    StepKind.FLUSH: "It is in",
    StepKind.MEDICINE: "It is given",
    StepKind.WAIT: "The time is over",
    StepKind.FILL: "It is in",
    StepKind.UPRIGHT: "The time is over",
    StepKind.TASK: "It is done",
    StepKind.CLEAN: "It is clean",
}
_HOLD_REASONS = ("The vet said so", "Vomiting or retching")
Facts = list[dict[str, Any]]


def _short_title(step: Step) -> str:
    return step.title.removesuffix(" through the tube") if step.label else step.title


def holds_of(steps: Sequence[Step]) -> dict[str, str]:
    """Why none is given, by the id of each medicine of a session that is on hold."""
    return {step.medicine_id: step.hold for step in steps if step.medicine_id and step.hold is not None}


@dataclass(frozen=True, kw_only=True, slots=True)
class Button:
    """One button: its words, what a form without JavaScript sends for it, and the facts it records."""

    words: str
    name: str = ""
    value: str = ""
    facts: str = "[]"
    told: str = ""
    is_big: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Press:
    """One form: its buttons, and a field where a person types.

    Attributes:
        what: The press as `walk.presses` knows it.
        step: The id of the step it is about.
        field: The name of the field to type in; empty without one.
        label: What stands above that field.
        is_number: Whether a number is typed, else words.
        sent: Further fields of the form.
        dated: The instant the facts are dated by; empty for the moment of the press.
    """

    what: str
    step: str = ""
    buttons: tuple[Button, ...]
    field: str = ""
    label: str = ""
    is_number: bool = False
    sent: tuple[tuple[str, str], ...] = ()
    shape: str = "stack"
    dated: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Screen:
    """One screen of the session; its name is where a link to it points."""

    name: str
    kind: str
    title: str = ""
    step: Step | None = None
    detail: str = ""
    reason: str = ""
    presses: tuple[Press, ...] = ()
    links: tuple[tuple[str, str], ...] = ()
    seconds: float | None = None
    is_fill: bool = False

    @property
    def template(self) -> str:
        return f"walk/{self.kind}.html"


@dataclass(frozen=True, kw_only=True, slots=True)
class Maker:
    """Makes the screens of one session from its plan.

    Attributes:
        session: Its identity.
        clock: The local time of day at which it comes.
        planned_at: The instant of that.
        steps: Its steps, in order.
        meal_ml: The planned blend [mL].
        doses: The ordered dose of each medicine, as the record keeps it.
        names: What the plan calls things.
        checks: Where a second person reads the syringe, by the medicine that asks for it.
        by_mouth: The medicines that an animal can refuse, since they do not go through the tube.
        locked: Where a new strength is confirmed, by the medicine that waits for it: until then no mark is shown.
        batches: What is known of the batches; none where nobody has named one.
        made_on: The household's day of the session: a new batch is made on it.
        may_overrule: Whether this person may give a batch with a reason that is not to be given.
        test_again: Where the batch in use is tested again; empty for who may not write that down.
        bottles_href: Where the bottles stand, for a bottle that only the phone knows of.
    """

    session: str
    clock: str
    planned_at: datetime
    steps: Sequence[Step]
    meal_ml: float
    doses: Mapping[str, Mapping[str, str]]
    names: Names = field(default_factory=Names)
    checks: Mapping[str, str] = field(default_factory=dict)
    by_mouth: Collection[str] = ()
    locked: Mapping[str, str] = field(default_factory=dict)
    batches: Batches | None = None
    made_on: date | None = None
    may_overrule: bool = False
    test_again: str = ""
    bottles_href: str = ""

    def screens(self) -> Iterator[Screen]:
        """Every screen that any state of the session may ask for."""
        for step in self.steps:
            if step.medicine_id not in self.locked:
                yield self._step(step)
            if step.medicine_id is not None:
                yield self._locked(step)
            yield from self._otherwise(step)
        if self.batches is not None and self.batches.in_use is not None:
            yield self._batch(self.batches, self.batches.in_use)
        yield self._back()
        yield self._afterwards()
        yield self._leave()
        for name in STANDING_SCREENS:
            yield Screen(name=name, kind="standing", presses=self._at(name))

    def _button(self, words: str, *facts: dict[str, Any], **more: Any) -> Button:
        told = "; ".join(self._told(fact) for fact in facts)
        return Button(words=words, facts=json.dumps(facts, separators=(",", ":")), **{"told": told, **more})

    def _told(self, fact: dict[str, Any]) -> str:
        if any(isinstance(value, dict) for value in fact.values()):
            return ""  # what is typed is told by the phone
        return say_payload(read_payload(fact), names=self.names)

    def _session_press(self, what: str, words: str, **more: Any) -> Press:
        fact = session_payload(what, session=self.session, form=more.pop("form", {}))
        return Press(what=what, buttons=(self._button(words, fact, name="what", value=what, **more),))

    def _step_fact(self, what: str, step: Step, form: Mapping[str, str]) -> dict[str, Any]:
        dose = self.doses.get(step.medicine_id or "", {})
        return step_payload(what, step=step, session=self.session, dose=dose, form=form)

    def _locked(self, step: Step) -> Screen:
        """A medicine whose new bottle has another strength: nothing is drawn of it; it is held, or confirmed first.

        It is made for every medicine: a phone without a signal may know of a bottle that this page does not.
        """
        return Screen(
            name=f"locked-{step.id}",
            kind="locked",
            step=step,
            title=f"{self.names.medicines.get(step.medicine_id or '', 'This medicine')}: draw none of it",
            detail="The new bottle has another strength than the plan. The old mark would be the wrong dose. A lead "
            "confirms the new strength first, with what the vet or the pharmacist says. Its mark is worked out by the "
            "household's machine: without a signal hold it, and call.",
            presses=(self._held(step, "Hold it, and go on", "The strength of the new bottle is not confirmed yet"),),
            links=((self.locked.get(step.medicine_id or "", self.bottles_href), "Confirm the new strength"),),
        )

    def _on_hold(self, step: Step) -> Screen:
        """A medicine that the vet has stopped for now: no mark, and one press that says none was given."""
        return Screen(
            name=f"step-{step.id}",
            kind="locked",
            step=step,
            title=step.title,
            detail=step.detail,
            presses=(self._held(step, "None given, go on", step.hold or ""),),
        )

    def _held(self, step: Step, words: str, reason: str) -> Press:
        """The press that says that a dose was held, and why."""
        fact = self._step_fact("dose", step, {"outcome": "held", "reason": reason})
        button = self._button(words, fact, name="outcome", value="held", is_big=True)
        return Press(what="dose", step=step.id, buttons=(button,), sent=(("reason", fact["reason"]),))

    def _step(self, step: Step) -> Screen:
        if step.hold is not None:
            return self._on_hold(step)
        is_fill, is_medicine = step.kind is StepKind.FILL, step.kind is StepKind.MEDICINE
        links: list[tuple[str, str]] = []
        if is_fill:
            links.append((f"#less-{step.id}", "Less went in"))
        elif is_medicine:
            links.append((f"#dose-{step.id}", "Not all, or none"))
            if step.medicine_id is not None and step.medicine_id in self.checks:
                links.insert(0, (self.checks[step.medicine_id], "A second person reads it"))
        elif step.if_no:
            links.append(("calls", "No"))
        elif step.kind not in (StepKind.WASH, StepKind.CHECK_MARK):
            links.append((f"#out-{step.id}", "Leave out"))
        if len(links) == 1:  # with two, the mark must stay in sight; what came back is among "Not all, or none"
            links.append(("#back", "Came back"))
        words = "Yes" if step.ask else _BIG_WORDS[step.kind]
        button = self._button(words, self._step_fact("step", step, {}), is_big=True, name="what", value="step")
        return Screen(
            name=f"step-{step.id}",
            kind="step",
            step=step,
            # short, so that the mark stays in sight; the way it goes stands beside the mark
            title=f"Fill {step.fill_number} of {step.fill_count}" if is_fill else _short_title(step),
            detail="" if step.ask and step.ask.startswith(step.detail) else step.detail,
            presses=(Press(what="step", step=step.id, buttons=(button,)),),
            links=tuple(links),
            seconds=step.minutes * 60 if step.minutes else None,
            is_fill=is_fill,
        )

    def _otherwise(self, step: Step) -> Iterator[Screen]:
        """The questions about what went otherwise than planned in this step."""
        if step.kind is StepKind.FILL and step.mark is not None:
            yield self._less(step)
        elif step.kind is StepKind.MEDICINE:
            if step.hold is None:
                yield self._dose(step)
        elif step.if_no is None and step.kind not in (StepKind.WASH, StepKind.CHECK_MARK):
            yield Screen(
                name=f"out-{step.id}",
                kind="ask",
                title="Why is it left out?",
                step=step,
                presses=self._reasons("out", lambda form: self._step_fact("out", step, form), step=step.id),
            )

    def _less(self, step: Step) -> Screen:
        mark = step.mark
        assert mark is not None  # noqa: S101
        drawn = mark.drawn.ml
        lefts = [line.label for line in scale_lines(mark.syringe) if line.label and 0 < line.ml < drawn]
        picks = tuple(
            self._button(words, self._step_fact("less", step, {"left": left}), name="left", value=left)
            for left, words in [*((left, f"{left} mL") for left in lefts), (write_number(drawn), "All of it")]
        )
        left = ml("left_typed", less_from=drawn, remedy=READ_AGAIN)
        typed = self._step_fact("less", step, {"left": "0"}) | {"ml": left}
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
                    buttons=(self._button("Write this down", typed, told=f"Fill {step.fill_number}: less went in"),),
                ),
            ),
        )

    def _dose(self, step: Step) -> Screen:
        ways = (
            ("partial", "Only a part went in"),
            ("spilled", "It was spilled"),
            ("came back", "It came back"),
            (NOT_KNOWN, "I don't know what went in"),
        )
        buttons = tuple(
            self._button(words, self._step_fact("dose", step, {"outcome": outcome}), name="outcome", value=outcome)
            for outcome, words in ways
        )
        if step.medicine_id in self.by_mouth:
            refused = self._step_fact("dose", step, {"outcome": "refused", "reason": REFUSED})
            buttons += (self._button(REFUSED, refused, name="outcome", value="refused"),)
        held = self._step_fact("dose", step, {"outcome": "held", "reason": "-"}) | {
            "reason": reason_words("A medicine that was not given")
        }
        reasons = tuple(
            self._button(
                f"Not given: {reason[0].lower()}{reason[1:]}",
                self._step_fact("dose", step, {"outcome": "held", "reason": reason}),
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
                    buttons=(self._button("It was not given", held, told=f"Not given: {step.title}"),),
                ),
            ),
        )

    def _reasons(self, what: str, fact_of: Any, *, step: str = "") -> tuple[Press, ...]:
        buttons = tuple(
            self._button(reason, fact_of({"reason": reason}), name="reason", value=reason) for reason in SKIP_REASONS
        )
        typed = fact_of({"reason": "-"}) | {"reason": reason_words("A step left out" if step else "A session left out")}
        return (
            Press(what=what, step=step, buttons=buttons),
            Press(
                what=what,
                step=step,
                field="reason_words",
                label="Something else",
                buttons=(self._button("Write this down", typed, told="Left out"),),
            ),
        )

    def _batch(self, batches: Batches, in_use: Batch) -> Screen:
        """Which batch the meal is fed from, and why not from this one."""

        def press(words: str, batch: str, reason: str = "", **more: Any) -> Press:
            form = {"batch": batch, "reason_words": reason}
            fact = session_payload("batch", session=self.session, form=form)
            if reason:
                fact |= {"reason": reason_words("A batch given all the same")}
            return Press(what="batch", sent=(("batch", batch),), buttons=(self._button(words, fact),), **more)

        presses = [press(f"From {one.name}", f"{one.made_on} {one.label}") for one in batches.to_choose]
        if self.made_on is not None:
            presses.append(press("From a new batch, made today", f"{self.made_on} Batch for {self.session[11:]}"))
        if self.may_overrule:
            presses.append(
                press(
                    "Give it all the same",
                    f"{in_use.made_on} {in_use.label}",
                    reason="-",
                    field="reason_words",
                    label="A lead's reason to give it",
                )
            )
        links = ((self.test_again, "Thin it, and test it again"),) if self.test_again else ()
        return Screen(name="batch", kind="batch", presses=tuple(presses), links=links)

    def _back(self) -> Screen:
        unknown = session_payload("back", session=self.session, form={"ml": NOT_KNOWN})
        typed = unknown | {"ml": ml("ml_typed", remedy=READ_AGAIN)}
        return Screen(
            name="back",
            kind="ask",
            title="How much came back?",
            presses=(
                Press(
                    what="back",
                    buttons=(self._button("I don't know how much", unknown, name="ml", value=NOT_KNOWN),),
                ),
                Press(
                    what="back",
                    field="ml_typed",
                    label="About how many mL",
                    is_number=True,
                    buttons=(self._button("Write this down", typed, told="Came back"),),
                ),
            ),
        )

    def _afterwards(self) -> Screen:
        """What is written down when nobody walked through the session; its facts are dated by the plan."""
        held = holds_of(self.steps)

        def facts(ml: str) -> Facts:
            return afterwards_payloads(
                session=self.session, doses=self.doses, held=held, meal_ml=self.meal_ml, form={"ml": ml}
            )

        dated = self.planned_at.isoformat()
        buttons = [self._button("I don't know how much", *facts(NOT_KNOWN), name="ml", value=NOT_KNOWN)]
        given = len(self.doses) - len(held)
        parts = [f"{given} medicine{'s' if given > 1 else ''}"] if given else []
        parts += [f"{self.meal_ml:g} mL"] if self.meal_ml else []
        if parts:
            words = f"All as planned: {' and '.join(parts)}"
            buttons.insert(0, self._button(words, *facts("planned"), name="ml", value="planned"))
        presses = [Press(what="afterwards", buttons=tuple(buttons), dated=dated)]
        if not self.doses:
            typed = [
                fact | {"total_ml": ml("ml_typed", remedy=READ_AGAIN)} if fact["kind"] == "meal_ended" else fact
                for fact in facts(NOT_KNOWN)
            ]
            button = self._button("Write this down", *typed, told="Written down afterwards")
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

    def _leave(self) -> Screen:
        presses = self._reasons("leave", lambda form: session_payload("leave", session=self.session, form=form))
        return Screen(name="leave", kind="ask", title="Why was it left out?", presses=presses)

    def _at(self, name: str) -> tuple[Press, ...]:
        clock = self.clock
        match name:
            case "is-no-entry":
                return (self._session_press("start", f"Start {clock}", is_big=True),)
            case "is-paused":
                return (self._session_press("resume", "Go on", is_big=True),)
            case "is-held":
                return (self._session_press("take", f"Take over {clock}", is_big=True),)
            case "is-behind":
                return (self._session_press("end", f"Nothing seen. End {clock}", is_big=True),)
            case "is-not-known":
                return (self._session_press("resume", "Go on with it", is_big=True),)
            case "is-stopped":
                return (
                    self._session_press("resume", "They said: go on with this session"),
                    self._session_press("end", "They said: leave the rest, the next one as planned"),
                )
        return ()


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


def start_press(session: str, *, clock: str) -> Press:
    """The start, as the first screen offers it; `clock` is when the session comes now."""
    fact = session_payload("start", session=session, form={})
    told = say_payload(read_payload(fact), names=Names())
    button = Button(words=f"Start {clock}", name="what", value="start", facts=json.dumps([fact]), told=told)
    return Press(what="start", buttons=(button,))


def given_button(fact: dict[str, Any], *, words: str, names: Names) -> Button:
    """The button of one fact that stands in no session."""
    told = say_payload(read_payload(fact), names=names)
    return Button(words=words, facts=json.dumps([fact], separators=(",", ":")), told=told)


def pause_press(session: str, *, names: Names) -> Press:
    """The pause, which every step has at its top."""
    fact = session_payload("pause", session=session, form={})
    told = say_payload(read_payload(fact), names=names)
    return Press(
        what="pause", buttons=(Button(words="Pause", name="what", value="pause", facts=json.dumps([fact]), told=told),)
    )


_GOES_ON = (Standing.NO_ENTRY, Standing.IN_HAND, Standing.PAUSED, Standing.STOPPED)
_THROUGH_TUBE = (StepKind.CHECK_MARK, StepKind.FLUSH, StepKind.FILL)


def uses_tube(steps: Sequence[Step]) -> bool:
    """Whether anything of this session goes through the tube."""
    return any(step.kind in _THROUGH_TUBE for step in steps)


def shown_screen(walk: Walk, *, is_mine: bool, is_locked: bool, is_batch_bad: bool, locked: Container[str] = ()) -> str:
    """The screen that fits what is recorded; `locked` are the medicines whose new bottle has another strength."""
    record: SessionRecord = walk.record
    if is_locked and uses_tube(walk.steps) and record.standing in _GOES_ON:
        return "is-locked"
    if record.standing is not Standing.IN_HAND:
        return f"is-{record.standing.value.replace(' ', '-')}"
    if not is_mine:
        return "is-held"
    if walk.current is None:
        return "is-behind"
    if is_batch_bad and walk.current.kind is StepKind.FILL:
        return "batch"
    return f"{'locked' if walk.current.medicine_id in locked else 'step'}-{walk.current.id}"
