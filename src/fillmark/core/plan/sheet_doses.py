"""How strong a medicine is by a sheet, and how much of it is one dose."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import cast

from fillmark.core.orders.dose_text import Form, read_dose, read_strength_text
from fillmark.core.plan.sheet_amounts import SheetItem, pattern
from fillmark.core.plan.sheet_animal import span_of
from fillmark.core.plan.sheet_found import SheetFound
from fillmark.core.plan.sheet_limits import limit_of, with_limit_words
from fillmark.core.plan.sheet_lines import Clause
from fillmark.core.plan.sheet_orders import Order
from fillmark.core.values.errors import FillmarkError
from fillmark.core.values.quantities import read_number, write_number

_PIECES = r"tab(?:let)?s?|cap(?:sule)?s?|pills?|caplets?|sachets?"
_OF_A_PIECE = (
    pattern(rf"<mg>[- ]?(?:strength |scored |chewable |flavou?red |coated |oral |ec |er |xr |human )*({_PIECES})\b"),
    pattern(rf"(?<!› )\b({_PIECES})[,:( ]*(?:of )?<mg>(?! ?(?:by|via|through|per|po|every))"),
    pattern(r"<piece> (?:of )?[^‹]{3,40}?<mg>"),
    pattern(r"strength: <mg>"),
)
_BESIDE_PIECES = pattern(r"<mg>[,:]? (?:give |take )?<piece>")
_IN_A_VOLUME = pattern(r"<mg> ?(?:in|/) ?<ml>")
_COUNTED = (
    re.compile(r"‹n:(\d+)› ‹mg:\d+›[- ]?(?:tab|cap|pill)"),
    re.compile(
        r"‹mg:\d+›[- ]?(?:tab\w*|cap\w*|pills?)\s*[-:,=|]*\s*(?:give |dose: |sig:? ?|take "
        r")*‹n:(\d+)›(?! ?(?:times|x|day))"
    ),
    re.compile(r"(?:give|take|dose:) ‹n:(\d+)› (?:by|via|through|po|‹latin|‹every|‹often|\|)"),
)
_WATER = re.compile(r"‹ml:(\d+)›(?: of)? (?:\w+ )?water|(?:in|with) ‹ml:(\d+)›")
_TO = re.compile(r"(?:increase|raise|decrease|reduce|lower|change)\w*[^.]*?\bto ‹(?:mg|mg/kg|piece|ml):(\d+)›")
_FROM = re.compile(r"\bfrom ‹(?:mg|mg/kg|piece|ml):(\d+)›")
_CLOSE = Decimal("0.05")
"""Two ways to tell one dose may differ by so much, for rounding [fraction]."""


@dataclass(frozen=True, slots=True)
class _Strength:
    text: str
    form: str
    items: tuple[int, ...]
    span: tuple[int, int]


def read_dose_of(order: Order, place: str, form: str | None, found: SheetFound) -> tuple[str, tuple[int, int]] | None:
    """Strength and dose of one medicine; ways to tell the dose that speak against each other are asked.

    Args:
        order: What the sheet says of it.
        place: Its place in the plan: "medicines[2]".
        form: Its form, where a word says it.
        found: What was found so far; it is added to.
    Returns:
        The form that the strength tells, with its place; none where it tells none.
    """
    clause = order.clause
    strengths = list(_strengths(clause, form))
    texts = {_comparable(one) for one in strengths}
    strength = strengths[0] if len(texts) == 1 else None
    for one in strengths:
        found.seen.update(clause.places(*one.span))
    if len(texts) > 1:
        span = (min(one.span[0] for one in strengths), max(one.span[1] for one in strengths))
        found.ask(f"{place}.strength", f"Two strengths: {' and '.join(one.text for one in strengths)}.", clause, span)
    elif strength is not None:
        take_text(f"{place}.strength", strength.text, form or strength.form, clause, strength.span, found)
    used = {number for one in strengths for number in one.items}
    _dose(clause, place, form or (strength.form if strength else None), strength, used, found)
    return (strength.form, strength.span) if strength is not None and strength.form else None


def _comparable(one: _Strength) -> str:
    try:
        return str(read_strength_text(one.text, cast(Form, one.form or "liquid")))
    except FillmarkError:
        return one.text


def _strengths(clause: Clause, form: str | None) -> Iterator[_Strength]:
    for number, item in enumerate(clause.items):
        span = (item.start, item.end)
        if item.kind == "mg/ml":
            yield _Strength(f"{item.number} {item.unit}/{item.per[0]}", "liquid", (number,), span)
        elif item.kind == "mg/piece" and item.per[0] in ("tablet", "capsule", "sachet", "drop", "vial"):
            yield _Strength(f"{item.number} {item.unit}/{item.per[0]}", _form_of(item.per[0]), (number,), span)
        elif item.kind == "pct":
            yield _Strength(f"{item.number} %", "drops" if form == "drops" else "liquid", (number,), span)
    for words in _OF_A_PIECE:
        for match in words.finditer(clause.tagged):
            groups = [one for one in match.groups() if one]
            number = next(int(one) for one in reversed(groups) if one.isdigit())
            piece = next((one for one in groups if not one.isdigit()), "") or _piece_beside(clause, form)
            item = clause.items[number]
            if piece and not _is_a_dose(clause, match):
                name = _piece_called(piece)
                yield _Strength(f"{item.number} {item.unit}/{name}", _form_of(name), (number,), span_of(match, clause))
    for match in _BESIDE_PIECES.finditer(clause.tagged):
        item, count = clause.items[int(match[1])], clause.items[int(match[2])]
        if count.unit in ("tablet", "capsule"):
            yield _Strength(
                f"{item.number} {item.unit}/{count.unit}", count.unit, (int(match[1]),), (item.start, item.end)
            )
    for match in _IN_A_VOLUME.finditer(clause.tagged):
        mass, volume = clause.items[int(match[1])], clause.items[int(match[2])]
        yield _Strength(
            f"{mass.number} {mass.unit}/{volume.number} mL",
            "liquid",
            (int(match[1]), int(match[2])),
            span_of(match, clause),
        )


def _is_a_dose(clause: Clause, match: re.Match[str]) -> bool:
    """Whether the amount behind pieces is what they come to: "1½ tablets (120 mg)" is no strength."""
    return bool(re.match(r"‹piece:\d+› ?\($", clause.tagged[match.start() : match.end()].partition("‹mg")[0])) or (
        "(" in match[0].partition("‹mg")[0] and match[0].startswith("‹piece")
    )


def _piece_beside(clause: Clause, form: str | None) -> str:
    piece = next(
        (one.unit for one in clause.items if one.kind == "piece" and one.unit in ("tablet", "capsule", "sachet")), ""
    )
    return piece or (form if form in ("tablet", "capsule") else "")


def _piece_called(text: str) -> str:
    return (
        "capsule"
        if text.startswith("cap") and not text.startswith("capl")
        else "sachet"
        if text.startswith("sach")
        else "tablet"
    )


def _form_of(piece: str) -> str:
    return {"sachet": "powder", "drop": "drops", "vial": "nebulizer vial"}.get(piece, piece)


def take_text(key: str, text: str, form: str | None, clause: Clause, span: tuple[int, int], found: SheetFound) -> None:
    """Keep a strength or a dose if it can be read as the plan reads it, or ask.

    Args:
        key: Its place in the plan.
        text: As the plan writes it.
        form: The medicine's form, where it is known.
        clause: The clause that says it.
        span: Where in the clause.
        found: What was found so far; it is added to.
    """
    try:
        if key.endswith("strength"):
            read_strength_text(text, cast(Form, form or "liquid"))
        else:
            read_dose(text, form=cast(Form, form or "liquid"))
    except FillmarkError as error:
        found.ask(key, f"{error.got}. {error.remedy}", clause, span)
        return
    found.take(key, text, clause, span)


def _dose(
    clause: Clause, place: str, form: str | None, strength: _Strength | None, used: set[int], found: SheetFound
) -> None:
    key = f"{place}.dose"
    then = re.search(r"\bthen\b", clause.text, re.IGNORECASE)
    end = then.start() if then else len(clause.text)
    from_ = {int(match[1]) for match in _FROM.finditer(clause.tagged)} if _TO.search(clause.tagged) else set()
    water = {int(next(one for one in match.groups() if one)) for match in _WATER.finditer(clause.tagged)}
    free = {
        number: item
        for number, item in enumerate(clause.items)
        if number not in used | from_ | water and item.start < end and not _is_most_of_a_day(item, clause)
    }
    for number in from_:
        found.seen.update(clause.places(clause.items[number].start, clause.items[number].end))
    counted = next((int(match[1]) for words in _COUNTED if (match := words.search(clause.tagged))), None)
    mass = _only(free, ("mg", "mg/day"), clause)
    per_kg = _only(free, ("mg/kg", "mg/lb", "mg/kg/day"), clause)
    pieces = _only(free, ("piece", "piece/day"), clause) or ([clause.items[counted]] if counted in free else [])
    volumes = _only(free, ("ml", "ml/day"), clause)
    said = [*mass, *per_kg, *pieces, *volumes]
    if not said:
        return
    if limited := next((one for one in said if limit_of(one, clause)), None):
        limit = f'"{limited.text}" is told as a limit, not as a dose: how much is one dose?'
        found.ask(key, limit, clause, with_limit_words(limited, clause))
        return
    span = (min(one.start for one in said), max(one.end for one in said))
    if any(one.high for one in said):
        found.ask(key, "A range: how much is one dose?", clause, span)
    elif len({(one.value, one.unit) for one in mass}) > 1 and not _same_mass(mass):
        found.ask(key, f"Two doses: {' and '.join(one.text for one in mass)}.", clause, span)
    elif why := _speaks_against(mass, pieces, volumes, strength, form):
        found.ask(key, why, clause, span)
    else:
        text, where = _dose_text(mass, per_kg, pieces, volumes, strength)
        if not text:
            found.ask(key, "How many mg is that? The strength is not stated.", clause, span)
            return
        slip = next((why for one in said if (why := _slip(one))), None)
        if slip:
            found.ask(key, slip, clause, span)
            return
        take_text(key, text, form, clause, (where.start, where.end), found)
        if mass and per_kg:
            found.per_kg.append((key, f"{per_kg[0].number} {per_kg[0].unit}/{'/'.join(per_kg[0].per)}"))
        for one in said:
            found.seen.update(clause.places(one.start, one.end))


def _is_most_of_a_day(item: SheetItem, clause: Clause) -> bool:
    """Whether an amount only bounds what a day may have: "1 tablet, no more than 3 tablets a day"."""
    behind = clause.text[item.end :]
    is_of_a_day = item.kind.endswith("/day") or re.match(r" ?(?:per|a|in|each|every|/) ?(?:day|24)", behind)
    return bool(is_of_a_day) and limit_of(item, clause) == "most"


def _slip(item: SheetItem) -> str | None:
    """What is wrong with how a number is written; none where nothing is."""
    try:
        read_number(item.number, field="dose")
    except FillmarkError as error:
        return f"{error.got}. {error.remedy}"
    return None


def _only(free: dict[int, SheetItem], kinds: tuple[str, ...], clause: Clause) -> list[SheetItem]:
    """The amounts of a kind; of an order that is changed, only what it is changed to."""
    to = _TO.search(clause.tagged)
    found = [
        (number, item)
        for number, item in free.items()
        if item.kind in kinds and item.unit not in ("can", "puff", "scoop")
    ]
    if to and any(number == int(to[1]) for number, _ in found):
        return [item for number, item in found if number == int(to[1])]
    return [item for _, item in found]


_IN_MG = {"mg": Decimal(1), "mcg": Decimal("0.001"), "g": Decimal(1000)}


def _mg(item: SheetItem) -> Decimal | None:
    return item.value * _IN_MG[item.unit] if item.unit in _IN_MG else None


def _same_mass(items: list[SheetItem]) -> bool:
    amounts = [_mg(one) for one in items]
    known = [one for one in amounts if one is not None]
    return len(known) == len(items) and max(known) - min(known) <= max(known) * _CLOSE


def _speaks_against(
    mass: list[SheetItem],
    pieces: list[SheetItem],
    volumes: list[SheetItem],
    strength: _Strength | None,
    form: str | None,
) -> str | None:
    """Why two ways to tell one dose do not agree; none where they do, or there is only one."""
    if not mass or strength is None or not (pieces or volumes):
        return None
    try:
        held = read_strength_text(strength.text, cast(Form, form or strength.form or "liquid"))
    except FillmarkError:
        return None
    given = _mg(mass[0])
    per = getattr(held, "mg_per_ml", None) if volumes else getattr(held, "mg", None)
    count = (volumes or pieces)[0]
    if given is None or per is None or (volumes and count.unit != "mL"):
        return None
    if abs(per * count.value - given) > given * _CLOSE:
        comes_to = write_number(per * count.value)
        return f"{count.text} of {strength.text} is {comes_to} mg, and the sheet says {mass[0].text}."
    return None


def _dose_text(
    mass: list[SheetItem],
    per_kg: list[SheetItem],
    pieces: list[SheetItem],
    volumes: list[SheetItem],
    strength: _Strength | None,
) -> tuple[str, SheetItem]:
    """The dose as the plan writes it, with the amount that tells it; empty where it cannot be told."""
    if mass:
        one = mass[0]
        return f"{one.number} {one.unit}{'/day' if one.kind == 'mg/day' else ''}", one
    if per_kg:
        one = per_kg[0]
        return f"{one.number} {one.unit}/{'/'.join(one.per)}", one
    one = (pieces or volumes)[0]
    if pieces and one.unit in ("drop", "sachet", "vial"):
        return f"{one.number} {one.unit}", one
    if strength is None:
        return "", one
    if pieces:
        piece = strength.text.rpartition("/")[2]
        return f"{one.number} {piece} of {strength.text}", one
    return (f"{one.number} mL of {strength.text}" if one.unit == "mL" else ""), one
