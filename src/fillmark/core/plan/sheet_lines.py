"""Which clauses does a discharge sheet have: out of lines, bullets, tables and columns, each under its heading?"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from fillmark.core.plan.sheet_amounts import SheetItem, find_items, tagged

MADE_UP = -1
"""Where a character stands that is not in the sheet: a label that a table has in its first row."""


@dataclass(frozen=True)
class Clause:
    """A piece of a sheet that says one thing, with where each of its characters stands.

    Attributes:
        text: The clause on one line.
        at: For each character, its place in the sheet; `MADE_UP` for what is not there.
        section: What its heading is about: "medicines", "feeding", "tube", "call" or "".
        is_new: It begins a line, a bullet, a cell or a row.
        is_row: It is a row of a table of medicines.
        gap: An empty line stands before it.
    """

    text: str
    at: tuple[int, ...]
    section: str = ""
    is_new: bool = True
    is_row: bool = False
    gap: bool = False

    @cached_property
    def items(self) -> tuple[SheetItem, ...]:
        """What it says."""
        return find_items(self.text)

    @cached_property
    def tagged(self) -> str:
        """Its words, with a mark for each thing it says."""
        return tagged(self.text, self.items)

    def places(self, start: int, end: int) -> list[int]:
        """Where its characters from `start` to `end` stand in the sheet.

        Args:
            start: The first character.
            end: Behind the last one.
        """
        return [place for place in self.at[start:end] if place != MADE_UP]

    def words(self, start: int, end: int) -> str:
        """The source words of a part of it.

        Args:
            start: The first character.
            end: Behind the last one.
        """
        spots = zip(self.text[start:end], self.at[start:end], strict=True)
        kept = (" " if place == MADE_UP else sign for sign, place in spots)
        return " ".join("".join(kept).split()).strip(" ,;|")

    def cut(self, start: int, end: int, *, is_new: bool) -> "Clause":
        """A part of it as a clause of its own.

        Args:
            start: The first character.
            end: Behind the last one.
            is_new: Whether it begins a line.
        """
        text = self.text[start:end]
        first, last = start + len(text) - len(text.lstrip()), end - (len(text) - len(text.rstrip()))
        return replace(self, text=self.text[first:last], at=self.at[first:last], is_new=is_new, gap=self.gap and is_new)


_HEADINGS = (
    ("medicines", r"medic|drug|\brx\b|prescri|treatments?$|pharmac"),
    ("tube", r"tube"),
    ("feeding", r"feed|diet|nutrition|meal|food|water|flush"),
    ("call", r"call|contact|emergenc|phone|when to"),
    ("recheck", r"re-?check|follow|appointment|review"),
)
_SEVERAL_SPACES = re.compile(r" {3,}|\s*\|\s*")
_OF_A_TABLE = re.compile(r" {2,}|\s*\|\s*")
_BULLET = re.compile(
    r"^\s*(?:rx\s*:?\s*)?(?:[-*•·▪‣>–—]+|\(?\d{1,2}[.)]|[a-z]\)|\[[ x]?\])\s+|^\s*>+\s*", re.IGNORECASE
)
_ABBREVIATIONS = re.compile(
    r"\b(?:dr|mr|mrs|ms|tel|approx|no|e\.g|i\.e|ph|st|prof|vs|ca|max|min|incl|jan|"
    r"feb|mar|apr|aug|sept?|oct|nov|dec|[a-z])\.$",
    re.IGNORECASE,
)
_SENTENCE_END = re.compile(
    r"(?<=[.!?])\s+(?=[A-Z0-9\"“(])|;\s+|(?:,| and)\s+(?=(?:and )?(?:then )?(?:flush|rinse|warm|feed)\b[^.;]*\d)",
    re.IGNORECASE,
)
_JOINS = re.compile(r"\b(?:and|or|the|of|with|to|a|an|for|by|than|is|give)$", re.IGNORECASE)
_HEADS = (
    ("name", r"medic|drug|^name$|product|item|prescription"),
    ("strength", r"strength|conc|bottle|size|formulation"),
    ("route", r"route|^how$|how (?:to give|given)|by$|method"),
    ("until", r"last day|until|stop|^end|through"),
    ("for", r"^for\b|\bfor$|reason|indication|purpose|why|^use"),
    ("dose", r"dose|dosage|amount|give|how much|quantity"),
    ("every", r"often|freq|when|times?$|schedule|interval|rhythm"),
    ("note", r"note|instruct|comment|direction|food|remark|special|with"),
)


@dataclass(frozen=True)
class _Line:
    text: str
    at: tuple[int, ...]
    gap: bool = False
    is_row: bool = False


def find_clauses(sheet: str) -> tuple[Clause, ...]:
    """The clauses of a sheet, in reading order.

    Args:
        sheet: Its text.
    """
    lines = list(_laid_out(list(_lines(sheet))))
    small = sum(line.text.lstrip()[:1].islower() for line in lines)
    clauses: list[Clause] = []
    section = ""
    for line in _joined(lines, may_begin_small=small * 2 < len(lines)):
        found = _heading(line.text)
        if found is not None:
            section = found
        clauses += _sentences(Clause(line.text, line.at, section=section, is_row=line.is_row, gap=line.gap))
    return tuple(one for one in clauses if one.text)


def _lines(sheet: str) -> Iterator[_Line]:
    """Each line with its places; tabs are wide, and signs of emphasis and dots that lead the eye are left out."""
    place, gap = 0, False
    for line in sheet.splitlines(keepends=True):
        signs, at = [], []
        for number, sign in enumerate(line.rstrip("\r\n")):
            wide = "    " if sign == "\t" else _SAME.get(sign, sign)
            is_leader = sign == "." and ".." in line[max(number - 1, 0) : number + 2]
            wide = (
                ""
                if is_leader or (sign in "*_" and (line[:number].strip() or line[number + 1 : number + 2] == sign))
                else wide
            )
            signs.append(wide)
            at += [place + number] * len(wide)
        text = "".join(signs)
        if text.strip(" |-=_+#"):
            yield _Line(text, tuple(at), gap=gap)
            gap = False
        elif not text.strip(" "):
            gap = True
        place += len(line)


_SAME = {
    "\u00a0": " ",
    "\u202f": " ",
    "\u2009": " ",
    "’": "'",
    "‘": "'",
    "−": "-",
    "\u2011": "-",
    "\u2010": "-",
    "⁄": "/",
    "#": "#",
}


def _laid_out(lines: list[_Line]) -> Iterator[_Line]:
    """Lines in reading order: rows of tables with their labels, columns one after the other."""
    block: list[_Line] = []
    for line in [*lines, _Line("", (), gap=True)]:
        if line.gap and block:
            yield from _block(block)
            block = []
        if line.text:
            block.append(line)


def _cells(line: _Line, between: re.Pattern[str] = _SEVERAL_SPACES) -> list[tuple[int, int]]:
    """Where each cell of a line begins and ends."""
    found, last = [], 0
    for split in [*between.finditer(line.text), None]:
        start, end = last, split.start() if split else len(line.text)
        if line.text[start:end].strip():
            lead = len(line.text[start:end]) - len(line.text[start:end].lstrip())
            found.append((start + lead, end))
        last = split.end() if split else 0
    return found


def _block(block: list[_Line]) -> Iterator[_Line]:
    cells = [_cells(line) for line in block]
    head = next((number for number, line in enumerate(block) if _is_head(line, cells[number])), None)
    if head is not None:
        yield from _block(block[:head]) if head else ()
        yield from _table(block[head:], [_cells(line, _OF_A_TABLE) for line in block[head:]])
        return
    splits = _column_splits(block, cells)
    if splits:
        for number in range(len(splits) + 1):
            column = [
                (line, [one for one in own if sum(one[0] >= split for split in splits) == number])
                for line, own in zip(block, cells, strict=True)
            ]
            kept = [replace(_part(line, own[0][0], own[-1][1]), gap=False) for line, own in column if own]
            yield from [replace(kept[0], gap=True), *kept[1:]] if kept else ()
        return
    for line, own in zip(block, cells, strict=True):
        if len(own) == 2 and _is_label(line.text[slice(*own[0])]):
            yield _labelled(line, own)
        else:
            for number, one in enumerate(own):
                yield replace(_part(line, *one), gap=line.gap and number == 0)


def _part(line: _Line, start: int, end: int) -> _Line:
    text = line.text[start:end]
    return replace(line, text=text.rstrip(), at=line.at[start : start + len(text.rstrip())])


_CLOCK = re.compile(r"\d{1,2}(?:[:.]\d{2})? ?(?:[ap]\.?m\.?)?|noon|midnight", re.IGNORECASE)


def _is_label(text: str) -> bool:
    plain = text.strip()
    is_short = bool(re.fullmatch(r"[A-Za-z][A-Za-z' /()-]{1,30}:?", plain)) and len(plain.split()) <= 4
    return is_short or bool(_CLOCK.fullmatch(plain))


def _labelled(line: _Line, cells: list[tuple[int, int]]) -> _Line:
    """A label and its value, side by side."""
    label, value = _part(line, *cells[0]), _part(line, *cells[1])
    between = " " if label.text.endswith(":") else ": "
    made_up = (MADE_UP,) * len(between)
    return replace(line, text=f"{label.text}{between}{value.text}", at=(*label.at, *made_up, *value.at))


def _column_splits(block: list[_Line], cells: list[list[tuple[int, int]]]) -> tuple[int, ...]:
    """Where each column behind the first begins; nothing where there are no columns."""
    for count in (3, 2):
        pairs = [(line, own) for line, own in zip(block, cells, strict=True) if len(own) == count]
        if len(pairs) < 3 or len(pairs) * 2 < len(block) or "|" in pairs[0][0].text:
            continue
        starts = [[own[number][0] for _, own in pairs] for number in range(1, count)]
        goes_on = sum(bool(_RIGHT_GOES_ON.match(line.text[own[-1][0] :])) for line, own in pairs)
        is_form = count == 2 and all(_is_label(line.text[slice(*own[0])]) for line, own in pairs)
        if all(max(one) - min(one) <= 4 for one in starts) and not is_form and (count > 2 or goes_on * 2 <= len(pairs)):
            return tuple(min(one) for one in starts)
    return ()


_RIGHT_GOES_ON = re.compile(r"(?:give|take|apply|inject|by|every|once|twice|one|half|[\d½¼])\b", re.IGNORECASE)
"""How the right cell of a row begins that goes on with the left one."""


def _head_of(text: str) -> str | None:
    plain = text.strip().lower().rstrip(":")
    if len(plain.split()) > 4 or re.search(r"\d", plain):
        return None
    return next((name for name, words in _HEADS if re.search(words, plain)), None)


def _is_head(line: _Line, cells: list[tuple[int, int]]) -> bool:
    heads = [_head_of(line.text[slice(*one)]) for one in cells]
    return (
        len(cells) >= 3
        and len({one for one in heads if one}) >= 2
        and sum(one is not None for one in heads) * 2 > len(cells)
    )


def _table(block: list[_Line], cells: list[list[tuple[int, int]]]) -> Iterator[_Line]:
    """Each row of a table of medicines on one line, with what its column is about before each cell."""
    heads = [(start, _head_of(block[0].text[start:end]) or "note") for start, end in cells[0]]
    has_bars = "|" in block[0].text
    row: _Line | None = None
    for line, own in zip(block[1:], cells[1:], strict=True):
        if len(own) == 1 and not has_bars and own[0][0] <= heads[0][0] and len(line.text) > heads[1][0]:
            yield from [row] if row else ()
            row = None
            yield line
            continue
        placed = [(_behind_bars(line, heads, one[0]) if has_bars else _nearest(heads, one[0]), one) for one in own]
        if row is not None and placed and placed[0][0] != 0:
            row = _with_cells(row, line, heads, placed)
            continue
        yield from [row] if row else ()
        row = _with_cells(_Line("", (), gap=True, is_row=True), line, heads, placed)
    yield from [row] if row else ()


def _behind_bars(line: _Line, heads: list[tuple[int, str]], start: int) -> int:
    """Which column a cell stands in, by the bars before it."""
    number = line.text[:start].count("|") - line.text.lstrip().startswith("|")
    return min(max(number, 0), len(heads) - 1)


def _nearest(heads: list[tuple[int, str]], start: int) -> int:
    return min(range(len(heads)), key=lambda number: abs(heads[number][0] - start))


def _with_cells(
    row: _Line, line: _Line, heads: list[tuple[int, str]], placed: list[tuple[int, tuple[int, int]]]
) -> _Line:
    text, at = row.text, list(row.at)
    for number, one in placed:
        part = _part(line, *one)
        label = f"{' | ' if text else ''}{heads[number][1]}: " if heads[number][1] != "name" or text else ""
        text += label + part.text
        at += [MADE_UP] * len(label) + list(part.at)
    return replace(row, text=text, at=tuple(at))


def _joined(lines: Sequence[_Line], *, may_begin_small: bool) -> Iterator[_Line]:
    """A line that goes on in the next one, as one; bullets are taken off."""
    held: _Line | None = None
    for line in lines:
        bullet = _BULLET.match(line.text)
        plain = _part(line, bullet.end() if bullet else len(line.text) - len(line.text.lstrip()), len(line.text))
        if (
            held is not None
            and not bullet
            and not line.gap
            and not line.is_row
            and _goes_on(held.text, plain.text, may_begin_small)
        ):
            held = replace(held, text=f"{held.text} {plain.text}", at=(*held.at, MADE_UP, *plain.at))
            continue
        if held is not None:
            yield held
        held = plain
    if held is not None:
        yield held


def _goes_on(before: str, after: str, may_begin_small: bool) -> bool:
    if _heading(before) is not None or re.search(r"[.:;!?]$", before):
        return False
    if _JOINS.search(before) or (before.endswith(",") and not after[:1].isupper()):
        return True
    if not may_begin_small or not after[:1].islower() or ":" in after[:25]:
        return False
    return len(before) >= 40 or (before[:1].isupper() and ":" not in before and not before[-1:].isdigit())


def _heading(text: str) -> str | None:
    """What a heading is about; "" for one that is about something else, none for what is no heading."""
    plain = text.strip().strip("#=*- ")
    words = plain.rstrip(":").split()
    if not words or len(words) > 6 or re.search(r"\d", plain) or re.search(r":\s*\S", plain):
        return None
    known = next((name for name, pattern in _HEADINGS if re.search(pattern, plain.lower())), "")
    if (
        plain.isupper()
        or plain.endswith(":")
        or (known and len(words) <= 3 and plain[:1].isupper() and not plain.endswith("."))
    ):
        return known
    return None


def is_heading(text: str) -> bool:
    """Whether a clause only says what comes next."""
    return _heading(text) is not None


_LONGEST = 700
"""A longer clause says more than one thing, or nothing; it is cut [characters]."""


def _sentences(clause: Clause) -> Iterator[Clause]:
    start, is_new = 0, True
    for end in [*(split for split in _SENTENCE_END.finditer(clause.text)), None]:
        if end is not None and _ABBREVIATIONS.search(clause.text[start : end.start()]):
            continue
        if end is not None and clause.is_row:
            continue
        if end is not None and _is_inside(clause.text, start, end):
            continue
        last = end.start() if end else len(clause.text)
        for first in range(start, max(last, start + 1), _LONGEST):
            yield clause.cut(first, min(first + _LONGEST, last), is_new=is_new and first == start)
        if end is not None:
            start, is_new = end.end(), False


def _is_inside(text: str, start: int, end: re.Match[str]) -> bool:
    """Whether what follows belongs to what stands before it: "before each meal, flush 5 mL"."""
    if end[0].strip() == ";" or text[end.start() - 1 : end.start()] in ".!?":
        return text[end.start() - 1 : end.start()] in ".!?" and text[end.end() : end.end() + 1].islower()
    return not re.search(r"\d", text[start : end.start()])
