"""What a phone keeps so that it works without a signal: facts for its own reckoning, and which pages to hold."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime, time, timedelta
from types import MappingProxyType
from typing import Any

from fillmark.core.bedside.next_session import NextAndLast
from fillmark.core.bedside.side import BatchFacts
from fillmark.core.chart.medicine_states import MedicineState
from fillmark.core.day.steps import Step
from fillmark.core.day.values import PlannedDose
from fillmark.core.doses.bottle_in_use import Bottle
from fillmark.core.doses.bottles import last_use
from fillmark.core.record.corrections import UNDOABLE_KINDS
from fillmark.core.record.day_entries import DayReplanned
from fillmark.core.record.entries import KeptEntry
from fillmark.core.record.locks import Lock
from fillmark.core.values.people import Capability, may
from fillmark.published.flow import FLOW_LEVEL_STARTS_ML
from fillmark.published.record_rules import (
    AHEAD_DAYS,
    CLOCK_AHEAD_MINUTES,
    FRESH_SECONDS,
    KEPT_DAYS,
    PHOTO_SIDE_PX,
    STAYS_NEXT_MINUTES,
    UNFINISHED_AFTER_MINUTES,
)
from fillmark.web.bedside import Bedside
from fillmark.web.bedside.day_line import planned_at, session_at
from fillmark.web.phone.act_facts import act_facts, drawn_facts, millis
from fillmark.web.walk.screens import uses_tube
from fillmark.web.words import Names, say_entry


def page_facts(bedside: Bedside) -> dict[str, Any]:
    """What every page tells the phone: who and what it is about, and the bounds the phone keeps to."""
    return {
        "me": str(bedside.caregiver.id),
        "myName": bedside.caregiver.name,
        "myRole": bedside.caregiver.role.value,
        "mayClear": may(bedside.caregiver, what=Capability.RECORD_ANYTHING, on=bedside.today),
        "animal": str(bedside.animal.id),
        "zone": bedside.home.time_zone,
        "dayStarts": f"{bedside.home.day_starts:%H:%M}",
        "seq": bedside.home.last_seq,
        "limits": {
            "unfinishedMinutes": UNFINISHED_AFTER_MINUTES.value,
            "staysNextMinutes": STAYS_NEXT_MINUTES.value,
            "clockMinutes": CLOCK_AHEAD_MINUTES.value,
            "freshSeconds": FRESH_SECONDS.value,
            "keptDays": KEPT_DAYS.value,
            "aheadDays": AHEAD_DAYS.value,
            "photoSidePx": PHOTO_SIDE_PX.value,
        },
    }


def medicine_facts(states: Iterable[MedicineState], *, time_zone: str) -> list[dict[str, Any]]:
    """What a page tells of each medicine: the plan's strength, and the bottle in use when the page was made."""
    return [
        {
            "id": one.medicine.id,
            "name": one.medicine.name,
            "form": one.medicine.form,
            "strength": one.medicine.strength,
            "whenNeeded": one.medicine.when_needed is not None,
            "bottle": one.bottle and _bottle(one.bottle, time_zone=time_zone),
        }
        for one in states
    ]


def _bottle(bottle: Bottle, *, time_zone: str) -> dict[str, Any]:
    until = last_use(bottle, time_zone=time_zone)
    return {
        "id": str(bottle.id),
        "at": millis(bottle.opened_at),
        "strength": bottle.strength,
        "byName": bottle.opened_by,
        "until": until and until.value.isoformat(),
    }


def gate_facts(bedside: Bedside, state: NextAndLast) -> dict[str, Any]:
    """What the gate of an act needs on a phone; only the pages on which something is done tell it."""
    stored = bedside.side.stored
    return {"acts": act_facts(stored.plan, state.ahead, today=bedside.today) if stored else None}


def lock_facts(lock: Lock | None) -> list[dict[str, Any]]:
    """The entries that lock feeding, as a page tells them."""
    return [{"id": str(one)} for one in lock.entry_ids] if lock else []


def form_facts(
    bedside: Bedside, *, medicines: Iterable[MedicineState] = (), lock: Lock | None = None
) -> dict[str, Any]:
    """What a page with a form tells: how medicines are called, their bottles, and the locks that hold."""
    return page_facts(bedside) | {
        "medicines": medicine_facts(medicines, time_zone=bedside.home.time_zone),
        "locks": lock_facts(lock),
    }


def phone_facts(
    bedside: Bedside,
    state: NextAndLast,
    *,
    lock: Lock | None = None,
    medicines: Iterable[MedicineState] = (),
    drawn: Mapping[str, PlannedDose] = MappingProxyType({}),
    here: str | None = None,
    steps: Sequence[Step] = (),
    meal_ml: float = 0.0,
    batches: BatchFacts | None = None,
) -> dict[str, Any]:
    """What a page at the animal's side tells besides, for the phone's own reckoning: the plan's times and steps."""
    return form_facts(bedside, medicines=medicines, lock=lock) | {
        "sessions": [
            {
                "key": one.key,
                # as planned: the phone itself sets the new times of today beside it
                "at": millis(planned_at(bedside, one.key)),
                "mealMl": one.meal_ml,
            }
            for one in state.ahead
        ],
        "days": [_day(bedside, offset) for offset in range(-1, int(AHEAD_DAYS.value) + 1)],
        "usesTube": uses_tube(steps),
        "planSince": millis(bedside.side.stored.effective_from) if bedside.side.stored else None,
        "here": here,
        "undoable": sorted(UNDOABLE_KINDS) if here else [],
        "newTime": _newest_word(bedside, here),
        # also where this phone has not heard of them yet
        "replanned": [entry_for_phone(kept, names=Names()) for kept in bedside.replanned],
        "hereAt": millis(session_at(bedside, here)) if here else None,
        "mealMl": meal_ml,
        "batches": batches_for_phone(batches, day_starts=bedside.home.day_starts) if batches else None,
        "steps": [
            {
                "id": step.id,
                "fill": step.fill_number,
                "ml": step.ml,
                "medicine": step.medicine_id,
                "seconds": step.minutes * 60 if step.minutes else None,
                "drawn": drawn_facts(drawn.get(step.medicine_id or "")),
            }
            for step in steps
        ],
    }


def _newest_word(bedside: Bedside, session: str | None) -> str | None:
    """The entry that gave a session its time of today; none where it comes as planned."""
    found = [
        str(kept.entry.id)
        for kept in bedside.replanned
        if isinstance(kept.entry.payload, DayReplanned)
        and any(one.session == session for one in kept.entry.payload.sessions)
    ]
    return found[-1] if found else None


def _day(bedside: Bedside, offset: int) -> dict[str, int]:
    """One of the household's days, from its start hour to the next, in this zone whatever its clocks do."""
    starts = [
        datetime.combine(bedside.today + timedelta(days=days), bedside.home.day_starts, tzinfo=bedside.zone)
        for days in (offset, offset + 1)
    ]
    return {"from": millis(starts[0]), "until": millis(starts[1])}


def batches_for_phone(facts: BatchFacts, *, day_starts: time) -> dict[str, Any]:
    """What a phone reads the batch in use from: the same entries, and the same bounds."""
    return {
        "entries": [entry_for_phone(one, names=Names()) for one in facts.entries],
        "levelStartsMl": [figure.value for figure in FLOW_LEVEL_STARTS_ML],
        "limitLevel": facts.limit_level,
        "keepsDays": facts.keeps_days,
        "dayStarts": f"{day_starts:%H:%M}",
    }


def entry_for_phone(kept: KeptEntry, *, names: Names) -> dict[str, Any]:
    """One entry of the record as a phone keeps it; `told` is its sentence."""
    entry = kept.entry
    return {
        "id": str(entry.id),
        "animal": str(entry.animal_id),
        "seq": kept.seq,
        "at": millis(entry.at),
        "day": kept.day.isoformat(),
        "session": entry.session,
        "payload": entry.payload.model_dump(mode="json", exclude_none=True),
        "corrects": str(entry.corrects) if entry.corrects else None,
        "by": str(kept.by),
        "byName": kept.by_name,
        "byRole": kept.by_role.value,
        "told": say_entry(kept, names=names),
    }
