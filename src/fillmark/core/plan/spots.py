"""Which page about which part: where it stands in a document, and what is known there?"""

import re
from copy import deepcopy
from dataclasses import dataclass
from typing import Any

from fillmark.core.plan.answers import Raw
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.pages import PAGES, page_called
from fillmark.core.plan.questions import Page
from fillmark.core.values.errors import BadPlan
from fillmark.core.values.quantities import write_number
from fillmark.core.values.typed import read_day
from fillmark.core.values.words import say_date

At = tuple[int, ...]
"""Which one of several, for each list on the way to a part, counted from 0."""


@dataclass(frozen=True, slots=True)
class Spot:
    """One page about one part: the second medicine's dose. `at` one short of a list's depth is the list as a whole."""

    page: Page
    at: At = ()

    @property
    def id(self) -> str:
        """As it stands in an address: "dose-1"."""
        return "-".join((self.page.key, *map(str, self.at), *(("all",) if self.is_whole_list else ())))

    @property
    def is_whole_list(self) -> bool:
        """Whether it asks for one more of several, and not for the values of one."""
        return self.page.is_list and len(self.at) < self.page.depth

    @property
    def path(self) -> str:
        """Where its part stands in the document, counted from 1 as faults name it: "medicines[2].food"."""
        ats = iter(self.at)
        which = [next(ats, None) if is_one else None for _, is_one in self.page.steps]
        keys = [key for key, _ in self.page.steps]
        return ".".join(f"{key}[{one + 1}]" if one is not None else key for key, one in zip(keys, which, strict=True))


def spot_called(text: str) -> Spot | None:
    """The spot with this id; none where there is none."""
    match = re.fullmatch(r"([a-z-]+?)((?:-[0-9]{1,3})*)(-all)?", text)
    page = page_called(match[1]) if match else None
    if match is None or page is None:
        return None
    spot = Spot(page, tuple(int(one) for one in match[2].split("-") if one))
    is_list = match[3] is not None
    right = page.depth - 1 if is_list else page.depth
    return spot if len(spot.at) == right and (page.is_list or not is_list) else None


def part_at(document: Raw, spot: Spot) -> Raw:
    """What is known of a spot's part; empty where nothing is.

    Args:
        document: The draft's document.
        spot: Which part.
    """
    found: Any = document
    ats = iter(spot.at)
    for key, is_one in spot.page.steps:
        found = found.get(key) if isinstance(found, dict) else None
        if is_one:
            index = next(ats)
            found = found[index] if isinstance(found, list) and index < len(found) else None
    return dict(found) if isinstance(found, dict) else {}


def items_at(document: Raw, spot: Spot) -> list[Raw]:
    """The several parts of a list that a spot stands for, or stands in.

    Args:
        document: The draft's document.
        spot: The list, or one of it.
    """
    found: Any = document
    ats = iter(spot.at)
    steps = spot.page.steps
    for number, (key, is_one) in enumerate(steps):
        found = found.get(key) if isinstance(found, dict) else None
        if number == len(steps) - 1:
            return list(found) if isinstance(found, list) else []
        if is_one:
            index = next(ats)
            found = found[index] if isinstance(found, list) and index < len(found) else None
    return []


def with_part(document: Raw, spot: Spot, part: Raw | str) -> Raw:
    """The document with a spot's part put in; an index one past the end makes one more.

    Args:
        document: As it was; it stays as it is.
        spot: Where.
        part: What is known of it; empty where nothing is, or "not stated".
    Raises:
        BadPlan: there is no such part.
    """
    after = deepcopy(document)
    holder: Any = after
    ats = iter(spot.at)
    steps = spot.page.steps
    for number, (key, is_one) in enumerate(steps):
        is_last = number == len(steps) - 1
        if not is_one:
            if is_last:
                if number or CarePlan.model_fields[key].default is None:
                    put_into(holder, key, part)
                else:
                    holder[key] = part
                return after
            if not isinstance(holder.get(key), dict):
                if not part:
                    return after
                holder[key] = {}
            holder = holder[key]
            continue
        several = holder.setdefault(key, [])
        index = next(ats)
        if index > len(several) or (index == len(several) and not is_last):
            raise no_such_part(spot)
        if is_last:
            several[index : index + 1] = [part]
            return after
        holder = several[index]
    return after


def put_into(holder: Raw, key: str, part: Raw | list[Raw] | str) -> None:
    """Put a part under its key, or take the key out where nothing is known.

    Args:
        holder: What holds the key; it is changed.
        key: The key.
        part: What is known.
    """
    if part:
        holder[key] = part
    else:
        holder.pop(key, None)


def no_such_part(spot: Spot) -> BadPlan:
    """What is said of one of several that is not there."""
    return BadPlan(
        field=spot.path,
        got="A part that is not there",
        allowed="one of those that are listed, or one more",
        remedy="Go back to the list and choose again.",
    )


def spot_of(path: str) -> Spot | None:
    """The page on which a value of the document is asked for, by its place; none for what nobody types.

    Args:
        path: As a fault or a finding names it: "medicines[2].dose".
    """
    plain = re.sub(r"\[\d+\]", "[]", path)
    at = tuple(int(number) - 1 for number in re.findall(r"\[(\d+)\]", path))
    exact = [
        (page, len(page.place))
        for page in PAGES
        if plain == page.place or any(plain == f"{page.place}.{name}" for name in page.names)
    ]
    inside = [(page, len(page.place)) for page in PAGES if plain.startswith(f"{page.place}.") or plain == page.place]
    lists = [(page, len(page.place)) for page in PAGES if page.is_list and f"{plain}[]" == page.place]
    for found in (exact, lists, inside):
        if found:
            page = max(found, key=lambda one: one[1])[0]
            return Spot(page, at[: page.depth])
    return None


def name_of(item: Raw, page: Page) -> str:
    """What one of several is called in a list.

    Args:
        item: The part.
        page: The page that asks for it.
    """
    for key in ("name", "who", "nutrient", "food", "medicine", "trouble", "about"):
        if item.get(key):
            return str(item[key])
    day = read_day(str(item.get("on") or item.get("from_on") or ""))
    if day:
        return say_date(day)
    if item.get("size_ml"):
        return f"{write_number(item['size_ml'])} mL"
    days = item.get("days")
    return ", ".join(days) if days else page.one
