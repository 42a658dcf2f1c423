"""Two caregivers, two phones, bad signals and wrong clocks: no dose is doubled without a word, and none is lost.

What the record should hold is worked out here again, the plain way, from everything that was ever sent to it.
"""

from collections import Counter, defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from itertools import pairwise
from typing import Any, ClassVar
from uuid import UUID
from zoneinfo import ZoneInfo

import pytest
from django.db import transaction
from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, precondition, rule, run_state_machine_as_test

from fillmark.core.orders.medicine import Medicine
from fillmark.core.record.day_entries import BothGiven, Withdrawn
from fillmark.core.record.entries import Entry, make_entry_id
from fillmark.core.record.medicine_entries import MedicineGiven, Outcome
from fillmark.core.values.document import read_document
from fillmark.core.values.errors import AlreadyRecorded, HeldByAnother, NeedsReason
from fillmark.services import chart, medicines, plans, record
from tests.support.builders import Home, a_home, adopt, junipers_plan
from tests.support.sides import side_of

DUBLIN = ZoneInfo("Europe/Dublin")
GAPS = {"metoclopramide": timedelta(hours=6), "omeprazole": timedelta(hours=10), "appetite": timedelta(hours=14)}
"""Every 8, 12 and 16 hours, less an hour either way at both ends: the windows of ISMP 2011, as summarized."""
COUNTED = {
    "id": "appetite",
    "name": "Appetite drops",
    "form": "liquid",
    "strength": "2 mg/mL",
    "dose": "12 mg",
    "route": "tube",
    "every_hours": 16,
    "first_dose": "2026-03-02 06:30",
}
"""A third medicine whose hours are counted from its first dose: no time of day comes back the next day."""
STARTS = (
    datetime(2026, 3, 28, 15, 0, tzinfo=UTC),  # the night that loses an hour (IANA tz database, Europe/Dublin)
    datetime(2026, 10, 24, 15, 0, tzinfo=UTC),  # the night that has one twice
    datetime(2026, 11, 24, 15, 0, tzinfo=UTC),
)
CLOCKS = {"metoclopramide": ("06:30", "14:30", "22:30"), "omeprazole": ("06:30", "18:30")}
AMOUNTS = {"metoclopramide": ("5.22", "5.2")}
WENT_IN = {Outcome.GIVEN, Outcome.PARTIAL, Outcome.CAME_BACK, Outcome.SPILLED, Outcome.NOT_KNOWN}
OUTCOMES = st.sampled_from([Outcome.GIVEN] * 8 + [*Outcome])
REASONS = st.sampled_from([None, None, None, "It came back up.", "Some ran out."])
MINUTES = st.one_of(st.integers(0, 90), st.integers(0, 600))
Kept = dict[UUID, Entry]


@dataclass
class Phone:
    """A phone with its own clock, and the entries that nobody has acknowledged yet."""

    person: str
    skew: timedelta = timedelta(0)
    queue: list[Entry] = field(default_factory=list)
    acknowledged: list[Entry] = field(default_factory=list)

    def waiting(self) -> list[Entry]:
        """What is to be sent, oldest first; it stays until it is acknowledged."""
        return list(self.queue)

    def heard(self, entry: Entry) -> None:
        """The record has it."""
        if entry in self.queue:
            self.queue.remove(entry)
        self.acknowledged.append(entry)


class ForgetfulPhone(Phone):
    """One that lets go of everything as soon as it begins to send."""

    def waiting(self) -> list[Entry]:
        sent, self.queue = self.queue[:1], []
        return sent


# The plain way


def winners(kept: Kept) -> set[UUID]:
    """Of all that was written about one fact, the newest that nothing corrects; a fact taken back has none."""
    group = {one: one for one in (*kept, *(entry.corrects for entry in kept.values() if entry.corrects))}
    for entry in kept.values():
        if entry.corrects:
            old, new = group[entry.corrects], group[entry.id]
            group = {one: new if of == old else of for one, of in group.items()}
    found = set()
    for name in set(group.values()):
        members = [kept[one] for one, of in group.items() if of == name and one in kept]
        corrected = {entry.corrects for entry in members}
        newest = max((entry.id for entry in members if entry.id not in corrected), default=None)
        newest = newest or max((entry.id for entry in members), default=None)
        if newest is not None and not isinstance(kept[newest].payload, Withdrawn):
            found.add(newest)
    return found


def doses(kept: Kept) -> dict[str, list[Entry]]:
    """What may have gone in, by medicine, in the order it happened."""
    found: dict[str, list[Entry]] = defaultdict(list)
    for one in winners(kept):
        if isinstance(kept[one].payload, MedicineGiven) and kept[one].payload.outcome in WENT_IN:
            found[kept[one].payload.medicine].append(kept[one])
    return {medicine: sorted(taken, key=lambda one: (one.at, one.id)) for medicine, taken in found.items()}


def unexplained(kept: Kept) -> set[frozenset[UUID]]:
    """Neighbors inside the gap, of which nobody has said that both happened."""
    counting = [kept[one] for one in winners(kept)]
    told = [set(entry.payload.entries) for entry in counting if isinstance(entry.payload, BothGiven)]
    told += [
        {entry.id, *entry.payload.despite}
        for entry in counting
        if isinstance(entry.payload, MedicineGiven) and entry.payload.despite
    ]
    return {
        frozenset({earlier.id, later.id})
        for medicine, taken in doses(kept).items()
        for earlier, later in pairwise(taken)
        if later.at - earlier.at < GAPS[medicine] and not any({earlier.id, later.id} <= said for said in told)
    }


# The machine


class MedicineRecord(RuleBasedStateMachine):
    """Noor and Sam give Juniper three medicines."""

    home: ClassVar[Home]
    people: ClassVar[dict[str, UUID]]
    record_entry: ClassVar[Callable[..., Any]] = staticmethod(record.record_entry)
    open_questions: ClassVar[Callable[..., Any]] = staticmethod(medicines.open_questions)
    phone: ClassVar[type[Phone]] = Phone
    seen: ClassVar[Counter[str]]

    def __init__(self) -> None:
        super().__init__()
        self.savepoint = transaction.savepoint()
        self.phones = {"noor-phone": self.phone("noor"), "sam-phone": self.phone("sam")}
        self.kept: Kept = {}
        self.refused: set[UUID] = set()
        self.made = 0

    def teardown(self) -> None:
        try:
            for phone in self.phones.values():
                self._flush(phone, heard=100)
            self._check_nothing_lost()
            self._check_questions()
            self._check_chart()
            self.seen["histories"] += 1
        finally:
            transaction.savepoint_rollback(self.savepoint)

    # What people and phones do

    @initialize(start=st.sampled_from(STARTS), skews=st.tuples(st.integers(-10, 10), st.integers(-10, 10)))
    def begin(self, start: datetime, skews: tuple[int, int]) -> None:
        self.start = self.now = start
        for phone, minutes in zip(self.phones.values(), skews, strict=True):
            phone.skew = timedelta(minutes=minutes)

    @rule(minutes=MINUTES)
    def time_goes_by(self, minutes: int) -> None:
        self.now += timedelta(minutes=minutes)

    @rule(
        device=st.sampled_from(("noor-phone", "sam-phone")),
        medicine=st.sampled_from(sorted(GAPS)),
        outcome=OUTCOMES,
        reason=REASONS,
        ago=st.sampled_from((0, 0, 0, 5, 90)),
        place=st.sampled_from((-1, -1, 0, 1, 2)),
        way=st.sampled_from(("on-line", "on-line", "on-line", "reply lost", "no signal")),
        insists=st.booleans(),
    )
    def press(
        self,
        device: str,
        medicine: str,
        outcome: Outcome,
        reason: str | None,
        ago: int,
        place: int,
        way: str,
        insists: bool,
    ) -> None:
        """A dose is written down: at once, or a while after it happened; in a session or beside all."""
        payload = self._dose(medicine, outcome=outcome, reason=reason, session=self._session(medicine, place))
        entry = self._entry(device, payload, ago=ago)
        self._send(device, entry, way=way, insists=insists)

    @precondition(lambda self: self._known())
    @rule(
        device=st.sampled_from(("noor-phone", "sam-phone")),
        which=st.integers(0, 999),
        outcome=OUTCOMES,
        moved=st.sampled_from((0, 0, -7, 45)),
        way=st.sampled_from(("on-line", "reply lost", "no signal")),
        insists=st.booleans(),
    )
    def correct(self, device: str, which: int, outcome: Outcome, moved: int, way: str, insists: bool) -> None:
        """What somebody wrote is written anew."""
        old = self._pick(which)
        if not isinstance(old.payload, MedicineGiven):
            return
        payload = self._dose(old.payload.medicine, outcome=outcome, reason=None, session=old.payload.session)
        entry = self._entry(device, payload, corrects=old.id, at=old.at + timedelta(minutes=moved))
        self._send(device, entry, way=way, insists=insists)

    @precondition(lambda self: self._known())
    @rule(
        device=st.sampled_from(("noor-phone", "sam-phone")),
        which=st.integers(0, 999),
        way=st.sampled_from(("on-line", "reply lost", "no signal")),
    )
    def withdraw(self, device: str, which: int, way: str) -> None:
        """What somebody wrote did not happen."""
        self._send(
            device,
            self._entry(device, Withdrawn(reason="A slip."), corrects=self._pick(which).id),
            way=way,
            insists=False,
        )

    @precondition(lambda self: unexplained(self.kept))
    @rule(which=st.integers(0, 99), way=st.sampled_from(("on-line", "reply lost", "no signal")))
    def say_twice_on_noors_phone(self, which: int, way: str) -> None:
        """An open question is answered: all of them happened."""
        self._say_twice("noor-phone", which, way)

    @precondition(lambda self: unexplained(self.kept))
    @rule(which=st.integers(0, 99), way=st.sampled_from(("on-line", "reply lost", "no signal")))
    def say_twice_on_sams_phone(self, which: int, way: str) -> None:
        """The same; a rule of its own, since a question is open in few histories."""
        self._say_twice("sam-phone", which, way)

    def _say_twice(self, device: str, which: int, way: str) -> None:
        asked = sorted(unexplained(self.kept), key=sorted)
        ids = tuple(sorted(asked[which % len(asked)]))
        payload = BothGiven(entries=ids, reason="Neither of us had seen the other's.")
        self._send(device, self._entry(device, payload), way=way, insists=False)
        self.seen["said twice"] += 1

    @rule(device=st.sampled_from(("noor-phone", "sam-phone")), heard=st.integers(0, 4))
    def signal_comes_back(self, device: str, heard: int) -> None:
        """All that waits is sent; the phone hears only of the first few."""
        self._flush(self.phones[device], heard=heard)

    @precondition(lambda self: self.kept)
    @rule(device=st.sampled_from(("noor-phone", "sam-phone")), which=st.integers(0, 999))
    def send_again(self, device: str, which: int) -> None:
        """A phone that has lost its place sends what is long kept: it changes nothing."""
        told = self.phones[device].acknowledged
        if told:
            entry = told[which % len(told)]
            assert self._record(device, entry, fresh=bool(which % 2)).was_known
            self.seen["sent again"] += 1

    # How

    def _session(self, medicine: str, place: int) -> str | None:
        if place < 0:
            return None
        clocks = CLOCKS.get(medicine)
        if clocks is None:  # its sessions are those of the day's plan
            day = self.now.astimezone(DUBLIN).date()
            planned = plans.planned_sessions(household_id=self.home.id, animal_id=self.home.animal_id, day=day)
            keys = [one.key for one in planned if any(dose.medicine.id == medicine for dose in one.medicines)]
            return keys[place % len(keys)]
        return f"{self.now.astimezone(DUBLIN).date()}T{clocks[place % len(clocks)]}"

    def _dose(self, medicine: str, *, outcome: Outcome, reason: str | None, session: str | None) -> MedicineGiven:
        left_out = outcome in (Outcome.HELD, Outcome.REFUSED, Outcome.MISSED)
        dose_mg, ml = AMOUNTS.get(medicine, ("12", "6"))
        return MedicineGiven(
            session=session,
            medicine=medicine,
            dose_mg=Decimal(dose_mg),
            ml=Decimal(ml),
            outcome=outcome,
            given_mg=Decimal(3) if outcome is Outcome.PARTIAL else None,
            reason=reason or ("She was asleep." if left_out else None),
        )

    def _entry(
        self, device: str, payload: Any, *, ago: int = 0, at: datetime | None = None, corrects: UUID | None = None
    ) -> Entry:
        pressed_at = self.now + self.phones[device].skew
        self.made += 1
        return Entry(
            id=make_entry_id(at=pressed_at, chance=self.made.to_bytes(10, "big")),
            animal_id=self.home.animal_id,
            at=at or pressed_at - timedelta(minutes=ago),
            zone="Europe/Dublin",
            device=device,
            payload=payload,
            corrects=corrects,
        )

    def _known(self) -> list[UUID]:
        """What the record shows to either of them."""
        return sorted(self.kept)

    def _pick(self, which: int) -> Entry:
        known = self._known()
        return self.kept[known[which % len(known)]]

    def _asked(self) -> Sequence[Any]:
        span = {"first": self.start.date() - timedelta(days=2), "last": self.now.date() + timedelta(days=2)}
        return self.open_questions(side_of(**self.home.ids, now=self.now + timedelta(days=1)), **span)

    def _record(self, device: str, entry: Entry, *, fresh: bool) -> Any:
        by = self.people[self.phones[device].person]
        answer = self.record_entry(household_id=self.home.id, by=by, entry=entry, now=self.now, is_fresh=fresh)
        assert answer.was_known == (entry.id in self.kept)
        self.kept[entry.id] = entry
        return answer

    def _send(self, device: str, entry: Entry, *, way: str, insists: bool) -> None:
        """Press: on-line the record may refuse, and the person may insist with a reason; else it waits in the phone."""
        phone = self.phones[device]
        if way == "no signal":
            phone.queue.append(entry)
            return
        try:
            self._record(device, entry, fresh=True)
        except NeedsReason as asked:
            assert isinstance(entry.payload, MedicineGiven)
            assert entry.payload.reason is None
            self.seen["given all the same" if insists else "not given"] += 1
            if not insists:
                self.refused.add(entry.id)
                return
            reasoned = {"reason": "The vet said: once more.", "despite": asked.despite or None}
            entry = entry.model_copy(update={"payload": entry.payload.model_copy(update=reasoned)})
            self._record(device, entry, fresh=True)
        except (AlreadyRecorded, HeldByAnother):  # what the other phone wrote is shown first
            self.seen["shown first"] += 1
            self.refused.add(entry.id)
            return
        self._check_fresh(entry)
        (phone.queue if way == "reply lost" else phone.acknowledged).append(entry)
        self._check_questions()

    def _flush(self, phone: Phone, *, heard: int) -> None:
        device = next(name for name, one in self.phones.items() if one is phone)
        waiting = phone.waiting()
        for place, entry in enumerate(waiting):
            self.seen["late" if entry.id not in self.kept else "reply lost"] += 1
            self._record(device, entry, fresh=False)
            if place < heard:
                phone.heard(entry)
        if waiting:
            self._check_questions()

    # What must hold

    def _check_fresh(self, entry: Entry) -> None:
        """A press that was let through without a word stands inside no gap."""
        if isinstance(entry.payload, MedicineGiven) and entry.payload.reason is None:
            assert not any(entry.id in pair for pair in unexplained(self.kept))

    def _check_questions(self) -> None:
        """About each pair inside a gap that nobody has explained a question stands, and about nothing else."""
        asked = {frozenset(one.id for one in question.givings) for question in self._asked()}
        assert asked == unexplained(self.kept)
        self.seen["asked"] += bool(asked)

    def _check_nothing_lost(self) -> None:
        """Each entry that was not refused is in the record once, as it was written."""
        entries = [one.entry for one in record.entries_since(household_id=self.home.id, seq=0)]
        assert Counter(one.id for one in entries) == Counter(self.kept.keys())
        assert {one.id: one for one in entries} == self.kept
        waiting = {entry.id for phone in self.phones.values() for entry in phone.queue}
        assert not waiting
        assert len(self.kept) + len(self.refused) == self.made

    def _check_chart(self) -> None:
        """The chart holds every record of a medicine once, and calls the same ones open and corrected."""
        week = chart.chart_of_days(
            side_of(household_id=self.home.id, animal_id=self.home.animal_id, now=self.now),
            first=self.start.date() - timedelta(days=3),
            last=self.now.date() + timedelta(days=3),
        )
        shown = {one.entry_id: one for one in week.entries()}
        logged = {one.id: one for one in self.kept.values() if isinstance(one.payload, MedicineGiven)}
        assert len(list(week.entries())) == len(shown)
        assert shown.keys() == logged.keys()
        counting = winners(self.kept)
        for entry_id, one in shown.items():
            payload = logged[entry_id].payload
            assert (one.at, one.outcome, one.ml) == (logged[entry_id].at, payload.outcome, payload.ml)
            assert one.counts == (entry_id in counting)
        open_ids = {one for pair in unexplained(self.kept) for one in pair}
        assert open_ids <= {entry_id for entry_id, one in shown.items() if one.is_open}


@pytest.fixture
def machine(db: None) -> type[MedicineRecord]:
    """The machine in a household of its own; every history is rolled back."""
    home = a_home()
    began = datetime(2026, 3, 1, tzinfo=UTC)
    plan = junipers_plan()
    plan = plan.model_copy(update={"medicines": (*plan.medicines, read_document(Medicine, COUNTED))})
    adopt(home, plan, from_at=began)
    people = {"noor": home.noor, "sam": home.sam}
    return type("Machine", (MedicineRecord,), {"home": home, "people": people, "seen": Counter()})


def run(
    machine: type[MedicineRecord], *, histories: int, phases: Sequence[Phase] = (Phase.generate, Phase.shrink)
) -> None:
    run_state_machine_as_test(
        machine,
        settings=settings(
            max_examples=histories,
            stateful_step_count=25,
            deadline=None,
            report_multiple_bugs=False,
            database=None,
            phases=phases,
            suppress_health_check=list(HealthCheck),
        ),
    )


@pytest.mark.hazard("H1")
@pytest.mark.hazard("H2")
@pytest.mark.hazard("H26")
@pytest.mark.hazard("H27")
def test_no_dose_is_doubled_without_a_word_and_none_is_lost(machine: type[MedicineRecord]) -> None:
    """A hundred and thirty histories of two phones over the nights on which the clocks change, and an ordinary one."""
    run(machine, histories=130)
    assert machine.seen["histories"] >= 130
    told = ("not given", "given all the same", "shown first", "late", "reply lost", "asked", "said twice", "sent again")
    assert min(machine.seen[what] for what in told) >= 10, machine.seen


@pytest.mark.long
@pytest.mark.hazard("H1")
@pytest.mark.hazard("H27")
def test_nor_in_thousands_of_histories(machine: type[MedicineRecord]) -> None:
    """The same, two thousand times."""
    run(machine, histories=2100)
    assert machine.seen["histories"] >= 2000


def _never_asks(*, is_fresh: bool, **entry: Any) -> Any:
    return record.record_entry(**entry, is_fresh=False)


def _never_open(*_: Any, **__: Any) -> tuple[()]:
    return ()


@pytest.mark.parametrize(
    "broken",
    [
        {"record_entry": staticmethod(_never_asks)},
        {"open_questions": staticmethod(_never_open)},
        {"phone": ForgetfulPhone},
    ],
    ids=["a record that never asks", "a record that forgets its questions", "a phone that forgets what it wrote"],
)
def test_what_is_broken_is_caught(machine: type[MedicineRecord], broken: dict[str, Any]) -> None:
    """Without the check of the gap, its questions, or a queue that waits for its answers, the histories find it."""
    with pytest.raises(AssertionError):
        run(type("Broken", (machine,), broken), histories=100, phases=(Phase.generate,))
