"""What stands in a line of a discharge sheet: amounts with their units, rhythms, days, times and telephone numbers."""

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cache

from lark import Lark, Token, Tree

_HALVES = {"½": "0.5", "¼": "0.25", "¾": "0.75", "⅓": "0.3333", "⅔": "0.6667", "⅛": "0.125", "⅜": "0.375"}
_COUNTS = re.findall(
    r"\w+",
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen "
    "eighteen nineteen",
)
_TENS = {"twenty": 20, "thirty": 30, "forty": 40, "fifty": 50, "sixty": 60, "seventy": 70, "eighty": 80, "ninety": 90}

_KINDS = {
    "MASS": "mg",
    "WEIGHT": "kg",
    "VOLUME": "ml",
    "LENGTH": "cm",
    "FRENCH": "fr",
    "DEGREES": "temp",
    "ENERGY": "kcal",
    "PIECE": "piece",
    "PERCENT": "pct",
    "HOURS": "time",
    "BREATHS": "breaths",
}
"""What each kind of unit is called in a pattern."""
_UNITS = (
    (r"mcg|[µμ]g|ug|microg", "mcg"),
    (r"mg|millig", "mg"),
    (r"gr?ms?|grams?|gramme", "g"),
    (r"g$", "g"),
    (r"units?|iu|u$", "units"),
    (r"meq", "mEq"),
    (r"mmol", "mmol"),
    (r"kg|kilo(?!j|c)", "kg"),
    (r"lb|pound|#", "lb"),
    (r"fl|fluid", "fl oz"),
    (r"oz|ounce", "oz"),
    (r"ml|cc|millil", "mL"),
    (r"l$|lit", "L"),
    (r"cup", "cups"),
    (r"tsp|teasp", "teaspoons"),
    (r"tbsp|tablesp", "tablespoons"),
    (r"cm|centim", "cm"),
    (r"mm$|millim", "mm"),
    (r"in|[\"”″]", "in"),
    (r"fr|fg|ch", "Fr"),
    (r"kcal|kiloc|cal", "kcal"),
    (r"kj|kiloj", "kJ"),
    (r"mj", "MJ"),
    (r"tab(?!lesp)|pill", "tablet"),
    (r"cap", "capsule"),
    (r"drop|gtt", "drop"),
    (r"sachet", "sachet"),
    (r"vial", "vial"),
    (r"can|tin|pouch", "can"),
    (r"puff|spray|pump", "puff"),
    (r"scoop", "scoop"),
    (r"%|per", "%"),
    (r"h", "hours"),
    (r"mi", "minutes"),
    (r"d", "days"),
    (r"w", "weeks"),
    (r"mo", "months"),
    (r"br?", "breaths"),
)
"""What a unit begins with, and how it is called here."""


@dataclass(frozen=True, kw_only=True, slots=True)
class SheetItem:
    """One thing that a line says.

    Attributes:
        kind: What it is, as patterns call it: "ml", "mg/ml", "n", "date".
        number: The number as a page reads it; as it is printed, where that invites a slip. Empty for none.
        high: The upper end of a range; empty for none.
        unit: What it counts.
        per: What it is for each of, with its own number where it has one: ("5 mL",).
        start: Where it begins in its clause.
        end: Where it ends.
        text: As it stands there.
    """

    kind: str
    number: str = ""
    high: str = ""
    unit: str = ""
    per: tuple[str, ...] = ()
    start: int
    end: int
    text: str

    @property
    def value(self) -> Decimal:
        """The number; a comma is a decimal one unless three digits follow."""
        plain = re.sub(r",(?=\d{3}(?!\d))", "", self.number).replace(",", ".")
        return Decimal(plain or "0")


@cache
def _grammar() -> Lark:
    return Lark.open("sheet.lark", rel_to=__file__, parser="lalr", lexer="contextual", propagate_positions=True)


def find_items(text: str) -> tuple[SheetItem, ...]:
    """What a clause says, in its order; words and marks are left out.

    Args:
        text: One clause, on one line.
    """
    tree = _grammar().parse(text)
    found = [_item(node, text) for node in tree.children if isinstance(node, Tree)]
    kept = (_changed(one, text, found[number + 1 :]) for number, one in enumerate(found))
    return tuple(_joined([one for one in kept if one is not None]))


_CHANGED_FROM = re.compile(r"(?<!range )(?<!ranging )from $")


_CHANGES = re.compile(r"increas|decreas|reduc|rais|lower|chang|\bgo(?:es)?\b|\bup\b|\bdown\b", re.IGNORECASE)


def _changed(item: SheetItem, text: str, following: list[SheetItem]) -> SheetItem | None:
    """What is changed "from 3 to 4" is no range: the second number counts, also where both have their unit."""
    if not _CHANGED_FROM.search(text[: item.start].lower()):
        return item
    if item.high and re.search(r"\bto\b", item.text):
        return replace(item, number=item.high, high="")
    is_next = bool(following) and following[0].kind == item.kind and text[item.end : following[0].start].strip() == "to"
    return None if is_next and _CHANGES.search(text) else item


def _item(node: Tree[Token], text: str) -> SheetItem:
    start, end = node.meta.start_pos, node.meta.end_pos
    said = text[start:end]
    match node.data:
        case "amount":
            return _amount(node, start, end, said)
        case "number":
            low, high = read_range(said)
            return SheetItem(kind="n", number=low, high=high, start=start, end=end, text=said)
        case "every":
            return _every(node, start, end, said)
        case "often":
            return _often(node, start, end, said)
    return SheetItem(kind=str(node.data), start=start, end=end, text=said)


def _amount(node: Tree[Token], start: int, end: int, said: str) -> SheetItem:
    parts = list(node.children)
    number, unit, pers = parts[0], parts[1], parts[2:]
    low, high = read_range(str(number))
    kind, name = _unit(unit)
    kinds, per = [kind], []
    for one in pers:
        if not isinstance(one, Tree):
            continue
        *count, of = list(one.children)
        of_kind, of_name = _unit(of)
        is_day = of_name == "days" or (of_name == "hours" and count and str(count[0]) == "24")
        kinds.append("day" if is_day else {"hours": "hour", "minutes": "min"}.get(of_name, of_kind))
        per.append("day" if is_day else f"{count[0]} {of_name}" if count and str(count[0]) != "1" else of_name)
    if kind == "time" and said.lower().endswith("hourly"):
        return SheetItem(kind="every", number=low, high=high, unit=name, start=start, end=end, text=said)
    return SheetItem(
        kind="/".join(kinds), number=low, high=high, unit=name, per=tuple(per), start=start, end=end, text=said
    )


def _unit(node: object) -> tuple[str, str]:
    token = node.children[0] if isinstance(node, Tree) else node
    if not isinstance(token, Token):
        return "n", ""
    return _KINDS[token.type], unit_called(str(token), kind=token.type)


def unit_called(text: str, *, kind: str = "") -> str:
    """What a unit is called here.

    Args:
        text: As it is printed.
        kind: Which kind of unit the grammar found.
    """
    plain = text.lower().strip(" .")
    if kind == "DEGREES":
        return "°F" if "f" in plain else "°C" if re.search(r"c(?!.*deg)|celsius|centi", plain.lstrip("d")) else ""
    if kind == "HOURS" and plain.startswith("mo"):
        return "months"
    if kind == "HOURS" and plain.startswith("m"):
        return "minutes"
    return next(name for start, name in _UNITS if re.match(start, plain))


def _every(node: Tree[Token], start: int, end: int, said: str) -> SheetItem:
    tokens = {child.type: str(child) for child in node.children if isinstance(child, Token)}
    if "PART_OF_DAY" in tokens:
        return SheetItem(kind="often", number="1", start=start, end=end, text=said)
    unit = unit_called(tokens["HOURS"], kind="HOURS") if "HOURS" in tokens else ""
    if not unit:
        return SheetItem(kind="word", start=start, end=end, text=said)
    if "NUMBER" in tokens:
        low, high = read_range(tokens["NUMBER"])
        return SheetItem(kind="every", number=low, high=high, unit=unit, start=start, end=end, text=said)
    if unit == "days" and "OTHER" not in tokens:
        return SheetItem(kind="often", number="1", start=start, end=end, text=said)
    other = tokens.get("OTHER", "").lower()
    number = "3" if other in ("third", "3rd") else "2" if other else "1"
    return SheetItem(kind="every", number=number, unit=unit, start=start, end=end, text=said)


_TIMES = {"once": "1", "twice": "2", "thrice": "3"}


def _often(node: Tree[Token], start: int, end: int, said: str) -> SheetItem:
    tokens = {child.type: str(child) for child in node.children if isinstance(child, Token)}
    if "DAILY" in tokens:
        is_twice = "and" in said or "&" in said
        if "week" in said.lower():
            return SheetItem(kind="every", number="1", unit="weeks", start=start, end=end, text=said)
        kind = "daily" if said.lower() == "daily" else "often"
        return SheetItem(kind=kind, number="2" if is_twice else "1", start=start, end=end, text=said)
    words = tokens.get("TIMES_WORD")
    if words and words.lower() == "once" and "24" in tokens.get("A_DAY", ""):
        return SheetItem(kind="every", number="24", unit="hours", start=start, end=end, text=said)
    low, high = (_TIMES[words.lower()], "") if words else read_range(tokens["NUMBER"])
    if "week" in tokens.get("A_DAY", "").lower():
        if low == "1" and not high:
            return SheetItem(kind="every", number="1", unit="weeks", start=start, end=end, text=said)
        return SheetItem(kind="word", start=start, end=end, text=said)
    return SheetItem(kind="often", number=low, high=high, start=start, end=end, text=said)


def _joined(items: list[SheetItem]) -> Iterator[SheetItem]:
    """Pounds and ounces side by side are one weight."""
    held: SheetItem | None = None
    for one in items:
        if held is not None and one.kind == "kg" and one.unit == "oz" and one.start - held.end <= 5 and not held.high:
            total = held.value + one.value / 16
            held = SheetItem(
                kind="kg",
                number=f"{total.normalize():f}",
                unit="lb",
                start=held.start,
                end=one.end,
                text=f"{held.text} {one.text}",
            )
            continue
        if held is not None:
            yield held
            held = None
        if one.kind == "kg" and one.unit == "lb":
            held = one
        else:
            yield one
    if held is not None:
        yield held


_TO = re.compile(r"(?<=[\w½¼¾⅓⅔⅛⅜]) ?(?:-|–|—|\bto\b|\bor\b) ?(?=[\d½¼¾⅓⅔⅛⅜.a-z])", re.IGNORECASE)
_AGAIN = re.compile(r"\(([^)]+)\)$")
_MIXED = re.compile(r"(\d+)[ -](\d)/(\d{1,2})$")
_FRACTION = re.compile(r"(\d)/(\d{1,2})$")
_WITH_SIGN = re.compile(r"(\d*) ?([½¼¾⅓⅔⅛⅜])$")


def read_range(text: str) -> tuple[str, str]:
    """A number as a page reads it, and the upper end where it is a range.

    Args:
        text: As the grammar found it.
    """
    plain = text.strip().lower()
    if again := _AGAIN.search(plain):  # "three (3)"
        plain = again[1]
    single = _one_number(plain)
    if single is not None:
        return single, ""
    low, high = ([*_TO.split(plain, maxsplit=1), "", ""])[:2]
    return _one_number(low.strip()) or low.strip(), _one_number(high.strip()) or high.strip()


def _one_number(plain: str) -> str | None:
    if re.fullmatch(r"\d{1,3}(?:,\d{3})+(?:\.\d+)?|\d*[.,]?\d+", plain):
        return plain
    if match := _MIXED.match(plain):
        return _exact(Decimal(match[1]) + Decimal(match[2]) / Decimal(match[3])) if int(match[3]) else plain
    if match := _FRACTION.match(plain):
        return _exact(Decimal(match[1]) / Decimal(match[2])) if int(match[2]) else plain
    if match := _WITH_SIGN.match(plain):
        return _exact(Decimal(match[1] or "0") + Decimal(_HALVES[match[2]]))
    return _in_words(plain)


def _exact(value: Decimal) -> str:
    return f"{round(value, 4).normalize():f}"


def _in_words(plain: str) -> str | None:
    if plain in ("i", "ii", "iii"):
        return str(len(plain))
    words = re.findall(r"[a-z]+", plain)
    if not words or len("".join(words)) < len(re.sub(r"[ -]", "", plain)):
        return None
    if words[:2] == ["three", "quarters"]:
        return "0.75"
    total = Decimal(0)
    for number, word in enumerate(words):
        if word in _TENS:
            total += _TENS[word]
        elif word in _COUNTS and not (word == "one" and {"half", "quarter"} & set(words[number + 1 : number + 2])):
            total += _COUNTS.index(word)
        elif word == "hundred":
            total = total * 100
        elif word in ("half", "quarter"):
            total += Decimal("0.5") if word == "half" else Decimal("0.25")
        elif word not in ("a", "an", "and", "of", "the", "one"):
            return None
    if total == 0 and set(words) <= {"a", "an"}:
        total = Decimal(1)
    return _exact(total) if total else None


def tagged(text: str, items: tuple[SheetItem, ...]) -> str:
    """A clause in small letters with a mark in the place of each thing it says: "flush with ‹ml:0› of water".

    Args:
        text: The clause.
        items: What it says.
    """
    pieces, last = [], 0
    for number, one in enumerate(items):
        pieces += [text[last : one.start].lower(), f"‹{one.kind}:{number}›"]
        last = one.end
    return "".join([*pieces, text[last:].lower()])


def pattern(text: str) -> re.Pattern[str]:
    """A pattern over tagged clauses: "<ml>" stands for an amount of that kind, "<ml|n>" for one of two.

    Args:
        text: The pattern.
    """
    return re.compile(re.sub(r"<([\w/|]+)>", lambda kind: rf"‹(?:{kind[1]}):(\d+)›", text))
