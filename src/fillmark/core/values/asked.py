"""How a value of a document is asked for: label and help stand once, in the docstring of the part it belongs to."""

import inspect
import re
from dataclasses import dataclass
from functools import cache

from fillmark.core.values.document import Part

_ENTRY = re.compile(r"^    (\w+): (.*)$")
_LABEL = re.compile(r"(.+?[.?])(?: |$)(.*)")


@dataclass(frozen=True, slots=True)
class InWords:
    """The words in which one value is asked for.

    Attributes:
        label: What it is, in few words.
        help: Where to find it, or what it means; empty where the label says enough.
    """

    label: str
    help: str


@cache
def asked_in(kind: type[Part]) -> dict[str, InWords]:
    """How each value of a part is asked for, from the "Attributes" of its docstring: the first sentence is the label.

    Args:
        kind: The part.
    """
    _, _, attributes = inspect.cleandoc(kind.__doc__ or "").partition("Attributes:\n")
    found: dict[str, str] = {}
    name = ""
    for line in attributes.splitlines():
        entry = _ENTRY.match(line)
        if entry:
            name = entry[1]
            found[name] = entry[2]
        elif name and line.strip():
            found[name] += f" {line.strip()}"
    return {name: _asked(text) for name, text in found.items()}


def _asked(text: str) -> InWords:
    match = _LABEL.match(text)
    label, rest = (match[1], match[2]) if match else (text, "")
    return InWords(label.removesuffix(".").replace("?.", "?"), rest)
