"""Amounts of medicine that are no mass: units of effect, milliequivalents, millimoles. None is turned into another."""

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import ClassVar, Self

from fillmark.core.values.errors import WrongUnit
from fillmark.core.values.quantities import Volume, read_amount, write_number

_UNIT = re.compile(r"(?<![A-Za-z])(?:units?|mEq|mmol|IU|iU|iu|U|u|meq|MEQ)\s*$")


@dataclass(frozen=True, slots=True)
class OtherAmount:
    """So many units, mEq or mmol."""

    number: Decimal
    unit: str

    UNITS: ClassVar[tuple[str, ...]] = ("units", "mEq", "mmol")

    @classmethod
    def stands_in(cls, text: str) -> bool:
        """Whether a text ends in such a unit, or in a short form of one that is refused."""
        return _UNIT.search(text) is not None

    @classmethod
    def read(cls, text: str, *, field: str = "amount") -> Self:
        """From "40 units", "1 unit", "2 mEq" or "0.5 mmol".

        Args:
            text: What a person wrote.
            field: What the message calls it.
        Raises:
            WrongUnit: the unit is a short form that is misread, or another one.
            BadNumber: the number is none, or invites a tenfold slip.
        """
        plain = re.sub(r"(?<=[0-9])(\s*)unit\s*$", r"\1units", text)
        unit = next((unit for unit in cls.UNITS if re.search(rf"(?<![A-Za-z]){unit}\s*$", plain)), None)
        number = read_amount(
            plain, field=field, units={unit: Decimal(1)} if unit else dict.fromkeys(cls.UNITS, Decimal(1))
        )
        assert unit is not None  # noqa: S101  # a text without one of them was refused
        if number < 0:
            raise WrongUnit(
                field=field,
                got=f'"{text[:40]}" for {field}',
                allowed=f"0 {unit} or more",
                remedy="Check the number.",
            )
        return cls(number, unit)

    def __mul__(self, times: int | Decimal) -> "OtherAmount":
        return OtherAmount(self.number * times, self.unit)

    def __str__(self) -> str:
        unit = "unit" if self.unit == "units" and self.number == 1 else self.unit
        return f"{write_number(self.number)} {unit}"


@dataclass(frozen=True, slots=True)
class OtherStrength:
    """So many units, mEq or mmol in each mL, more than 0."""

    per_ml: Decimal
    unit: str

    @classmethod
    def read(cls, text: str, *, field: str = "strength") -> Self:
        """From "40 units/mL" or "10 mEq/15 mL".

        Args:
            text: What a person wrote.
            field: What the message calls it.
        Raises:
            WrongUnit: the unit is a short form that is misread, or one of the amounts is 0.
            BadNumber: a number is none, or invites a tenfold slip.
        """
        amount_text, slash, volume_text = text.partition("/")
        if not slash:
            raise WrongUnit(
                field=field,
                got=f'"{text[:40]}" for {field}, without what it is in',
                allowed="units/mL, mEq/mL or mmol/mL",
                remedy="Copy the strength from the bottle, such as 40 units/mL.",
            )
        amount = OtherAmount.read(amount_text, field=field)
        volume = Volume.read(volume_text if re.match(r"\s*[0-9.,]", volume_text) else f"1 {volume_text}", field=field)
        if not amount.number or not volume.ml:
            raise WrongUnit(
                field=field,
                got=f'"{text[:40]}" for {field}',
                allowed=f"more than 0 {amount.unit} in more than 0 mL",
                remedy="Copy the strength from the bottle.",
            )
        return cls(amount.number / volume.ml, amount.unit)

    def __str__(self) -> str:
        return f"{write_number(self.per_ml)} {self.unit}/mL"
