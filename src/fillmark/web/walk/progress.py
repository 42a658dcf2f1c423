"""Where a walk stands: its steps beside what the record holds. Nothing else is remembered, so any phone can go on."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from fillmark.core.ledger import SessionRecord, Standing
from fillmark.core.walk import Step, StepKind


@dataclass(frozen=True, kw_only=True, slots=True)
class Walk:
    """The steps of one session, and which of them are behind."""

    steps: Sequence[Step]
    record: SessionRecord

    def is_behind(self, step: Step) -> bool:
        """Whether the record says what became of this step."""
        if step.id in self.record.steps_skipped or step.id in self.record.steps_done:
            return True
        if step.kind is StepKind.FILL:
            return any(fill.number == step.fill_number for fill in self.record.fills)
        if step.kind is StepKind.MEDICINE:
            return any(dose.medicine == step.medicine_id for dose in self.record.doses)
        return False

    @property
    def current(self) -> Step | None:
        """The first step that nobody has recorded; none when all are behind."""
        return next((step for step in self.steps if not self.is_behind(step)), None)

    @property
    def place(self) -> int:
        """The current step's place, the first being 1."""
        return next((at for at, step in enumerate(self.steps, 1) if not self.is_behind(step)), len(self.steps))

    @property
    def may_go_on(self) -> bool:
        """Whether a step can be pressed: the session is in hand and not paused, stopped or over."""
        return self.record.standing is Standing.IN_HAND

    def find(self, step_id: str) -> Step | None:
        return next((step for step in self.steps if step.id == step_id), None)

    def seconds_left(self, step: Step, *, now: datetime) -> float | None:
        """What is left of this fill's or wait's time [seconds], counted from the last entry of the session."""
        if not step.minutes or self.record.last_at is None:
            return None
        return max(0.0, step.minutes * 60 - (now - self.record.last_at).total_seconds())
