"""The order in which entries arrive never matters: not for what adds up, and not for what a person may do.

Which correction changes nothing, and what counts, is worked out here again, the plain way, in the order of pressing.
"""

import json
import random
import subprocess
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest
import time_machine
from django.db import transaction
from django.test import Client

from fillmark.core.record.amounts import Amount
from fillmark.core.record.care_entries import FeedingCleared, FeedingLocked
from fillmark.core.record.corrections import show_entries
from fillmark.core.record.day_entries import Withdrawn
from fillmark.core.record.entries import KeptEntry
from fillmark.core.record.ledger import read_day
from fillmark.core.record.locks import open_lock
from fillmark.core.record.sessions import read_session
from fillmark.records import rollups
from fillmark.services import record, sign_in
from fillmark.web.phone.act_facts import millis
from fillmark.web.phone.facts import entry_for_phone
from fillmark.web.words import Names
from tests.scripts.conftest import scripts  # noqa: F401
from tests.support.builders import ILSE, JUNIPER, NOOR, SAM, Home, a_home, adopt, junipers_plan
from tests.support.histories import SESSIONS, START, Written, a_history, as_kept, moved_to, orders_of
from tests.support.phone_model import as_document
from tests.support.sides import side_of

pytestmark = [pytest.mark.hazard("H12"), pytest.mark.hazard("H27"), pytest.mark.hazard("H39")]
PEOPLE = {"Noor": NOOR, "Sam": SAM, "Ilse": ILSE}
DAYS = [date(2026, 11, day) for day in (24, 25, 26)]
NOW = START + timedelta(hours=12)
ORDERS = 10
LIMITS = {"unfinishedMinutes": 120, "staysNextMinutes": 120}


# The plain way


class Plain:
    """What a history comes to, worked out in the order of pressing, in which a correction follows what it names."""

    def __init__(self, written: Sequence[Written]) -> None:
        self.known = {one.entry.id: one for one in written}
        self.void: set[UUID] = set()
        self.aims: dict[UUID, UUID] = {}
        for one in written:
            self._judge(one)
        facts: dict[UUID, list[UUID]] = defaultdict(list)
        for entry_id in self.known:
            if entry_id not in self.void:
                facts[self._root(entry_id)].append(entry_id)
        self.counting = {winner for ids in facts.values() if (winner := self._winner(ids)) is not None}

    def _judge(self, one: Written) -> None:
        aim = one.entry.corrects
        if aim is None:
            return
        if not isinstance(one.entry.payload, Withdrawn):
            while aim in self.void:
                aim = self.known[aim].entry.corrects
        named = self.known.get(aim) if aim not in self.void else None
        locks = isinstance(one.entry.payload, FeedingLocked)
        if named is not None:
            of_a_lock = isinstance(named.entry.payload, FeedingLocked)
            may = (locks and one.by == "Noor") if of_a_lock else one.by in ("Noor", "Sam", named.by)
            if not may and locks:
                return
            if not may:
                self.void.add(one.entry.id)
                return
        self.aims[one.entry.id] = aim

    def _root(self, entry_id: UUID) -> UUID:
        while entry_id in self.aims:
            entry_id = self.aims[entry_id]
        return entry_id

    def _winner(self, ids: list[UUID]) -> UUID | None:
        locks = [one for one in ids if isinstance(self.known[one].entry.payload, FeedingLocked)]
        ids = locks or ids
        newest = max(one for one in ids if one not in {self.aims.get(other) for other in ids})
        return None if isinstance(self.known[newest].entry.payload, Withdrawn) else newest

    @property
    def locks(self) -> set[UUID]:
        """Those that hold: they count, and no clearing that counts names them, or what they stand in the place of."""
        cleared = {
            lock
            for one in self.counting
            if isinstance(payload := self.known[one].entry.payload, FeedingCleared)
            for lock in payload.locks
        }
        found = set()
        for one in self.counting:
            chain = [one]
            while chain[-1] in self.aims:
                chain.append(self.aims[chain[-1]])
            if isinstance(self.known[one].entry.payload, FeedingLocked) and not cleared & set(chain):
                found.add(one)
        return found


# What the record makes of it, and what the phone does


def read(kept: Sequence[KeptEntry]) -> dict[str, Any]:
    """All that is worked out of a record, without the numbers that it gave."""
    shown = show_entries(kept)
    return {
        "counting": [one.kept.entry.id for one in shown if one.counts],
        "void": [one.kept.entry.id for one in shown if one.no_right],
        "aims": [(one.kept.entry.id, one.aim, one.replaced_by) for one in shown],
        "lock": open_lock(kept),
        "days": [read_day(day=day, entries=kept, planned_ml={}, now=NOW) for day in DAYS],
    }


def an_amount(amount: Amount | None) -> list[float] | None:
    return None if amount is None else [amount.low_ml, amount.high_ml]


def as_the_phone_says_it(kept: Sequence[KeptEntry], state: dict[str, Any]) -> dict[str, Any]:
    found = [read_session(session=session, entries=kept, now=NOW) for session in SESSIONS]
    return {
        "counting": [str(one) for one in state["counting"]],
        "void": [str(one) for one in state["void"]],
        "locks": [str(one) for one in state["lock"].entry_ids] if state["lock"] else [],
        "isLocked": state["lock"] is not None,
        "sessions": [
            [
                one.standing.value,
                an_amount(one.blend),
                an_amount(one.flush),
                an_amount(one.back),
                [[dose.medicine, dose.outcome.value, dose.times] for dose in one.doses],
                [[clash.what, sorted(map(str, clash.entry_ids))] for clash in one.clashes],
            ]
            for one in found
        ],
    }


def told_by_the_phone(scripts: Path, tmp_path: Path, cases: list[dict[str, Any]]) -> list[list[Any]]:  # noqa: F811
    """What the phone's scripts make of every history in every order, in one run of Node."""
    asked = {"cases": cases, "sessions": SESSIONS, "limits": LIMITS, "now": millis(NOW)}
    (tmp_path / "cases.json").write_text(json.dumps(asked), encoding="utf-8")
    (scripts / "any_order.mjs").write_bytes((Path(__file__).parent.parent / "scripts" / "any_order.mjs").read_bytes())
    ran = subprocess.run(
        ["node", "any_order.mjs", tmp_path / "cases.json", tmp_path / "answers.json"],
        cwd=scripts,
        capture_output=True,
        text=True,
        check=False,
    )
    assert ran.returncode == 0, ran.stderr
    return json.loads((tmp_path / "answers.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize(
    "many", [40, pytest.param(1000, marks=pytest.mark.long)], ids=["40 histories", "1,000 histories"]
)
def test_ten_orders_of_arrival_are_one_state_here_and_on_the_phone(
    scripts: Path,  # noqa: F811
    tmp_path: Path,
    many: int,
) -> None:
    """The same entries count, the same corrections change nothing, the same locks hold, the same sums come out."""
    chance = random.Random(1204)
    cases, expected, seen = [], [], {"void": 0, "locks": 0, "cleared": 0}
    for _ in range(many):
        written = a_history(chance, animal_id=JUNIPER, many=chance.randint(4, 24))
        kept = as_kept(written, people=PEOPLE)
        state = read(kept)
        plain = Plain(written)
        assert set(state["void"]) == plain.void
        assert set(state["counting"]) == plain.counting
        assert set(state["lock"].entry_ids if state["lock"] else ()) == plain.locks
        orders = list(orders_of(chance, written, many=ORDERS))
        assert all(read(as_kept(order, people=PEOPLE)) == state for order in orders)
        seen["void"] += bool(plain.void)
        seen["locks"] += state["lock"] is not None
        seen["cleared"] += state["lock"] is None and any(
            isinstance(one.entry.payload, FeedingLocked) for one in written
        )
        places = {one.entry.id: place for place, one in enumerate(written)}
        cases.append(
            {
                "entries": [entry_for_phone(one, names=Names()) for one in kept],
                "orders": [[places[one.entry.id] for one in order] for order in orders],
            }
        )
        expected.append(as_the_phone_says_it(kept, state))
    assert min(seen.values()) > many / 20, seen

    for case, answers, wanted in zip(cases, told_by_the_phone(scripts, tmp_path, cases), expected, strict=True):
        for answer in answers:
            assert answer == wanted, case


# Through the door


class Arrival:
    """One household that a history arrives at, person by person and list by list."""

    def __init__(self, written: Sequence[Written], *, mask: int) -> None:
        self.home = a_home(name=f"Home {mask}")
        adopt(self.home, junipers_plan(), from_at=START - timedelta(days=3))
        self.mask = mask << 16
        self.written = moved_to(written, animal_id=self.home.animal_id, mask=self.mask)
        ids = {"Noor": self.home.noor, "Sam": self.home.sam, "Ilse": self.home.ilse}
        self.phones = {name: self._a_phone(person) for name, person in ids.items()}

    @staticmethod
    def _a_phone(person: UUID) -> Client:
        client = Client()
        client.force_login(sign_in.user_of(person), backend="django.contrib.auth.backends.ModelBackend")
        return client

    def arrive(self, chance: random.Random, *, share_fresh: float) -> None:
        """Everything is sent, some of it as pressed this moment; what is not taken so is sent again as a fact."""
        refused: list[Written] = []
        waiting = list(self.written)
        while waiting:
            by, some = waiting[0].by, []
            while waiting and waiting[0].by == by and len(some) < chance.randint(1, 6):
                some.append(waiting.pop(0))
            fresh = [str(one.entry.id) for one in some if chance.random() < share_fresh]
            taken = self._send(by, some, fresh=fresh)
            refused += [one for one in some if one.entry.id not in taken]
        for one in refused:
            assert self._send(one.by, [one], fresh=[]) == {one.entry.id}

    def _send(self, by: str, some: Sequence[Written], *, fresh: list[str]) -> set[UUID]:
        body = {"entries": [as_document(one.entry) for one in some], "fresh": fresh}
        answer = self.phones[by].post("/entries", json.dumps(body), "application/json")
        assert answer.status_code == 200, answer.content
        return {UUID(one["id"]) for one in answer.json()["entries"] if one["ok"]}

    def state(self) -> dict[str, Any]:
        """What the record comes to, under the ids of the history as it was pressed."""
        kept = record.entries_since(household_id=self.home.id, seq=0)
        assert rollups.days_that_do_not_add_up(household_id=self.home.id, now=NOW) == ()
        side = side_of(**self.home.ids, now=NOW)
        ledgers = [record.day_ledger(side, day=day) for day in DAYS]
        told = {
            "kept": sorted(one.entry.id for one in kept),
            "counting": [one.kept.entry.id for one in show_entries(kept) if one.counts],
            "lock": side.lock and side.lock.entry_ids,
            "clashes": [sorted((clash.what, sorted(clash.entry_ids)) for clash in day.clashes) for day in ledgers],
        }
        return {
            **self._as_pressed(told),
            "days": [(day.blend, day.flush, day.back, day.kept, day.entries, day.last_at) for day in ledgers],
            "sums": record.days(**self.home.ids, first=DAYS[0], last=DAYS[-1], now=NOW),
        }

    def _as_pressed(self, told: Any) -> Any:
        if isinstance(told, UUID):
            return UUID(int=told.int ^ self.mask)
        if isinstance(told, dict):
            return {key: self._as_pressed(one) for key, one in told.items()}
        if isinstance(told, list | tuple):
            return [self._as_pressed(one) for one in told]
        return told


@pytest.mark.django_db
@pytest.mark.parametrize("share_fresh", [0.0, 0.4], ids=["sent later", "some sent at once"])
@pytest.mark.parametrize("many", [3, pytest.param(25, marks=pytest.mark.long)], ids=["3 histories", "25 histories"])
def test_ten_orders_through_the_door_are_one_record(many: int, share_fresh: float) -> None:
    """Whatever was kept or refused on the way: the same entries are kept, and the same of them count."""
    chance = random.Random(1205)
    for _ in range(many):
        with transaction.atomic(), time_machine.travel(NOW, tick=False):
            written = a_history(chance, animal_id=JUNIPER, many=chance.randint(8, 16))
            states = []
            for number, order in enumerate(orders_of(chance, written, many=ORDERS)):
                arrival = Arrival(order, mask=number + 1)
                arrival.arrive(chance, share_fresh=share_fresh)
                states.append(arrival.state())
            assert states[0]["kept"] == sorted(one.entry.id for one in written)
            assert set(states[0]["counting"]) == Plain(written).counting
            assert all(state == states[0] for state in states)
            transaction.set_rollback(True)


@pytest.mark.django_db
@pytest.mark.hazard("H25")
@pytest.mark.parametrize("by", ["Noor", "Sam", "Ilse"])
@pytest.mark.parametrize("comes_first", ["the lock", "the withdrawal"])
def test_a_withdrawal_never_voids_a_lock_whichever_comes_first(home: Home, by: str, comes_first: str) -> None:
    """It is kept, in sight, and changes nothing: only the vet's words, which a lead writes, clear a lock."""
    lock, gone = _a_lock_and_its_withdrawal(home, by)
    with time_machine.travel(NOW, tick=False):
        for one in (lock, gone) if comes_first == "the lock" else (gone, lock):
            record.record_entry(household_id=home.id, by=_who(home)[one.by], entry=one.entry, now=NOW)

    side = side_of(**home.ids, now=NOW)
    assert side.lock is not None
    assert side.lock.entry_ids == (lock.entry.id,)
    no_rights = [one.no_right for one in show_entries(record.entries_since(household_id=home.id, seq=0))]
    assert [one for one in no_rights if one] == ["a lock is cleared by a lead, with the vet's words"]


def _who(home: Home) -> dict[str, UUID]:
    return {"Noor": home.noor, "Sam": home.sam, "Ilse": home.ilse}


def _a_lock_and_its_withdrawal(home: Home, by: str) -> tuple[Written, Written]:
    chance = random.Random(3)
    history = a_history(chance, animal_id=home.animal_id, many=2)
    lock = replace(
        history[0],
        by="Ilse",
        entry=history[0].entry.model_copy(update={"payload": FeedingLocked(trouble="cough"), "corrects": None}),
    )
    gone = replace(
        history[1],
        by=by,
        entry=history[1].entry.model_copy(update={"payload": Withdrawn(reason="Not so"), "corrects": lock.entry.id}),
    )
    return lock, gone
