"""How far is a plan that is still being made, and what is asked next?"""

import re
from collections.abc import Iterator, Mapping
from copy import deepcopy
from dataclasses import dataclass, replace
from typing import Any

from fillmark.core.plan.answers import Raw, Typed, part_inside, read_answers
from fillmark.core.plan.care_plan import FORMAT, CarePlan
from fillmark.core.plan.from_sheet import DraftSheet, read_kept_sheet
from fillmark.core.plan.pages import PAGES
from fillmark.core.plan.questions import Page, asked_on, part_of
from fillmark.core.plan.spots import Spot, items_at, no_such_part, part_at, put_into, spot_called, with_part
from fillmark.core.values.document import NOT_STATED, Part, read_document
from fillmark.core.values.errors import BadPlan, FillmarkError


@dataclass(frozen=True, kw_only=True, slots=True)
class Draft:
    """A plan that is being made. Nothing of it is in force.

    Attributes:
        document: What is known, as the plan's document has it.
        answered: The ids of the spots that were gone through.
        later: The ids of those that were put off.
        sheet: The sheet that it was begun with, and what that proposes; none for none.
    """

    document: Raw
    answered: frozenset[str] = frozenset()
    later: frozenset[str] = frozenset()
    sheet: DraftSheet | None = None


def new_draft(*, household: Mapping[str, Any]) -> Draft:
    """A draft that knows the home and nothing else.

    Args:
        household: The plan's household part, as the document has it.
    """
    return Draft(document={"format": FORMAT, "household": dict(household)})


def read_draft(document: object, *, answered: object, later: object, sheet: object = None) -> Draft:
    """A draft as it was kept, if pages can be made of it; whether it is a plan yet does not matter here.

    Args:
        document: What is known of the plan.
        answered: The ids of the spots that were gone through.
        later: The ids of those that were put off.
        sheet: The sheet that it was begun with, as it was kept.
    Raises:
        BadPlan: it has not the shape of a plan.
    """
    ids = [one for one in (answered, later) if isinstance(one, list) and all(isinstance(id_, str) for id_ in one)]
    if not isinstance(document, dict) or not _has_shape(CarePlan, document) or len(ids) < 2:
        raise BadPlan(
            field="draft",
            got="A draft without the shape of a plan",
            allowed="parts, lists and values where a plan has them",
            remedy="Begin a new one.",
        )
    kept = read_kept_sheet(sheet)
    return Draft(document=document, answered=frozenset(ids[0]), later=frozenset(ids[1]), sheet=kept)


def _has_shape(kind: type[Part], part: Raw) -> bool:
    """Whether parts, lists and values stand where a plan has them."""
    for name, value in part.items():
        inside = part_inside(kind, name) if name in kind.model_fields else None
        if inside is None:
            several = value if isinstance(value, list) else [value]
            if not all(isinstance(one, str | int | float) for one in several):
                return False
        elif value != NOT_STATED:
            several = value if isinstance(value, list) else [value]
            if isinstance(value, list) != inside[1] or not all(isinstance(one, dict) for one in several):
                return False
            if not all(_has_shape(inside[0], one) for one in several):
                return False
    return True


def without_item(draft: Draft, spot: Spot) -> Draft:
    """The draft without one of several; what was answered or put off about those after it goes with them.

    Args:
        draft: As it was.
        spot: The one that is taken out.
    Raises:
        BadPlan: there is no such part.
    """
    items = items_at(draft.document, spot)
    if spot.at[-1] >= len(items):
        raise no_such_part(spot)
    whole = Spot(spot.page, spot.at[:-1])
    left = [item for index, item in enumerate(items) if index != spot.at[-1]]
    after = deepcopy(draft.document)
    holder: Any = after
    ats = iter(spot.at)
    for key, is_one in spot.page.steps[:-1]:
        holder = holder[key][next(ats)] if is_one else holder[key]
    put_into(holder, spot.page.steps[-1][0], left)
    gone = re.compile(rf"[a-z-]+-{'-'.join(map(str, spot.at))}(-.*)?")

    def moved_up(ids: frozenset[str]) -> frozenset[str]:
        left = (one for one in ids if not (_is_about(one, spot) and gone.fullmatch(one)))
        return frozenset(_shifted(one, spot) for one in left)

    answered = moved_up(draft.answered) - {whole.id}
    sheet = draft.sheet.moved(lambda one: next(iter(moved_up(frozenset({one}))), None)) if draft.sheet else None
    return replace(draft, document=after, answered=answered, later=moved_up(draft.later), sheet=sheet)


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
    steps = spot.page.steps
    # the orders stay, also where nothing of them is stated
    is_whole = spot.page.is_list or (len(steps) == 1 and CarePlan.model_fields[steps[0][0]].default is not None)
    if is_whole or any(value != NOT_STATED for value in part.values()):
        return part
    return NOT_STATED if is_unsaid and len(steps) > 1 and _part_may_be_unsaid(spot.page) else {}


def _part_may_be_unsaid(page: Page) -> bool:
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
