"""Sheets that were damaged on their way: digits dropped, units swapped, lines torn, another decimal sign.

Nothing crashes, nothing is proposed without its words, and a number that a check is named for (hazards H3 to H5, H28)
does not pass into a plan changed and unasked. What a sheet says is told twice in these, as careful clinics do.
"""

import json
import random
import re
from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from fillmark.core.gates.plan_gate import check_plan
from fillmark.core.orders.dose_text import bare_amount, read_dose
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.draft import Draft
from fillmark.core.plan.reading import read_plan, write_plan
from fillmark.core.plan.sheet import SheetRead, read_sheet
from fillmark.core.plan.sheet_to_draft import confirm, with_sheet
from fillmark.core.values.document import read_document
from fillmark.core.values.errors import FillmarkError
from fillmark.core.values.finding import Weight
from fillmark.core.values.quantities import KG_PER_LB, write_number
from fillmark.examples import example_plan
from tests.support.sheets import sheets

ON = date(2026, 11, 25)
TOLD_TWICE = (
    """
Patient: Juniper   Species: dog   Date: 2026-11-24
Weight: 17.4 kg (38.4 lb)
PEG tube 20 Fr, 6.5 cm at the skin
Energy: 750 kcal/day. The blend holds 1.5 kcal/mL. 5 meals a day of 100 mL.
Flush 10 mL before and 15 mL after.
Metoclopramide 1 mg/mL: 0.2 mg/kg = 3.5 mg (3.5 mL) by tube every 8 hours
Maropitant 16 mg tablets: 2 mg/kg = 36 mg (2 1/4 tablets) by mouth every 24 hours
Omeprazole 2 mg/mL: 1 mg/kg = 17 mg (8.5 mL) by tube every 12 hours
""",
    """
NAME: Juniper
SPECIES: Canine
WEIGHT: 38.4 lb = 17.4 kg
DATE: 24 November 2026

FEEDING
4 meals per day
120 mL per meal
Daily energy requirement 720 kcal
Blend: 1.5 kcal/mL

MEDICATIONS
Gabapentin
  50 mg/mL
  Give 175 mg (3.5 mL, 10 mg/kg) by tube every 8 hours
Sucralfate
  1 g tablets
  Give 1 tablet (1000 mg) by tube every 8 hours
""",
)
SWAPS = (
    ("kg", "lb"),
    ("lb", "kg"),
    ("mg", "mcg"),
    ("mg", "g"),
    ("mL", "L"),
    ("mL", "cups"),
    ("kcal", "kJ"),
    ("hours", "days"),
)


def damaged(text: str, chance: random.Random) -> str:
    """A sheet with one thing wrong."""
    digits = [match.start() for match in re.finditer(r"\d", text)]
    match chance.randrange(5):
        case 0:
            at = chance.choice(digits)
            return text[:at] + text[at + 1 :]
        case 1:
            old, new = chance.choice(SWAPS)
            places = [found.start() for found in re.finditer(rf"(?<=[\d ]){old}\b", text)]
            if not places:
                return text
            at = chance.choice(places)
            return text[:at] + new + text[at + len(old) :]
        case 2:
            at = chance.randrange(len(text))
            return text[:at] + chance.choice(("\n", "\n\n", "")) + text[at:]
        case 3:
            points = [found.start() for found in re.finditer(r"(?<=\d)[.,](?=\d)", text)]
            at = chance.choice(points) if points else 0
            return text[:at] + {".": ",", ",": "."}.get(text[at], text[at]) + text[at + 1 :]
    points = [found.start() for found in re.finditer(r"(?<=\d)[.,](?=\d)", text)]
    at = chance.choice(points) if points else chance.choice(digits)
    return text[:at] + text[at + 1 :]


def amounts_of(read: SheetRead) -> dict[str, float]:
    """The numbers that a check is named for, each in one unit; medicines by their name."""
    found = {one.key: one for one in read.answers}
    names = {key.partition(".")[0]: str(one.value)[:5].lower() for key, one in found.items() if key.endswith("].name")}
    amounts = {}
    for key, one in found.items():
        place = key.partition(".")[0]
        if key.startswith("animal.weights[1].") and key[-2:] in ("kg", "lb"):
            amounts["weight"] = float(one.value) * (float(KG_PER_LB) if key.endswith("lb") else 1)
        elif key in ("orders.energy.kcal_per_day", "orders.meals_per_day", "orders.meal_ml"):
            amounts[key] = float(one.value)
        elif key.startswith("medicines") and key.endswith("].dose") and place in names:
            form = found[f"{place}.form"].value if f"{place}.form" in found else "liquid"
            amounts[f"dose of {names[place]}"] = float(bare_amount(read_dose(str(one.value), form=form)))
    return amounts


def changed(read: SheetRead, truth: dict[str, float]) -> dict[str, float]:
    """What is proposed and is not what the sheet said before it was damaged."""
    return {
        key: value for key, value in amounts_of(read).items() if key in truth and abs(value / truth[key] - 1) > 0.11
    }


BASE = json.loads(write_plan(read_plan(example_plan("juniper"), kind="toml")))


def asked_by_the_gate(read: SheetRead, text: str) -> Iterator[str]:
    """What the plan's own gate asks when everything proposed is confirmed: the household's part is the example's."""
    draft = with_sheet(Draft(document={"format": BASE["format"], "household": BASE["household"]}), read, text=text)
    ticked: dict[str, list[str]] = {}
    for one in draft.sheet.proposed if draft.sheet else ():
        ticked.setdefault(one.spot_id, []).append(one.name)
    draft, faults = confirm(draft, ticked)
    yield from (f"{id_}: {fault}" for id_, fault in faults.items())
    try:
        plan = read_document(CarePlan, _whole(draft.document))
    except FillmarkError as error:
        yield from (str(one) for one in (error, *error.also))
        return
    found = check_plan(plan, on=ON)
    yield from (one.text for one in found.findings if one.weight in (Weight.REFUSED, Weight.NEEDS_VET, Weight.ASKED))
    yield from [str(found.fault)] if found.fault else ()


def _whole(document: dict[str, Any]) -> dict[str, Any]:
    """A draft with the example's own tube, food, blend and syringes beside what the sheet says."""
    kept = {key: BASE[key] for key in ("foods", "blend", "syringes", "vet")}
    animal = {**document.get("animal", {}), "tube": BASE["animal"]["tube"]}
    orders = {**BASE["orders"], **document.get("orders", {})}
    return {**document, **kept, "animal": animal, "orders": orders}


def new_asks(read: SheetRead, text: str, whole: SheetRead, whole_text: str) -> set[str]:
    """What is asked of a damaged sheet, on reading or by the gate, and was not asked of the whole one."""
    said = {f"{one.key}: {one.why}" for one in read.ask if one.words}
    return (said | set(asked_by_the_gate(read, text))) - set(asked_by_the_gate(whole, whole_text))


@pytest.mark.parametrize("count", [60, pytest.param(2000, marks=pytest.mark.long)])
def test_no_changed_number_passes_without_a_question(count: int) -> None:
    """From the text through the draft to the gate, as the pages go."""
    chance = random.Random(28)
    whole = [read_sheet(text)[0] for text in TOLD_TWICE]
    assert [len(amounts_of(one)) for one in whole] == [7, 6]
    assert [[one.why for one in read.ask if one.words] for read in whole] == [[], []]
    passed, asked = [], 0
    for number in range(count):
        which = number % len(TOLD_TWICE)
        text = damaged(TOLD_TWICE[which], chance)
        for read in read_sheet(text):
            asked += any(one.words for one in read.ask)
            different = changed(read, amounts_of(whole[which]))
            if different and not new_asks(read, text, whole[which], TOLD_TWICE[which]):
                passed.append(f"{different} of {text!r}")

    assert passed == []
    assert asked > count / 5  # the damage is seen


@pytest.mark.parametrize("factor", [10, Decimal("0.1")])
@pytest.mark.parametrize(
    ("name", "strength", "mg"), [("Metoclopramide", "1 mg/mL", "3.5"), ("Omeprazole", "2 mg/mL", "17")]
)
def test_a_tenfold_dose_that_is_told_once_is_asked_by_the_gate(
    name: str, strength: str, mg: str, factor: Decimal
) -> None:
    """Nothing on the sheet speaks against it, print does: hazard H4."""
    sheet = "Patient: Juniper, dog, 17.4 kg, 2026-11-24\n{} {}: {} mg by tube every 12 hours"
    text, slip = (
        sheet.format(name, strength, write_number(Decimal(mg) * one)) for one in (Decimal(1), Decimal(factor))
    )
    whole, read = read_sheet(text)[0], read_sheet(slip)[0]

    assert changed(read, amounts_of(whole))
    assert any(name in one for one in new_asks(read, slip, whole, text))


@pytest.mark.parametrize("count", [60, pytest.param(2000, marks=pytest.mark.long)])
def test_no_damaged_sheet_breaks_the_reader(count: int) -> None:
    """Every invented sheet, with up to four things wrong; what is proposed has its words all the same."""
    chance = random.Random(13)
    texts = [
        one.text
        for name in ("held_out", "second_held_out", "third_held_out", "fourth_held_out", "fifth_held_out", "tuned")
        for one in sheets(name)
    ]
    for number in range(count):
        text = texts[number % len(texts)]
        for _ in range(chance.randint(1, 4)):
            text = damaged(text, chance)
        plain = " ".join(text.split())
        for read in read_sheet(text):
            amounts_of(read)
            assert all(word in plain for one in read.answers for word in one.words.split())
