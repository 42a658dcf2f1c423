"""Invented discharge sheets with their truth, and how what was read is held against it."""

import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from fillmark.core.orders.dose_text import read_dose, read_strength_text
from fillmark.core.plan.sheet import SheetRead, read_sheet
from fillmark.core.plan.sheet_checks import INSTEAD, OF_EVERY_MEDICINE, OF_EVERY_SHEET
from fillmark.core.values.errors import FillmarkError

FOLDER = Path(__file__).parents[1] / "core" / "plan" / "sheets"


@dataclass(frozen=True)
class Sheet:
    """A sheet with what it says, animal by animal."""

    title: str
    text: str
    stated: dict[str, dict[str, str]]
    asked: tuple[str, ...]


@dataclass
class Score:
    """How much was read right."""

    stated: int = 0
    right: int = 0
    amounts: int = 0
    wrong_amounts: int = 0
    not_asked: list[str] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)
    missed: list[str] = field(default_factory=list)
    without_words: list[str] = field(default_factory=list)

    @property
    def share(self) -> float:
        return self.right / self.stated

    @property
    def precision(self) -> float:
        """Of what was proposed for doses and strengths, the part that is right."""
        return 1 - self.wrong_amounts / self.amounts

    def line(self) -> str:
        return (
            f"{self.right} of {self.stated} stated fields right ({self.share:.1%}); doses and strengths "
            f"{self.amounts - self.wrong_amounts} of {self.amounts}; {len(self.not_asked)} not asked; "
            f"{len(self.wrong)} wrong; {len(self.without_words)} without source words"
        )


def sheets(name: str) -> Iterator[Sheet]:
    """The sheets of one set: "held_out" or "tuned"."""
    for path in sorted(FOLDER.glob(f"{name}*.toml")):
        for one in tomllib.loads(path.read_text(encoding="utf-8"))["sheet"]:
            yield Sheet(one["title"], one["text"], _stated(one["stated"]), tuple(one.get("asked", "").split()))


def _stated(text: str) -> dict[str, dict[str, str]]:
    found: dict[str, dict[str, str]] = {}
    animal = ""
    for line in text.strip().splitlines():
        if line.startswith("@"):
            animal = line[1:].strip()
            continue
        key, _, value = line.partition(": ")
        found.setdefault(animal, {})[key] = value
    return found


def is_right(key: str, wanted: str, value: object, *, form: str) -> bool:
    """Whether what was read is what the sheet says."""
    said = " ".join(map(str, value)) if isinstance(value, list) else str(value)
    if wanted.startswith("~"):
        return wanted[1:].casefold() in said.casefold()
    try:
        if key.endswith(".dose"):
            return read_dose(said, form=form) == read_dose(wanted, form=form)
        if key.endswith(".strength"):
            return read_strength_text(said, form) == read_strength_text(wanted, form)
        return abs(float(said) - float(wanted)) <= 1e-4 * max(1.0, abs(float(wanted)))
    except (ValueError, FillmarkError):
        pass
    if key.endswith(".phone"):
        return re.sub(r"\D", "", said) == re.sub(r"\D", "", wanted)
    return said.casefold() == wanted.casefold()


def score(some: Iterator[Sheet]) -> Score:
    """What was read of several sheets, held against what they say."""
    total = Score()
    for sheet in some:
        read = read_sheet(sheet.text)
        for animal, stated in sheet.stated.items():
            one = read[0] if not animal else next((one for one in read if one.animal == animal), None)
            if one is None:
                total.stated += len(stated)
                total.missed += [f"{sheet.title}: {animal}: everything"]
                continue
            _score_one(total, sheet, stated, one)
    return total


def _score_one(total: Score, sheet: Sheet, stated: dict[str, str], read: SheetRead) -> None:
    found = {one.key: one for one in read.answers}
    asked = {one.key for one in read.ask}
    for key, wanted in stated.items():
        total.stated += 1
        one = found.get(key)
        form = stated.get(f"{key.rpartition('.')[0]}.form", "liquid")
        if one is not None and is_right(key, wanted, one.value, form=form):
            total.right += 1
        elif one is None:
            total.missed.append(f"{sheet.title}: {key} = {wanted}")
    for key, one in found.items():
        is_amount = key.endswith((".dose", ".strength"))
        form = stated.get(f"{key.rpartition('.')[0]}.form", "liquid")
        is_wrong = key in stated and not is_right(key, stated[key], one.value, form=form)
        is_wrong |= key in sheet.asked or (is_amount and key not in stated)
        total.amounts += is_amount
        total.wrong_amounts += is_amount and is_wrong
        if is_wrong:
            total.wrong.append(f"{sheet.title}: {key} = {one.value!r} of {one.words!r}, not {stated.get(key, 'asked')}")
        plain = " ".join(sheet.text.split())
        if not one.words or not one.line or not all(word in plain for word in one.words.split()):
            total.without_words.append(f"{sheet.title}: {key} = {one.value!r}")
    for key in (*sheet.asked, *_not_stated(stated)):
        instead = {one for names in (INSTEAD.get(key, ()), INSTEAD.get(key.rpartition(".")[2], ())) for one in names}
        here = {key, *(f"{key.rpartition('.')[0]}.{one}" for one in instead), *instead}
        if not here & asked and key not in found:
            total.not_asked.append(f"{sheet.title}: {key}")


def _not_stated(stated: dict[str, str]) -> Iterator[str]:
    medicines = {match[1] for key in stated if (match := re.match(r"(medicines\[\d+\])", key))}
    keys = [*OF_EVERY_SHEET, *(f"{place}.{name}" for place in medicines for name in OF_EVERY_MEDICINE)]
    for key in keys:
        place, name = key.rpartition(".")[0], key.rpartition(".")[2]
        instead = [*INSTEAD.get(key, ()), *(f"{place}.{one}" for one in INSTEAD.get(name, ()))]
        if key not in stated and not any(one in stated for one in instead):
            yield key
