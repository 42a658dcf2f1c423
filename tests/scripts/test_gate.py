"""The gate of an act on the phone finds what the core's finds: thousands of generated histories, read by both."""

import json
import random
from collections import Counter
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from fillmark.core.bedside.next_session import next_and_last
from fillmark.core.chart.medicine_states import read_medicines
from fillmark.core.day.values import PlannedSession
from fillmark.core.gates.act_gate import ActFinding, check_act, look_ahead
from fillmark.core.gates.last_giving import say_last_dose, say_last_meal
from fillmark.core.gates.open_doses import OpenDose, find_open_doses
from fillmark.core.orders.medicine import Medicine
from fillmark.core.orders.rhythm import FoodRule
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.vet import VetAnswer
from fillmark.core.record.care_entries import BatchChosen, FeedingCleared, FeedingLocked, FlowTested
from fillmark.core.record.day_entries import Withdrawn
from fillmark.core.record.entries import make_entry_id
from fillmark.core.record.fields import NOT_KNOWN
from fillmark.core.record.medicine_entries import BottleOpened, MedicineGiven, Outcome, SecondCheck
from fillmark.core.record.session_entries import (
    CameBack,
    FillGiven,
    FlushGiven,
    MealEnded,
    SessionEnded,
    SessionPaused,
    SessionSkipped,
    SessionStarted,
    SessionStopped,
    SessionTaken,
)
from fillmark.core.values.finding import Weight
from fillmark.web.phone.act_facts import millis
from tests.support.builders import an_entry
from tests.support.full_shelf import a_full_shelf
from tests.support.gated import TODAY, Gated, ask_the_phone


def a_plan(**orders: Any) -> CarePlan:
    """The full shelf with every rule a dose can have: apart, an empty stomach, a most a day, how late it may be."""
    plan = a_full_shelf()
    omeprazole, binder = plan.medicines[1], plan.medicines[-1]
    changed = {
        "omeprazole": {"apart_from": ({"medicine": "antacid", "hours": 2},), "late_window_minutes": 180},
        "metoclopramide": {"max_per_day": 2, "food": FoodRule(relation="empty stomach", minutes=30, after_minutes=60)},
    }
    medicines = [
        Medicine.model_validate({**one.model_dump(exclude_unset=True), **changed.get(one.id, {})})
        for one in plan.medicines
    ]
    antacid = Medicine.model_validate(
        {
            **omeprazole.model_dump(exclude_unset=True),
            "id": "antacid",
            "name": "Antacid",
            "clocks": (time(11, 30), time(22, 30)),
            "food": FoodRule(relation="any"),
        }
    )
    assert binder.held
    made = plan.model_copy(update={"medicines": (*medicines, antacid)})
    return made.model_copy(update={"orders": made.orders.model_copy(update=orders)})


def with_word(plan: CarePlan) -> CarePlan:
    """The vet has allowed what is over the cap."""
    answer = VetAnswer(about="over-cap", up_to=30, words="As much as that is right for her.", said_on=TODAY)
    return plan.model_copy(update={"vet": plan.vet.model_copy(update={"answers": (answer,)})})


PLANS = {
    "vet's gap and cap": a_plan(),
    "nothing stated": a_plan(meal_gap_hours=None, cap_ml_per_kg=None, warn_ml_per_kg=None),
    "small cap": a_plan(cap_ml_per_kg=12, warn_ml_per_kg=10, meal_gap_hours=4),
    "small cap, allowed": with_word(a_plan(cap_ml_per_kg=12, warn_ml_per_kg=10, meal_gap_hours=4)),
    "when needed, checked": a_plan(meal_gap_hours=0.5),
}


class History(Gated):
    """Two days of a household under one plan, as chance writes them."""

    def __init__(self, which: str, chance: random.Random) -> None:
        now = datetime(2026, 11, 25, 4, 0, tzinfo=UTC) + timedelta(minutes=chance.randint(0, 28 * 60))
        super().__init__(PLANS[which], now=now, chance=chance)
        self.here: PlannedSession | None = None

    def fill_up(self) -> None:
        """Sessions of the day behind, most of them near their time, some early, late, twice or only in part."""
        behind = [one for one in self.sessions if timedelta(hours=-4) < self.now - one.at < timedelta(hours=26)]
        for session in self.chance.sample(behind, min(len(behind), self.chance.choice([0, 1, 2, 4, 7]))):
            at = session.at.astimezone(UTC) + timedelta(
                minutes=self.chance.choice([-150, -61, -5, 0, 3, 20, 55, 130, 200])
            )
            for payload in self.payloads(session):
                at += timedelta(seconds=self.chance.choice([20, 60, 180, 900]))
                if at <= self.now + timedelta(minutes=2):
                    self.write(payload, at)
        if self.chance.random() < 0.4:
            self.begin()
        for _ in range(self.chance.choice([0, 0, 1, 3])):
            at = self.now - timedelta(minutes=self.chance.choice([1, 20, 70, 170, 300, 700, 1390]))
            self.write(self.loose(), at)
        for one in list(self.kept):
            if self.chance.random() < 0.05:
                self.write(Withdrawn(reason="Not so"), self.now, corrects=one.entry.id)

    def begin(self) -> None:
        """The session whose time it is stands in hand, perhaps a fill or two along."""
        self.here = min(self.sessions, key=lambda one: (not one.meal_ml, abs(one.at - self.now)))
        at = self.now - timedelta(minutes=self.chance.choice([3, 15]))
        self.write(SessionStarted(session=self.here.key), at)
        for number in range(self.chance.choice([0, 0, 1, 2])):
            self.write(FillGiven(session=self.here.key, fill=number + 1, ml=60.0), at + timedelta(minutes=1))

    def payloads(self, session: PlannedSession) -> list[Any]:
        chance, key = self.chance, session.key
        made: list[Any] = [SessionStarted(session=key, reason=chance.choice([None, None, "The vet said so"]))]
        made += [FlushGiven(session=key, step="flush-before", ml=10.0)]
        for dose in session.medicines:
            if chance.random() < 0.3:
                made.append(
                    SecondCheck(
                        session=key, medicine=dose.medicine.id, ml=chance.choice([Decimal("3.4"), Decimal("3.5")])
                    )
                )
            if chance.random() < 0.85:
                made.append(self.dose(dose.medicine.id, key))
        if session.meal_ml:
            made += [
                FillGiven(
                    session=key,
                    fill=number,
                    ml=float(mark.drawn.ml),
                    reason=chance.choice([None] * 5 + ["Asked the vet"]),
                )
                for number, mark in enumerate(session.fills, start=1)
                if chance.random() < 0.8
            ]
            if chance.random() < 0.15:
                made = [MealEnded(session=key, total_ml=chance.choice([0.0, 150.0, 187.5, NOT_KNOWN]), fills=0)]
        if chance.random() < 0.2:
            made.append(CameBack(session=key, ml=chance.choice([5.0, 60.0, NOT_KNOWN])))
        made.append(
            chance.choice(
                [SessionEnded(session=key)] * 6
                + [SessionPaused(session=key), SessionTaken(session=key)]
                + [SessionStopped(session=key, reason="She coughs")]
            )
        )
        if chance.random() < 0.05:
            made = [SessionSkipped(session=key, reason="The vet said so")]
        return made[: chance.randint(1, len(made))] if chance.random() < 0.3 else made

    def dose(self, medicine: str, session: str | None) -> MedicineGiven:
        outcome = self.chance.choice(
            [Outcome.GIVEN] * 6 + [Outcome.HELD, Outcome.SPILLED, Outcome.NOT_KNOWN, Outcome.PARTIAL]
        )
        held = {"reason": "Vomiting"} if outcome is Outcome.HELD else {}
        part = {"given_mg": NOT_KNOWN} if outcome is Outcome.PARTIAL else {}
        ml = {"ml": self.chance.choice([Decimal("5.2"), Decimal("3.5")])} if self.chance.random() < 0.8 else {}
        return MedicineGiven(
            session=session, medicine=medicine, dose_mg=Decimal(12), outcome=outcome, **held, **part, **ml
        )

    def loose(self) -> Any:
        chance = self.chance
        medicine = chance.choice(self.plan.medicines)
        strength = chance.choice(
            [medicine.strength or "1 mg/mL", "9 mg/mL" if medicine.form == "liquid" else "9 mg/tablet"]
        )
        label = chance.choice(
            [
                {},
                {"discard_on": TODAY - timedelta(days=chance.choice([0, 1]))},
                {"expires_on": TODAY, "discard_on": TODAY + timedelta(days=3)},
                {"keeps_as": "water, no preservative", "filled_on": TODAY - timedelta(days=chance.choice([13, 14]))},
                {"keeps_as": "antibiotic mixed up", "filled_on": TODAY - timedelta(days=chance.choice([6, 7]))},
                {"keeps_as": "single dose"},
                {"keeps_as": "liquid", "filled_on": date(2026, 5, chance.choice([24, 25, 26, 31]))},
                {"keeps_as": "tablets in a weekly box", "filled_on": date(2026, 5, 26)},
            ]
        )
        locks = [one.entry.id for one in self.kept if isinstance(one.entry.payload, FeedingLocked)]
        ways = [
            *[self.dose(medicine.id, None)] * 5,
            CameBack(ml=chance.choice([20.0, NOT_KNOWN])),
            SecondCheck(medicine=medicine.id, ml=Decimal("3.5")),
            *[BottleOpened(medicine=medicine.id, strength=strength, ml=Decimal(50), **label)] * 3,
            FlowTested(
                foods=("stew",),
                food_g=820.0,
                water_ml=160.0,
                left_ml=9.0,
                has_flowed=True,
                sieved=False,
                frozen=False,
                batch="Jar 7",
                made_on=TODAY - timedelta(days=1),
            ),
            BatchChosen(session=self.sessions[5].key, batch="Jar 8", made_on=TODAY - timedelta(days=1)),
            FeedingLocked(trouble="cough"),
        ]
        if locks:
            ways += [FeedingCleared(locks=tuple(locks), who="Dr. Marsh", vet_words="Go on.")] * 3
        return chance.choice(ways)

    def act(self) -> Any:
        near = [one for one in self.sessions if abs(one.at - self.now) < timedelta(hours=9)] or self.sessions
        session = self.here or self.chance.choice(near)
        doses = session.to_give
        kind = self.chance.choice(
            ["fill", "fill", "dose", "back"] if self.here else ["start", "fill", "dose", "dose", "needed", "meal"]
        )
        if kind == "fill":
            return FillGiven(session=session.key, fill=self.chance.randint(1, 4), ml=self.chance.choice([60.0, 7.0]))
        if kind == "dose" and doses:
            medicine = self.chance.choice(doses).medicine.id
            return MedicineGiven(session=session.key, medicine=medicine, dose_mg=Decimal(12), outcome=Outcome.GIVEN)
        if kind == "meal" and session.meal_ml:
            total_ml = session.meal_ml * self.chance.choice([1.0, 1.2, 10])
            return MealEnded(session=session.key, total_ml=total_ml, fills=0)
        if kind == "back":
            return CameBack(session=session.key, ml=self.chance.choice([5.0, 40.0, 250.0, NOT_KNOWN]))
        if kind == "needed":
            medicine = self.chance.choice(self.plan.medicines).id
            return MedicineGiven(medicine=medicine, dose_mg=Decimal(12), outcome=Outcome.GIVEN)
        return SessionStarted(session=session.key)


def as_the_phone_finds_it(one: ActFinding) -> dict[str, Any]:
    return {
        "code": one.code,
        "weight": one.weight.value,
        "text": "" if one.weight is Weight.REFUSED else one.text,
        "freeAt": millis(one.free_at) if one.free_at else None,
        "despite": [str(dose) for dose in one.despite],
        "about": one.about,
    }


def as_the_phone_names_it(one: OpenDose) -> dict[str, Any]:
    return {
        "session": one.session,
        "time": one.session[11:],
        "medicine": one.dose.medicine.id,
        "name": one.dose.medicine.name,
        "isHeld": one.held is not None,
        "until": millis(one.until) if one.until else None,
    }


def a_case(which: str, chance: random.Random) -> tuple[dict[str, Any], dict[str, Any]]:
    """A history with an act, and what the core finds of it."""
    history = History(which, chance)
    history.fill_up()
    act, side = history.act(), history.side
    entry = an_entry(act, at=side.now, id=make_entry_id(at=side.now, chance=chance.randbytes(10)))
    medicine = chance.choice(history.plan.medicines)
    doses = side.doses(at=side.now)
    assert doses is not None
    states = read_medicines(doses.plan, orders=doses.orders, entries=doses.entries, now=side.now)
    last = next(one.last for one in states if one.medicine.id == medicine.id)
    expected = {
        "open": [as_the_phone_names_it(one) for one in find_open_doses(side, next_and_last(side))],
        "act": [as_the_phone_finds_it(one) for one in check_act(side, entry)],
        "ahead": [as_the_phone_finds_it(one) for one in look_ahead(side, act.session)] if act.session else act.session,
        "meal": say_last_meal(side, session=act.session),
        "dose": say_last_dose(side, medicine, last=last),
    }
    case = {
        "which": which,
        **history.case(act),
        "medicine": medicine.id,
    }
    return case, expected


@pytest.mark.hazard("H1")
@pytest.mark.hazard("H37")
@pytest.mark.hazard("H41")
@pytest.mark.parametrize(
    "many", [1200, pytest.param(10000, marks=pytest.mark.long)], ids=["1,200 histories", "10,000 histories"]
)
def test_the_phones_gate_finds_what_the_core_finds(scripts: Path, tmp_path: Path, many: int) -> None:
    """Each finding with its weight, its words to the letter, the doses it names and from when on it holds no more."""
    chance = random.Random(20261125)
    cases, expected = [], []
    facts = {which: History(which, chance).facts() for which in PLANS}
    for number in range(many):
        which = list(PLANS)[number % len(PLANS)]
        case, wanted = a_case(which, chance)
        cases.append(case)
        expected.append(wanted)
    answers = ask_the_phone(scripts, tmp_path, facts=facts, cases=cases)

    seen = Counter(one["code"] for wanted in expected for one in (*wanted["act"], *(wanted["ahead"] or ())))
    assert set(seen) >= {
        *("meal-too-soon", "over-cap", "over-cap-together", "before-food", "too-soon", "over-maximum", "keep-apart"),
        *("after-food", "early", "late", "too-late", "held", "course-ended", "locked", "past-use", "not-checked"),
        *("more-than-planned", "another-dose", "meals-a-day", "more-came-back"),
        *("feeding-locked", "held-by-another", "already-recorded", "batch-not-to-be-given"),
    }, seen
    assert sum(len(wanted["open"]) for wanted in expected) > many / 10
    for case, answer, wanted in zip(cases, answers, expected, strict=True):
        assert answer == wanted, json.dumps(case, indent=1)
