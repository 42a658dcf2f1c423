"""The answers to an entry that this machine, and not its writer, keeps from the record: it waits on its device."""

from datetime import timedelta

from fillmark.core.bedside.side import Side
from fillmark.core.values.errors import NotRead
from fillmark.published.record_rules import CLOCK_AHEAD_MINUTES
from fillmark.records import written


def not_read() -> NotRead:
    """The answer to an entry that a fault of ours keeps from being read."""
    return NotRead(
        field="entry",
        got="An entry that could not be read here, by a fault of ours",
        allowed="the same entry, once the fault is mended",
        remedy="It waits on its device and is sent again by itself. Nothing of it is lost.",
    )


def clock_was_set_back(side: Side) -> NotRead | None:
    """Why a clock is blamed wrongly: the record was last written later than this machine says it is now."""
    last = written.last_recorded_at(household_id=side.home.id)
    if last is None or last - side.now < timedelta(minutes=CLOCK_AHEAD_MINUTES.value):
        return None
    return NotRead(
        field="at",
        got="An entry that was pressed later than the clock of this household's machine says it is",
        allowed="the same entry, once that clock is right: it was set back",
        remedy="Set the machine's clock. The entry waits on its device and is sent again by itself.",
    )
