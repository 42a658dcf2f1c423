"""Is a number of a sheet the most or the least of something? A limit is not an order."""

import re
from collections.abc import Iterator

from fillmark.core.plan.sheet_amounts import SheetItem
from fillmark.core.plan.sheet_lines import Clause

_MOST = (
    r"(?:no|not|never|\w*n't)(?: be| give| feed| go| have| get)?(?: any)? (?:more|larger|bigger|higher|greater|longer)"
    r"(?: often)?(?: than)?|(?:not|never|\w*n't)(?: go| be| give| feed)? (?:over|above|past|beyond)|exceed\w*|"
    r"(?:more|larger|bigger|higher|greater) than|(?:stay|keep|remain)\w* (?:below|under)|"
    r"at (?:the )?(?:very )?most|up to|max(?:imum|imal|imally)?\b\.?|limit(?:ed)?\b|capped at|less than|fewer than"
)
_LEAST = r"at (?:the )?(?:very )?least|min(?:imum|imal)\b|(?:no|not|never|\w*n't)(?: be| give)? (?:less|fewer) than"
_GAP = r"[^\d.;,‹½¼¾]{0,28}$"
_BEFORE = (
    ("most", re.compile(rf"\b(?:{_MOST}){_GAP}|\b(?:under|below) $|[<≤] ?$", re.IGNORECASE)),
    ("least", re.compile(rf"\b(?:{_LEAST}){_GAP}", re.IGNORECASE)),
)
_OF = (
    r"^(?: ?(?:of (?:food|water)|(?:per|each|a|/|at|in) ?(?:any )?(?:one )?(?:meal|feed\w*|time|once|dose|day)))?[ ,(]*"
)
_BEHIND = (
    (
        "most",
        re.compile(
            rf"{_OF}(?:at (?:the )?most|max(?:imum)?|or less|or fewer|tops|"
            r"is (?:the |her |his )?(?:most|max(?:imum)?|limit))\b",
            re.IGNORECASE,
        ),
    ),
    ("least", re.compile(rf"{_OF}(?:at (?:the )?least|min(?:imum)|or more)\b", re.IGNORECASE)),
)
_SENSES = (
    ("both", r"vet\.limits|residual"),
    ("most", r"cap_ml_per_kg|pace_ml|keeps_days|max_per_day|\.high$"),
    ("least", r"upright_minutes|gap_hours|food\.\w*minutes|\.low$"),
)
"""Which limit a key of the plan means by itself: the most of a pace, the least of a wait."""


def limit_of(item: SheetItem, clause: Clause) -> str:
    """Whether an amount is told as "most" or "least"; "" for an amount that is simply told.

    Args:
        item: The amount.
        clause: The clause that says it.
    """
    return next((name for name, _, _ in _limits(item, clause)), "")


_NEAR = 18
"""A limit's word belongs to the number behind it where one stands so near [characters]."""


def _limits(item: SheetItem, clause: Clause) -> Iterator[tuple[str, int, int]]:
    """The words that make an amount a limit, each with where it begins and ends."""
    for name, words in _BEFORE:
        if match := words.search(clause.text[: item.start]):
            yield name, match.start(), item.end
    if re.match(r"ml|kcal|mg|piece", item.kind) and re.search(r"\bover $", clause.text[: item.start], re.IGNORECASE):
        yield "most", item.start - len("over "), item.end
    for name, words in _BEHIND:
        match = words.search(clause.text[item.end :])
        end = item.end + match.end() if match else 0
        if match and not any(end <= other.start < end + _NEAR for other in clause.items):
            yield name, item.start, end


def limit_against(key: str, item: SheetItem, clause: Clause) -> str:
    """As `limit_of`, where the key does not mean that limit by itself; else "".

    Args:
        key: The place in the plan.
        item: The amount.
        clause: The clause that says it.
    """
    told = limit_of(item, clause)
    means = next((name for name, words in _SENSES if re.search(words, key)), "")
    return "" if means in (told, "both") else told


def with_limit_words(item: SheetItem, clause: Clause) -> tuple[int, int]:
    """Where an amount stands with the words that make it a limit.

    Args:
        item: The amount.
        clause: The clause that says it.
    """
    told = list(_limits(item, clause))
    return min([item.start, *(one[1] for one in told)]), max([item.end, *(one[2] for one in told)])
