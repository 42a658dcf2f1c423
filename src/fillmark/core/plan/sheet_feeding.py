"""What a sheet orders about meals, energy, water and flushes, and what it says of the food."""

import re
from collections.abc import Sequence
from dataclasses import replace
from decimal import ROUND_DOWN, Decimal

from fillmark.core.plan.sheet_amounts import SheetItem, pattern
from fillmark.core.plan.sheet_animal import read_rules, span_of
from fillmark.core.plan.sheet_feeding_words import NOT_A_MEAL, RULES
from fillmark.core.plan.sheet_found import SheetFound
from fillmark.core.plan.sheet_lines import Clause

_EVERY = pattern(r"(?:feed\w*|fed|meals?|food|blend|slurry|bolus\w*|‹ml:\d+›)[^.]*?<every>")
_LATIN_MEALS = pattern(r"(?:feed\w*|meals?)[^.‹]{0,25}<latin>")
_TIMES = {"qid": 4, "tid": 3, "bid": 2, "sid": 1, "qd": 1, "tds": 3, "bd": 2, "qds": 4}
_WATER = pattern(r"<ml/kg/day|ml/day/kg|ml/lb/day>")
_CLOCKS = re.compile(r"\b(?:meals?|feed\w*|fed)\b(?:(?!‹(?:mg|clock))[^.])*‹clock")
_TIMES_LABEL = re.compile(r"^(?:meal |feed(?:ing)? )?times?(?: of (?:the )?(?:meals|feeds))?\s*[:=]")
_BARE_HOURS = re.compile(
    r"\bat (?P<hours>\d{1,2}(?:(?:, ?(?:and )?| and | & | ?/ ?)\d{1,2})+) ?(?P<unit>h|hrs?|hours|o'clock)\b",
    re.IGNORECASE,
)
_OVER = pattern(r"\b(?:over|during|lasting|takes?|taking)(?: about| at least| roughly)?(?: a period of)?:? <time>")
_LABEL = {"can": "can", "cups": "cup", "kg": "kg", "mL": "mL", "100 g": "100 g"}
_HOLDS = pattern(
    r"(?:can|tin|pouch)\b[^‹.]{0,30}(?:holds|contains|has|provides|=|is|:)[^‹.]{0,10}<kcal>|"
    r"<kcal>[^‹.]{0,12}(?:each|in (?:a|each|one)) (?:can|tin)"
)
_FOOD_NAME = re.compile(
    r"\b(?i:food|diet|formula|food name|food type)\s*[:=]\s*(?P<name>[A-Za-z][\w'’ ()-]{2,60}?)(?=[.,;|]|\s[-–—]\s|$)"
)
_WHEN = re.compile(
    r"‹(ml):(\d+)›|\b(before\w*|prior|pre|preceding|beforehand|after\w*|finished|post|"
    r"following|between)\b"
)


def read_feeding(clauses: Sequence[Clause], found: SheetFound) -> None:
    """Meals, energy, water, flushes, and the food.

    Args:
        clauses: What a sheet says outside its medicines.
        found: What was found so far; it is added to.
    """
    was_flush = False
    for clause in clauses:
        read_rules(RULES, clause, found)
        _every(clause, found)
        _water(clause, found)
        was_flush = _flushes(clause, found, goes_on=was_flush and not clause.is_new)
        _warmth(clause, found)
        target = re.search(r"(?:target|goal|ideal) (?:body )?weight", clause.tagged)
        if target and re.search(r"‹kcal|\brer\b", clause.tagged):
            found.take("orders.energy.weight", "target", clause, span_of(target, clause))
        _comes_back(clause, found)
        _food(clause, found)
    _ladder(clauses, found)
    _by_the_clock(clauses, found)
    _pace(clauses, found)


def _every(clause: Clause, found: SheetFound) -> None:
    """Meals told by the hours between them, by their times of day, or in the shorthand of prescriptions."""
    if re.search(NOT_A_MEAL + r"|water|weigh|check|clean", clause.tagged):
        return
    if match := _EVERY.search(clause.tagged):
        item = clause.items[int(match[1])]
        hours = item.value * {"hours": 1, "days": 24}.get(item.unit, 0)
        span = span_of(match, clause)
        if item.high or not hours or Decimal(24) % hours:
            found.ask("orders.meals_per_day", f'"{item.text}": how many meals a day?', clause, span)
        else:
            found.take("orders.meals_per_day", f"{24 / hours:f}".rstrip("0").rstrip(".") or "1", clause, span, weight=2)
    if match := _LATIN_MEALS.search(clause.tagged):
        times = _TIMES.get(re.sub(r"\W", "", clause.items[int(match[1])].text.lower()))
        if times:
            found.take("orders.meals_per_day", str(times), clause, span_of(match, clause))
    clocks = [one for one in clause.items if one.kind == "clock"]
    _bare_hours(clause, found)
    is_label = clause.section == "feeding" and _TIMES_LABEL.search(clause.tagged)
    if len(clocks) > 1 and (is_label or _CLOCKS.search(clause.tagged)):
        span = (clocks[0].start, clocks[-1].end)
        found.take("timetable.meals", ", ".join(read_clock(one.text) for one in clocks), clause, span)
        found.take("orders.meals_per_day", str(len(clocks)), clause, span)


def _bare_hours(clause: Clause, found: SheetFound) -> None:
    """Meals "at 07, 13 and 19 h"; hours that may be of the morning or the evening are asked."""
    match = _BARE_HOURS.search(clause.text)
    if match is None or not re.search(r"\b(?:meals?|feed\w*|fed)\b", clause.tagged):
        return
    hours = [int(one) for one in re.findall(r"\d+", match["hours"])]
    is_plain = max(hours) > 12 or (match["unit"].lower().startswith("h") and match["hours"].startswith("0"))
    if not is_plain or max(hours) > 23 or hours != sorted(set(hours)):
        found.ask("timetable.meals", f'"{match[0]}": of the morning or the evening?', clause, match.span())
        return
    found.take("timetable.meals", ", ".join(f"{one:02}:00" for one in hours), clause, match.span())
    found.take("orders.meals_per_day", str(len(hours)), clause, match.span())


def _pace(clauses: Sequence[Clause], found: SheetFound) -> None:
    """How fast by how long a meal takes, where the sheet says how much a meal is; else it is asked."""
    if "orders.pace_ml_per_minute" in found.keys:
        return
    for clause in clauses:
        match = _OVER.search(clause.tagged)
        if match is None or re.search(NOT_A_MEAL + r"|upright|‹mg|warm|medic|recheck", clause.tagged):
            continue
        item, span = clause.items[int(match[1])], span_of(match, clause)
        sizes = {one.value for one in found.answers if one.key == "orders.meal_ml"}
        if item.unit != "minutes":
            continue
        if item.high or len(sizes) != 1 or not item.value:
            found.ask("orders.pace_ml_per_minute", f'"{item.text}": how many mL a minute is that?', clause, span)
            return
        pace = Decimal(str(sizes.pop())) / item.value
        said = f"{pace.quantize(Decimal('0.0001'), ROUND_DOWN).normalize():f}"
        found.take("orders.pace_ml_per_minute", said, clause, span, unit="mL/min")
        return


def _by_the_clock(clauses: Sequence[Clause], found: SheetFound) -> None:
    """Meals on lines of their own, each with its time of day."""
    told = [
        (clause, clause.items[0])
        for clause in clauses
        if clause.items and clause.items[0].kind == "clock" and re.search(r"\b(?:feed|meal|food)\b", clause.tagged)
    ]
    told = [(clause, item) for clause, item in told if sum(one.kind == "clock" for one in clause.items) == 1]
    if len(told) > 1:
        clause, item = told[0]
        found.take(
            "timetable.meals", ", ".join(read_clock(one.text) for _, one in told), clause, (item.start, item.end)
        )
        found.take("orders.meals_per_day", str(len(told)), clause, (item.start, item.end))
        for other, one in told:
            found.seen.update(other.places(one.start, one.end))


def read_clock(text: str) -> str:
    """A time of day as the plan writes it: "07:30" for "7.30 am".

    Args:
        text: As it is printed.
    """
    plain = text.lower()
    if plain in ("noon", "midday"):
        return "12:00"
    if plain == "midnight":
        return "00:00"
    hour, *minutes = re.findall(r"\d+", plain)
    late = 12 if re.search(r"p\.?m", plain) and int(hour) < 12 else 0
    early = 12 if re.search(r"a\.?m", plain) and int(hour) == 12 else 0
    return f"{int(hour) + late - early:02}:{minutes[0] if minutes else '00'}"


def _water(clause: Clause, found: SheetFound) -> None:
    match = _WATER.search(clause.tagged)
    if match is None:
        return
    item, span = clause.items[int(match[1])], span_of(match, clause)
    for key, text in (("low", item.number), ("high", item.high or item.number)):
        found.take_item(f"orders.water_ml_per_kg_per_day.{key}", _single(item), clause, span=span, text=text)


def _single(item: SheetItem) -> SheetItem:
    return replace(item, high="")


def _flushes(clause: Clause, found: SheetFound, *, goes_on: bool) -> bool:
    """How much water before, between and after, idle tubes too; whether the clause is about that."""
    plain = clause.tagged
    is_about = goes_on or re.search(r"flush\w*|rins\w*|\bh2o\b|\bwater\b", plain)
    if not is_about or re.search(r"‹ml/kg|balloon|\bblend\b.*can|crush", plain):
        return False
    volumes = [number for number, one in enumerate(clause.items) if one.kind == "ml"]
    if re.search(r"unused|idle|not (?:being )?used|not in use|no longer used|out of use", plain):
        often = next((one for one in clause.items if one.kind == "often"), None)
        if often is not None:
            found.take_item("orders.idle_flush.times_per_day", often, clause, unit="")
            for number in volumes[:1]:
                found.take_item("orders.idle_flush.ml", clause.items[number], clause)
        return True
    for number, when in _paired([*_WHEN.finditer(plain)]):
        key = "before" if when[:3] in ("bef", "pri", "pre") else "between" if when == "between" else "after"
        item = clause.items[number]
        found.take_item(f"orders.flush_{key}_ml", item, clause, span=_around(clause, item, when))
    return True


def _around(clause: Clause, item: SheetItem, when: str) -> tuple[int, int]:
    """The amount with the word that says when."""
    places = [match.span() for match in re.finditer(rf"\b{when}\b", clause.text.lower())]
    if not places:
        return item.start, item.end
    near = min(places, key=lambda place: min(abs(place[0] - item.end), abs(place[1] - item.start)))
    return min(near[0], item.start), max(near[1], item.end)


def _paired(tokens: list[re.Match[str]]) -> list[tuple[int, str]]:
    """Each volume with the words that say when: before it where the clause begins so, else behind it."""
    marks = [(int(one[2]), "") if one[1] else (-1, one[3]) for one in tokens]
    marks = [one for one in marks if one[0] >= 0 or one[1]]
    if not any(number >= 0 for number, _ in marks):
        return []
    found: list[tuple[int, str]] = []
    if marks[0][0] >= 0:
        last = -1
        for number, when in marks:
            last = number if number >= 0 else last
            if when:
                found.append((last, when))
        return found
    held: list[str] = []
    free: int | None = None
    for number, when in marks:
        if number >= 0 and held:
            found += [(number, one) for one in held]
            held, free = [], None
        elif number >= 0:
            free = number
        elif free is not None:
            found.append((free, when))
            free = None
        else:
            held.append(when)
    return found


def _warmth(clause: Clause, found: SheetFound) -> None:
    if not re.search(r"\b(?:warm\w*|heat\w*|serve|lukewarm|food|feeds?|meals?|blend|slurry)\b", clause.tagged):
        return
    if re.search(r"\bcall\b|fever|rectal", clause.tagged):
        return
    for item in clause.items:
        if item.kind == "temp":
            for key, text in (("low", item.number), ("high", item.high or item.number)):
                found.take_item(f"orders.food_temperature_c.{key}", _single(item), clause, text=text)


def _comes_back(clause: Clause, found: SheetFound) -> None:
    """From how often on the vet wants to be called."""
    match = re.search(
        r"(?:vomit\w*|throws? up|regurgitat\w*|brings? up)([^.‹]*)(?:‹(?:often|n):(\d+)›|\b(once|twice|three times)\b)",
        clause.tagged,
    )
    if not match or re.search(r"‹mg", clause.tagged):
        return
    item = clause.items[int(match[2])] if match[2] else None
    if item is not None and item.high:
        return
    count = int(item.value) if item else {"once": 1, "twice": 2}.get(match[3], 3)
    is_over = re.search(r"more than|over|>|exceeds", match[1])
    found.take(
        "vet.limits.comes_back_times_a_day", str(count + 1 if is_over else count), clause, span_of(match, clause)
    )


def _food(clause: Clause, found: SheetFound) -> None:
    if match := _FOOD_NAME.search(clause.text):
        found.take("foods[1].name", match["name"].strip(), clause, match.span())
    for number, item in enumerate(clause.items):
        per = _LABEL.get(item.per[0]) if item.per else None
        is_label = per is not None and not (
            per == "kg" and not re.search(r"as fed|label|contains|holds|metaboli|food|diet|dry", clause.tagged)
        )
        if item.unit in ("kcal", "kJ", "MJ") and per and is_label:
            _label(item, per, clause, found)
        if (
            item.kind in ("kg", "mg")
            and item.unit in ("oz", "g")
            and re.match(
                r"‹[^›]+›[- ]?(?:can|tin|pouch)\b",
                clause.tagged[clause.tagged.find(f":{number}›") - len(item.kind) - 1 :],
            )
        ):
            found.take_item("foods[1].can_g", item, clause)
    if match := _HOLDS.search(clause.tagged):
        _label(
            clause.items[int(next(one for one in match.groups() if one))], "can", clause, found, span_of(match, clause)
        )
    mix = re.search(r"\b(?:blend|mix|add|puree|liqui[df]\w*|dilute)\w*\b", clause.tagged)
    if mix and re.search(r"\bwater\b|\bbroth\b", clause.tagged) and not re.search(r"crush|‹mg|flush", clause.tagged):
        cans = next((one for one in clause.items if one.kind == "piece" and one.unit == "can"), None)
        water = next((one for one in clause.items if one.kind == "ml"), None)
        if cans is not None and water is not None:
            found.take_item("blend.foods[1].cans", cans, clause)
            found.take_item("blend.water_ml", water, clause)


def _label(item: SheetItem, per: str, clause: Clause, found: SheetFound, span: tuple[int, int] | None = None) -> None:
    span = span or (item.start, item.end)
    found.take_item("foods[1].label.energy", item, clause, span=span)
    if not item.high:
        found.take("foods[1].label.unit", item.unit, clause, span)
        found.take("foods[1].label.per", per, clause, span)


_DAY_PART = re.compile(
    r"\bday ‹n:(\d+)›(?: ?\(?‹date:\d+›\)?)?[^‹]{0,14}‹pct:(\d+)›|‹pct:(\d+)›[^‹]{0,22}\bday ‹n:(\d+)›"
)


def _ladder(clauses: Sequence[Clause], found: SheetFound) -> None:
    """Steps up to full meals: "25-50-75-100 %", or day by day, also over several lines."""
    steps: dict[int, str] = {}
    first: Clause | None = None
    for clause in clauses:
        series = next((one for one in clause.items if one.kind == "series"), None)
        if series is not None:
            numbers = re.findall(r"\d+", series.text)
            found.take("orders.ladder.percent", " ".join(numbers), clause, (series.start, series.end))
            _starts(clause, found)
            return
        for match in _DAY_PART.finditer(clause.tagged):
            days, share = clause.items[int(match[1] or match[4])], clause.items[int(match[2] or match[3])]
            first = first or clause
            found.seen.update(clause.places(*span_of(match, clause)))
            for day in range(
                int(days.value), int(Decimal(days.high)) + 1 if days.high.isdigit() else int(days.value) + 1
            ):
                steps[day] = share.number
    if first is not None and sorted(steps) == list(range(1, len(steps) + 1)) and len(steps) > 1:
        found.take("orders.ladder.percent", " ".join(steps[day] for day in sorted(steps)), first, (0, len(first.text)))
        _starts(first, found)
    elif first is not None:
        found.ask(
            "orders.ladder.percent", "Steps up to full meals that are not told day by day.", first, (0, len(first.text))
        )


def _starts(clause: Clause, found: SheetFound) -> None:
    day = next((one for one in clause.items if one.kind == "date"), None)
    if day is not None:
        found.take_day("orders.ladder.starts_on", day, clause)
    else:
        found.ask("orders.ladder.starts_on", "From which day on?", clause, (0, len(clause.text)))
