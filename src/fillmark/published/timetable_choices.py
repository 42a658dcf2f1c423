"""The day's timetable: what is used where the vet's order leaves a time open. Each is said beside the day it made."""

from fillmark.published.figure import Figure
from fillmark.published.sources import COMMON_PRACTICE, OWN_CHOICE

MEAL_GAP_FRACTION = Figure(
    id="timetable.meal_gap",
    value=0.5,
    unit="of an even distance between meals",
    source=OWN_CHOICE,
    place="so that no two meals run into one; a closer distance that is kept today stays possible",
    says="Without the vet's word, two meals come no closer than half of an even distance.",
)
DOSE_GAP_FRACTION = Figure(
    id="timetable.dose_gap",
    value=0.75,
    unit="of an even distance between doses",
    source=OWN_CHOICE,
    place="for orders of so many times a day; a closer distance that is kept today stays possible",
    says="Without the vet's word, doses ordered so many times a day come no closer than three quarters of an even "
    "distance.",
)
BEFORE_MEAL_REACH_MINUTES = Figure(
    id="timetable.before_meal_reach",
    value=60,
    unit="minutes",
    source=OWN_CHOICE,
    place="beyond the time that the vet named before food",
    says="A dose before food counts as before that meal up to an hour beyond the time the vet named.",
)
AFTER_MEAL_EMPTY_MINUTES = Figure(
    id="timetable.after_meal_empty",
    value=120,
    unit="minutes",
    source=COMMON_PRACTICE,
    place="an empty stomach, where the order does not say how long after food",
    says="People who do this count the stomach as empty two hours after food.",
)
