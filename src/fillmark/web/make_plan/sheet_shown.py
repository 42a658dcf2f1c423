"""What the pages of a pasted sheet show: its text, and each value beside its words."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from django.urls import reverse

from fillmark.core.plan.answers import read_answer
from fillmark.core.plan.from_sheet import AskOfSheet, FromSheet, group_of, is_kept, is_read_twice, still_open
from fillmark.core.plan.questions import asked_on
from fillmark.core.plan.sheet import read_sheet
from fillmark.core.plan.spots import Spot, spot_called
from fillmark.core.values.errors import FillmarkError
from fillmark.services.drafts import StoredDraft
from fillmark.web.make_plan.shown import href_of, say_value, title_of


@dataclass(frozen=True, kw_only=True, slots=True)
class ShownGroup:
    """One page of checking, with how many of its values wait for a look."""

    key: str
    title: str
    href: str
    waiting: int


@dataclass(frozen=True, kw_only=True, slots=True)
class ShownRead:
    """One value that was read.

    Attributes:
        id: Its page and field, as the tick sends it.
        label: What it is.
        value: As the plan would have it, in our unit.
        typed: As the sheet has it, where that is another unit; else empty.
        words: The source words.
        line: On which line.
        is_kept: It is an answer already.
        is_ticked: The tick is set before anybody looked.
        is_waiting: It has no tick after the page was kept once.
    """

    id: str
    label: str
    value: str
    typed: str
    words: str
    line: int
    is_kept: bool
    is_ticked: bool
    is_waiting: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class ShownPart:
    """The values of one page, and what the sheet says there in a way that must be asked."""

    title: str
    href: str
    rows: tuple[ShownRead, ...]
    asks: tuple[AskOfSheet, ...]


@dataclass(frozen=True, slots=True)
class ShownPiece:
    """A piece of the sheet's text; `is_left` where nothing was made of it."""

    text: str
    is_left: bool


def show_text(text: str) -> list[ShownPiece]:
    """The sheet's text, with the pieces that were not understood marked."""
    left = {place for one in read_sheet(text) for start, end in one.not_understood for place in range(start, end)}
    found: list[ShownPiece] = []
    start = 0
    for place in range(1, len(text) + 1):
        if place == len(text) or (place in left) is not (start in left):
            found.append(ShownPiece(text[start:place], start in left))
            start = place
    return found


def _spots(stored: StoredDraft) -> Iterator[Spot]:
    """The pages that the sheet says something for."""
    sheet = stored.draft.sheet
    ids = (
        dict.fromkeys([one.spot_id for one in sheet.proposed] + [one.spot_id for one in sheet.asks if one.words])
        if sheet
        else {}
    )
    yield from (spot for one in ids if (spot := spot_called(one)))


def show_groups(stored: StoredDraft) -> list[ShownGroup]:
    """The pages of checking, in their order."""
    waiting = [spot_called(one.spot_id) for one in _open(stored)]
    keys = dict.fromkeys(group_of(spot) for spot in _spots(stored) if not spot.is_whole_list)
    counts = [group_of(spot)[0] for spot in waiting if spot]
    return [
        ShownGroup(
            key=key,
            title=_title(stored, key, title),
            href=reverse("plan_check_sheet", args=[stored.id, key]),
            waiting=counts.count(key),
        )
        for key, title in keys
    ]


def _open(stored: StoredDraft) -> tuple[FromSheet, ...]:
    return still_open(stored.draft.document, stored.draft.sheet, stored.draft.answered)


def _title(stored: StoredDraft, key: str, title: str) -> str:
    """A medicine's page is called by its name in the sheet."""
    spot = spot_called(key)
    sheet = stored.draft.sheet
    if spot is None or sheet is None or spot.page.key != "medicine":
        return title
    named = next((one.typed.text for one in sheet.proposed if one.spot_id == key and one.name == "name"), "")
    return named or title


def next_group(stored: StoredDraft, *, after: str) -> str | None:
    """The next page of checking on which something waits for a look, first after one and then from the start."""
    groups = show_groups(stored)
    here = next((number + 1 for number, one in enumerate(groups) if one.key == after), 0)
    return next((one.key for one in groups[here:] if one.waiting), None)


def show_group(stored: StoredDraft, key: str) -> list[ShownPart]:
    """The values of one page of checking, page of the plan by page; one left without a tick says so."""
    found = _parts(stored, key)
    if not any(row.is_kept for part in found for row in part.rows):
        return found
    return [replace(part, rows=tuple(_waiting(row) for row in part.rows)) for part in found]


def _waiting(row: ShownRead) -> ShownRead:
    return replace(row, is_waiting=not row.is_kept and not row.is_ticked)


def _parts(stored: StoredDraft, key: str) -> list[ShownPart]:
    sheet = stored.draft.sheet
    found = []
    for spot in _spots(stored):
        if sheet is None or group_of(spot)[0] != key:
            continue
        rows = tuple(_row(stored, spot, one) for one in sheet.proposed if one.spot_id == spot.id)
        asks = tuple(one for one in sheet.asks if one.spot_id == spot.id and one.words)
        title = title_of(stored.draft.document, spot)
        found.append(ShownPart(title=title, href=href_of(stored, spot), rows=rows, asks=asks))
    return found


def _row(stored: StoredDraft, spot: Spot, one: FromSheet) -> ShownRead:
    field = next(field for field in asked_on(spot.page) if field.name == one.name)
    try:
        value = say_value(field, read_answer(field, one.typed))
    except FillmarkError:  # a newer program may read more strictly than the one that kept it
        value = one.typed.text
    typed = f"{one.typed.text} {one.typed.unit}" if one.typed.unit not in ("", field.unit) else ""
    return ShownRead(
        id=f"{spot.id}.{one.name}",
        label=field.label,
        value=value,
        typed=typed,
        words=one.words,
        line=one.line,
        is_kept=is_kept(stored.draft.document, one),
        is_ticked=not is_read_twice(spot.page, one.name),
    )
