"""The phone reads a form as the server does: the same fields, read by both, make the same entry or the same refusal."""

import json
import random
from collections.abc import Callable
from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest

from fillmark.core.day.values import PlannedDose
from fillmark.core.doses.bottle_in_use import newest_bottles, strength_lock, strength_number, strength_of
from fillmark.core.doses.second_check import agrees
from fillmark.core.orders.drawing import draw
from fillmark.core.orders.medicine import Medicine
from fillmark.core.orders.slips import SLIPS, find_slip
from fillmark.core.record.care_entries import FeedingCleared, FeedingLocked
from fillmark.core.record.corrections import counting_entries
from fillmark.core.record.day_entries import Withdrawn
from fillmark.core.record.entries import KeptEntry, make_entry_id, read_payload
from fillmark.core.record.fields import NOT_KNOWN
from fillmark.core.record.locks import open_lock
from fillmark.core.record.medicine_entries import BottleOpened, SecondCheck
from fillmark.core.values.errors import BadEntry, FillmarkError
from fillmark.core.values.people import Role
from fillmark.core.values.trouble import Trouble
from fillmark.published.medicine import SLIP_CLOSENESS_FRACTION
from fillmark.web.entry_form import (
    EntryForm,
    choice,
    day,
    exact,
    ml,
    or_nothing,
    printed_day,
    strength,
    tick,
    unknown,
    unless,
    weight,
    words,
)
from fillmark.web.phone.act_facts import drawn_facts
from fillmark.web.phone.facts import entry_for_phone
from fillmark.web.words import Names, say_payload
from tests.core.record.test_entries import ONE_OF_EACH_KIND
from tests.journeys.conftest import Phone
from tests.support.builders import NOON, NOOR, SAM, an_entry
from tests.support.medicines import TEN, a_medicine, a_tablet

BOTTLE = str(make_entry_id(at=NOON, chance=bytes(10)))
NEEDED = BadEntry(field="text", got="A note without words", allowed="words", remedy="Write what you saw.")
FORMS = {
    "bottle": EntryForm(
        {
            "kind": "bottle_opened",
            "medicine": "omeprazole",
            "strength": strength("strength"),
            "ml": exact("held", field="held"),
            "expires_on": printed_day("expires"),
            "discard_on": day("discard_on"),
            "keeps_as": choice("keeps_as", of=["oil", "liquid"]),
            "lot": words("lot", most=12),
        }
    ),
    "box": EntryForm(
        {
            "kind": "bottle_opened",
            "medicine": "omeprazole",
            "strength": strength("strength"),
            "pieces": exact("held", field="held"),
        }
    ),
    "count": EntryForm(
        {"kind": "stock_counted", "medicine": "omeprazole", "bottle": BOTTLE, "ml": exact("seen", field="seen")}
    ),
    "check": EntryForm(
        {
            "kind": "second_check",
            "medicine": "omeprazole",
            "ml": exact("read_typed", "read", field="read"),
            "reader": choice("reader", of=[str(SAM)]),
            "reader_name": choice("reader", of={str(SAM): "Sam"}),
        }
    ),
    "flow": EntryForm(
        {
            "kind": "flow_test",
            "foods": ["stew"],
            "food_g": ml(
                "cans", field="cans", unit="g of food", above=0, high=20000, times=156.3, remedy="Count again."
            ),
            "water_ml": ml("water", field="water", unit="mL of water", high=5000),
            "left_ml": ml(
                "left_typed",
                "left",
                field="mL left",
                unit="mL left",
                high=10,
                instead={"nothing": 10.0},
                remedy="Again.",
            ),
            "has_flowed": unless("left", "nothing"),
            "sieved": tick("sieved"),
            "frozen": tick("frozen"),
            "batch": words("batch", most=12),
        }
    ),
    "less": EntryForm(
        {
            "kind": "fill_given",
            "session": "2026-11-25T20:00",
            "fill": 2,
            "ml": ml("left_typed", less_from=Decimal("57.5"), remedy="Read the syringe again."),
        }
    ),
    "ate": EntryForm(
        {
            "kind": "ate",
            "food": choice("food", of=["stew", "oil"], needed=NEEDED),
            "g": ml("g_typed", "g", field="g", unit="g", above=0, high=20000, instead=unknown(), remedy="Weigh it."),
        }
    ),
    "drank": EntryForm({"kind": "drank", "ml": ml("ml_typed", "ml", high=5000, instead=unknown())}),
    "weight": EntryForm(
        {
            "kind": "weight",
            "weight_kg": weight(last_kg=17.4, last_at=NOON),
            "scale": words("scale", most=12),
            "meal": choice("meal", of=["before", "after"]),
            "checked": choice("checked", of={"yes": True}),
        }
    ),
    "made": EntryForm(
        {
            "kind": "batch_made",
            "foods": [{"food": "stew", "cans": ml("food_0", field="cans", unit="cans", above=0, high=100)}],
            "water_ml": ml("water", field="water", unit="mL of water", high=5000),
            "ml": ml("jug", field="jug", above=0, high=5000, instead=or_nothing(), without=["batch_g"]),
            "batch_g": ml(
                "batch_g", field="batch g", unit="g", above=0, high=20000, instead=or_nothing(), needs=["sample_ml"]
            ),
            "sample_ml": ml(
                "sample_ml", field="sample mL", above=0, high=5000, instead=or_nothing(), needs=["sample_g"]
            ),
            "sample_g": ml(
                "sample_g", field="sample g", unit="g", above=0, high=5000, instead=or_nothing(), needs=["batch_g"]
            ),
            "batch": words("batch", most=12),
            "made_on": "2026-11-24",
        }
    ),
    "note": EntryForm({"kind": "note", "text": words("text", needed=NEEDED)}),
}
"""One form of each shape: every kind of place, with and without limits."""

SPACES = ["", "", "", " ", "\t", "\u00a0", "\u2009", "\u3000", "\x1f"]
NUMBERS: list[Callable[[random.Random], str]] = [
    lambda chance: str(chance.randint(0, 12000)),
    lambda chance: f"{chance.uniform(0, 80):.{chance.randint(0, 4)}f}",
    lambda chance: f"{chance.uniform(0, 80):.1f}".replace(".", ","),
    lambda chance: chance.choice(
        [".5", "5.", "5.0", "0.50", "007", "0", "-0", "-3", "+4", "1,000", "0,500", "1 000", "12 345.5"]
    ),
    lambda chance: chance.choice(
        ["", "abc", "1e3", "½", "1.2.3", "--1", "9" * 31, "9" * 12, "0." + "1" * 25, "٣", "nothing", NOT_KNOWN]
    ),
]
UNITS = ["mg", "mcg", "g", "µg", "ug", "kg", "mg ", " mg", "", "Mg", "units", " unit", "mEq", "mmol ", "U", "IU", "meq"]
VOLUMES = [
    "mL",
    "ml",
    "5 mL",
    "1.0 mL",
    "0 mL",
    "L",
    "cc",
    "tablet",
    "capsule",
    "tablets",
    "drop ",
    "vial",
    "",
    "2.5 mL",
]
EXPIRIES = [
    "EXP 03/2027", "exp. 3/2027", "Use by March 2026", "use before mar 2027", "use before the end of May 2027",
    "End of feb 2028", "2027-02-28", "use before 2027-03-01", "EXP: 2027-02-30", "13/2027", "ju 2027", "jun 2027",
    "J 2027", "soon", "03/27", "expiry date: 12/2030", "  EXPIRES 1 / 2031 ", "0000-01-01", "00/2027", "use by 01/0000",
]  # fmt: skip
TEXTS = [
    "",
    "  ",
    "K7",
    "  a lot of words with an end  ",
    "two\r\nlines",
    "tab\there",
    "bell\x07",
    "🐕🐕🐕🐕🐕🐕🐕🐕🐕🐕🐕🐕🐕",
    "e\u0301tat",
]


def a_number(chance: random.Random) -> str:
    return chance.choice(SPACES) + chance.choice(NUMBERS)(chance) + chance.choice(SPACES)


def a_strength(chance: random.Random) -> str:
    if chance.random() < 0.1:
        return chance.choice(["1 %", "0.5%", "0 %", ".5 %", "-1 %", "10 mg", "40 units", "", "x", "/", "5 mg/5"])
    one, other = chance.choice(SPACES), chance.choice(SPACES)
    return f"{a_number(chance)}{one}{chance.choice(UNITS)}/{other}{chance.choice(VOLUMES)}"


def a_plain_strength(chance: random.Random) -> str:
    """As labels have it, so that many of them are the same in other words."""
    return chance.choice(
        ["1 mg/mL", "1000 mcg/mL", "0.1 %", "5 mg/5 mL", "10 mg/mL", "1 %", "2 mg/mL", "2.2 mg/mL", "2.2046 mg/mL",
         "5 mg/tablet", "5000 mcg/tablet", "5 mg/capsule", "50 mg/tablet", "5 mg/drop", "nonsense",
         "0.5 mg/mL", "1 g/mL", "40 units/mL", "100 units/mL", "200 units/5 mL", "1 unit/mL", "2 mEq/mL", "1 mmol/mL",
         "5 units/tablet", "50 U/mL", "40 units"]
    )  # fmt: skip


def a_weight(chance: random.Random, name: str) -> str:
    """Mostly one of kg and lb, near to what an animal weighs."""
    if chance.random() < (0.3 if name == "kg" else 0.6):
        return ""
    if chance.random() < 0.3:
        return a_number(chance)
    most = {"kg": 40.0, "lb": 60.0, "oz": 17.0}[name]
    return f"{chance.uniform(0, most):.{chance.randint(0, 3)}f}"


def typed(chance: random.Random, form: EntryForm) -> dict[str, str]:
    """Something in each field, as a browser would send it."""
    fields: dict[str, str] = {}
    inside = [one for value in form.fact.values() if isinstance(value, list) for one in value if isinstance(one, dict)]
    for value in (*form.fact.values(), *(place for one in inside for place in one.values())):
        for name in value.get("typed", []) if isinstance(value, dict) else []:
            if chance.random() < 0.08:
                continue
            kind = value["as"]
            if kind in ("number", "exact"):
                fields[name] = a_number(chance)
            elif kind == "weight":
                fields[name] = a_weight(chance, name)
            elif kind == "strength":
                fields[name] = chance.choice([a_strength, a_plain_strength])(chance)
            elif kind == "printed day":
                fields[name] = chance.choice(["", chance.choice(EXPIRIES)])
            elif kind == "day":
                fields[name] = chance.choice(
                    ["", "2027-02-28", "2027-02-29", "2028-02-29", "20270228", "2027-W01-1", "x", "0000-01-01"]
                )
            elif kind == "words":
                fields[name] = chance.choice(TEXTS)
            elif kind == "choice":
                fields[name] = chance.choice(
                    ["", "me", "yes", "before", "oil", "liquid", str(SAM), str(NOOR), "toString", "__proto__"]
                )
            elif kind == "tick" and chance.random() < 0.5:
                fields[name] = "yes"
    return fields


def as_the_server_reads(form: EntryForm, fields: dict[str, str]) -> dict[str, Any]:
    try:
        payload = form.read(fields)
    except FillmarkError as error:
        return {"fault": str(error)}
    read_payload(payload)  # what the form lets through, the record takes
    return {
        "payload": payload,
        "told": say_payload(read_payload(payload), names=Names(medicines={"omeprazole": "Omeprazole"})),
    }


READ_FORMS = """
async (cases) => {
  const { fillIn, say } = await import("/static/phone/form.js");
  return cases.map(([fact, fields]) => {
    try {
      const payload = fillIn(fact, fields);
      return { payload, told: say(payload, { omeprazole: "Omeprazole" }) };
    } catch (fault) {
      return { fault: fault.message };
    }
  });
}
"""


@pytest.mark.hazard("H4")
@pytest.mark.parametrize(
    "many", [4000, pytest.param(100_000, marks=pytest.mark.long)], ids=["4,000 forms", "100,000 forms"]
)
def test_the_phone_makes_the_entry_that_the_server_makes(phone: Phone, transactional_db: None, many: int) -> None:
    """Payload, sentence and refusal are the same to the last letter, whatever is typed."""
    chance = random.Random(1105)
    forms = list(FORMS.values())
    cases = [(form, typed(chance, form)) for form in (chance.choice(forms) for _ in range(many))]
    page = phone()
    page.goto("/sign-in/")

    answers = page.evaluate(READ_FORMS, [[json.loads(form.facts)[0], fields] for form, fields in cases])
    wanted = [as_the_server_reads(form, fields) for form, fields in cases]
    assert sum("payload" in one for one in wanted) > many / 5, "too few forms that can be read"
    assert sum("fault" in one for one in wanted) > many / 5, "too few forms that are refused"
    for (form, fields), answer, want in zip(cases, answers, wanted, strict=True):
        assert answer == want, (form.fact["kind"], fields)


SAY_EACH = """
async (payloads) => {
  const { say } = await import("/static/phone/say.js");
  return payloads.map((payload) => say(payload, { omeprazole: "Omeprazole" }));
}
"""


def test_the_phone_says_each_kind_as_the_server_does(phone: Phone, transactional_db: None) -> None:
    """Of the kinds that it has a sentence for; the others no form writes."""
    page = phone()
    page.goto("/sign-in/")

    said = page.evaluate(SAY_EACH, list(ONE_OF_EACH_KIND))
    names = Names(medicines={"omeprazole": "Omeprazole"})
    pairs = [
        (words, say_payload(read_payload(payload), names=names))
        for words, payload in zip(said, ONE_OF_EACH_KIND, strict=True)
        if words
    ]
    assert len(pairs) >= 12
    assert [words for words, _ in pairs] == [words for _, words in pairs]


def a_liquid(form: str, strength: str | None) -> Medicine:
    return a_medicine().model_copy(update={"form": form, "strength": strength})


READ_STRENGTHS = """
async (cases) => {
  const { isSameStrength, strengthOf } = await import("/static/phone/amounts.js");
  const { findSlip } = await import("/static/phone/label.js");
  const slips = SLIPS;
  return cases.map(([form, planned, printed]) => {
    const [one, other] = [strengthOf(planned, form), strengthOf(printed, form)];
    return [Boolean(one && other && isSameStrength(one, other)), findSlip(other, one, slips)];
  });
}
"""


@pytest.mark.hazard("H3")
@pytest.mark.hazard("H4")
def test_the_phone_compares_strengths_as_the_record_does(phone: Phone, transactional_db: None) -> None:
    """The same strength in other words is the same; a slip of the pen is named in the same words."""
    chance = random.Random(30)
    forms = ["liquid", "drops", "tablet", "capsule", "powder", "nebulizer vial"]
    cases = [(chance.choice(forms), a_plain_strength(chance), a_plain_strength(chance)) for _ in range(3000)]
    page = phone()
    page.goto("/sign-in/")
    slips = json.dumps({"slips": SLIPS, "closeness": SLIP_CLOSENESS_FRACTION.value})
    answers = page.evaluate(READ_STRENGTHS.replace("SLIPS", slips), cases)

    same = 0
    for (form, planned, printed), answer in zip(cases, answers, strict=True):
        one, other = strength_of(a_liquid(form, planned)), strength_of(a_liquid(form, printed))
        old, new = strength_number(one), strength_number(other)
        slip = find_slip(value=new, reference=old) if old and new else None
        assert answer == [one is not None and one == other, slip], (form, planned, printed)
        same += bool(slip)
    assert same > 200


def a_bottle_history(chance: random.Random) -> list[KeptEntry]:
    """Bottles of two medicines, locks and their clearings, some of them taken back, in the order they arrived."""
    kept: list[KeptEntry] = []
    for place in range(chance.randint(0, 9)):
        at = NOON + timedelta(minutes=chance.randint(0, 4))
        corrects = None
        ids = [one.entry.id for one in kept]
        lock_ids = [one.entry.id for one in kept if one.entry.kind == "feeding_locked"]
        what = chance.random()
        if what < 0.2 and ids:
            payload: Any = Withdrawn(reason="A slip")
            corrects = chance.choice(ids)
        elif what < 0.35 and lock_ids:
            payload = FeedingCleared(locks=(chance.choice(lock_ids),), who="Dr. Marsh", vet_words="Feed again.")
        elif what < 0.55:
            payload = FeedingLocked(trouble=Trouble("tube-out"))
            corrects = chance.choice([None, None, *lock_ids])
        else:
            payload = BottleOpened(
                medicine=chance.choice(["drug", "other"]),
                strength=chance.choice(["1 mg/mL", "0.1 %", "10 mg/mL", "5 mg/tablet"]),
                ml=Decimal(50),
            )
        entry = an_entry(payload, at=at, corrects=corrects, id=make_entry_id(at=at, chance=chance.randbytes(10)))
        kept.append(
            KeptEntry(
                entry=entry, seq=place + 1, day=NOON.date(), by=NOOR, by_name="Noor", by_role=Role.LEAD, recorded_at=at
            )
        )
    return kept


READ_BOTTLES = """
async (cases) => {
  const { bottlesInUse, lockedByStrength, openLocks } = await import("/static/phone/record.js");
  return cases.map(([facts, entries]) => [
    Object.fromEntries(Object.entries(bottlesInUse(facts, entries)).map(([id, one]) => [id, one.id])),
    [...lockedByStrength(facts, entries)].sort(),
    openLocks(facts, entries).map((one) => one.id),
  ]);
}
"""


@pytest.mark.hazard("H3")
@pytest.mark.hazard("H12")
def test_the_phone_knows_bottles_and_locks_as_the_record_does(phone: Phone, transactional_db: None) -> None:
    """Which bottle is in use, which medicine is locked by it, and which entries lock feeding, whatever arrived when."""
    chance = random.Random(77)
    plan = [a_medicine(id=name, strength=strength) for name, strength in (("drug", "1 mg/mL"), ("other", "not stated"))]
    medicines = [
        {"id": one.id, "form": one.form, "strength": one.strength, "name": one.name, "bottle": None} for one in plan
    ]
    cases, wanted = [], []
    for _ in range(1500):
        kept = a_bottle_history(chance)
        counting = counting_entries(kept)
        bottles, lock = newest_bottles(counting), open_lock(kept)
        cases.append([{"medicines": medicines, "locks": []}, [entry_for_phone(one, names=Names()) for one in kept]])
        wanted.append(
            [
                {name: str(bottle.id) for name, bottle in bottles.items()},
                sorted(one.id for one in plan if strength_lock(one, bottle=bottles.get(one.id)) is not None),
                [str(one) for one in lock.entry_ids] if lock else [],
            ]
        )
    page = phone()
    page.goto("/sign-in/")

    for case, answer, want in zip(cases, page.evaluate(READ_BOTTLES, cases), wanted, strict=True):
        assert answer == want, case


@pytest.mark.hazard("H3")
def test_a_page_that_was_made_before_a_bottle_was_opened_still_closes_the_medicine(
    phone: Phone, transactional_db: None
) -> None:
    """The page's own bottle counts, also one older than the kept week, until the record has a newer one."""
    old, new = {"id": "01", "at": 1, "strength": "1 mg/mL"}, {"id": "02", "at": 2, "strength": "10 mg/mL"}
    page = phone()
    page.goto("/sign-in/")

    def locked(bottle: dict[str, Any] | None, *strengths: str) -> list[str]:
        medicine = {"id": "drug", "form": "liquid", "strength": "1 mg/mL", "bottle": bottle}
        payloads = [{"kind": "bottle_opened", "medicine": "drug", "strength": text} for text in strengths]
        entries = [{"id": "03", "at": 3, "corrects": None, "payload": payload} for payload in payloads]
        _, found, _ = page.evaluate(READ_BOTTLES, [[{"medicines": [medicine], "locks": []}, entries]])[0]
        return list(found)

    assert locked(None) == []
    assert locked(old) == []
    assert locked(new) == ["drug"]
    assert locked(old, "10 mg/mL") == ["drug"]
    assert locked(new, "0.1 %") == []


AGREES = """
async (cases) => {
  const { agrees } = await import("/static/second_check/agrees.js");
  return cases.map(([check, drawn]) => agrees(check, drawn));
}
"""


@pytest.mark.hazard("H6")
def test_the_phone_compares_a_second_reading_as_the_record_does(phone: Phone, transactional_db: None) -> None:
    """Within half a step of the syringe, its edges included, or the same count of pieces."""
    chance = random.Random(9)
    orders = [a_medicine(), a_tablet(dose="5 mg", tablet_parts=2)]
    doses = [PlannedDose(medicine=one, working=draw(one, weight_kg=17, syringes=[TEN])) for one in orders]
    cases, wanted = [], []
    for _ in range(600):
        dose = chance.choice(doses)
        text = chance.choice(
            ["0.5", "1", "0.25", "5", "4.9", "5.1", "4.89", "5.10001", f"{chance.uniform(4.7, 5.3):.3f}"]
        )
        check = SecondCheck(medicine="drug", **{chance.choice(["ml", "pieces"]): Decimal(text)})
        cases.append([check.model_dump(mode="json", exclude_none=True), drawn_facts(dose)])
        wanted.append(agrees(check, drawn=dose.drawn))
    page = phone()
    page.goto("/sign-in/")

    assert page.evaluate(AGREES, cases) == wanted
    assert 50 < sum(wanted) < 550
