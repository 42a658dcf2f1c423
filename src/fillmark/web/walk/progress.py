"""Where a walk stands: its steps beside what the record holds. Nothing else is remembered, so any phone can go on."""

from collections.abc import Sequence
from dataclasses import dataclass

from fillmark.core.day.steps import Step, StepKind
from fillmark.core.record.sessions import SessionRecord


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

    def find(self, step_id: str) -> Step | None:
        return next((step for step in self.steps if step.id == step_id), None)
