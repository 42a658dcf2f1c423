"""Bounds of the record: when silence becomes "not known", and when a clock cannot be believed."""

from fillmark.published.figure import Band, Figure
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
CLOCK_BEHIND_REFUSED_DAYS = Figure(
    id="record.clock_behind_refused_days",
    value=731,
    unit="days",
    source=OWN_CHOICE,
    place="two years; a device whose clock was reset starts in a year long past",
    says="A new entry dated further back than this was dated by a clock that lost its date.",
)
YEAR_LIMITS = Band(
    id="record.years",
    low=1990,
    high=2100,
    unit="years",
    source=OWN_CHOICE,
    place="the life of the oldest cat, to longer than anything that is kept",
    says="A day outside these years is a slip of the pen, or of a clock.",
)
LABEL_DAY_YEARS = Figure(
    id="record.label_day_years",
    value=10,
    unit="years",
    source=OWN_CHOICE,
    place="twice as long as medicines are sold with",
    says="A day on a label further away than this was copied wrongly.",
)
MADE_DAYS = Figure(
    id="record.made_days",
    value=366,
    unit="days",
    source=OWN_CHOICE,
    place="longer than a freezer keeps a batch",
    says="A batch is not older than this, and none was made in days to come.",
)
SHEET_DAYS = Figure(
    id="record.sheet_days",
    value=366,
    unit="days",
    source=OWN_CHOICE,
    place="a year before and after the day it is printed",
    says="A printed sheet shows days no further away than this.",
)
PASS_DAYS = Figure(
    id="household.pass_days",
    value=366,
    unit="days",
    source=OWN_CHOICE,
    place="a year away from home",
    says="A sitter's pass holds no longer than this, and begins no further away.",
)
MOST_TIMES_THE_ORDER = Figure(
    id="record.most_times_the_order",
    value=10,
    unit="times",
    source=OWN_CHOICE,
    place="a slip of the point is ten times; of mg and g a thousand",
    says="A dose pressed now that is more than this many times the order is sent back.",
)
MEAL_TIMES_THE_PLAN = Figure(
    id="record.meal_times_the_plan",
    value=1.1,
    unit="times",
    source=OWN_CHOICE,
    place="a line read a little off is no more than a tenth of a meal; a second meal, or a slip of the point, is",
    says="A meal written down as one amount that is more than this many times the planned one is asked about.",
)
SET_ASIDE_BYTES = Figure(
    id="record.set_aside_bytes",
    value=64_000,
    unit="bytes",
    source=OWN_CHOICE,
    place="ten times the longest entry",
    says="What is longer is not set aside; it stays on the phone.",
)
SET_ASIDE_WAITING = Figure(
    id="record.set_aside_waiting",
    value=1000,
    unit="entries",
    source=OWN_CHOICE,
    place="more than two weeks of one phone without a signal",
    says="While so many wait for a lead, nothing more is set aside; it stays on the phone.",
)
SAME_MEAL_ML = Figure(
    id="record.same_meal_ml",
    value=1,
    unit="mL",
    source=OWN_CHOICE,
    place="the lines of a large syringe",
    says="A meal within this of what a version of the plan has was given by that version.",
)
LATE_SENDING_DAYS = Figure(
    id="record.late_sending_days",
    value=3,
    unit="days",
    source=OWN_CHOICE,
    place="as long as a phone works without a signal",
    says="What a sitter wrote within their dates is still taken this long after the last of them.",
)
PHOTO_LIMIT_MB = Figure(
    id="record.photo_limit",
    value=20,
    unit="MB",
    source=OWN_CHOICE,
    place="more than a phone's camera makes",
    says="A larger file is sent back.",
)
PHOTO_LIMIT_MEGAPIXELS = Figure(
    id="record.photo_pixels",
    value=60,
    unit="megapixels",
    source=OWN_CHOICE,
    place="more than a phone's camera makes; a small file can hold a picture that fills the memory",
    says="A larger picture is sent back before it is opened.",
)
PHOTO_SIDE_PX = Figure(
    id="record.photo_side",
    value=1600,
    unit="pixels",
    source=OWN_CHOICE,
    place="enough to see the edge of a stoma on a vet's screen",
    says="A photo is kept with its longer side no longer than this.",
)
PHOTO_SMALL_SIDE_PX = Figure(
    id="record.photo_small_side",
    value=160,
    unit="pixels",
    source=OWN_CHOICE,
    place="an emblem of 48 points on a sharp screen",
    says="Beside it a small one is kept for lists and emblems.",
)
STAYS_NEXT_MINUTES = Figure(
    id="record.stays_next_minutes",
    value=120,
    unit="minutes",
    source=OWN_CHOICE,
    place="a meal or dose later than this is a question for the plan's missed-dose words, not a button",
    says="A session that nobody recorded is offered as next for this long after its time, or until the one after it.",
)
SECOND_CHECK_MINUTES = Figure(
    id="record.second_check_minutes",
    value=60,
    unit="minutes",
    source=OWN_CHOICE,
    place="a syringe that is drawn up longer than this is drawn up anew",
    says="A second reading that names no session belongs to a dose given within this time of it.",
)
AHEAD_DAYS = Figure(
    id="record.ahead_days",
    value=3,
    unit="days",
    source=OWN_CHOICE,
    place="a long weekend without a signal",
    says="A phone keeps the sessions of this many days to come, and can walk through them without a signal.",
)
KEPT_DAYS = Figure(
    id="record.kept_days",
    value=7,
    unit="days",
    source=OWN_CHOICE,
    place="a week, as the weekly chart shows it",
    says="A phone keeps this many days of the record behind it.",
)
FRESH_SECONDS = Figure(
    id="record.fresh_seconds",
    value=10,
    unit="seconds",
    source=OWN_CHOICE,
    place="as long as a person waits with the phone in hand",
    says="A press sent within this time can still be answered with a question; later it is kept as a fact.",
)
BACKUP_AFTER_DAYS = Figure(
    id="record.backup_after_days",
    value=7,
    unit="days",
    source=OWN_CHOICE,
    place="a week's record can still be asked back from memory and paper",
    says="A lead is reminded on the first screen when no archive was made for longer than this.",
)
