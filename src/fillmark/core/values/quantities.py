"""Amounts of medicine as types, because a thousandfold slip kills; and the one way to read and write a number.

Exact decimals inside: a dose never picks up binary dust on its way to the mark.
"""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal, localcontext
from fractions import Fraction
from math import fsum
from typing import ClassVar, Self

from fillmark.core.values.errors import BadNumber, WrongUnit

KG_PER_LB = Decimal("0.45359237")
"""Exact by the international yard and pound agreement of 1959."""
KJ_PER_KCAL = 4.184
"""The thermochemical calorie, exact by definition."""
ML_PER_US_CUP = Decimal("236.5882365")
"""Exact: half a US liquid pint, from the inch."""


def fahrenheit_from(*, celsius: float) -> float:
    """A temperature [°F] from one in °C: both scales are fixed by water's freezing and boiling."""
    return celsius * 9 / 5 + 32


def celsius_from(*, fahrenheit: float) -> float:
    """A temperature [°C] from one in °F."""
    return (fahrenheit - 32) * 5 / 9


_NUMBER = r"(?P<number>[+-]?(?:[0-9][0-9\s]*)?(?:[.,][0-9]+)?)"
_AMOUNT = re.compile(rf"^\s*{_NUMBER}\s*(?P<unit>[^0-9].*?)?\s*$")
_INSTEAD = {
    "µg": "mcg",
    "μg": "mcg",
    "ug": "mcg",
    "cc": "mL",
    "ml": "mL",
    "ML": "mL",
    "U": "units",
    "u": "units",
    "IU": "units",
    "iU": "units",
    "iu": "units",
    "meq": "mEq",
    "MEQ": "mEq",
}
_MOST_DIGITS = 30
"""Longer than anything measured, printed or worked out."""
_GROUPS = re.compile(r"^[0-9]{1,3}(?:[ \u00a0\u202f][0-9]{3})+")


def write_number(value: float | Decimal | Fraction | int, *, digits: int = 4) -> str:
    """A number as people may read it: leading zero, no trailing zero, a comma between thousands, never an exponent.

    Args:
        value: The number.
        digits: Significant digits kept; whole digits are always kept.
    Source:
        ISMP list of error-prone notations; Joint Commission "do not use" list.
    """
    exact = (
        Decimal(value.numerator) / Decimal(value.denominator) if isinstance(value, Fraction) else Decimal(str(value))
    )
    if not exact.is_finite():
        return str(value)
    if exact == 0:
        return "0"
    if exact.adjusted() >= _MOST_DIGITS:
        return f"a number of {exact.adjusted() + 1} digits"
    places = max(0, digits - 1 - exact.adjusted())
    with localcontext() as context:
        context.prec = 60
        rounded = exact.quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_EVEN)
    text = f"{rounded:,f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


@dataclass(frozen=True, kw_only=True, slots=True)
class WrittenSum:
    """Parts and their sum as people may read them: what is shown adds up, or says that it is rounded.

    Attributes:
        parts: Each part, as written.
        total: The sum, as written, with the word where it is rounded.
    """

    parts: tuple[str, ...]
    total: str


_MOST_PLACES = 3


def write_sum(parts: Sequence[float], *, counts: Sequence[int] | None = None, is_whole: bool = False) -> WrittenSum:
    """Parts beside their sum, with as many digits as it takes for the shown parts to add up to the shown sum.

    Where three places behind the point are not enough, they stand as usual and the sum says that it is rounded.

    Args:
        parts: The parts.
        counts: How often each is in the sum; once each where left out.
        is_whole: Whether whole numbers are usual here; else as `write_number` writes them.
    Source:
        arithmetic only
    """
    often = counts or [1] * len(parts)
    total = fsum(count * part for count, part in zip(often, parts, strict=True))

    def usual(value: float) -> str:
        return write_number(round(Decimal(str(value)))) if is_whole else write_number(value)

    def to_places(places: int) -> Callable[[float], str]:
        return lambda value: write_number(round(Decimal(str(value)), places), digits=_MOST_DIGITS)

    for write in (usual, *map(to_places, range(1, _MOST_PLACES + 1))):
        shown = [write(part) for part in parts]
        if sum(count * _as_shown(one) for count, one in zip(often, shown, strict=True)) == _as_shown(write(total)):
            return WrittenSum(parts=tuple(shown), total=write(total))
    return WrittenSum(parts=tuple(map(usual, parts)), total=f"{usual(total)} (rounded)")


def _as_shown(text: str) -> Decimal:
    return Decimal(text.replace(",", ""))


def read_number(text: str, *, field: str) -> Decimal:
    """A decimal number as people write it, with point or comma, refused where it invites a tenfold slip.

    Args:
        text: What a person wrote.
        field: What the message calls it.
    Raises:
        BadNumber: no number, a missing leading zero (".5"), a trailing zero ("5.0"), or groups that could be decimals
            ("1,000").
    Source:
        ISMP list of error-prone notations; Joint Commission "do not use" list.
    """
    plain = text.strip()
    grouped = _GROUPS.sub(lambda found: re.sub(r"\s", "", found.group()), plain)
    match = re.fullmatch(r"([+-]?)([0-9]*)(?:([.,])([0-9]*))?", grouped)
    if not match or not (match[2] or match[4]):
        raise BadNumber(
            field=field,
            got=f'"{_short(text)}" for {field}',
            allowed="a number such as 0.5 or 12",
            remedy="Write digits, with one decimal point or comma if it is needed.",
        )
    sign, whole, mark, fraction = match[1], match[2], match[3], match[4] or ""
    if mark and not whole:
        raise BadNumber(
            field=field,
            got=f'"{_short(text)}" for {field}, with no zero before the point',
            allowed=f"0.{fraction}",
            remedy=f'A lone point is overlooked and read as "{fraction}". Write "0.{fraction}" if that is meant.',
        )
    if mark == "," and len(fraction) == 3 and whole != "0":
        raise BadNumber(
            field=field,
            got=f'"{_short(text)}" for {field}, which reads as {whole}{fraction} or as {whole}.{fraction}',
            allowed=f"{whole}{fraction} or {whole}.{fraction}",
            remedy="Write the one that is meant, without a comma.",
        )
    if mark and not fraction.rstrip("0"):
        raise BadNumber(
            field=field,
            got=f'"{_short(text)}" for {field}, with nothing but zeros after the point',
            allowed=whole,
            remedy=f'An overlooked point makes it ten times as much. Write "{whole}" if that is meant.',
        )
    if len(whole) > 1 and whole.startswith("0"):
        raise BadNumber(
            field=field,
            got=f'"{_short(text)}" for {field}, with a zero in front',
            allowed=whole.lstrip("0") or "0",
            remedy="A point may have been lost. Write the number as it is on the label.",
        )
    if len(whole) + len(fraction) > _MOST_DIGITS:
        raise BadNumber(
            field=field,
            got=f'"{_short(text)}" for {field}',
            allowed="a number of ordinary length",
            remedy="Write the number as it is on the label.",
        )
    return Decimal(f"{sign}{whole}.{fraction or '0'}")


def read_amount(text: str, *, field: str, units: dict[str, Decimal]) -> Decimal:
    """An amount with its unit, in the unit whose factor is 1.

    Args:
        text: Such as "1.5 mg" or "250 mcg".
        field: Where it stands, as a dotted path.
        units: Each unit allowed here, with what one of it is worth.
    Raises:
        BadNumber: see `read_number`.
        WrongUnit: no unit, or one that is not in `units`; µg and cc are refused with what to write instead.
    Source:
        arithmetic only
    """
    match = _AMOUNT.match(text)
    names = ", ".join(units)
    unit = (match["unit"] or "").strip() if match else ""
    if not match or not match["number"]:
        raise BadNumber(
            field=field,
            got=f'"{_short(text)}" for {field}',
            allowed=f"a number and its unit ({names})",
            remedy="Write the amount as it is on the label, number first.",
        )
    if not unit:
        raise WrongUnit(
            field=field,
            got=f'"{_short(text)}" for {field}, without a unit',
            allowed=names,
            remedy="Write the unit behind the number.",
        )
    if unit not in units:
        instead = _INSTEAD.get(unit)
        raise WrongUnit(
            field=field,
            got=f'"{_short(text)}" for {field}, in "{_short(unit)}"',
            allowed=names,
            remedy=f'Write "{instead}": "{unit}" is misread.'
            if instead in units
            else "Write it in one of these units, as on the label.",
        )
    return read_number(match["number"], field=field) * units[unit]


def _short(text: str) -> str:
    """At most 40 characters of what came, on one line."""
    line = " ".join(text.split())
    return line if len(line) <= 40 else line[:39] + "…"


def _over_zero(value: Decimal, *, name: str, unit: str) -> None:
    if not (isinstance(value, Decimal) and value.is_finite() and value >= 0):
        raise BadNumber(
            field=name,
            got=f"A {name} of {write_number(value)} {unit}",
            allowed=f"0 {unit} or more",
            remedy="Check the number.",
        )


@dataclass(frozen=True, slots=True, order=True)
class Mass:
    """A mass of medicine [mg], 0 or more."""

    mg: Decimal

    UNITS: ClassVar[dict[str, Decimal]] = {"mg": Decimal(1), "mcg": Decimal("0.001"), "g": Decimal(1000)}

    def __post_init__(self) -> None:
        _over_zero(self.mg, name="mass", unit="mg")

    @classmethod
    def read(cls, text: str, *, field: str = "mass") -> Self:
        """From "1.5 mg", "250 mcg" or "1 g".

        Args:
            text: What a person wrote.
            field: What the message calls it.
        """
        return cls(read_amount(text, field=field, units=cls.UNITS))

    def __add__(self, other: "Mass") -> "Mass":
        return Mass(self.mg + other.mg)

    def __mul__(self, times: int | Decimal) -> "Mass":
        return Mass(self.mg * times)

    def __truediv__(self, strength: "Strength") -> "Volume":
        """The volume that holds this mass."""
        return Volume(self.mg / strength.mg_per_ml)

    def __str__(self) -> str:
        return f"{write_number(self.mg * 1000)} mcg" if 0 < self.mg < Decimal("0.1") else f"{write_number(self.mg)} mg"


@dataclass(frozen=True, slots=True, order=True)
class Volume:
    """A volume of medicine [mL], 0 or more."""

    ml: Decimal

    UNITS: ClassVar[dict[str, Decimal]] = {"mL": Decimal(1), "L": Decimal(1000)}

    def __post_init__(self) -> None:
        _over_zero(self.ml, name="volume", unit="mL")

    @classmethod
    def read(cls, text: str, *, field: str = "volume") -> Self:
        """From "1.5 mL".

        Args:
            text: What a person wrote.
            field: What the message calls it.
        """
        return cls(read_amount(text, field=field, units=cls.UNITS))

    def __add__(self, other: "Volume") -> "Volume":
        return Volume(self.ml + other.ml)

    def __mul__(self, strength: "Strength") -> Mass:
        """The mass this volume holds."""
        return Mass(self.ml * strength.mg_per_ml)

    def __str__(self) -> str:
        return f"{write_number(self.ml)} mL"


@dataclass(frozen=True, slots=True, order=True)
class Strength:
    """How much medicine a liquid holds [mg/mL], more than 0."""

    mg_per_ml: Decimal

    def __post_init__(self) -> None:
        if not (self.mg_per_ml.is_finite() and self.mg_per_ml > 0):
            raise BadNumber(
                field="strength",
                got=f"strength of {self.mg_per_ml} mg/mL",
                allowed="more than 0 mg/mL",
                remedy="Copy the strength from the bottle.",
            )

    @classmethod
    def read(cls, text: str, *, field: str = "strength") -> Self:
        """From "1.5 mg/mL", "250 mcg/mL", "125 mg/5 mL" or "1 %" (weight in volume: 1 g in 100 mL).

        Args:
            text: What a person wrote.
            field: What the message calls it.
        """
        percent = re.fullmatch(r"\s*(\S+)\s*%\s*", text)
        if percent:
            return cls._from(read_number(percent[1], field=field) * 10, text=text, field=field)
        mass_text, slash, volume_text = text.partition("/")
        if not slash:
            raise WrongUnit(
                field=field,
                got=f'"{_short(text)}" for {field}, without what it is in',
                allowed="mg/mL, mcg/mL, mg/5 mL or %",
                remedy="Copy the strength from the bottle, such as 10 mg/mL.",
            )
        if not re.match(r"\s*[\d.,]", volume_text):
            volume_text = f"1 {volume_text}"
        mass = Mass.read(mass_text, field=field)
        volume = Volume.read(volume_text, field=field)
        if volume.ml == 0:
            raise BadNumber(
                field=field,
                got=f'"{_short(text)}" for {field}',
                allowed="an amount of liquid above 0 mL",
                remedy="Copy the strength from the bottle.",
            )
        return cls._from(mass.mg / volume.ml, text=text, field=field)

    @classmethod
    def _from(cls, mg_per_ml: Decimal, *, text: str, field: str) -> Self:
        if mg_per_ml <= 0:
            raise BadNumber(
                field=field,
                got=f'"{_short(text)}" for {field}',
                allowed="more than 0 mg/mL",
                remedy="Copy the strength from the bottle.",
            )
        return cls(mg_per_ml)

    def __str__(self) -> str:
        return f"{write_number(self.mg_per_ml)} mg/mL"
