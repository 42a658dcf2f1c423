"""Doses and strengths as they are written: "5 mg", "0.5 mg/kg", "1.5 pieces", "10 mg/mL"."""

import re
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from typing import Literal

from fillmark.core.values.errors import WrongUnit
from fillmark.core.values.quantities import Mass, read_amount, write_number

Form = Literal["liquid", "tablet", "capsule", "powder", "drops", "nebulizer vial"]


Route = Literal["tube", "mouth", "nebulizer", "ear", "skin"]


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
    """A dose as a mass for each kg of the animal."""

    mass: Mass

    def __str__(self) -> str:
        return f"{self.mass}/kg"


@dataclass(frozen=True, kw_only=True, slots=True)
class Pieces:
    """A dose as a number of drops, vials, sachets or capsules, where no mass was ordered."""

    count: Decimal
    piece: str

    def __str__(self) -> str:
        return f"{write_number(self.count)} {self.piece}{'' if self.count == 1 else 's'}"


def read_dose(text: str, *, form: Form, field: str = "dose") -> Mass | PerKg | Pieces:
    """A dose as a person writes it; never mL alone, since the bottle's strength may change.

    Args:
        text: Such as "2.5 mg", "0.1 mg/kg" or "1 tablet".
        form: What the medicine is: a liquid, tablets, …
        field: What the message calls it.
    Raises:
        WrongUnit: mL, no unit, or a piece that this form has none of.
        BadNumber: the number is none, invites a tenfold slip, or is 0.
    Source:
        arithmetic only
    """
    return _read_dose(text, form, field)


# a text always reads the same: an order is parsed where its plan is read, and not again at each dose
@lru_cache(maxsize=MOST_READ)
def _read_dose(text: str, form: Form, field: str) -> Mass | PerKg | Pieces:
    piece = PIECE_NAMES.get(form)
    # a number of tablets is no order: another strength would be another dose
    if piece and (counted := re.fullmatch(rf"\s*(\S+)\s+{piece}s?\s*", text)) and form != "tablet":
        amount = read_amount(f"{counted[1]} {piece}", field=field, units={piece: Decimal(1)})
        dose: Mass | PerKg | Pieces = Pieces(count=amount, piece=piece)
    elif re.search(r"\d\s*(mL|ml|cc|L)\s*(/.*)?$", text):
        raise WrongUnit(
            field=field,
            got=f'"{text[:40]}" for {field}, in a volume',
            allowed="mg, mcg, g, or one of them per kg, such as 1.8 mg or 0.1 mg/kg",
            remedy="The same mL of another bottle can be ten times as much: ask the vet for the dose in mg.",
        )
    elif re.fullmatch(r".*/\s*kg\s*", text):
        dose = PerKg(mass=Mass.read(text[: text.rindex("/")], field=field))
        amount = dose.mass.mg
    else:
        dose = Mass.read(text, field=field)
        amount = dose.mg
    if amount == 0:
        raise WrongUnit(
            field=field,
            got=f'"{text[:40]}" for {field}',
            allowed="more than 0",
            remedy="Read the vet's order again; a medicine that is stopped is taken out or held.",
        )
    return dose


def bare_amount(dose: Mass | PerKg | Pieces) -> Decimal:
    """A dose as a bare number, to hold doses of one kind against each other."""
    match dose:
        case Pieces(count=count):
            return count
        case PerKg(mass=mass) | (Mass() as mass):
            return mass.mg
