"""`fillmark read-sheet FILE`: what a discharge sheet says, each value beside its source words. Nothing is kept."""

import argparse
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from fillmark.cli.plan import wrap
from fillmark.core.plan.sheet import SheetRead, read_sheet
from fillmark.core.plan.sheet_found import NOT_FOUND
from fillmark.core.values.errors import BadPlan
from fillmark.exchange.sheet_text import read_sheet_file


def run(options: argparse.Namespace) -> int:
    """Print what the sheet says, what must be asked, and what was not understood."""
    path = Path(options.file)
    try:
        content = path.read_bytes()
    except OSError as error:
        raise BadPlan(
            field="the file",
            got=f'"{path}", which cannot be read ({error.strerror})',
            allowed="a sheet as text, or as a PDF with text",
            remedy="Check the name and the folder.",
        ) from None
    text = read_sheet_file(content, name=path.name)
    read = read_sheet(text)
    if options.json:
        print(json.dumps(as_plain(read, text), ensure_ascii=False, indent=1))
    else:
        for one in read:
            print("\n".join(_page_of(one, text)))
    return 0


def as_plain(read: tuple[SheetRead, ...], text: str) -> dict[str, list[dict[str, Any]]]:
    """What a sheet says, for machines.

    Args:
        read: What was read, animal by animal.
        text: The sheet.
    """
    return {
        "answers": [
            {
                "animal": one.animal,
                "key": it.key,
                "value": it.value,
                "unit": it.unit,
                "words": it.words,
                "line": it.line,
            }
            for one in read
            for it in one.answers
        ],
        "contradictions": [
            {"animal": one.animal, "key": it.key, "says": it.says, "words": list(it.words), "lines": list(it.lines)}
            for one in read
            for it in one.contradictions
        ],
        "ask": [
            {"animal": one.animal, "key": it.key, "why": it.why, "words": it.words, "line": it.line}
            for one in read
            for it in one.ask
        ],
        "not_understood": [
            {"animal": one.animal, "words": words, "line": line} for one in read for words, line in _left(one, text)
        ],
    }


def _left(one: SheetRead, text: str) -> Iterator[tuple[str, int]]:
    for start, end in one.not_understood:
        words = " ".join(text[start:end].split()).strip(" ,.;|")
        if words:
            yield words, text.count("\n", 0, start) + 1


def _page_of(one: SheetRead, text: str) -> Iterator[str]:
    yield f"{one.animal or 'The animal'}: read from the sheet, confirmed by nobody"
    for it in one.answers:
        value = ", ".join(map(str, it.value)) if isinstance(it.value, list) else str(it.value)
        yield from wrap(f"{it.key} = {f'{value} {it.unit}'.strip()}   “{it.words}” (line {it.line})", indent="  ")
    asked = [ask for ask in one.ask if ask.why != NOT_FOUND]
    if asked:
        yield "\nASK: SAID, BUT NOT PLAINLY"
    for ask in asked:
        yield from wrap(f"? {ask.key}: {ask.why} “{ask.words}” (line {ask.line})", indent="  ")
    silent = [ask.key for ask in one.ask if ask.why == NOT_FOUND]
    if silent:
        yield "\nASK: NOT STATED"
        yield from wrap(", ".join(silent), indent="  ")
    left = list(_left(one, text))
    if left:
        yield "\nNOT UNDERSTOOD"
    for words, line in left:
        yield from wrap(f"line {line}: {words}", indent="  ")
    yield ""
