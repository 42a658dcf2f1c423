"""Doses and strengths as they are written: "5 mg", "0.5 mg/kg", "1.5 pieces", "10 mg/mL"."""

import re
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from typing import Literal

from fillmark.core.values.errors import WrongUnit
from fillmark.core.values.other_amounts import OtherAmount, OtherStrength
from fillmark.core.values.quantities import KG_PER_LB, Mass, Strength, Volume, read_amount, write_number

Form = Literal["liquid", "tablet", "capsule", "powder", "drops", "nebulizer vial"]


Route = Literal["tube", "mouth", "nebulizer", "ear", "skin", "eye", "patch", "under the skin"]


PIECE_NAMES: dict[Form, str] = {
    "tablet": "tablet",
    "capsule": "capsule",
    "powder": "sachet",
    "drops": "drop",
    "nebulizer vial": "vial",
}
"""What is counted when a medicine is not drawn up: the last word of its strength, and of a dose counted in pieces."""


MOST_READ = 4096
"""How many texts are kept as read: more than the plans of a busy hour hold."""


@dataclass(frozen=True, kw_only=True, slots=True)
class PerKg:
    """A dose for each kg of the animal."""

    amount: Mass | OtherAmount

    def __str__(self) -> str:
        return f"{self.amount}/kg"


@dataclass(frozen=True, kw_only=True, slots=True)
class Pieces:
    """A dose as a number of drops, vials, sachets or capsules, where no mass was ordered."""

    count: Decimal
    piece: str

    def __str__(self) -> str:
        return f"{write_number(self.count)} {self.piece}{'' if self.count == 1 else 's'}"


Dose = Mass | OtherAmount | PerKg | Pieces


def read_dose(text: str, *, form: Form, field: str = "dose") -> Dose:
    """A dose as a person writes it; never mL alone, since the bottle's strength may change.

    Args:
        text: Such as "2.5 mg", "0.1 mg/kg", "3 units" or "5 drops".
        form: What the medicine is: a liquid, tablets, …
        field: What the message calls it.
    Raises:
        WrongUnit: mL, no unit, an amount per lb or for a whole day, or a piece that this form has none of.
        BadNumber: the number is none, invites a tenfold slip, or is 0.
    Source:
        arithmetic only
    """
    return _read_dose(text, form, field)


# a text always reads the same: an order is parsed where its plan is read, and not again at each dose
@lru_cache(maxsize=MOST_READ)
def _read_dose(text: str, form: Form, field: str) -> Dose:
    piece = PIECE_NAMES.get(form)
    told = re.fullmatch(r"(.+?)\s+of\s+(.+)", text)
    # a number of tablets is no order: another strength would be another dose
    if told:
        dose: Dose = _of_a_strength(told[1], told[2], form, field)
    elif piece and (counted := re.fullmatch(rf"\s*(\S+)\s+{piece}s?\s*", text)) and form != "tablet":
        count = read_amount(f"{counted[1]} {piece}", field=field, units={piece: Decimal(1)})
        dose = Pieces(count=count, piece=piece)
    elif form == "tablet" and re.search(r"\btablets?\s*$", text):
        raise WrongUnit(
            field=field,
            got=f'"{text[:40]}" for {field}, in tablets',
            allowed="mg, or tablets of a stated strength",
            remedy="The same tablet of another strength is another dose: write of which strength it is, such as "
            "1½ tablets of 5 mg.",
        )
    elif re.search(r"\d\s*(mL|ml|cc|L)\s*(/.*)?$", text):
        raise WrongUnit(
            field=field,
            got=f'"{text[:40]}" for {field}, in a volume',
            allowed="mg, mcg, g, or one of them per kg, such as 1.8 mg or 0.1 mg/kg",
            remedy="The same mL of another bottle can be ten times as much: ask the vet for the dose in mg, or write "
            "of which strength it is, such as 1 mL of 5 mg/mL.",
        )
    elif re.search(r"(?:/|\bper\b)\s*(?:day|d|24\s*h(?:ours)?)\b", text):
        raise _for_a_day(text, field)
    elif re.search(r"(?:/|\bper\b)\s*(?:lbs?|pounds?)\b", text):
        raise _per_pound(text, field)
    elif re.fullmatch(r".*/\s*kg\s*", text):
        dose = PerKg(amount=read_given(text[: text.rindex("/")], field))
    else:
        dose = read_given(text, field)
    if bare_amount(dose) == 0:
        raise WrongUnit(
            field=field,
            got=f'"{text[:40]}" for {field}',
            allowed="more than 0",
            remedy="Read the vet's order again; a medicine that is stopped is taken out or held.",
        )
    return dose


def _of_a_strength(amount: str, strength: str, form: Form, field: str) -> Mass:
    """A dose told as mL or pieces of a stated strength: the mass that they hold, whatever bottle it is given from."""
    piece = PIECE_NAMES.get(form)
    is_bare = piece and "/" not in strength  # "of 10 mg": each of them holds that much
    held = read_strength_text(f"{strength}/{piece}" if is_bare else strength, form)
    if isinstance(held, Strength):
        return Mass(mg=Volume.read(amount, field=field).ml * held.mg_per_ml)
    if isinstance(held, Mass) and piece:
        pieces = re.sub(rf"\b{piece}s\b", piece, _in_tenths(amount))
        return Mass(mg=read_amount(pieces, field=field, units={piece: Decimal(1)}) * held.mg)
    raise WrongUnit(
        field=field,
        got=f'"{amount[:20]} of {strength[:20]}" for {field}',
        allowed="mL of a strength in mg/mL, or pieces of a strength in mg",
        remedy="Ask the vet for the dose in mg.",
    )


_PARTS = {"½": Decimal("0.5"), "1/2": Decimal("0.5"), "¼": Decimal("0.25"), "1/4": Decimal("0.25"),
          "¾": Decimal("0.75"), "3/4": Decimal("0.75")}  # fmt: skip
_WITH_PART = re.compile(r"\s*(?:(\d{1,2})\s*(?=[½¼¾])|(\d{1,2})\s+(?=\d/))?(½|¼|¾|1/2|1/4|3/4)(?=\s)")


def _in_tenths(amount: str) -> str:
    """An amount of pieces with its half or quarter as a decimal: "1½ tablets" is "1.5 tablets"; another as it is."""
    found = _WITH_PART.match(amount)
    if found is None:
        return amount
    return f"{Decimal(found[1] or found[2] or 0) + _PARTS[found[3]]}{amount[found.end() :]}"


def read_given(text: str, field: str) -> Mass | OtherAmount:
    """A mass, or units, mEq or mmol.

    Args:
        text: What a person wrote.
        field: What the message calls it.
    """
    return OtherAmount.read(text, field=field) if OtherAmount.stands_in(text) else Mass.read(text, field=field)


def _for_a_day(text: str, field: str) -> WrongUnit:
    shown, example = " ".join(text.split())[:40], ""
    amount = re.match(r"\s*(\d+(?:\.\d+)?)\s*([A-Za-z]+(?:\s*/\s*kg)?)", text)
    if amount:
        half = f"{write_number(Decimal(amount[1]) / 2)} {amount[2]}"
        example = f": in 2 doses a day, {half} for each"
    return WrongUnit(
        field=field,
        got=f'"{shown}" for {field}, the amount of a whole day',
        allowed="the amount of one dose, such as 1.8 mg or 0.1 mg/kg",
        remedy=f"Divide it by the doses of a day and write that{example}. How often is every_hours or times_per_day; "
        "ask the vet where it is not said.",
    )


def _per_pound(text: str, field: str) -> WrongUnit:
    shown, example = " ".join(text.split())[:40], ""
    amount = re.match(r"\s*(\d+(?:\.\d+)?)\s*([A-Za-z]+)", text)
    if amount:
        per_kg = write_number(Decimal(amount[1]) / KG_PER_LB, digits=3)
        example = f": {write_number(Decimal(amount[1]))} {amount[2]}/lb is {per_kg} {amount[2]}/kg"
    return WrongUnit(
        field=field,
        got=f'"{shown}" for {field}, an amount for each pound',
        allowed="an amount for each kg, such as 0.1 mg/kg",
        remedy=f"Multiply it by 2.205{example}. Ask the vet to read it back, with the weight in kg.",
    )


def bare_amount(dose: Dose) -> Decimal:
    """A dose as a bare number, to hold doses of one kind against each other."""
    match dose:
        case Pieces(count=number) | OtherAmount(number=number) | Mass(mg=number):
            return number
        case PerKg(amount=amount):
            return bare_amount(amount)


StrengthRead = Strength | OtherStrength | Mass | OtherAmount


@lru_cache(maxsize=MOST_READ)
def read_strength_text(text: str, form: Form) -> StrengthRead:
    """What a strength as it is written means for a form.

    Args:
        text: Such as "1 mg/mL", "125 mg/5 mL", "1 %", "40 units/mL" or "5 mg/tablet".
        form: What the medicine is: a liquid, tablets, …
    Raises:
        WrongUnit: the unit does not fit the form.
        BadNumber: the number is none, or invites a tenfold slip.
    Source:
        arithmetic only
    """
    piece = PIECE_NAMES.get(form)
    if piece and (match := re.fullmatch(rf"(.*)/\s*{piece}\s*", text)):
        held = read_given(match[1], "strength")
        if bare_amount(held) == 0:
            raise WrongUnit(
                field="strength",
                got=f'"{text}" for strength',
                allowed="more than 0 mg",
                remedy="Copy the strength from the label.",
            )
        return held
    if form in ("tablet", "capsule"):
        raise WrongUnit(
            field="strength",
            got=f'"{text}" for strength of a {form}',
            allowed=f"a mass in each {piece}, such as 5 mg/{piece}",
            remedy="Copy the strength from the label.",
        )
    if OtherAmount.stands_in(text.partition("/")[0]):
        return OtherStrength.read(text, field="strength")
    return Strength.read(text, field="strength")


def unit_of(amount: StrengthRead | Dose) -> str:
    """What an amount or a strength counts: "mg", "units", "mEq", "mmol", or a piece.

    Args:
        amount: As it was read.
    """
    match amount:
        case OtherAmount(unit=unit) | OtherStrength(unit=unit):
            return unit
        case PerKg(amount=given):
            return unit_of(given)
        case Pieces(piece=piece):
            return piece
    return "mg"


def number_of(strength: StrengthRead) -> Decimal:
    """How much a strength holds in a mL or in a piece, as a bare number of its unit.

    Args:
        strength: As it was read.
    """
    match strength:
        case Strength(mg_per_ml=number) | OtherStrength(per_ml=number) | OtherAmount(number=number) | Mass(mg=number):
            return number
