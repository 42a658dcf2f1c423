"""A household under one plan, as the gate of an act reads it: on the server, and on a phone without a signal."""

import json
import random
import shutil
import subprocess
from datetime import UTC, date, datetime, time, timedelta
from functools import lru_cache
from pathlib import Path
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from fillmark.core.bedside.side import SOME_DAYS_KINDS, Side
from fillmark.core.bedside.versions import Home, StoredPlan
from fillmark.core.chart.medicine_states import read_medicines
from fillmark.core.day.values import PlannedSession
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.reading import write_plan
from fillmark.core.record.entries import KeptEntry, entry_day, make_entry_id
from fillmark.core.values.people import Caregiver, Role
from fillmark.web.phone.act_facts import act_facts, millis
from fillmark.web.phone.facts import batches_for_phone, entry_for_phone, medicine_facts
from fillmark.web.words import Names
from tests.support.builders import JUNIPER, NOOR, ROLES, SAM, an_entry

ZONE = ZoneInfo("Europe/Dublin")
TODAY = date(2026, 11, 25)
HOME = Home(id=UUID(int=1), name="Quarry Lane", time_zone=str(ZONE), day_starts=time(4), last_seq=0)
LIMITS = {"unfinishedMinutes": 120, "staysNextMinutes": 120}
PEOPLE = {NOOR: "Noor", SAM: "Sam"}
DAYS = tuple(TODAY + timedelta(days=offset) for offset in (-1, 0, 1, 2))
CASES = Path(__file__).parent.parent / "scripts" / "gate_cases.mjs"


@lru_cache(maxsize=500)
def _stored(document: str) -> StoredPlan:
    long_ago = datetime(2026, 11, 10, tzinfo=UTC)
    return StoredPlan(
        id=UUID(int=2),
        household_id=HOME.id,
        animal_id=JUNIPER,
        number=1,
        document=document,
        effective_from=long_ago,
        confirmed_by=NOOR,
        vet_words="",
        vet_said_on=TODAY,
        recorded_at=long_ago,
    )


class Gated:
    """What was written under one plan, up to now.

    Attributes:
        kept: The record, as it was written.
    """

    def __init__(self, plan: CarePlan, *, now: datetime, chance: random.Random) -> None:
        self.plan, self.now, self.chance = plan, now, chance
        self.stored = _stored(write_plan(plan))
        self.kept: list[KeptEntry] = []

    @property
    def side(self) -> Side:
        """The animal's side, with Noor at it."""
        today = HOME.day_of(self.now)
        return Side(
            person=Caregiver(id=NOOR, household_id=HOME.id, name="Noor", role=Role.LEAD),
            home=HOME,
            animal_id=JUNIPER,
            now=self.now,
            versions=(self.stored,),
            medicines=frozenset(one.id for one in self.plan.medicines),
            kept={one.entry.id: one for one in self.kept},
            whole_since=today - timedelta(days=1),
            whole_days=frozenset(DAYS),
            kinds_since=today - timedelta(days=30),
            kinds=frozenset(SOME_DAYS_KINDS),
            has_rare=True,
            standing=frozenset(one.entry.id for one in self.kept),
        )

    @property
    def sessions(self) -> list[PlannedSession]:
        """Those of the days around, in order."""
        return [session for day in DAYS for session in self.stored.day(day).sessions]

    def write(self, payload: Any, at: datetime, *, by: UUID | None = None, corrects: UUID | None = None) -> None:
        """One more entry, by whoever it is; mostly Noor."""
        by = by or self.chance.choice([NOOR, NOOR, SAM])
        entry_id = make_entry_id(at=at, chance=self.chance.randbytes(10))
        entry = an_entry(payload, at=at, id=entry_id, corrects=corrects)
        day = entry_day(entry, time_zone=str(ZONE), day_starts=HOME.day_starts)
        kept = KeptEntry(
            entry=entry,
            seq=len(self.kept) + 1,
            day=day,
            by=by,
            by_name=PEOPLE[by],
            by_role=ROLES[PEOPLE[by]],
            recorded_at=at,
        )
        self.kept.append(kept)

    def facts(self) -> dict[str, Any]:
        """The table, as a page tells it; the bottles and batches are all on the phone."""
        side = self.side
        doses = side.doses(at=self.now)
        assert doses is not None
        states = read_medicines(doses.plan, orders=doses.orders, entries=(), now=self.now)
        facts = side.batch_facts
        return {
            "zone": str(ZONE),
            "dayStarts": "04:00",
            "limits": LIMITS,
            "medicines": medicine_facts(states, time_zone=str(ZONE)),
            "locks": [],
            "sessions": [{"key": one.key, "at": millis(one.at), "mealMl": one.meal_ml} for one in self.sessions],
            "batches": {**batches_for_phone(facts, day_starts=HOME.day_starts), "entries": []},
            "acts": json.loads(json.dumps(act_facts(doses.plan, self.sessions, today=TODAY))),
        }

    def case(self, act: Any) -> dict[str, Any]:
        """What a phone holds when Noor is about to do something, and what that is."""
        return {
            "entries": [entry_for_phone(one, names=Names()) for one in self.kept],
            "act": act.model_dump(mode="json", exclude_none=True),
            "at": millis(self.now),
            "by": str(NOOR),
            "session": act.session,
            "since": (HOME.day_of(self.now) - timedelta(days=1)).isoformat(),
        }


def ask_the_phone(scripts: Path, tmp_path: Path, *, facts: dict[str, Any], cases: list[dict[str, Any]]) -> list[Any]:
    """What the phone's gate answers in each case; `which` of a case names its facts."""
    (tmp_path / "cases.json").write_text(json.dumps({"facts": facts, "cases": cases}))
    shutil.copy(CASES, scripts)
    ran = subprocess.run(
        ["node", CASES.name, tmp_path / "cases.json", tmp_path / "answers.json"],
        cwd=scripts,
        capture_output=True,
        text=True,
        check=False,
    )
    assert ran.returncode == 0, ran.stderr
    answers: list[Any] = json.loads((tmp_path / "answers.json").read_text())
    return answers
