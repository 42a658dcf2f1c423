"""What in a sheet speaks against itself, what it does not say, and what of it was not understood."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import cast

from fillmark.core.orders.dose_text import Form, PerKg, bare_amount, read_dose, unit_of
from fillmark.core.plan.answers import Raw
from fillmark.core.plan.sheet_found import NOT_FOUND, Ask, Proposed, SheetFound, spot_and_name
from fillmark.core.plan.sheet_lines import Clause, is_heading
from fillmark.core.plan.spots import part_at, with_part
from fillmark.core.values.errors import FillmarkError
from fillmark.core.values.quantities import KG_PER_LB, write_number
from fillmark.published.input_limits import CAT_WEIGHT_LIMITS_KG, PLAN_AGREEMENT_FRACTION

OF_EVERY_SHEET = (
    "animal.name",
    "animal.species",
    "animal.by_mouth",
    "animal.starved",
    "animal.weights[1].kg",
    "animal.weights[1].on",
    "animal.tube.kind",
    "animal.tube.french",
    "animal.tube.mark_at_skin_cm",
    "vet.name",
    "vet.practice",
    "vet.said_on",
    "vet.recheck_on",
    "orders.meals_per_day",
    "orders.meal_ml",
    "orders.meal_gap_hours",
    "orders.energy.kcal_per_day",
    "orders.cap_ml_per_kg",
    "orders.pace_ml_per_minute",
    "orders.upright_minutes",
    "orders.flush_before_ml",
    "orders.flush_after_ml",
    "orders.water_ml_per_kg_per_day.low",
    "orders.water_ml_per_kg_per_day.high",
    "orders.food_temperature_c.low",
    "orders.food_temperature_c.high",
    "vet.call[1].phone",
    "foods[1].name",
    "foods[1].label.energy",
    "foods[1].keeps_days",
)
"""What a sheet should say; where it does not, it is asked."""
OF_EVERY_MEDICINE = (
    "form",
    "strength",
    "dose",
    "route",
    "every_hours",
    "food.relation",
    "hold_if",
    "purpose",
    "start_on",
    "stop_on",
)
"""What a sheet should say of each medicine."""
INSTEAD = {
    "animal.weights[1].kg": ("animal.weights[1].lb",),
    "animal.tube.mark_at_skin_cm": ("animal.tube.low_profile",),
    "orders.energy.kcal_per_day": ("orders.energy.factor", "orders.energy.kcal_per_kg"),
    "every_hours": (
        "times_per_day",
        "with_each_meal",
        "when_needed.reason",
        "when_needed.min_gap_hours",
        "when_needed.max_per_day",
    ),
}
"""What answers a question too."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Contradiction:
    """Two things of a sheet that cannot both be right.

    Attributes:
        key: The place in the plan that they are about.
        says: What they say.
        words: The source words of each.
        lines: On which lines they stand.
    """

    key: str
    says: str
    words: tuple[str, ...]
    lines: tuple[int, ...]


def settle(found: SheetFound) -> list[Contradiction]:
    """One answer for each key; what is said in two ways that do not agree is asked and no longer proposed.

    Args:
        found: What was found; it is changed.
    """
    told: list[Contradiction] = []
    by_key: dict[str, list[Proposed]] = {}
    for one in found.answers:
        by_key.setdefault(one.key, []).append(one)
    for key, several in by_key.items():
        most = max(one.weight for one in several)
        plain = [one for one in several if one.weight == most or most < 3]
        values = {str(one.value).casefold() for one in plain}
        if len(values) > 1 and key not in _FIRST_WINS:
            told.append(_between(key, f"{_label(plain)}.", plain))
    _drop(found, {one.key for one in told} | {one.key for one in found.asks})
    across = list(_across(found))
    _drop(found, {one.key for one in across})
    told += across
    once: dict[str, Proposed] = {}
    for one in sorted(found.answers, key=lambda one: -one.weight):
        once.setdefault(one.key, one)
    found.answers[:] = [one for one in found.answers if once[one.key] is one]
    return told


_FIRST_WINS = ("animal.name", "vet.practice", "vet.name", "animal.sex", "animal.weights[1].on")
"""What a sheet says in several ways that mean the same."""


def _label(several: Sequence[Proposed]) -> str:
    return " and ".join(dict.fromkeys(f'"{one.words}"' for one in several))


def _between(key: str, says: str, several: Sequence[Proposed]) -> Contradiction:
    return Contradiction(
        key=key, says=says, words=tuple(one.words for one in several), lines=tuple(one.line for one in several)
    )


def _drop(found: SheetFound, keys: set[str]) -> None:
    """What is asked is not proposed; with a weight goes its other unit."""
    if keys & {"animal.weights[1].kg", "animal.weights[1].lb"}:
        keys = keys | {"animal.weights[1].kg", "animal.weights[1].lb"}
    found.answers[:] = [one for one in found.answers if one.key not in keys]


def _across(found: SheetFound) -> Iterator[Contradiction]:
    """What several answers come to together."""
    first = {one.key: one for one in sorted(found.answers, key=lambda one: one.weight)}
    kg, lb = first.get("animal.weights[1].kg"), first.get("animal.weights[1].lb")
    if kg is not None and lb is not None:
        if _are_apart(float(lb.value) * float(KG_PER_LB), float(kg.value), _SAME_WEIGHT):
            yield _between("animal.weights[1].kg", f'"{kg.words}" and "{lb.words}" are two weights.', (kg, lb))
        found.answers[:] = [one for one in found.answers if one.key != "animal.weights[1].lb"]
    energy, meals, ml = (first.get(f"orders.{key}") for key in ("energy.kcal_per_day", "meals_per_day", "meal_ml"))
    label, per = first.get("foods[1].label.energy"), first.get("foods[1].label.per")
    if energy and meals and ml and label and per and per.value == "mL":
        comes_to = float(meals.value) * float(ml.value) * float(label.value)
        if _are_apart(comes_to, float(energy.value), PLAN_AGREEMENT_FRACTION.value):
            told = f"{meals.words}, {ml.words} and {label.words}"
            says = f"{told} come to {write_number(comes_to)} kcal a day, not {energy.words}."
            yield _between("orders.energy.kcal_per_day", says, (energy, meals, ml, label))
            yield _between("orders.meal_ml", says, (energy, meals, ml, label))
    weight = first.get("animal.weights[1].kg") or first.get("animal.weights[1].lb")
    if weight is not None:
        weight_kg = float(weight.value) * (float(KG_PER_LB) if weight.key.endswith("lb") else 1.0)
        species = first.get("animal.species")
        if species is not None and species.value == "cat" and not CAT_WEIGHT_LIMITS_KG.holds(weight_kg):
            says = f"A cat of {write_number(weight_kg)} kg: was the scale in pounds?"
            yield _between("animal.weights[1].kg", says, (weight, species))
        yield from _doses_for_weight(found, first, weight_kg)


def _are_apart(one: float, other: float, fraction: float) -> bool:
    return abs(one - other) > fraction * abs(other)


_SAME_WEIGHT = 0.03
"""A weight told in pounds and in kg may differ by rounding [fraction]."""
_SAME_DOSE = 0.1
"""A dose may be rounded to what a hand can draw [fraction]."""


def _doses_for_weight(found: SheetFound, first: dict[str, Proposed], weight_kg: float) -> Iterator[Contradiction]:
    """A dose beside its amount for each kg: they agree for this weight, or are asked."""
    for key, text in found.per_kg:
        dose = first.get(key)
        if dose is None:
            continue
        form = first[key.replace(".dose", ".form")].value if key.replace(".dose", ".form") in first else "liquid"
        try:
            given, per = read_dose(str(dose.value), form=cast(Form, form)), read_dose(text, form=cast(Form, form))
        except FillmarkError:
            continue
        if not isinstance(per, PerKg) or isinstance(given, PerKg) or unit_of(given) != unit_of(per):
            continue
        wanted = float(bare_amount(per)) * weight_kg
        if _are_apart(float(bare_amount(given)), wanted, _SAME_DOSE):
            says = (
                f"{text} for {write_number(weight_kg)} kg is {write_number(wanted)} {unit_of(per)}, not {dose.words}."
            )
            yield _between(key, says, (dose,))


def not_stated(found: SheetFound, *, medicines: int) -> Iterator[Ask]:
    """What the sheet does not say, in the order of the pages.

    Args:
        found: What was found.
        medicines: How many medicines it names.
    """
    known = found.keys
    wanted = [(key, INSTEAD.get(key, ())) for key in OF_EVERY_SHEET]
    if medicines > 1:
        wanted.append(("orders.flush_between_ml", ()))
    for number in range(1, medicines + 1):
        place = f"medicines[{number}]"
        wanted += [
            (f"{place}.{name}", tuple(f"{place}.{one}" for one in INSTEAD.get(name, ()))) for name in OF_EVERY_MEDICINE
        ]
    for key, instead in wanted:
        if not known & {key, *instead}:
            yield Ask(key=key, why=NOT_FOUND)


def document_of(answers: Sequence[Proposed], base: Raw) -> Raw:
    """The plan's document with everything proposed in it, as if all of it were confirmed.

    Args:
        answers: What is proposed.
        base: The document it goes into.
    """
    document = base
    for one in sorted(answers, key=lambda one: one.key):
        spot, name = spot_and_name(one.key)
        try:
            document = with_part(document, spot, {**part_at(document, spot), name: one.value})
        except FillmarkError:
            continue
    return document


_ABOUT = (
    ("orders.flush", r"flush|rins"),
    ("orders.meal", r"meal|feed|bolus|portion"),
    ("orders.energy", r"kcal|calor|energy"),
    ("orders.upright", r"upright|elevat|\bsit"),
    ("orders.pace", r"ml ?/ ?min|slowly|\bover \d|\brate\b"),
    ("orders.cap", r"\bmax|exceed|at once|ml ?/ ?kg"),
    ("orders.water", r"\bwater|fluid"),
    ("orders.food_temperature", r"warm|heat|°"),
    ("animal.weights", r"weigh|\bkg\b|\blbs?\b"),
    ("animal.tube.mark", r"\bmark|\bskin|\bcm\b"),
    ("animal.tube", r"tube|\bfr\b|french"),
    ("animal.by_mouth", r"mouth|\beat|\bnpo\b"),
    ("animal.starved", r"eaten|anorex|starv"),
    ("vet.recheck", r"re-?check|return|again|appointment|follow"),
    ("vet.call", r"phone|\bcall|\btel\b"),
    ("foods", r"food|diet|\bcans?\b"),
)
"""In which words a sheet may say something of a key that was not understood."""


def beside_what_is_left(one: Ask, left: Sequence[tuple[int, int]], text: str) -> Ask:
    """What was not found is "not stated" only where the sheet has no words about it that were not understood.

    Args:
        one: What was not found.
        left: The pieces that were not understood.
        text: The sheet.
    """
    about = next((words for start, words in _ABOUT if one.key.startswith(start)), None)
    for start, end in left if about is not None else ():
        piece = " ".join(text[start:end].split())
        if re.search(about or "", piece, re.IGNORECASE):
            line = text.count("\n", 0, start) + 1
            return Ask(key=one.key, why="Perhaps said in words that were not understood.", words=piece, line=line)
    return one


_OF_A_MEDICINE = ("mg", "mg/ml", "mg/piece", "mg/kg", "mg/day", "mg/kg/day", "mg/lb", "piece", "latin")
_NO_MEDICINE = re.compile(
    r"‹kcal|\bcans?\b|\btins?\b|\bfood\b|\bdiet\b|protein|sodium|scoop|allerg|vaccin", re.IGNORECASE
)


def perhaps_medicines(clauses: Sequence[Clause], found: SheetFound) -> Iterator[Ask]:
    """Lines that gave no medicine but have a strength, pieces or a prescription's shorthand that nothing was made of.

    Args:
        clauses: What the sheet says outside its medicines.
        found: What was found.
    """
    for clause in clauses:
        if _NO_MEDICINE.search(clause.tagged):
            continue
        for item in clause.items:
            places = clause.places(item.start, item.end)
            is_one = item.kind in _OF_A_MEDICINE and item.unit not in ("g", "can", "scoop")
            if is_one and places and not found.seen & set(places):
                words = clause.words(0, len(clause.text))[:200]
                line = found.line_of(places)
                yield Ask(key="medicines", why="Perhaps a medicine that was not understood.", words=words, line=line)
                break


_SAYS_NOTHING = re.compile(
    r"^(?:dear|hi|hello|kind regards|best|regards|thank you|thanks|sincerely|yours|"
    r"page \d|owner|client|account|no medic)",
    re.IGNORECASE,
)
_MATTERS = re.compile(
    r"\b(?:not|never|no|only|unless|except|if|stop|until|but|instead|call|apart|avoid|do)\b", re.IGNORECASE
)
_WORDS_IN_ONE_PIECE = 5


def not_understood(clauses: Sequence[Clause], found: SheetFound) -> Iterator[tuple[int, int]]:
    """The pieces of a sheet that nothing was made of, from character to character.

    Args:
        clauses: The clauses.
        found: What was found.
    """
    for clause in clauses:
        places = [place for place in clause.at if place >= 0]
        if not places or is_heading(clause.text) or _SAYS_NOTHING.match(clause.text):
            continue
        if not found.seen & set(places):
            if re.search(r"\w{2}", clause.text):
                yield from _runs(clause, 0, len(clause.text))
            continue
        start = None
        for number in range(len(clause.text) + 1):
            is_open = number < len(clause.text) and clause.at[number] not in found.seen
            if is_open and start is None:
                start = number
            if not is_open and start is not None:
                piece = clause.text[start:number]
                if re.search(r"\d", piece) or len(piece.split()) >= _WORDS_IN_ONE_PIECE or _MATTERS.search(piece):
                    yield from _runs(clause, start, number)
                start = None


def _runs(clause: Clause, start: int, end: int) -> Iterator[tuple[int, int]]:
    """A part of a clause as it stands in the sheet, each run of neighboring characters by itself."""
    places = clause.places(start, end)
    while places:
        last = next(
            (number for number in range(1, len(places)) if places[number] != places[number - 1] + 1), len(places)
        )
        if re.search(r"\w", clause.text):
            yield places[0], places[last - 1] + 1
        places = places[last:]
