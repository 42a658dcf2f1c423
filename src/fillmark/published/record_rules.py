"""Bounds of the record: when silence becomes "not known", and when a clock cannot be believed."""

from fillmark.published.figure import Figure
from fillmark.published.sources import OWN_CHOICE

UNFINISHED_AFTER_MINUTES = Figure(
    id="record.unfinished_after_minutes",
    value=120,
    unit="minutes",
    source=OWN_CHOICE,
    place="longer than a slow meal with its upright time",
    says="A session with nothing new for this long, and no end, is shown as not known; never as given.",
)
CLOCK_AHEAD_MINUTES = Figure(
    id="record.clock_ahead_minutes",
    value=5,
    unit="minutes",
    source=OWN_CHOICE,
    place="more than phones on a network drift",
    says="An entry dated further ahead than this is kept, and the person is asked about the clock.",
)
CLOCK_AHEAD_REFUSED_HOURS = Figure(
    id="record.clock_ahead_refused_hours",
    value=24,
    unit="hours",
    source=OWN_CHOICE,
    place="a wrong date, not a wrong minute",
    says="An entry dated further ahead than this is sent back to the phone until its clock is set.",
)
LATE_SENDING_DAYS = Figure(
    id="record.late_sending_days",
    value=3,
    unit="days",
    source=OWN_CHOICE,
    place="as long as a phone works without a signal",
    says="What a sitter wrote within their dates is still taken this long after the last of them.",
)
STAYS_NEXT_MINUTES = Figure(
    id="record.stays_next_minutes",
    value=120,
    unit="minutes",
    source=OWN_CHOICE,
    place="a meal or dose later than this is a question for the plan's missed-dose words, not a button",
    says="A session that nobody recorded is offered as next for this long after its time, or until the one after it.",
)
