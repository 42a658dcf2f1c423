"""The phone reckons as the record does: the same histories, read by both, give the same answers."""

import random
from dataclasses import replace
from datetime import UTC, datetime, time, timedelta
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from fillmark.core.bedside.next_session import local_key, next_place, no_entry
from fillmark.core.bedside.side import BatchFacts
from fillmark.core.record.amounts import Amount
from fillmark.core.record.care_entries import BatchChosen, FeedingLocked, FlowTested, Note
from fillmark.core.record.day_entries import BothGiven, DayReplanned, ReplannedSession, Withdrawn
from fillmark.core.record.entries import KeptEntry, household_day, make_entry_id
from fillmark.core.record.fields import NOT_KNOWN
from fillmark.core.record.medicine_entries import MedicineGiven, Outcome
from fillmark.core.record.outcomes import count_doses, read_ended
from fillmark.core.record.session_entries import (
    CameBack,
    FillGiven,
    FlushGiven,
    MealEnded,
    SessionEnded,
    SessionPaused,
    SessionResumed,
    SessionSkipped,
    SessionStarted,
    SessionStopped,
    SessionTaken,
    StepDone,
    StepSkipped,
)
from fillmark.core.record.sessions import SessionRecord, read_session
from fillmark.core.today.replanned import newest_times
from fillmark.core.values.people import Role
from fillmark.web.phone.act_facts import millis
from fillmark.web.phone.facts import batches_for_phone, entry_for_phone
from fillmark.web.words import Names, say_became, say_session
from tests.journeys.conftest import Phone
from tests.support.builders import NOOR, ROLES, SAM, an_entry

ZONE = ZoneInfo("Europe/Dublin")
FIRST = datetime(2026, 10, 24, 6, tzinfo=UTC)
"""The day before Irish clocks go back: one of the days below has 25 hours."""
CLOCKS = ("07:00", "11:30", "20:00")
SESSIONS = [f"2026-10-{day}T{clock}" for day in (24, 25, 26) for clock in CLOCKS]
LIMITS = {"unfinishedMinutes": 120, "staysNextMinutes": 120}


def a_payload(chance: random.Random, session: str, ids: list[Any]) -> Any:
    """Something that people press in a session, more often what is common."""
    ml = chance.choice([10.0, 20.0, 60.0, 60.0, 47.5])
    ways = [
        SessionStarted(session=session),
        SessionTaken(session=session),
        StepDone(session=session, step=chance.choice(["wash", "check-mark"])),
        StepSkipped(session=session, step="upright", reason="Asleep"),
        *[FillGiven(session=session, fill=chance.randint(1, 4), ml=ml)] * 3,
        FlushGiven(session=session, step=chance.choice(["flush-before", "flush-after"]), ml=ml),
        *[
            MedicineGiven(
                session=session,
                medicine=chance.choice(["omeprazole", "metoclopramide"]),
                dose_mg=Decimal(12),
                outcome=chance.choice([Outcome.GIVEN, Outcome.SPILLED, Outcome.NOT_KNOWN]),
            )
        ]
        * 2,
        MedicineGiven(
            session=session, medicine="omeprazole", dose_mg=Decimal(12), outcome=Outcome.HELD, reason="Vomiting"
        ),
        MealEnded(session=session, total_ml=chance.choice([ml, 187.0, NOT_KNOWN]), fills=chance.choice([0, 0, 3])),
        CameBack(session=session, ml=chance.choice([ml, NOT_KNOWN])),
        SessionPaused(session=session),
        SessionResumed(session=session),
        SessionStopped(session=session, reason="Coughed"),
        FeedingLocked(
            session=session, trouble=chance.choice(["cough", "vomiting"]), words=chance.choice([None, "at fill 2"])
        ),
        SessionEnded(session=session),
        SessionSkipped(session=session, reason="The vet said so"),
        Note(text="Calm"),
        DayReplanned(
            sessions=tuple(
                ReplannedSession(
                    session=moved,
                    at=datetime.fromisoformat(moved).replace(tzinfo=ZONE) + timedelta(minutes=chance.randint(-90, 300)),
                    meal_ml=chance.choice([None, ml]),
                )
                for moved in chance.sample(SESSIONS, chance.choice([1, 2]))
            ),
            reason="Nobody there",
        ),
    ]
    if len(ids) > 1:
        ways.append(BothGiven(session=session, entries=tuple(chance.sample(ids, min(len(ids), chance.choice([2, 3]))))))
    return chance.choice(ways)


def a_history(chance: random.Random) -> list[KeptEntry]:
    """Some sessions as two people may have pressed them, in no order, with corrections and withdrawals."""
    kept: list[KeptEntry] = []
    for session in chance.sample(SESSIONS, chance.choice([1, 2, 2, 3])):
        planned = datetime.fromisoformat(session).replace(tzinfo=ZONE).astimezone(UTC)
        at = planned + timedelta(minutes=chance.randint(-20, 90))
        for _ in range(chance.randint(1, 12)):
            at += timedelta(seconds=chance.choice([5, 40, 200, 7500]))
            corrects = chance.choice(kept).entry.id if kept and chance.random() < 0.15 else None
            ids = [one.entry.id for one in kept if one.entry.session == session]
            payload = (
                Withdrawn(reason="Not so") if corrects and chance.random() < 0.5 else a_payload(chance, session, ids)
            )
            entry = an_entry(payload, at=at, id=make_entry_id(at=at, chance=chance.randbytes(10)), corrects=corrects)
            by, by_name = chance.choice([(NOOR, "Noor"), (SAM, "Sam")])
            kept.append(
                KeptEntry(
                    entry=entry,
                    seq=len(kept) + 1,
                    day=at.date(),
                    by=by,
                    by_name=by_name,
                    by_role=ROLES[by_name],
                    recorded_at=at,
                )
            )
    chance.shuffle(kept)
    return kept


def an_amount(amount: Amount | None) -> dict[str, float] | None:
    return None if amount is None else {"low": amount.low_ml, "high": amount.high_ml}


def as_the_phone_says_it(record: SessionRecord) -> dict[str, Any]:
    return {
        "standing": record.standing.value,
        "heldBy": str(record.held_by) if record.held_by else None,
        "blend": an_amount(record.blend),
        "flush": an_amount(record.flush),
        "back": an_amount(record.back),
        "fills": [fill.number for fill in record.fills],
        "doses": [[dose.medicine, dose.outcome.value, dose.times] for dose in record.doses],
        "stepsDone": sorted(record.steps_done),
        "stepsSkipped": sorted(record.steps_skipped),
        "clashes": [clash.what for clash in record.clashes],
        "became": read_ended(record).value,
        "told": [say_became(became, count) for became, count in count_doses(record).items()],
        "said": say_session(record, planned_ml=187.0, zone=ZONE),
    }


READ_THEM = """
async (cases) => {
  const read = await import("/static/phone/record.js");
  return cases.map(({ entries, now, facts }) => {
    const counted = read.counting(entries);
    const { next, last } = read.nextAndLast(facts, entries, now);
    const records = facts.sessions.map(({ key }) => {
      const one = read.readSession(key, counted, now, facts.limits);
      return { standing: one.standing, heldBy: one.heldBy ?? null, blend: one.blend, flush: one.flush, back: one.back,
        fills: one.fills.map((fill) => fill.number),
        doses: one.doses.map((dose) => [dose.medicine, dose.outcome, dose.times]),
        stepsDone: [...one.stepsDone].sort(), stepsSkipped: [...one.stepsSkipped].sort(),
        clashes: one.clashes.map((clash) => clash.what), became: read.readEnded(one), told: read.sayDoses(one),
        said: read.saySession(one, 187, facts.zone) };
    });
    return { next: next?.key ?? null, last: last?.key ?? null, records };
  });
}
"""


@pytest.mark.hazard("H27")
@pytest.mark.parametrize(
    "many", [300, pytest.param(5000, marks=pytest.mark.long)], ids=["300 histories", "5,000 histories"]
)
def test_the_phone_reads_every_history_as_the_record_does(phone: Phone, transactional_db: None, many: int) -> None:
    """Standing, amounts, doses, questions, words, and which session is next: the same to the last letter."""
    chance = random.Random(20261025)
    cases, expected = [], []
    for _ in range(many):
        entries = a_history(chance)
        now = FIRST + timedelta(minutes=chance.randint(0, 3 * 24 * 60))
        times = {key: local_key(word.at.astimezone(ZONE)) for key, word in newest_times(entries).items()}
        keys = sorted(
            {*SESSIONS, *(one.entry.session for one in entries if one.entry.session)},
            key=lambda key: (times.get(key, key), key),
        )
        records = [read_session(session=key, entries=entries, now=now) for key in keys]
        assert all(one == no_entry(one.session) for one in records if one.started_at is None)
        place = next_place(records, now.astimezone(ZONE), times=times)
        before = records[:place] if place is not None else records
        sessions = [{"key": key, "at": 0, "mealMl": 187} for key in keys]
        cases.append(
            {
                "entries": [entry_for_phone(one, names=Names()) for one in entries],
                "now": millis(now),
                "facts": {"sessions": sessions, "zone": str(ZONE), "limits": LIMITS},
            }
        )
        expected.append(
            {
                "next": records[place].session if place is not None else None,
                "last": before[-1].session if before else None,
                "records": [as_the_phone_says_it(one) for one in records],
            }
        )
    page = phone()
    page.goto("/sign-in/")

    answers = page.evaluate(READ_THEM, cases)
    for case, answer, wanted in zip(cases, answers, expected, strict=True):
        assert answer == wanted, case


READ_BATCHES = """
async (cases) => {
  const read = await import("/static/phone/batches.js");
  return cases.map(({ facts, entries, now }) => {
    const batch = read.batchInUse(facts, entries, now);
    return batch && { name: read.sayBatch(batch), faults: batch.faults };
  });
}
"""


def a_batch_history(chance: random.Random) -> list[KeptEntry]:
    """Tests and choices of a few jars over some days, also taken back, and around the start hour of the day."""
    kept: list[KeptEntry] = []
    at = FIRST
    for _ in range(chance.randint(0, 8)):
        at += timedelta(minutes=chance.choice([3, 50, 600, 1500]))
        local = at.astimezone(ZONE)
        day = household_day(at=at, time_zone=str(ZONE), day_starts=time(4))
        jar, made_on = chance.choice([None, "Jar 7", "Jar 8"]), day - timedelta(days=chance.choice([0, 0, 1, 3]))
        session = f"{local:%Y-%m-%dT%H:%M}"
        payload: Any = FlowTested(
            foods=("stew",),
            food_g=820.0,
            water_ml=160.0,
            left_ml=(left := chance.choice([0.5, 0.95, 1.0, 4.0, 8.0, 8.1, 10.0])),
            has_flowed=left < 10,
            sieved=False,
            frozen=False,
            batch=jar,
            made_on=chance.choice([None, made_on]),
        )
        if chance.random() < 0.4:
            reason = chance.choice([None, "The vet allowed it."])
            payload = BatchChosen(session=session, batch=jar, made_on=made_on, reason=reason)
        corrects = chance.choice(kept).entry.id if kept and chance.random() < 0.15 else None
        if corrects and chance.random() < 0.7:
            payload = Withdrawn(reason="Not so")
        entry = an_entry(payload, at=at, id=make_entry_id(at=at, chance=chance.randbytes(10)), corrects=corrects)
        kept.append(
            KeptEntry(
                entry=entry, seq=len(kept) + 1, day=day, by=NOOR, by_name="Noor", by_role=Role.LEAD, recorded_at=at
            )
        )
    chance.shuffle(kept)
    return kept


@pytest.mark.hazard("H9")
@pytest.mark.hazard("H15")
def test_the_phone_names_the_batch_in_use_and_its_faults_as_the_record_does(
    phone: Phone, transactional_db: None
) -> None:
    """Some entries came with the page, the others are on the phone: the same batch, with the same faults."""
    chance = random.Random(20261127)
    cases, expected = [], []
    for _ in range(400):
        entries, now = a_batch_history(chance), FIRST + timedelta(minutes=chance.randint(0, 9 * 24 * 60))
        found = BatchFacts(
            entries=tuple(entries),
            limit_level=chance.choice([None, 0, 1, 2, 3]),
            keeps_days=chance.choice([None, 1, 2, 3]),
            today=household_day(at=now, time_zone=str(ZONE), day_starts=time(4)),
        )
        cut = chance.randint(0, len(entries))
        with_page = replace(found, entries=tuple(entries[:cut]))
        cases.append(
            {
                "facts": {"zone": str(ZONE), "batches": batches_for_phone(with_page, day_starts=time(4))},
                "entries": [entry_for_phone(one, names=Names()) for one in entries[cut:]],
                "now": millis(now),
            }
        )
        batches = found.read()
        expected.append(
            batches.in_use and {"name": batches.in_use.name, "faults": [fault.value for fault in batches.faults]}
        )
    page = phone()
    page.goto("/sign-in/")

    assert any(one and one["faults"] for one in expected)
    for case, answer, wanted in zip(cases, page.evaluate(READ_BATCHES, cases), expected, strict=True):
        assert answer == wanted, case
