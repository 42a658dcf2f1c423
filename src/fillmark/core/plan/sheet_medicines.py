"""What a sheet orders of one medicine: its strength, its dose, how it is given and how often."""

import re
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal

from fillmark.core.plan.sheet_amounts import SheetItem, pattern
from fillmark.core.plan.sheet_animal import span_of
from fillmark.core.plan.sheet_doses import read_dose_of, take_text
from fillmark.core.plan.sheet_feeding import read_clock
from fillmark.core.plan.sheet_found import SheetFound
from fillmark.core.plan.sheet_limits import limit_of
from fillmark.core.plan.sheet_lines import Clause
from fillmark.core.plan.sheet_orders import Order

_ROUTES = (
    ("under the skin", r"under (?:the|her|his) skin|subcut\w*|\bs\.?q\b|\bs\.?c\b|\bsub-?q\b|inject\w*"),
    ("nebulizer", r"nebuli[sz]\w*|inhal\w*"),
    ("eye", r"\beyes?\b|ophthalmic"),
    ("ear", r"\bears?\b|\bpinna|aural|\botic\b"),
    ("patch", r"\bpatch\b"),
    ("skin", r"\btopical\w*|(?:apply|rub)\b.{0,30}\bskin\b|transdermal|on the skin"),
    (
        "mouth",
        r"by mouth|\borally\b|route: oral\b|\bp\.?o\b|per ?os|in (?:the|her|his) mouth|"
        r"buccal\w*|on (?:the|her|his) (?:gums|tongue)|with a pill",
    ),
    (
        "tube",
        r"(?:by|via|through|per|down|into|in|using|thru)(?: the| her| his| a)? ?(?:feeding "
        r"|stomach |[eogj]-? ?|peg[- ]?)?tube\b|\b(?:via|by|per) (?:peg|g-tube|e-tube)|"
        r"route: (?:[\w-]+ )?tube\b|\be-?tube\b|\bg-?tube\b",
    ),
)
_FORMS = (
    (
        "drops",
        r"\b(?:eye|ear|ophthalmic|otic)\b.*\bdrops?\b|\bdrops?\b.*\b(?:eye|ear)\b|‹piece[^›]*› in (?:the|each|both)",
    ),
    ("capsule", r"\bcap(?:sule)?s?\b"),
    ("tablet", r"\btab(?:let)?s?\b|\bpills?\b|caplet"),
    ("powder", r"\bpowder\b|\bsachets?\b|granules"),
    ("liquid", r"suspension|solution|\bsyrup\b|\bliquid\b|elixir|\bsusp\b|\bsoln\b|injection|injectable|emulsion"),
)
_FOOD = (
    ("any", r"with or without food|regardless of (?:food|meals)"),
    (
        "empty stomach",
        r"empty stomach|before or .{1,12} after (?:food|meals?|feed\w*|eating)|fasted|"
        r"without food|away from (?:food|meals)",
    ),
    (
        "before",
        r"(?:before|prior to|ahead of) (?:a |each |every |any |the |all |her |his )?(?:food|"
        r"meals?|feed\w*|eating|breakfast|dinner)|\bac\b|\ba\.c\b",
    ),
    (
        "with",
        r"(?:with|w/|after|following) ?(?:a |each |every |some |the |all |her |his )?(?:food|"
        r"meals?|feed(?:s|ings?)?\b|eating)|\bpc\b|\bp\.c\b",
    ),
)
_BEFORE = pattern(r"<time>[^‹]{0,12}(?:before|prior|ahead|‹latin)")
_AFTER = pattern(r"<time>[^‹]{0,8}(?:after) (?:a |each |any |the )?(?:food|meal|feed|eating)")
_HOLD = re.compile(
    r"\b(?:hold|skip|stop|withhold|do not give|don't give|omit)\b(?: the dose| this| it| dose)? (?:if|when)\b[^.;|]*",
    re.IGNORECASE,
)
_PURPOSE = re.compile(
    r"(?:\bfor(?: the)?:? |\bto (?=help|treat|prevent|control|reduce))(?P<why>(?!food|"
    r"meals?|each|every|feed|the next|dogs|cats|your|a week|use|"
    r"weight|this|one|two|\d)[a-z][a-z /'-]{2,40}?)(?=[.,;()|‹\d]|$| every| once| "
    r"twice| as | by | with | via | through| until| and give| then)",
    re.IGNORECASE,
)
_NEEDED = re.compile(
    r"as[- ]needed|when(?:ever)? needed|if needed|\bprn\b|p\.r\.n|only if|as required|when required|on demand"
)
_REASON = re.compile(
    r"(?:as[- ]needed|when needed|if needed|\bprn\b|p\.r\.n\.?|as required|only if|"
    r"when required|on demand)(?: for| if| when)?:? (?P<why>[a-z][^.,;|‹(]{2,60})",
    re.IGNORECASE,
)
_LATIN = {"sid": 1, "bid": 2, "tid": 3, "qid": 4, "bd": 2, "tds": 3, "qds": 4, "qhs": 1, "hs": 1, "qam": 1, "qpm": 1}
_EVERY_48 = ("qod", "eod")
_MISREAD = ("qd", "od")
_START = pattern(r"(?:start\w*|begin\w*|\bfrom|first dose|next dose)[^‹]{0,20}<date>")
_STOP = pattern(r"(?:until|through|thru|till|ending|last (?:dose|day)|ends?)[^‹]{0,14}<date>")
_FOR = pattern(r"(?:\bfor(?: a total of)?|[x×]) ?<time>")
_EACH_MEAL = re.compile(
    r"(?:with|at|before|after) (?:each|every|all) (?:meal|feed(?:ing)?)s?\b|with (?:meals|feedings)\b"
)
_MOST = re.compile(
    r"(?:max\w*|no more than|at most|up to)(?: of)? ‹(?:n|piece):(\d+)›(?: doses?|"
    r" times?)? (?:in|per|a|every) (?:day|‹time|24)"
)
_SAME_TIME = ("same time ", "same times ")
_HOURS = {"hours": 1, "days": 24, "weeks": 168}


@dataclass
class Rhythm:
    """How often a piece of an order is given.

    Attributes:
        every_hours: Hours from one to the next; none where they are not told.
        times: Times a day; none where they are not told.
        where: The items that say so.
        asks: What must be asked of it.
    """

    every_hours: Decimal | None = None
    times: int | None = None
    where: list[SheetItem] = field(default_factory=list)
    asks: list[tuple[SheetItem, str]] = field(default_factory=list)

    @property
    def is_contradiction(self) -> bool:
        """Whether the hours and the times speak against each other."""
        return bool(self.every_hours and self.times and self.every_hours * self.times != 24)


def read_order(order: Order, number: int, found: SheetFound) -> None:
    """Everything that is said of one medicine.

    Args:
        order: What the sheet says of it.
        number: Which medicine of the animal it is, from 1.
        found: What was found so far; it is added to.
    """
    place, clause = f"medicines[{number}]", order.clause
    found.take(f"{place}.name", _as_name(order.name), clause, order.name_at, weight=3)
    form = _form(clause)
    route = _route(clause, place, found)
    form_said = read_dose_of(order, place, form[0] if form else None, found)
    if form is not None or form_said is not None:
        name, span = form or (form_said or ("", (0, 0)))
        found.take(f"{place}.form", name, clause, span)
    del route
    _rhythm_of(clause, place, found)
    _food_of(clause, place, found)
    if match := _HOLD.search(clause.text):
        found.take(f"{place}.hold_if", match[0].strip(), clause, match.span())
    if (match := _PURPOSE.search(clause.text)) and not _NEEDED.search(
        clause.text[max(0, match.start() - 14) : match.end()]
    ):
        found.take(f"{place}.purpose", match["why"].strip(), clause, match.span())
    if match := re.search(r"(do not|don't|never) crush|swallow\w* whole|crush\w*", clause.text, re.IGNORECASE):
        found.take(
            f"{place}.crush", "not allowed" if match[1] or "whole" in match[0] else "allowed", clause, match.span()
        )
    if match := re.search(r"crush[^‹]{0,30}‹ml:(\d+)›|‹ml:(\d+)›(?: of)? (?:warm |lukewarm )?water", clause.tagged):
        found.take_item(f"{place}.carrier_water_ml", clause.items[int(match[1] or match[2])], clause)
    _apart_from(clause, place, found)
    _days(clause, place, found)


_APART = pattern(
    r"(?:at least )?<time> (?:apart|away|separately) from|(?:apart|away) from [^‹.;]{2,40}? by (?:at least )?<time>"
)


def _apart_from(clause: Clause, place: str, found: SheetFound) -> None:
    """What is kept apart from others is asked with its words: a person says which of the medicines those are."""
    if (match := _APART.search(clause.tagged)) and not re.match(r" (?:food|meals?|feed)", clause.tagged[match.end() :]):
        start, end = span_of(match, clause)
        end += len(re.match(r"[^.;,|(]{0,60}", clause.text[end:])[0])  # type: ignore[index]
        found.ask(f"{place}.apart_from", "From which medicines, and by how many hours?", clause, (start, end))


def _as_name(name: str) -> str:
    return name[:1].upper() + name[1:]


def _form(clause: Clause) -> tuple[str, tuple[int, int]] | None:
    for name, words in _FORMS:
        if match := re.search(words, clause.tagged):
            return name, span_of(match, clause)
    piece = next((one for one in clause.items if one.kind in ("piece", "mg/piece")), None)
    if piece is not None:
        unit = piece.unit if piece.kind == "piece" else piece.per[0]
        forms = {"tablet": "tablet", "capsule": "capsule", "sachet": "powder", "drop": "drops"}
        return (forms[unit], (piece.start, piece.end)) if unit in forms else None
    return None


def _route(clause: Clause, place: str, found: SheetFound) -> str | None:
    text = clause.text.lower()
    hits = []
    for name, words in _ROUTES:
        if match := re.search(words, text):
            hits.append((name, match))
    if hits and re.search(r"mouth or (?:by |via |the |through )*[\w-]*tube|tube or (?:by )?mouth", text):
        found.ask(f"{place}.route", "By mouth or by the tube?", clause, hits[0][1].span())
        return None
    for name, match in hits:
        if name in ("eye", "ear") and not re.search(r"in(?:to|side|ner)?|drop|apply|eye", text):
            continue
        found.take(f"{place}.route", name, clause, match.span())
        return name
    return None


def rhythm_in(clause: Clause, start: int, end: int) -> Rhythm:
    """How often a piece of an order says that it is given.

    Args:
        clause: The order.
        start: Where the piece begins.
        end: Where it ends.
    """
    told = Rhythm()
    for item in clause.items:
        if not start <= item.start < end or clause.text[: item.start].lower().endswith(_SAME_TIME):
            continue
        latin = re.sub(r"\W", "", item.text.lower())
        if item.kind == "every" and (item.high or item.unit not in _HOURS):
            told.asks.append((item, f'"{item.text}" is a range: which of the two?'))
        elif item.kind == "every":
            told.every_hours = item.value * _HOURS[item.unit]
        elif item.kind in ("often", "daily") and item.high:
            told.asks.append((item, f'"{item.text}" is a range: which of the two?'))
        elif item.kind in ("often", "daily"):
            told.times = max(told.times or 0, int(item.value)) if told.times == 1 or told.times is None else told.times
        elif item.kind == "latin" and latin in _LATIN and told.times not in (None, _LATIN[latin]):
            told.asks.append((item, f'"{item.text}" beside {told.times} times a day: how often?'))
        elif item.kind == "latin" and latin in _LATIN:
            told.times = told.times or _LATIN[latin]
        elif item.kind == "latin" and latin in _EVERY_48:
            told.every_hours = Decimal(48)
        elif item.kind == "latin" and latin in _MISREAD:
            told.asks.append((item, f'"{item.text}" can be misread: how often?'))
        else:
            continue
        told.where.append(item)
    return told


def _rhythm_of(clause: Clause, place: str, found: SheetFound) -> None:
    text = clause.text.lower()
    then = re.search(r"\bthen\b", text)
    told = rhythm_in(clause, 0, then.start() if then else len(text))
    if needed := _NEEDED.search(text):
        _when_needed(clause, place, told, needed, found)
        return
    span = (min(one.start for one in told.where), max(one.end for one in told.where)) if told.where else (0, 0)
    told.asks += [
        (one, f'"{one.text}" is told as a limit: how often is it ordered?')
        for one in told.where
        if limit_of(one, clause)
    ]
    for item, why in told.asks:
        found.ask(f"{place}.every_hours", why, clause, (item.start, item.end))
    if told.asks:
        return
    clocks = [one for one in clause.items if one.kind == "clock"]
    if told.is_contradiction:
        found.ask(f"{place}.every_hours", "The hours and the times a day speak against each other.", clause, span)
    elif told.every_hours is not None:
        found.take(f"{place}.every_hours", f"{told.every_hours.normalize():f}", clause, span, unit="hours")
    elif told.times is not None and not (clocks and len(clocks) != told.times):
        found.take(f"{place}.times_per_day", str(told.times), clause, span)
    elif told.times is None and not clocks and (match := _EACH_MEAL.search(clause.tagged)):
        found.take(f"{place}.with_each_meal", "yes", clause, span_of(match, clause))
    if clocks:
        where = (clocks[0].start, clocks[-1].end)
        if told.times is not None and len(clocks) != told.times:
            found.ask(
                f"{place}.times_per_day", "The times of day and how often speak against each other.", clause, where
            )
            return
        if told.times is None and told.every_hours is None:
            found.take(f"{place}.times_per_day", str(len(clocks)), clause, where)
        found.take(f"{place}.clocks", ", ".join(read_clock(one.text) for one in clocks), clause, where)


def _when_needed(clause: Clause, place: str, told: Rhythm, needed: re.Match[str], found: SheetFound) -> None:
    reason = _REASON.search(clause.text) or _PURPOSE.search(clause.text)
    if reason is not None:
        found.take(f"{place}.when_needed.reason", reason["why"].strip(), clause, reason.span())
    else:
        found.ask(f"{place}.when_needed.reason", "When it is needed: for what?", clause, needed.span())
    gap = re.search(
        r"(?:at least|minimum of|no (?:sooner|more often) than)?[^‹]{0,8}‹time:(\d+)›[^‹]{0,8}apart", clause.tagged
    )
    if gap:
        found.take_item(f"{place}.when_needed.min_gap_hours", clause.items[int(gap[1])], clause)
    if most := _MOST.search(clause.tagged):
        found.take_item(f"{place}.when_needed.max_per_day", clause.items[int(most[1])], clause, unit="")
    for item in told.where:
        span = (item.start, item.end)
        if item.kind == "every" and not item.high:
            found.take(
                f"{place}.when_needed.min_gap_hours",
                f"{(item.value * _HOURS.get(item.unit, 1)).normalize():f}",
                clause,
                span,
                unit="hours",
            )
        elif item.kind in ("often", "daily") and not item.high:
            found.take(f"{place}.when_needed.max_per_day", item.number, clause, span)
        elif item.kind == "latin" and re.sub(r"\W", "", item.text.lower()) in _LATIN:
            found.take(
                f"{place}.when_needed.max_per_day", str(_LATIN[re.sub(r"\W", "", item.text.lower())]), clause, span
            )
        else:
            found.ask(
                f"{place}.when_needed.min_gap_hours", f'"{item.text}" is a range: which of the two?', clause, span
            )


def _food_of(clause: Clause, place: str, found: SheetFound) -> None:
    text = clause.text.lower()
    for name, words in _FOOD:
        match = re.search(words, text)
        if match is None:
            continue
        found.take(f"{place}.food.relation", name, clause, match.span())
        if name in ("before", "empty stomach"):
            before = _BEFORE.search(clause.tagged)
            if before is not None:
                found.take_item(f"{place}.food.minutes", clause.items[int(before[1])], clause)
            else:
                found.ask(f"{place}.food.minutes", "How long before food?", clause, match.span())
            after = _AFTER.search(clause.tagged)
            if after is not None and name == "empty stomach":
                found.take_item(f"{place}.food.after_minutes", clause.items[int(after[1])], clause)
        return


def _days(clause: Clause, place: str, found: SheetFound) -> None:
    """From when to when it is given, and the steps of a taper."""
    plain = clause.tagged
    start, stop = _START.search(plain), _STOP.search(plain)
    if start:
        found.take_day(f"{place}.start_on", clause.items[int(start[1])], clause, span=span_of(start, clause))
    if stop:
        found.take_day(f"{place}.stop_on", clause.items[int(stop[1])], clause, span=span_of(stop, clause))
    begun = found.first(f"{place}.start_on")
    first_on = date.fromisoformat(str(begun.value)) if begun else None
    cuts = [piece.span() for piece in re.finditer(r"\bthen\b", clause.text, re.IGNORECASE)]
    pieces = list(zip([0, *(end for _, end in cuts)], [*(start for start, _ in cuts), len(clause.text)], strict=True))
    if len(pieces) > 1:
        _taper(clause, place, pieces, first_on, found)
        return
    lasts = _FOR.search(plain)
    if lasts and not stop:
        item, span = clause.items[int(lasts[1])], span_of(lasts, clause)
        days = _whole_days(item)
        if first_on is not None and days:
            found.take(f"{place}.stop_on", (first_on + timedelta(days=days - 1)).isoformat(), clause, span)
        elif item.unit in ("days", "weeks", "months"):
            found.ask(f"{place}.stop_on", f'"{item.text}": from which day on, and until which?', clause, span)


def _whole_days(item: SheetItem) -> int:
    return 0 if item.high else int(item.value * {"days": 1, "weeks": 7}.get(item.unit, 0))


def _taper(clause: Clause, place: str, pieces: list[tuple[int, int]], first_on: date | None, found: SheetFound) -> None:
    """A dose for some days, then another: only with a first day are there days to write down."""
    whole = (pieces[0][0], pieces[-1][1])
    on, step = first_on, 0
    for number, (start, end) in enumerate(pieces):
        items = [one for one in clause.items if start <= one.start < end]
        stops = re.search(r"^\s*,?\s*(?:stop|discontinue|finish|end)", clause.text[start:end], re.IGNORECASE)
        dose = next((one for one in items if one.kind == "mg"), None)
        if on is None or (number and dose is None and not stops):
            found.ask(f"{place}.steps[1].from_on", "A dose that changes: on which days?", clause, whole)
            return
        if number and stops:
            found.take(f"{place}.stop_on", (on - timedelta(days=1)).isoformat(), clause, (start, end))
            return
        if number and dose is not None:
            step += 1
            told = rhythm_in(clause, start, end)
            found.take(f"{place}.steps[{step}].from_on", on.isoformat(), clause, (start, end))
            where = (dose.start, dose.end)
            take_text(f"{place}.steps[{step}].dose", f"{dose.number} {dose.unit}", None, clause, where, found)
            hours = told.every_hours or (Decimal(24) / told.times if told.times else None)
            if hours is not None:
                found.take(
                    f"{place}.steps[{step}].every_hours", f"{hours.normalize():f}", clause, (start, end), unit="hours"
                )
        lasts = next((one for one in items if one.kind == "time" and one.unit in ("days", "weeks")), None)
        on = on + timedelta(days=_whole_days(lasts)) if lasts and _whole_days(lasts) else None
        if on is None and number + 1 == len(pieces):
            return
