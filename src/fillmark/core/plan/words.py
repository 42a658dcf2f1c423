"""What does a care plan say, value by value, and what does one say that another does not? Both in words."""

import calendar
import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.units import ENDINGS, key_without_unit, unit_of_key
from fillmark.core.values.document import NOT_STATED
from fillmark.core.values.quantities import write_number
from fillmark.core.values.words import say_date

_NAMES = {
    "clocks": "times",
    "french": "size, French",
    "from_on": "from",
    "people": "person",
    "troubles": "when it goes wrong",
    "until_on": "until",
    "weights": "weighed",
    "when_needed": "only when needed",
}
"""Keys that read better in other words."""
_SPEAK_FOR_THEMSELVES = ("name", "relation", "phone", "when", "words")
"""Keys of small parts whose values need no name."""
_MARKS = ("id", "on", "from_on", "who", "trouble", "food", "medicine", "person")
"""What tells one of several apart, so that the same one is found again in another version of the plan."""
_DAY = re.compile(r"\d{4}-\d{2}-\d{2}")
_TITLES = {"animal.tube": "The tube", "animal": "The animal", "vet": "The vet", "orders": "The vet's orders"}
_ONE_OF = {"foods": "Food", "syringes": "Syringe", "medicines": "Medicine", "tasks": "Task"}


@dataclass(frozen=True, kw_only=True, slots=True)
class StatedValue:
    """One value of a plan.

    Attributes:
        place: Where it stands inside its section, the same in every version.
        name: What it is ("Flush before").
        value: What it says ("10 mL").
        said: The same as the document has it ("flush_before_ml = 10").
    """

    place: str
    name: str
    value: str
    said: str

    @property
    def is_verbatim(self) -> bool:
        """Whether the value is the document's own text, so that nothing was read into it."""
        return self.said.endswith(f" = {json.dumps(self.value, ensure_ascii=False)}")


@dataclass(frozen=True, kw_only=True, slots=True)
class Section:
    """The values that belong together: of the animal, of the orders, of one medicine."""

    key: str
    title: str
    lines: tuple[StatedValue, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Changed:
    """One value that two versions have differently; none where one of them does not have it."""

    name: str
    old: str | None
    new: str | None

    @property
    def size(self) -> str:
        """How many times as much the new one is, in words; empty where that says nothing."""
        return say_factor(self.old, self.new)


_SIZED = re.compile(r"(\d[\d,]*(?:\.\d+)?) (\D.*)")


def say_factor(old: str | None, new: str | None) -> str:
    """How many times as much one amount is as another in the same unit; empty where they are no such two.

    Args:
        old: An amount as it is shown, such as "0.3 mg/kg".
        new: Another.
    Source:
        arithmetic only
    """
    found = [_SIZED.match(text or "") for text in (old, new)]
    if found[0] is None or found[1] is None:
        return ""
    (before, unit), (after, its) = (one.groups() for one in found if one)
    amounts = [float(text.replace(",", "")) for text in (before, after)]
    is_day = unit.split()[0] in calendar.month_name
    if is_day or unit.split()[0] != its.split()[0] or 0 in amounts or amounts[0] == amounts[1]:
        return ""
    return f"{write_number(amounts[1] / amounts[0], digits=3)} times as much"


@dataclass(frozen=True, kw_only=True, slots=True)
class SectionChange:
    """What two versions have differently in one section.

    Attributes:
        is_new: The old version does not have the section at all.
        is_gone: The new version does not have it any more.
    """

    key: str
    title: str
    changes: tuple[Changed, ...]
    is_new: bool = False
    is_gone: bool = False


def say_plan(plan: CarePlan) -> tuple[Section, ...]:
    """Everything a plan states, in words and as the document has it; what is left out is left out here too.

    Source:
        the plan's own document
    """
    return tuple(_sections(plan.model_dump(mode="json", exclude_unset=True)))


def compare_plans(old: CarePlan, new: CarePlan) -> tuple[SectionChange, ...]:
    """What the new plan says that the old one does not, and the other way round; nothing that both say.

    Args:
        old: The plan in force.
        new: The plan that would replace it.
    Source:
        both plans' own documents
    """
    before = {section.key: section for section in say_plan(old)}
    after = {section.key: section for section in say_plan(new)}
    found = []
    for key in (*after, *(key for key in before if key not in after)):
        mine = {line.place: line for line in before[key].lines} if key in before else {}
        theirs = {line.place: line for line in after[key].lines} if key in after else {}
        changes = tuple(
            Changed(
                name=(theirs.get(place) or mine[place]).name,
                old=mine[place].value if place in mine else None,
                new=theirs[place].value if place in theirs else None,
            )
            for place in (*theirs, *(place for place in mine if place not in theirs))
            if place not in mine or place not in theirs or mine[place].value != theirs[place].value
        )
        if changes:
            section = after.get(key) or before[key]
            found.append(
                SectionChange(
                    key=key,
                    title=section.title,
                    changes=changes,
                    is_new=key not in before,
                    is_gone=key not in after,
                )
            )
    return tuple(found)


def _sections(document: Mapping[str, Any]) -> Iterator[Section]:
    for key, part in document.items():
        if key == "format":
            continue
        if isinstance(part, Mapping):
            inner = {name: value for name, value in part.items() if f"{key}.{name}" in _TITLES}
            rest = {name: value for name, value in part.items() if name not in inner}
            yield _section(key, _TITLES.get(key, f"The {_words(key)}"), rest)
            for name, value in inner.items():
                yield _section(f"{key}.{name}", _TITLES[f"{key}.{name}"], value)
        elif isinstance(part, list) and part and all(isinstance(one, Mapping) and "id" in one for one in part):
            for one in part:
                title = f"{_ONE_OF.get(key, _words(key).capitalize())}: {one.get('name', one['id'])}"
                yield _section(f"{key}.{one['id']}", title, one)
        else:
            yield Section(key=key, title=_words(key).capitalize(), lines=tuple(_lines(key, part, place=key)))


def _section(key: str, title: str, part: Mapping[str, Any]) -> Section:
    lines = [line for name, value in part.items() if name != "id" for line in _lines(name, value, place=name)]
    return Section(key=key, title=title, lines=tuple(lines))


def _lines(key: str, value: object, *, place: str) -> Iterator[StatedValue]:
    """One line for a value; one for each of several parts."""
    if isinstance(value, list) and value and all(isinstance(one, Mapping) for one in value):
        for number, one in enumerate(value, start=1):
            mark = next((name for name in _MARKS if name in one), None)
            which = _value(mark, one[mark]) if mark else str(number)
            rest = {name: item for name, item in one.items() if name != mark} or one
            yield StatedValue(
                place=f"{place}[{which}]",
                name=f"{_name(key)}: {which}",
                value=_value(key, rest),
                said=f"{key} = [{_as_written(one)}]",
            )
        return
    yield StatedValue(place=place, name=_name(key), value=_value(key, value), said=f"{key} = {_as_written(value)}")


def _name(key: str) -> str:
    words = _words(key)
    return words[:1].upper() + words[1:]


def _words(key: str) -> str:
    """A key without the unit at its end, as words; the unit itself where nothing else is left."""
    if key in _NAMES:
        return _NAMES[key]
    return unit_of_key(key) if key in ENDINGS else key_without_unit(key).replace("_", " ")


def _value(key: str, value: object) -> str:
    """A value in words, with the unit that its key names."""
    unit = unit_of_key(key)
    match value:
        case bool():
            return "yes" if value else "no"
        case int() | float():
            return f"{write_number(value)} {unit}".strip()
        case str() if _DAY.fullmatch(value):
            return say_date(date.fromisoformat(value))
        case str():
            return value
        case {"days": days, "opens": first, "closes": last} | {"days": days, "comes": first, "goes": last}:
            return f"{_value('', days)} {first} to {last}"
        case Mapping():
            return "; ".join(_inside(name, item, unit=unit) for name, item in value.items())
        case list():
            if any(isinstance(item, Mapping) for item in value):
                return " / ".join(_value("", item) for item in value)
            has_numbers = any(isinstance(item, int | float) for item in value)
            listed = ", ".join(_value("", item) for item in value)
            return f"{listed} {unit if has_numbers else ''}".strip() or "none"
    return NOT_STATED


def _inside(key: str, value: object, *, unit: str) -> str:
    """One value of a small part: its name and value, with the part's own unit where the key has none."""
    told = _value(key, value)
    if key in _SPEAK_FOR_THEMSELVES:
        return told
    is_bare = isinstance(value, int | float) and not isinstance(value, bool)
    if is_bare and key in ENDINGS:
        return told
    if is_bare and unit and not unit_of_key(key):
        told = f"{told} {unit}"
    return f"{_words(key)} {told}"


def _as_written(value: object) -> str:
    """A value as a care plan file has it."""
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{key} = {_as_written(item)}" for key, item in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(map(_as_written, value)) + "]"
    return json.dumps(int(value) if isinstance(value, float) and value.is_integer() else value, ensure_ascii=False)
