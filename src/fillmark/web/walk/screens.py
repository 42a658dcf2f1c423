"""All the screens of one session, made at once: a phone keeps them, and shows the one that fits what is recorded.

Every button carries the facts it records, so that pressing it needs no signal. Where a person types a number or a
reason, the fact holds a place for it (web/entry_form.py).
"""

from collections.abc import Container, Iterator, Sequence

from fillmark.core.day.steps import Step, StepKind
from fillmark.core.record.sessions import SessionRecord, Standing
from fillmark.web.walk.buttons import Screen, SessionPlan
from fillmark.web.walk.open_dose_screens import open_dose_screens
from fillmark.web.walk.progress import Walk
from fillmark.web.walk.session_screens import (
    STANDING_SCREENS,
    afterwards_screen,
    back_screen,
    batch_screen,
    leave_screen,
    standing_presses,
)
from fillmark.web.walk.step_screens import locked_screen, otherwise_screens, step_screen

_GOES_ON = (Standing.NO_ENTRY, Standing.IN_HAND, Standing.PAUSED, Standing.STOPPED)
_THROUGH_TUBE = (StepKind.CHECK_MARK, StepKind.FLUSH, StepKind.FILL)


class Maker(SessionPlan):
    """Makes the screens of one session from its plan."""

    __slots__ = ()

    def screens(self) -> Iterator[Screen]:
        """Every screen that any state of the session may ask for."""
        for step in self.steps:
            if step.medicine_id not in self.locked:
                yield step_screen(self, step)
            if step.medicine_id is not None:
                yield locked_screen(self, step)
            yield from otherwise_screens(self, step)
            if step.medicine_id is not None and step.hold is None and step.medicine_id not in self.locked:
                yield from open_dose_screens(self, step)
        if self.batches is not None and self.batches.in_use is not None:
            yield batch_screen(self, self.batches, self.batches.in_use)
        yield back_screen(self)
        yield afterwards_screen(self)
        yield leave_screen(self)
        for name in STANDING_SCREENS:
            presses = standing_presses(self, name)
            detail = self.back_words if name == "is-paused" else ""
            found = self.finds.get(name, ())
            yield Screen(name=name, kind="standing", detail=detail, presses=presses, found=found)


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
