"""Can these words be misread? The forms that the institutes warn of, found, each with what to write instead."""

import re
from dataclasses import dataclass

from fillmark.published.wording import MISREAD_FORMS, Misread

_PATTERNS = tuple((form, re.compile(form.pattern)) for form in MISREAD_FORMS)


@dataclass(frozen=True, kw_only=True, slots=True)
class Misreading:
    """One place in a text that can be misread.

    Attributes:
        start: Where it begins, counted in characters.
        words: What stands there.
        instead: What to write there.
        form: Why, and who says so.
    """

    start: int
    words: str
    instead: str
    form: Misread


def find_forbidden(text: str) -> tuple[Misreading, ...]:
    """Every place in a text that the institutes say is misread, in order.

    Source:
        wording.*
    """
    found = [
        Misreading(
            start=match.start(), words=match.group().strip(), instead=match.expand(form.instead).strip(), form=form
        )
        for form, pattern in _PATTERNS
        for match in pattern.finditer(text)
    ]
    return tuple(sorted(found, key=lambda place: place.start))
