"""The buttons of a session: what each says, and the facts it records."""

import json
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any

from fillmark.core.day.steps import Step
from fillmark.core.gates.act_gate import ActFinding
from fillmark.core.record.batches import Batches
from fillmark.core.record.entries import read_payload
from fillmark.web.walk.presses import SKIP_REASONS, reason_words, session_payload, step_payload
from fillmark.web.words import Names, say_payload

Facts = list[dict[str, Any]]


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
        when: The flags under which it is shown; empty for always.
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
    when: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Screen:
    """One screen of the session; its name is where a link to it points.

    Attributes:
        is_read_once: What it asks is asked once of each person on each day.
        last: When what it gives last went in, and when it may again; none where it gives nothing.
        found: What the gate says of what it is about to do.
        people: Who may have given a dose that was told of.
        times: When that may have been.
    """

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
    is_read_once: bool = False
    last: str = ""
    found: Sequence[ActFinding] = ()
    people: tuple[str, ...] = ()
    times: tuple[datetime, ...] = ()

    @property
    def template(self) -> str:
        return f"walk/{self.kind}.html"


@dataclass(frozen=True, kw_only=True, slots=True)
class SessionPlan:
    """What the screens of one session are made from, and the buttons that they share.

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
        weigh_href: Where a weight is written down; empty for who may not.
        lasts: By medicine, and by "meal", when it last went in and when it may again.
        too_much: Why its meal is not offered: it is more than the vet's most, and the vet has said nothing; else empty.
        back_words: What the vet said about food that comes back up; empty where nothing is stated.
        finds: What the gate says, by the screen that is about to do it.
        people: What the household calls its people.
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
    weigh_href: str = ""
    lasts: Mapping[str, str] = field(default_factory=dict)
    too_much: str = ""
    back_words: str = ""
    finds: Mapping[str, Sequence[ActFinding]] = field(default_factory=dict)
    people: tuple[str, ...] = ()

    def button(self, words: str, *facts: dict[str, Any], **more: Any) -> Button:
        told = "; ".join(self._told(fact) for fact in facts)
        return Button(words=words, facts=json.dumps(facts, separators=(",", ":")), **{"told": told, **more})

    def _told(self, fact: dict[str, Any]) -> str:
        if any(isinstance(value, dict) for value in fact.values()):
            return ""  # what is typed is told by the phone
        return say_payload(read_payload(fact), names=self.names)

    def session_press(self, what: str, words: str, **more: Any) -> Press:
        fact = session_payload(what, session=self.session, form=more.pop("form", {}))
        return Press(what=what, buttons=(self.button(words, fact, name="what", value=what, **more),))

    def asked_press(
        self,
        what: str,
        fact: dict[str, Any],
        *rest: dict[str, Any],
        words: str,
        told: str,
        step: str = "",
        when: str = "asked !vet",
    ) -> Press:
        """The same press where the gate asks: with a typed reason."""
        typed = fact | {"reason": reason_words("What something speaks against", field="why")}
        return Press(
            what=what,
            step=step,
            field="why",
            label="Why is it given all the same?",
            buttons=(self.button(words, typed, *rest, told=told, name="what", value=what),),
            when=when,
        )

    def step_fact(self, what: str, step: Step, form: Mapping[str, str]) -> dict[str, Any]:
        dose = self.doses.get(step.medicine_id or "", {})
        return step_payload(what, step=step, session=self.session, dose=dose, form=form)

    def held_press(self, step: Step, words: str, reason: str) -> Press:
        """The press that says that a dose was held, and why."""
        fact = self.step_fact("dose", step, {"outcome": "held", "reason": reason})
        button = self.button(words, fact, name="outcome", value="held", is_big=True)
        return Press(what="dose", step=step.id, buttons=(button,), sent=(("reason", fact["reason"]),))

    def reason_presses(self, what: str, fact_of: Any, *, step: str = "") -> tuple[Press, ...]:
        buttons = tuple(
            self.button(reason, fact_of({"reason": reason}), name="reason", value=reason) for reason in SKIP_REASONS
        )
        typed = fact_of({"reason": "-"}) | {"reason": reason_words("A step left out" if step else "A session left out")}
        return (
            Press(what=what, step=step, buttons=buttons),
            Press(
                what=what,
                step=step,
                field="reason_words",
                label="Something else",
                buttons=(self.button("Write this down", typed, told="Left out"),),
            ),
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
