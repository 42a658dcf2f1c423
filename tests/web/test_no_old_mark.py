"""While a medicine is locked for another strength, or on hold, no page and no paper says how much to draw of it."""

import re
from datetime import UTC, datetime
from decimal import Decimal
from io import BytesIO

import pytest
import time_machine
from pypdf import PdfReader

from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record.medicine_entries import BottleOpened, MedicineGiven, Outcome
from tests.journeys.household import Household, quarry_lane
from tests.support.builders import junipers_plan
from tests.web.test_screens import a_phone

MORNING = datetime(2026, 11, 25, 5, 30, tzinfo=UTC)
MARK = re.compile(r"(?<![0-9])5\.2 mL")
HELD = "Vomiting since Tuesday. Dr. Marsh"


def pages(home: Household) -> dict[str, str]:
    """What a person reads on the plan's page, in the chart, on the week's paper, and on a sheet to write on."""
    client, at = a_phone(home), f"/{home.animal_id}"
    read = {}
    for name in ("plan/", "chart/"):
        read[name] = re.sub(r"\s+", " ", re.sub(r"<[^>]*>", " ", client.get(f"{at}/{name}").content.decode()))
    sheets = {
        "paper": client.get(f"{at}/chart/2026-11-23/paper/"),
        "sheet": client.post(f"{at}/chart/sheet/", {"entry_id": "01a21401-f6f8-74e5-9863-1953271dadd3"}),
    }
    for name, answer in sheets.items():
        assert answer["Content-Type"] == "application/pdf"
        text = " ".join(page.extract_text() for page in PdfReader(BytesIO(answer.content)).pages)
        read[name] = re.sub(r"\s+", " ", text)
    return read


@pytest.mark.hazard("H5")
def test_a_locked_medicine_has_no_mark_on_any_page_and_paper(db: None) -> None:
    """5.2 mL of the bottle of 1 mg/mL are ten times the dose out of the one of 10 mg/mL."""
    with time_machine.travel(MORNING, tick=True):
        home = quarry_lane(now=MORNING)
        for name, text in pages(home).items():
            assert MARK.search(text), name
        home.write(BottleOpened(medicine="metoclopramide", strength="10 mg/mL", ml=Decimal(50)), at=MORNING)
        read = pages(home)
    for name, text in read.items():
        assert not MARK.search(text), name
        assert "draw none of it: the bottle opened by Noor says 10 mg/mL and the plan says 1 mg/mL" in text, name
        assert "6 mL" in text, name  # the other medicine


def on_hold() -> CarePlan:
    plan = junipers_plan()
    first, *others = plan.medicines
    return plan.model_copy(update={"medicines": (first.model_copy(update={"held": HELD}), *others)})


@pytest.mark.hazard("H40")
def test_a_medicine_on_hold_has_no_mark_on_any_page_and_paper(db: None) -> None:
    """It says why, and nothing that a hand could draw."""
    with time_machine.travel(MORNING, tick=True):
        read = pages(quarry_lane(now=MORNING, plan=on_hold()))
    for name, text in read.items():
        assert not MARK.search(text), name
        assert f"on hold: {HELD}" in text, name


@pytest.mark.hazard("H40")
def test_a_dose_that_was_held_does_not_look_drawn(db: None) -> None:
    """Its record says how much was ordered, and not how many mL of which bottle."""
    session = "2026-11-24T22:30"
    with time_machine.travel(MORNING, tick=True):
        home = quarry_lane(now=MORNING)
        home.write(BottleOpened(medicine="metoclopramide", strength="10 mg/mL", ml=Decimal(50)), at=MORNING)
        held = MedicineGiven(
            session=session,
            medicine="metoclopramide",
            dose_mg=Decimal("5.22"),
            ml=Decimal("0.52"),
            outcome=Outcome.HELD,
            reason="Vomiting",
        )
        home.write(held, at=MORNING)
        read = pages(home)
        day = a_phone(home).get(f"/{home.animal_id}/day/2026-11-24/").content.decode()
    assert "5.22 mg, held" in read["chart/"]
    assert "Metoclopramide (5.22 mg): held. Vomiting" in day
    for text in (*read.values(), day):
        assert "0.52 mL" not in text
