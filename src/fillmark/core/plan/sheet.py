"""What does a discharge sheet say? Its text becomes proposed answers to the pages of a draft, never more than that.

Every value stands beside its source words; what speaks against itself, is a range or can be read in two ways is asked.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise

from fillmark.core.plan.care_plan import FORMAT
from fillmark.core.plan.draft import faults_of
from fillmark.core.plan.sheet_animal import SPECIES, name_in, read_animal
from fillmark.core.plan.sheet_checks import (
    Contradiction,
    beside_what_is_left,
    document_of,
    not_stated,
    not_understood,
    perhaps_medicines,
    settle,
)
from fillmark.core.plan.sheet_feeding import read_feeding
from fillmark.core.plan.sheet_found import Ask, Proposed, SheetFound, order_of_days
from fillmark.core.plan.sheet_lines import Clause, find_clauses
from fillmark.core.plan.sheet_medicines import read_order
from fillmark.core.plan.sheet_orders import find_orders
from fillmark.core.plan.sheet_vet import read_vet
from fillmark.core.values.errors import BadPlan

MOST_CHARACTERS = 40_000
"""A longer text is no discharge sheet [characters]."""


@dataclass(frozen=True, kw_only=True, slots=True)
class SheetRead:
    """What a sheet says of one animal.

    Attributes:
        animal: Its name; empty where none was found.
        answers: Proposed answers, one for each key.
        contradictions: What speaks against itself; none of it is proposed.
        ask: What must be asked: what the sheet does not say, and what it says in a way that is not plain.
        not_understood: The pieces of the text that nothing was made of, from character to character.
    """

    animal: str
    answers: tuple[Proposed, ...]
    contradictions: tuple[Contradiction, ...]
    ask: tuple[Ask, ...]
    not_understood: tuple[tuple[int, int], ...]


@lru_cache(maxsize=64)
def read_sheet(text: str) -> tuple[SheetRead, ...]:
    """What a discharge sheet says, for each animal that it is about: one, also where it names none.

    Args:
        text: The sheet, as text.
    Raises:
        BadPlan: it is empty, or longer than a sheet.
    """
    if not text.strip() or len(text) > MOST_CHARACTERS:
        raise BadPlan(
            field="sheet",
            got="A sheet without text" if not text.strip() else f"A text of {len(text)} characters",
            allowed=f"the text of a discharge sheet, at most {MOST_CHARACTERS} characters",
            remedy="Copy the text out of the e-mail or the PDF; of a picture there is no text.",
        )
    clauses = find_clauses(text)
    days = order_of_days(clauses)
    found = [_read(text, part, days) for part in _by_animal(clauses)]
    left = set.intersection(*({place for span in one.not_understood for place in range(*span)} for one in found))
    return tuple(_with_left(one, left) for one in found)


def _with_left(one: SheetRead, left: set[int]) -> SheetRead:
    """What one animal's part understood, the others need not."""
    spans = tuple(span for span in one.not_understood if any(place in left for place in range(*span)))
    return replace(one, not_understood=spans)


def _read(text: str, clauses: Sequence[Clause], days: str) -> SheetRead:
    found = SheetFound(sheet=text, days=days)
    orders, rest = find_orders(clauses)
    read_animal(rest, found)
    read_vet(rest, found)
    read_feeding(rest, found)
    given = [one for one in orders if not one.is_stopped]
    for number, order in enumerate(given, start=1):
        read_order(order, number, found)
    for order in orders:
        if order.is_stopped:
            span = (0, len(order.clause.text))
            found.ask("medicines", "The sheet takes this one away: it must not be in the plan.", order.clause, span)
    found.ask_limits()
    contradictions = settle(found)
    _faults(found)
    asks = [
        *found.asks,
        *perhaps_medicines(rest, found),
        *(Ask(key=one.key, why=one.says, words=" · ".join(one.words), line=one.lines[0]) for one in contradictions),
    ]
    found.asks[:] = asks
    left = tuple(not_understood(clauses, found))
    silent = [beside_what_is_left(one, left, text) for one in not_stated(found, medicines=len(given))]
    named = found.first("animal.name")
    return SheetRead(
        animal=str(named.value) if named else "",
        answers=tuple(found.answers),
        contradictions=tuple(contradictions),
        ask=(*asks, *silent),
        not_understood=left,
    )


def _faults(found: SheetFound) -> None:
    """What no plan can hold is asked in place of being proposed."""
    places = {one.key: one for one in found.answers}
    for fault in faults_of(document_of(found.answers, {"format": FORMAT})):
        one = places.get(fault.field)
        if one is not None:
            found.asks.append(Ask(key=one.key, why=f"{fault.got}. {fault.remedy}", words=one.words, line=one.line))
            found.answers.remove(one)


_COMMON = re.compile(r"‹phone|^dr\b|hospital|clinic|veterinar|emergenc|\bvets\b|practice", re.IGNORECASE)


def _by_animal(clauses: tuple[Clause, ...]) -> list[list[Clause]]:
    """The clauses of each animal, with those that are about all of them."""
    marks: list[tuple[int, str]] = []
    for number, clause in enumerate(clauses):
        named = name_in(clause) if clause.is_new else None
        if named is None or (named[0] < 3 and not any(words.search(clause.tagged) for _, words in SPECIES)):
            continue
        if named[0] >= 2:
            marks.append((number, named[1]["name"].casefold()))
    names = list(dict.fromkeys(name for _, name in marks))
    if len(names) < 2:
        return [list(clauses)]
    parts: dict[str, list[Clause]] = {name: [] for name in names}
    common: list[Clause] = list(clauses[: marks[0][0]])
    bounds = [*marks, (len(clauses), "")]
    for (start, name), (end, _) in pairwise(bounds):
        for clause in clauses[start:end]:
            (common if _COMMON.search(clause.tagged) else parts[name]).append(clause)
    return [[*common, *part] for part in parts.values()]
