"""Is what a second person read the dose? Within half a step of the syringe, or the same count."""

from datetime import timedelta
from decimal import Decimal

import pytest
from pydantic import ValidationError

from fillmark.core.doses.second_check import agrees, find_check, say_reading
from fillmark.core.orders.drawing import draw
from fillmark.core.record.care_entries import Note
from fillmark.core.record.medicine_entries import SecondCheck
from tests.support.builders import NOON, NOOR, SAM, a_kept
from tests.support.medicines import TEN, a_medicine, a_tablet

SYRINGE = draw(a_medicine(), weight_kg=17, syringes=[TEN]).value
"""5 mL in a 10 mL syringe with a line every 0.2 mL."""
TABLET = draw(a_tablet(dose="5 mg", tablet_parts=2), weight_kg=17, syringes=[TEN]).value
"""Half a tablet."""


def read(**amount: str) -> SecondCheck:
    return SecondCheck(medicine="drug", **{name: Decimal(text) for name, text in amount.items()})


@pytest.mark.hazard("H6")
@pytest.mark.parametrize(
    ("ml", "is_it"), [("5", True), ("4.9", True), ("5.1", True), ("4.89", False), ("5.11", False), ("50", False)]
)
def test_a_reading_within_half_a_step_is_the_dose(ml: str, is_it: bool) -> None:
    """Half of 0.2 mL either way, the edges included."""
    assert agrees(read(ml=ml), drawn=SYRINGE) is is_it


@pytest.mark.parametrize(("pieces", "is_it"), [("0.5", True), ("1", False), ("0.25", False)])
def test_pieces_are_the_same_or_not(pieces: str, is_it: bool) -> None:
    """There is no nearly."""
    assert agrees(read(pieces=pieces), drawn=TABLET) is is_it


def test_a_volume_of_a_tablet_and_pieces_of_a_liquid_never_agree() -> None:
    """They are about something else."""
    assert not agrees(read(pieces="5"), drawn=SYRINGE)
    assert not agrees(read(ml="0.5"), drawn=TABLET)


@pytest.mark.parametrize(
    ("check", "drawn", "words"),
    [
        (read(ml="5.20"), SYRINGE, "5.2 mL"),
        (read(pieces="1"), TABLET, "1 tablet"),
        (read(pieces="0.5"), TABLET, "0.5 tablets"),
        (read(pieces="2"), SYRINGE, "2 pieces"),
    ],
)
def test_a_reading_is_told_in_its_own_unit(check: SecondCheck, drawn: object, words: str) -> None:
    """Without a trailing zero."""
    assert say_reading(check, drawn=drawn) == words


@pytest.mark.parametrize(("minutes", "is_found"), [(-61, False), (-60, True), (60, True), (61, False)])
def test_a_reading_without_a_session_belongs_to_a_dose_within_the_hour(minutes: int, is_found: bool) -> None:
    """Before it or after it; what is no reading is left aside."""
    at = NOON.replace(hour=7) + timedelta(minutes=100)
    entries = [a_kept(read(ml="5"), minute=100 + minutes, by_name="Sam"), a_kept(Note(text="x"), minute=100)]

    found = find_check(entries, medicine_id="drug", session="2026-11-25T08:00", at=at, by=NOOR, drawn=SYRINGE)

    assert (found is not None) == is_found
    if found is not None:
        assert (found.by, found.by_name, found.read, found.agrees) == (SAM, "Sam", "5 mL", True)


def test_another_medicines_reading_is_none() -> None:
    """Nor is the giver's own."""
    at = NOON.replace(hour=7)
    checks = [a_kept(read(ml="5"), by_name="Sam")]
    assert find_check(checks, medicine_id="other", session=None, at=at, by=NOOR, drawn=SYRINGE) is None
    assert find_check(checks, medicine_id="drug", session=None, at=at, by=SAM, drawn=SYRINGE) is None


@pytest.mark.parametrize(
    ("named", "minutes", "is_found"),
    [
        ("2026-11-25T08:00", 0, True),
        ("2026-11-25T08:00", 300, True),
        ("2026-11-25T20:00", 0, False),
        (None, 0, True),
        (None, 300, False),
    ],
)
def test_a_reading_that_names_its_session_belongs_to_no_other(named: str | None, minutes: int, is_found: bool) -> None:
    """However near or far in time; one that names none is judged by the clock."""
    at = NOON.replace(hour=7)
    check = a_kept(SecondCheck(medicine="drug", ml=Decimal(5), session=named), minute=minutes, by_name="Sam")

    for session in ("2026-11-25T08:00", None):
        found = find_check([check], medicine_id="drug", session=session, at=at, by=NOOR, drawn=SYRINGE)
        assert (found is not None) == (is_found if session else minutes == 0)


def test_on_a_shared_phone_the_reading_is_that_of_who_was_named() -> None:
    """Noor is signed in and gives it: Sam's reading on her phone counts, her own does not."""
    at = NOON.replace(hour=7)
    named = a_kept(SecondCheck(medicine="drug", ml=Decimal(5), reader=SAM, reader_name="Sam"), by_name="Noor")
    own = a_kept(SecondCheck(medicine="drug", ml=Decimal(5), reader=NOOR, reader_name="Noor"), by_name="Sam")

    found = find_check([named], medicine_id="drug", session=None, at=at, by=NOOR, drawn=SYRINGE)
    assert found is not None
    assert (found.by, found.by_name, found.agrees) == (SAM, "Sam", True)
    assert find_check([own], medicine_id="drug", session=None, at=at, by=NOOR, drawn=SYRINGE) is None


def test_a_reader_is_named_with_what_the_household_calls_them() -> None:
    """Neither stands alone."""
    with pytest.raises(ValidationError, match="both reader and reader_name, or neither"):
        SecondCheck(medicine="drug", ml=Decimal(5), reader=SAM)
