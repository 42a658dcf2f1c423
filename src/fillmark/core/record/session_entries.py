"""What is written in a session: its start, its steps, its meal and its end."""

from typing import Literal

from fillmark.core.record.fields import Count, Label, Ml, Number, SessionId, Unknown
from fillmark.core.values.document import Part, Words


class SessionStarted(Part):
    """Someone has taken the session in hand. It is a claim, not a giving.

    Attributes:
        reason: Why it is begun although something speaks against it.
    """

    kind: Literal["session_started"] = "session_started"
    session: SessionId
    reason: Words | None = None


class SessionTaken(Part):
    """The writer goes on with a session that someone else had in hand."""

    kind: Literal["session_taken"] = "session_taken"
    session: SessionId


class StepDone(Part):
    """One step of the walk is done."""

    kind: Literal["step_done"] = "step_done"
    session: SessionId
    step: Label


class StepSkipped(Part):
    """One step of the walk was left out, and why."""

    kind: Literal["step_skipped"] = "step_skipped"
    session: SessionId
    step: Label
    reason: Words


class FillGiven(Part):
    """One syringe-full of blend went in [mL].

    Attributes:
        reason: Why it was given although something speaks against it.
    """

    kind: Literal["fill_given"] = "fill_given"
    session: SessionId
    fill: Number
    ml: Ml
    reason: Words | None = None


class FlushGiven(Part):
    """Water went through the tube [mL]; `step` is the step of the walk it belongs to."""

    kind: Literal["flush_given"] = "flush_given"
    session: SessionId
    step: Label
    ml: Ml


class MealEnded(Part):
    """The meal is over, and this is what went in [mL].

    Attributes:
        fills: How many fills the total adds up; 0 when the meal is written down afterwards as one amount.
        reason: Why so much went in, where something speaks against it.
    """

    kind: Literal["meal_ended"] = "meal_ended"
    session: SessionId
    total_ml: Ml | Unknown
    fills: Count
    reason: Words | None = None


class CameBack(Part):
    """Some of it came back up [mL].

    Attributes:
        reason: Where it comes from, where it is more than is still in.
    """

    kind: Literal["came_back"] = "came_back"
    session: SessionId | None = None
    ml: Ml | Unknown
    reason: Words | None = None


class SessionPaused(Part):
    """The walk waits."""

    kind: Literal["session_paused"] = "session_paused"
    session: SessionId


class SessionResumed(Part):
    """The walk goes on."""

    kind: Literal["session_resumed"] = "session_resumed"
    session: SessionId


class SessionStopped(Part):
    """The walk was broken off, and why."""

    kind: Literal["session_stopped"] = "session_stopped"
    session: SessionId
    reason: Words


class SessionEnded(Part):
    """Every step of the walk is behind."""

    kind: Literal["session_ended"] = "session_ended"
    session: SessionId


class SessionSkipped(Part):
    """The whole session was left out, and why."""

    kind: Literal["session_skipped"] = "session_skipped"
    session: SessionId
    reason: Words
