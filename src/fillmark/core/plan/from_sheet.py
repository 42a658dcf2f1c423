"""What a pasted sheet proposes to the pages of a draft: shown beside its words, and nothing until it is confirmed."""

from collections.abc import Callable, Mapping
from copy import deepcopy
from dataclasses import dataclass, replace
from typing import Any

from fillmark.core.plan.answers import Raw, Typed, write_answer
from fillmark.core.plan.questions import Page, asked_on
from fillmark.core.plan.spots import Spot, part_at, spot_called
from fillmark.core.values.errors import BadPlan


@dataclass(frozen=True, kw_only=True, slots=True)
class FromSheet:
    """One proposed answer of a draft.

    Attributes:
        spot_id: The page that asks for it.
        name: The field.
        typed: What a person would type.
        words: The source words.
        line: On which line of the sheet.
    """

    spot_id: str
    name: str
    typed: Typed
    words: str
    line: int


@dataclass(frozen=True, kw_only=True, slots=True)
class AskOfSheet:
    """What the sheet says in a way that must be asked.

    Attributes:
        spot_id: The page that asks for it.
        name: The field; empty for the page as a whole.
        why: What is wrong with it.
        words: The source words.
        line: On which line of the sheet.
    """

    spot_id: str
    name: str
    why: str
    words: str
    line: int


@dataclass(frozen=True, kw_only=True, slots=True)
class DraftSheet:
    """The sheet that a draft was begun with.

    Attributes:
        text: Its text.
        proposed: What was read in it.
        asks: What must be asked of it.
    """

    text: str
    proposed: tuple[FromSheet, ...] = ()
    asks: tuple[AskOfSheet, ...] = ()

    def moved(self, move: Callable[[str], str | None]) -> "DraftSheet":
        """The sheet with its pages called otherwise, when one of several is taken out.

        Args:
            move: The new id of a page; none for one that is gone.
        """
        proposed = (replace(one, spot_id=to) for one in self.proposed if (to := move(one.spot_id)) is not None)
        asks = (replace(one, spot_id=to) for one in self.asks if (to := move(one.spot_id)) is not None)
        return replace(self, proposed=tuple(proposed), asks=tuple(asks))


def proposed_at(sheet: DraftSheet | None, spot: Spot) -> dict[str, FromSheet]:
    """What the sheet says about a page, by the field.

    Args:
        sheet: The sheet; none for a draft without one.
        spot: The page.
    """
    return {one.name: one for one in sheet.proposed if one.spot_id == spot.id} if sheet else {}


def asks_at(sheet: DraftSheet | None, spot: Spot) -> tuple[AskOfSheet, ...]:
    """What must be asked on a page, of what the sheet says.

    Args:
        sheet: The sheet; none for a draft without one.
        spot: The page.
    """
    return tuple(one for one in sheet.asks if one.spot_id == spot.id and one.words) if sheet else ()


def is_kept(document: Raw, one: FromSheet) -> bool:
    """Whether somebody has answered a field that the sheet proposes something for, as it says or otherwise.

    Args:
        document: The draft's document.
        one: What the sheet proposes.
    """
    spot = spot_called(one.spot_id)
    return spot is not None and part_at(document, spot).get(one.name) is not None


def still_open(document: Raw, sheet: DraftSheet | None, answered: frozenset[str]) -> tuple[FromSheet, ...]:
    """What the sheet proposes and nobody has confirmed, or answered otherwise.

    Args:
        document: The draft's document.
        sheet: The sheet; none for a draft without one.
        answered: The ids of the pages that were answered.
    """
    if sheet is None:
        return ()
    return tuple(one for one in sheet.proposed if one.spot_id not in answered and not is_kept(document, one))


def typed_with(
    document: Raw, sheet: DraftSheet | None, spot: Spot, *, names: frozenset[str] | None = None
) -> dict[str, Typed]:
    """What stands in the fields of a page: what the draft knows, and what the sheet proposes where it knows nothing.

    Args:
        document: The draft's document.
        sheet: The sheet; none for a draft without one.
        spot: The page.
        names: Of what the sheet proposes only these fields; all where left out.
    """
    part, said = part_at(document, spot), proposed_at(sheet, spot)
    found = {}
    for field in asked_on(spot.page):
        is_taken = field.name in said and part.get(field.name) is None and (names is None or field.name in names)
        found[field.name] = said[field.name].typed if is_taken else write_answer(field, part.get(field.name))
    return found


def with_places(document: Raw, proposed: tuple[FromSheet, ...]) -> Raw:
    """The document with an empty part for each one of several that a sheet names, so that each has its pages.

    Args:
        document: As it was.
        proposed: What the sheet proposes.
    """
    after = deepcopy(document)
    for one in proposed:
        spot = spot_called(one.spot_id)
        if spot is None or "[]" not in spot.page.place:
            continue
        holder: Any = after
        ats = iter(spot.at)
        for key, is_one in spot.page.steps:
            if not is_one:
                is_last = key == spot.page.steps[-1][0]
                if is_last:
                    break
                holder = holder.setdefault(key, {})
                continue
            several = holder.setdefault(key, [])
            index = next(ats)
            several += [{} for _ in range(index + 1 - len(several))]
            holder = several[index]
    return after


_GROUPS = {
    "animal": ("The animal and its tube", ("animal", "weight", "condition", "tube")),
    "vet": ("The vet, and whom to call", ("sheet", "call", "night", "limits-to-call", "temperature", "trouble")),
    "food": ("The food", ("food", "label", "analysis", "blend", "blend-food")),
}
_FEEDING = ("feeding", "Meals, water and flushes")


def group_of(spot: Spot) -> tuple[str, str]:
    """On which page of checking a page's values stand together, with the page's title; a medicine has one of its own.

    Args:
        spot: The page.
    """
    if spot.page.place.startswith("medicines"):
        return f"medicine-{spot.at[0]}" if spot.at else "medicines", "A medicine"
    return next(((key, title) for key, (title, pages) in _GROUPS.items() if spot.page.key in pages), _FEEDING)


_READ_TWICE = ("dose", "strength", "kg", "lb", "every_hours", "times_per_day")


def is_read_twice(page: Page, name: str) -> bool:
    """Whether a value is so dangerous when misread that it is confirmed by a tick of its own.

    Args:
        page: The page that asks for it.
        name: The field.
    """
    return name in _READ_TWICE and (page.place.startswith("medicines") or page.key == "weight")


def write_sheet(sheet: DraftSheet) -> Raw:
    """A sheet as it is kept.

    Args:
        sheet: The sheet.
    """
    return {
        "text": sheet.text,
        "proposed": [
            [one.spot_id, one.name, list(one.typed.texts), one.typed.unit, one.words, one.line]
            for one in sheet.proposed
        ],
        "asks": [[one.spot_id, one.name, one.why, one.words, one.line] for one in sheet.asks],
    }


def read_kept_sheet(kept: object) -> DraftSheet | None:
    """A sheet as it was kept; none where there is none.

    Args:
        kept: What `write_sheet` wrote.
    Raises:
        BadPlan: it has not the shape of one.
    """
    if kept is None:
        return None
    try:
        if not isinstance(kept, Mapping):
            raise TypeError
        proposed = [
            FromSheet(spot_id=id_, name=name, typed=Typed(tuple(texts), unit), words=words, line=int(line))
            for id_, name, texts, unit, words, line in kept["proposed"]
        ]
        asks = [
            AskOfSheet(spot_id=id_, name=name, why=why, words=words, line=int(line))
            for id_, name, why, words, line in kept["asks"]
        ]
        return DraftSheet(text=str(kept["text"]), proposed=tuple(proposed), asks=tuple(asks))
    except (KeyError, TypeError, ValueError):
        raise BadPlan(
            field="draft",
            got="A draft whose sheet cannot be read",
            allowed="a sheet as the pages keep it",
            remedy="Begin a new one.",
        ) from None
