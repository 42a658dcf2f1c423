"""How far is a plan that is still being made, and what is asked next?"""

import re
from collections.abc import Iterator, Mapping
from copy import deepcopy
from dataclasses import dataclass, replace
from typing import Any

from fillmark.core.plan.answers import Raw, Typed, read_answers, write_answer
from fillmark.core.plan.care_plan import FORMAT, CarePlan
from fillmark.core.plan.pages import PAGES, page_called
from fillmark.core.plan.questions import Page, asked_on, part_of
from fillmark.core.values.document import NOT_STATED, read_document
from fillmark.core.values.errors import BadPlan, FillmarkError
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


@dataclass(frozen=True, kw_only=True, slots=True)
class Draft:
    """A plan that is being made. Nothing of it is in force.

    Attributes:
        document: What is known, as the plan's document has it.
        answered: The ids of the spots that were gone through.
        later: The ids of those that were put off.
    """

    document: Raw
    answered: frozenset[str] = frozenset()
    later: frozenset[str] = frozenset()


def new_draft(*, household: Mapping[str, Any]) -> Draft:
    """A draft that knows the home and nothing else.

    Args:
        household: The plan's household part, as the document has it.
    """
    return Draft(document={"format": FORMAT, "household": dict(household)})


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
                _put(holder, key, part)
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
            raise _no_such(spot)
        if is_last:
            several[index : index + 1] = [part]
            return after
        holder = several[index]
    return after


def _put(holder: Raw, key: str, part: Raw | str) -> None:
    if part:
        holder[key] = part
    else:
        holder.pop(key, None)


def _no_such(spot: Spot) -> BadPlan:
    return BadPlan(
        field=spot.path,
        got="A part that is not there",
        allowed="one of those that are listed, or one more",
        remedy="Go back to the list and choose again.",
    )


def without_item(draft: Draft, spot: Spot) -> Draft:
    """The draft without one of several; what was answered about those after it goes with them.

    Args:
        draft: As it was.
        spot: The one that is taken out.
    Raises:
        BadPlan: there is no such part.
    """
    items = items_at(draft.document, spot)
    if spot.at[-1] >= len(items):
        raise _no_such(spot)
    whole = Spot(spot.page, spot.at[:-1])
    left = [item for index, item in enumerate(items) if index != spot.at[-1]]
    after = deepcopy(draft.document)
    holder: Any = after
    ats = iter(spot.at)
    for key, is_one in spot.page.steps[:-1]:
        holder = holder[key][next(ats)] if is_one else holder[key]
    _put(holder, spot.page.steps[-1][0], left)  # type: ignore[arg-type]
    gone = re.compile(rf"[a-z-]+-{'-'.join(map(str, spot.at))}(-.*)?")
    shifted = {_shifted(one, spot) for one in draft.answered if not (_is_about(one, spot) and gone.fullmatch(one))}
    return replace(draft, document=after, answered=frozenset(shifted - {whole.id}), later=draft.later)


def _is_about(spot_id: str, spot: Spot) -> bool:
    """Whether a spot lies in the same list as another."""
    other = spot_called(spot_id)
    return other is not None and not other.is_whole_list and other.page.place.startswith(spot.page.place)


def _shifted(spot_id: str, gone: Spot) -> str:
    other = spot_called(spot_id)
    if other is None or not _is_about(spot_id, gone):
        return spot_id
    depth = len(gone.at)
    if other.at[: depth - 1] != gone.at[:-1] or other.at[depth - 1] < gone.at[-1]:
        return spot_id
    at = (*other.at[: depth - 1], other.at[depth - 1] - 1, *other.at[depth:])
    return Spot(other.page, at).id


def the_way(document: Raw) -> tuple[Spot, ...]:
    """Every question that is gone through, in its order; what earlier answers make needless is left out."""
    found: list[Spot] = []
    pages = [page for page in PAGES if not page.is_aside]
    for page in pages:
        root = page.place.partition("[]")[0]
        if "[]" not in page.place:
            if page.is_idle is None or not page.is_idle(part_at(document, Spot(page))):
                found.append(Spot(page))
        elif page.place == f"{root}[]" and page.one:  # the first page about one of several leads the others
            found.extend(_round(document, page, [one for one in pages if one.place.startswith(page.place)]))
    return tuple(found)


def _round(document: Raw, first: Page, pages: list[Page]) -> Iterator[Spot]:
    """The pages of each one of several, then the question whether there is one more."""
    items = items_at(document, Spot(first))
    for index in range(len(items) or (1 if is_needed(first) else 0)):
        item = items[index] if index < len(items) else {}
        yield from (Spot(page, (index,)) for page in pages if page.is_idle is None or not page.is_idle(item))
    if not first.is_mostly_one:
        yield Spot(first)


def is_needed(page: Page) -> bool:
    """Whether the plan cannot be without at least one of these."""
    kind: Any = CarePlan
    for key, _ in page.steps[:-1]:
        kind = kind.model_fields[key].annotation
    return bool(kind.model_fields[page.steps[-1][0]].is_required())


def asides(spot: Spot) -> tuple[Spot, ...]:
    """What the sheet may say more about, from here: the pages about parts of the same thing that few sheets need."""
    root = spot.page.place.partition("[]")[0] if "[]" in spot.page.place else spot.page.place.partition(".")[0]
    found = []
    for page in PAGES:
        is_near = page.place.startswith(root) or page.beside == spot.page.key
        is_inside = (page.is_aside or page.is_mostly_one) and is_near
        depth = page.depth - 1 if page.is_list else page.depth
        if is_inside and depth <= len(spot.at) and page.key != spot.page.key:
            found.append(Spot(page, spot.at[:depth]))
    return tuple(found)


def next_spot(draft: Draft, *, after: Spot | None = None) -> Spot | None:
    """The next question that was neither answered nor put off, first after a spot and then from the start.

    Args:
        draft: The draft.
        after: The spot that was just left.
    """
    way = the_way(draft.document)
    start = next((number + 1 for number, one in enumerate(way) if after and one.id == after.id), 0)
    gone = draft.answered | draft.later
    return next((one for one in (*way[start:], *way[:start]) if one.id not in gone), None)


def typed_at(document: Raw, spot: Spot) -> dict[str, Typed]:
    """What stands in the fields of a page.

    Args:
        document: The draft's document.
        spot: Which page.
    """
    part = part_at(document, spot)
    return {field.name: write_answer(field, part.get(field.name)) for field in asked_on(spot.page)}


def answer(
    draft: Draft, spot: Spot, typed: Mapping[str, Typed], *, is_unsaid: bool = False
) -> tuple[Draft, dict[str, FillmarkError]]:
    """The draft with a page's answers in it; or unchanged, with what is wrong by the field ("" for the page).

    Args:
        draft: As it was.
        spot: Which page was answered.
        typed: What came, by the name of the field.
        is_unsaid: What is empty is "not stated" where that is an answer.
    Raises:
        BadPlan: there is no such part.
    """
    before = part_at(draft.document, spot)
    fields = asked_on(spot.page)
    part, faults = read_answers(fields, typed, before=before, is_unsaid=is_unsaid)
    if faults:
        return draft, faults
    document = with_part(draft.document, spot, _named(draft.document, spot, _or_nothing(spot, part, is_unsaid)))
    faults = {}
    for fault in faults_of(document):
        name = _field_of(fault, spot)
        if name is not None:
            faults.setdefault(name, fault)
    if faults:
        return draft, faults
    return (
        replace(draft, document=document, answered=draft.answered | {spot.id}, later=draft.later - {spot.id}),
        {},
    )


def _or_nothing(spot: Spot, part: Raw, is_unsaid: bool) -> Raw | str:
    """A part that nothing is known of is left out, or said to be not stated where the plan can say so."""
    if spot.page.is_list or any(value != NOT_STATED for value in part.values()):
        return part
    return NOT_STATED if is_unsaid and _part_may_be_unsaid(spot.page) else {}


def _part_may_be_unsaid(page: Page) -> bool:
    if len(page.steps) < 2:
        return False
    holder = replace(page, place=page.place.rpartition(".")[0])
    told = part_of(holder).model_fields[page.steps[-1][0]].metadata
    return bool(told)


def _named(document: Raw, spot: Spot, part: Raw | str) -> Raw | str:
    """One of several that is new gets a handle, made from its name."""
    if not isinstance(part, dict) or not spot.page.is_list or "id" in part:
        return part
    if "id" not in part_of(spot.page).model_fields:
        return part
    known = {item.get("id") for item in items_at(document, spot)}
    wanted = str(part.get("name") or f"{spot.page.key}-{part.get('size_ml', '')}").lower()
    stem = re.sub(r"[^a-z0-9]+", "-", wanted).strip("-")[:30].strip("-")
    stem = stem if stem[:1].isalpha() else f"{spot.page.key}-{stem}".rstrip("-")
    handle = next(one for one in (stem, *(f"{stem}-{number}" for number in range(2, 1000))) if one not in known)
    return {"id": handle, **part}


def faults_of(document: Raw) -> tuple[FillmarkError, ...]:
    """Everything that keeps a document from being a plan, each with its place."""
    try:
        read_document(CarePlan, document)
    except FillmarkError as error:
        return (error, *error.also)
    return ()


def _field_of(fault: FillmarkError, spot: Spot) -> str | None:
    """The field of a page that a fault is about; "" for the page as a whole, none for another page."""
    if fault.field == spot.path:
        return ""
    if not fault.field.startswith(f"{spot.path}."):
        return None
    name = re.split(r"[.\[]", fault.field.removeprefix(f"{spot.path}."))[0]
    return name if name in spot.page.names else None


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
