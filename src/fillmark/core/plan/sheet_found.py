"""What was read in a sheet and where: proposed answers, what must be asked, and the places that were understood."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from fillmark.core.plan.answers import PlanField, Typed, read_answer
from fillmark.core.plan.questions import asked_on
from fillmark.core.plan.sheet_amounts import SheetItem
from fillmark.core.plan.sheet_limits import limit_against, with_limit_words
from fillmark.core.plan.sheet_lines import Clause
from fillmark.core.plan.spots import Spot, spot_of
from fillmark.core.values.errors import FillmarkError
from fillmark.core.values.words import say_day


@dataclass(frozen=True, kw_only=True, slots=True)
class Proposed:
    """An answer that a sheet gives, not yet confirmed by anybody.

    Attributes:
        key: Its place in the plan: "medicines[2].dose".
        typed: What a person would type, in the sheet's own unit.
        value: As the plan has it.
        unit: The plan's unit; empty for none.
        words: The source words.
        line: On which line of the sheet, from 1.
        places: Where its words stand in the sheet, by character.
        weight: How plainly the sheet says it: 3 under its name, 1 in passing.
    """

    key: str
    typed: Typed
    value: Any
    unit: str
    words: str
    line: int
    places: tuple[int, ...] = ()
    weight: int = 2


@dataclass(frozen=True, kw_only=True, slots=True)
class Ask:
    """What must be asked, and why.

    Attributes:
        key: Its place in the plan.
        why: "not stated", or what is wrong with what is stated.
        words: The source words; empty where nothing was found.
        line: On which line of the sheet; 0 for none.
    """

    key: str
    why: str
    words: str = ""
    line: int = 0


NOT_FOUND = "not stated"


@dataclass(kw_only=True)
class SheetFound:
    """What was found so far in the part of a sheet that is about one animal.

    Attributes:
        sheet: The text.
        days: How this sheet writes days: "day first", "month first" or "" where no day tells.
        answers: Proposed answers; several of one key until they are held against each other.
        asks: What must be asked though something is said of it.
        seen: Which characters of the sheet were understood.
        per_kg: Doses that are told for each kg too, by their key.
        limits: What is told as a most or a least and is no order, with the places of its words.
    """

    sheet: str
    days: str = ""
    answers: list[Proposed] = field(default_factory=list)
    asks: list[Ask] = field(default_factory=list)
    seen: set[int] = field(default_factory=set)
    per_kg: list[tuple[str, str]] = field(default_factory=list)
    limits: list[tuple[Ask, tuple[int, ...]]] = field(default_factory=list)

    def line_of(self, places: Sequence[int]) -> int:
        """On which line of the sheet something stands, from 1; 0 for nowhere."""
        return self.sheet.count("\n", 0, places[0]) + 1 if places else 0

    def take(self, key: str, text: str | tuple[str, ...], clause: Clause, span: tuple[int, int], **more: Any) -> None:
        """Keep an answer if it can be read as its page reads it, or ask.

        Args:
            key: Its place in the plan.
            text: What a person would type.
            clause: The clause that says it.
            span: Where in the clause.
            more: `unit`: the unit it is said in; `weight`: how plainly.
        """
        unit, weight = more.get("unit", ""), more.get("weight", 2)
        places = clause.places(*span)
        words, line = clause.words(*span), self.line_of(places)
        self.seen.update(places)
        if isinstance(text, str) and not key.startswith("medicines"):  # a weight printed as 4.0 is no dose
            text = re.sub(r"^(\d+)[.,]0+$", r"\1", text)
        typed = Typed((text,) if isinstance(text, str) else text, unit)
        asked = field_at(key)
        try:
            value = read_answer(asked, typed)
        except FillmarkError as error:
            self.asks.append(Ask(key=key, why=f"{error.got}. {error.remedy}", words=words, line=line))
            return
        self.answers.append(
            Proposed(
                key=key,
                typed=typed,
                value=value,
                unit=asked.unit,
                words=words,
                line=line,
                places=tuple(places),
                weight=weight,
            )
        )

    def ask(self, key: str, why: str, clause: Clause, span: tuple[int, int]) -> None:
        """Ask about something that the sheet says.

        Args:
            key: Its place in the plan.
            why: What is wrong with it.
            clause: The clause that says it.
            span: Where in the clause.
        """
        places = clause.places(*span)
        self.seen.update(places)
        self.asks.append(Ask(key=key, why=why, words=clause.words(*span), line=self.line_of(places)))

    def take_item(self, key: str, item: SheetItem, clause: Clause, **more: Any) -> None:
        """Keep an amount as an answer; a range is asked.

        Args:
            key: Its place in the plan.
            item: The amount.
            clause: The clause that says it.
            more: As of `take`; `span` for more words than the amount's own, `text` for another number.
        """
        start, end = more.pop("span", (item.start, item.end))
        span = (min(start, item.start), max(end, item.end))
        text = more.pop("text", item.number)
        if limit := limit_against(key, item, clause):
            self.limit(key, limit, item, clause)
            return
        if item.high:
            self.ask(key, f'"{item.text}" is a range: which of the two?', clause, span)
            return
        unit = more.pop("unit", None)
        unit = unit_of_page(item, field_at(key)) if unit is None else unit
        if unit is None:
            self.ask(key, f'"{item.text}" is in a unit that does not fit here.', clause, span)
            return
        self.take(key, text, clause, span, unit=unit, **more)

    def limit(self, key: str, limit: str, item: SheetItem, clause: Clause) -> None:
        """Keep a most or a least apart: it is no order, and is asked.

        Args:
            key: The place in the plan that the words are about.
            limit: "most" or "least".
            item: The amount.
            clause: The clause that says it.
        """
        places = clause.places(*with_limit_words(item, clause))
        why = f'"{item.text}" is told as the {limit}: a limit is not an order. How much is ordered?'
        if key == "orders.meal_ml" and limit == "most":
            key = "orders.cap_ml_per_kg"
            why = f'"{item.text}" is the most at once, and no meal\'s amount. Ask how many mL for each kg that is.'
        words = clause.words(*with_limit_words(item, clause))
        self.limits.append((Ask(key=key, why=why, words=words, line=self.line_of(places)), tuple(places)))

    def ask_limits(self) -> None:
        """Ask about each limit once; beside an answer that is plainly told it stays marked as not understood."""
        told = {one.key for one in self.answers}
        for ask, places in self.limits:
            if ask.key not in told and ask not in self.asks:
                self.asks.append(ask)
                self.seen.update(places)

    def take_day(self, key: str, item: SheetItem, clause: Clause, **more: Any) -> None:
        """Keep a day as an answer; one that can be read in two ways is asked.

        Args:
            key: Its place in the plan.
            item: The day.
            clause: The clause that says it.
            more: As of `take_item`.
        """
        start, end = more.pop("span", (item.start, item.end))
        span = (min(start, item.start), max(end, item.end))
        days = read_days(item.text, order=self.days)
        if len(days) == 1:
            self.take(key, days[0].isoformat(), clause, span, **more)
        elif days:
            said = " or ".join(say_day(one, has_year=True) for one in days)
            self.ask(key, f'"{item.text}" can be {said}.', clause, span)
        else:
            self.ask(key, f'"{item.text}" has no year, or is no day.', clause, span)

    @property
    def keys(self) -> set[str]:
        """What something was found for: proposed, or to be asked."""
        return {one.key for one in self.answers} | {one.key for one in self.asks}

    def first(self, key: str) -> Proposed | None:
        """The plainest answer to a key so far; none where there is none."""
        mine = [one for one in self.answers if one.key == key]
        return max(mine, key=lambda one: one.weight, default=None)


def field_at(key: str) -> PlanField:
    """What is asked at a place of the plan.

    Args:
        key: The place.
    Raises:
        KeyError: nothing is asked there.
    """
    spot, name = spot_and_name(key)
    return next(one for one in asked_on(spot.page) if one.name == name)


def spot_and_name(key: str) -> tuple[Spot, str]:
    """The page that asks for a place of the plan, and the name of its field.

    Args:
        key: The place.
    Raises:
        KeyError: nothing is asked there.
    """
    spot, name = spot_of(key), key.rpartition(".")[2]
    if spot is None or name not in spot.page.names:
        raise KeyError(key)
    return spot, name


_PER_UNITS = {
    ("mL", "kg"): "mL/kg",
    ("mL", "lb"): "mL/lb",
    ("mL", "kg", "day"): "mL/kg a day",
    ("mL", "day", "kg"): "mL/kg a day",
    ("mL", "lb", "day"): "mL/lb a day",
    ("mL", "minutes"): "mL/min",
    ("mL", "hours"): "mL/hour",
    ("kcal", "day"): "kcal a day",
    ("kJ", "day"): "kJ a day",
    ("kcal", "kg"): "kcal/kg",
    ("kcal", "kg", "day"): "kcal/kg",
    ("kcal", "lb"): "kcal/lb",
    ("kcal", "lb", "day"): "kcal/lb",
    ("breaths", "minutes"): "a minute",
}


def unit_of_page(item: SheetItem, asked: PlanField) -> str | None:
    """The unit of an amount as a page names it; "" where the page asks for none, none where it does not fit.

    Args:
        item: The amount.
        asked: What the page asks for.
    """
    if not asked.unit:
        return ""
    unit = _PER_UNITS.get((item.unit, *item.per), item.unit)
    for one in (unit, f"{unit} a day", "fl oz" if unit == "oz" else unit):
        if one in asked.units:
            return one
    plain = item.unit in ("", "breaths", "%") or (item.kind == "temp" and not item.unit)
    return asked.unit if plain and asked.unit != "°C" else None


_MONTHS = ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"]


def read_days(text: str, *, order: str) -> list[date]:
    """The days that a text can stand for: one, two where day and month can be taken for each other, or none.

    Args:
        text: As it is printed.
        order: "day first" or "month first", where other days of the sheet tell; else "".
    """
    if match := re.fullmatch(r"(\d{4})-(\d{2})-(\d{2})", text):
        return _days([(int(match[1]), int(match[2]), int(match[3]))])
    if match := re.fullmatch(r"(\d{1,2})([./-])(\d{1,2})\2(\d{4}|\d{2})", text):
        first, second, year = int(match[1]), int(match[3]), _year(match[4])
        ways = [(year, second, first), (year, first, second)]
        if match[2] == "." or order == "day first":
            ways = ways[:1]
        elif order == "month first":
            ways = ways[1:]
        return _days(ways)
    month = next((number for number, name in enumerate(_MONTHS, 1) if re.search(rf"(?<![a-z]){name}", text.lower())), 0)
    numbers = re.findall(r"\d+", text)
    if len(numbers) < 2 or not month:
        return []
    return _days([(_year(numbers[1]), month, int(numbers[0]))])


def _year(text: str) -> int:
    return int(text) if len(text) == 4 else 2000 + int(text)


def _days(ways: list[tuple[int, int, int]]) -> list[date]:
    found: dict[date, None] = {}
    for year, month, day in ways:
        try:
            found[date(year, month, day)] = None
        except ValueError:
            continue
    return list(found)


def order_of_days(clauses: Sequence[Clause]) -> str:
    """How a sheet writes days, told by those that can be read in one way only; "" where none tells.

    Args:
        clauses: The clauses of the sheet.
    """
    found = set(_orders(clauses))
    return found.pop() if len(found) == 1 else ""


def _orders(clauses: Sequence[Clause]) -> Iterator[str]:
    for clause in clauses:
        for item in clause.items:
            match = re.fullmatch(r"(\d{1,2})[/-](\d{1,2})[/-]\d+", item.text) if item.kind == "date" else None
            if match and int(match[1]) > 12:
                yield "day first"
            elif match and int(match[2]) > 12:
                yield "month first"
