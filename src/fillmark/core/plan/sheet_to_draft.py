"""How does what a sheet says come into a draft: proposed, then confirmed page by page or from a list?"""

from collections.abc import Collection, Mapping
from dataclasses import replace

from fillmark.core.plan.draft import Draft, answer
from fillmark.core.plan.from_sheet import AskOfSheet, DraftSheet, FromSheet, typed_with, with_places
from fillmark.core.plan.pages import PAGES
from fillmark.core.plan.sheet import SheetRead
from fillmark.core.plan.sheet_found import spot_and_name
from fillmark.core.plan.spots import Spot, part_at, spot_called, spot_of
from fillmark.core.values.errors import FillmarkError


def with_sheet(draft: Draft, read: SheetRead, *, text: str) -> Draft:
    """The draft with what a sheet proposes beside it; none of it is an answer yet.

    Args:
        draft: As it was.
        read: What the sheet says of this animal.
        text: The sheet.
    """
    proposed = []
    for one in read.answers:
        spot, name = spot_and_name(one.key)
        proposed.append(FromSheet(spot_id=spot.id, name=name, typed=one.typed, words=one.words, line=one.line))
    asks = []
    for ask in read.ask:
        place = spot_of(ask.key)
        if place is not None:
            name = ask.key.rpartition(".")[2]
            known = name if name in place.page.names else ""
            asks.append(AskOfSheet(spot_id=place.id, name=known, why=ask.why, words=ask.words, line=ask.line))
    sheet = DraftSheet(text=text, proposed=tuple(proposed), asks=tuple(asks))
    return replace(draft, document=with_places(draft.document, sheet.proposed), sheet=sheet)


def confirm(draft: Draft, ticked: Mapping[str, Collection[str]]) -> tuple[Draft, dict[str, FillmarkError]]:
    """The draft with what was ticked as answers; a page that cannot be kept stays open, with what is wrong by its id.

    A page counts as answered only where the sheet leaves nothing of it to ask and nothing unticked. Where a page
    cannot be kept only because a value of it has no tick yet, nothing is wrong: it waits.

    Args:
        draft: As it was.
        ticked: For each page, the fields whose values are right.
    """
    faults: dict[str, FillmarkError] = {}
    for spot in sorted((spot for one in ticked if (spot := spot_called(one))), key=_in_order):
        names = frozenset(ticked[spot.id])
        typed = typed_with(draft.document, draft.sheet, spot, names=names)
        after, wrong = answer(draft, spot, typed)
        if wrong and not answer(draft, spot, typed_with(draft.document, draft.sheet, spot))[1]:
            continue
        if wrong:
            faults[spot.id] = next(iter(wrong.values()))
            continue
        is_open = _is_open(after, spot)
        draft = replace(after, answered=after.answered - {spot.id}) if is_open else after
    return draft, faults


def _in_order(spot: Spot) -> tuple[tuple[int, ...], int]:
    return spot.at, PAGES.index(spot.page)


def _is_open(draft: Draft, spot: Spot) -> bool:
    """Whether the sheet leaves something of a page to ask, or to confirm."""
    part, sheet = part_at(draft.document, spot), draft.sheet
    if sheet is None:
        return False
    wanted = [*((one.spot_id, one.name) for one in sheet.proposed), *((one.spot_id, one.name) for one in sheet.asks)]
    return any(id_ == spot.id and part.get(name) is None for id_, name in wanted)
