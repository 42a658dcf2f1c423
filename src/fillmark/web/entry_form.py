"""A form that makes one entry, declared once and read twice: by the server, and by a phone without a signal.

The phone's reading is web/phone/form.js; tests/journeys/test_the_phones_forms.py holds both to the same inputs.

A fact is the payload of an entry. Where a person types, chooses or ticks, it holds a place: a mapping with `typed`, the
names of the fields in the order in which they count, and `as`, how their text is read. The limits stand in the place,
so that the phone refuses what the server would refuse, in the same words.
"""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import ROUND_HALF_UP, Decimal, localcontext
from math import floor
from typing import Any

from fillmark.core.orders.shelf_life import last_day_printed
from fillmark.core.record.entries import kinds
from fillmark.core.record.fields import NOT_KNOWN, limits_of, printed_strength
from fillmark.core.values.document import Part
from fillmark.core.values.errors import BadEntry
from fillmark.core.values.quantities import KG_PER_LB, read_number, write_number
from fillmark.core.values.typed import IN_THESE_YEARS, can_be_seen, has_controls, read_day
from fillmark.published.input_limits import WEIGHT_JUMP_FRACTION, WEIGHT_LIMITS_KG

Place = dict[str, Any]
_MOST_WORDS = 2000
_MOST_LABEL = 80
_MOST_WHOLE_DIGITS = 9
OUNCES = 16
"""In a pound."""


def ml(
    *typed: str,
    field: str = "mL",
    unit: str = "mL",
    low: float = 0,
    above: float | None = None,
    high: float | None = None,
    less_from: Decimal | float | None = None,
    times: float | None = None,
    instead: Mapping[str, Any] | None = None,
    needs: Sequence[str] = (),
    without: Sequence[str] = (),
    remedy: str = "Read it again.",
) -> Place:
    """A place for a number that the entry holds as a float.

    Args:
        typed: The fields; the first that says something counts.
        field: What the number is called in a message.
        unit: Its unit, for a message about its limits.
        low: The least that is allowed.
        above: Where `low` itself is not allowed.
        high: The most that is allowed.
        less_from: The entry holds what this is more than what was typed: what was drawn, less the line read.
        times: The entry holds the typed number times this.
        instead: Texts that stand for a value of their own, such as "not known"; they go before what is typed.
        needs: Fields that must be filled in where this one is, and left empty where it is.
        without: Fields that must be empty where this one is filled in.
        remedy: What to do where it is not allowed.
    """
    place: Place = {"typed": list(typed), "as": "number", "field": field, "unit": unit, "remedy": remedy, "low": low}
    optional = {
        "above": above,
        "high": high,
        "from": None if less_from is None else float(less_from),
        "times": times,
        "instead": dict(instead) if instead else None,
        "needs": list(needs) or None,
        "without": list(without) or None,
    }
    return place | {key: value for key, value in optional.items() if value is not None}


def unknown() -> dict[str, str]:
    """ "I don't know", as an answer to a question for a number."""
    return {NOT_KNOWN: NOT_KNOWN}


def or_nothing() -> dict[str, None]:
    """An empty field, as an answer to a question for a number: the entry does without it."""
    return {"": None}


def exact(*typed: str, field: str) -> Place:
    """A place for a decimal, 0 or more, that the entry holds with every digit."""
    return {"typed": list(typed), "as": "exact", "field": field}


def words(typed: str, *, most: int = _MOST_WORDS, needed: BadEntry | None = None) -> Place:
    """A place for words; left out where nothing is typed, or refused with `needed`."""
    return _or_refused({"typed": [typed], "as": "words", "most": most}, needed)


def day(typed: str, *, remedy: str = "Copy it from the label.") -> Place:
    """A place for a day of the calendar; left out where none is chosen."""
    return {"typed": [typed], "as": "day", "field": typed, "remedy": remedy}


def printed_day(typed: str) -> Place:
    """A place for a day as a label prints it ("EXP 03/2027"); left out where nothing is typed."""
    return {"typed": [typed], "as": "printed day"}


def strength(typed: str) -> Place:
    """A place for a strength as it is printed on the label."""
    return {"typed": [typed], "as": "strength"}


def weight(*, last_kg: float | None, last_at: datetime | None, high: float = WEIGHT_LIMITS_KG.high) -> Place:
    """A place for a weight in the fields `kg`, or `lb` and `oz`, which the entry holds in kg, to the gram.

    A jump against the last weight is asked about: `checked`, a box of the same form, says that a second weighing
    showed the same.

    Args:
        last_kg: The last weight [kg]; none for the first.
        last_at: When that was; the phone takes one that it has kept since.
        high: The most that is allowed [kg].
    Source:
        input.weight_jump_fraction; NIST Special Publication 811, appendix B.8, for the pound
    """
    place: Place = {"typed": ["kg", "lb", "oz"], "as": "weight", "low": WEIGHT_LIMITS_KG.low, "high": high}
    place |= {"jump": WEIGHT_JUMP_FRACTION.value, "ounce_kg": str(KG_PER_LB / OUNCES), "pound_kg": float(KG_PER_LB)}
    if last_kg is not None and last_at is not None:
        place |= {"last": last_kg, "last_at": round(last_at.timestamp() * 1000)}
    return place


def choice(typed: str, *, of: Mapping[str, Any] | Sequence[str], needed: BadEntry | None = None) -> Place:
    """A place for one of several values, or for what each of them stands for; another is left out, or refused."""
    means = dict(of) if isinstance(of, Mapping) else {value: value for value in of}
    return _or_refused({"typed": [typed], "as": "choice", "of": means}, needed)


def tick(typed: str) -> Place:
    """A place for a box that is ticked or not."""
    return {"typed": [typed], "as": "tick"}


def unless(typed: str, value: str) -> Place:
    """A place that is false where a field says `value`, and true otherwise."""
    return {"typed": [typed], "as": "unless", "value": value}


def newest_bottle(medicine: str, *, known: str) -> Place:
    """A place for the bottle in use: the phone looks whether one was opened since the page was made."""
    return {"typed": [], "as": "bottle", "medicine": medicine, "known": known}


def open_locks(known: Sequence[str]) -> Place:
    """A place for the locks that a clearing names: the phone adds those it knows of besides."""
    return {"typed": [], "as": "locks", "known": list(known)}


def _or_refused(place: Place, needed: BadEntry | None) -> Place:
    if needed is None:
        return place
    said = {"field": needed.field, "got": needed.got, "allowed": needed.allowed, "remedy": needed.remedy}
    return place | {"needed": said}


@dataclass(frozen=True, slots=True)
class EntryForm:
    """A form that makes one entry: its payload, with a place wherever a person types."""

    fact: Mapping[str, Any]

    @property
    def facts(self) -> str:
        """As the page carries it to the phone."""
        return json.dumps([self._limited()], separators=(",", ":"))

    def _limited(self) -> dict[str, Any]:
        """The fact, whose places hold the limits that the kind of entry declares."""
        kind = kinds().get(self.fact.get("kind", ""))
        if kind is None:  # a part of one, read for a button
            return dict(self.fact)
        return {key: _with_limits(value, kind, key) if _is_place(value) else value for key, value in self.fact.items()}

    def read(self, form: Mapping[str, str]) -> dict[str, Any]:
        """The payload that a posted form makes.

        Raises:
            BadEntry: something that must be said is missing, or lies outside its limits.
            BadNumber, WrongUnit: an amount, a strength or an expiry that cannot be read.
        """
        read: dict[str, Any] = _filled(self._limited(), form)
        return read


def _filled(value: Any, form: Mapping[str, str]) -> Any:
    """A fact, or a part of one, with what is typed in its places; what is not known is left out."""
    if _is_place(value):
        return _read(value, form)
    if isinstance(value, list):
        return [_filled(one, form) for one in value]
    if isinstance(value, dict):
        filled = {key: _filled(one, form) for key, one in value.items()}
        return {key: one for key, one in filled.items() if one is not None}
    return value


def _with_limits(place: Place, kind: type[Part], key: str) -> Place:
    """The place, no wider than the field of the entry that it fills."""
    limits = limits_of(kind, key)
    match place["as"]:
        case "number" | "weight" if "from" not in place and limits.high is not None:
            return place | {"high": min(limits.high, place.get("high", limits.high))}
        case "exact" if limits.high is not None:
            return place | {"high": limits.high}
        case "words" if limits.most_characters is not None:
            return place | {"most": min(limits.most_characters, place["most"])}
        case "day" | "printed day" if limits.near is not None:
            return place | {"behind": limits.near.behind, "ahead": limits.near.ahead}
    return place


def _is_place(value: object) -> bool:
    return isinstance(value, dict) and "typed" in value


def _text(place: Place, form: Mapping[str, str]) -> str:
    """The first field that says something, without the space around it."""
    said = (form.get(name, "").replace("\r\n", "\n").strip() for name in place["typed"])
    return next((text for text in said if text), "")


def _read(place: Place, form: Mapping[str, str]) -> Any:
    _check_beside(place, form)
    instead = place.get("instead", {})
    for name in place["typed"]:
        if form.get(name, "") in instead:
            return instead[form.get(name, "")]
    return _READ[place["as"]](place, _text(place, form), form)


def _check_beside(place: Place, form: Mapping[str, str]) -> None:
    """Refuse a number whose other half is missing, or that says a second time what another says."""
    here = bool(_text(place, form))
    for name in place.get("needs", ()):
        if here != bool(form.get(name, "").strip()):
            raise BadEntry(
                field=place["field"],
                got=f"Only one of {place['field']} and {name.replace('_', ' ')}",
                allowed="both of them, or neither",
                remedy="Fill in the other one, or empty this one.",
            )
    for name in place.get("without", ()):
        if here and form.get(name, "").strip():
            raise BadEntry(
                field=place["field"],
                got=f"Both {place['field']} and {name.replace('_', ' ')}",
                allowed="one of them",
                remedy="Keep the one that you trust more.",
            )


def _read_number(place: Place, text: str) -> Decimal:
    number = read_number(text, field=place["field"])
    return number or Decimal()  # "-0" is nothing but 0


def _number(place: Place, text: str, _form: Mapping[str, str]) -> float:
    number = _read_number(place, text)
    if "times" in place:
        number = Decimal(str(float(number) * place["times"]))
    low, high, above = (Decimal(str(place[key])) if key in place else None for key in ("low", "high", "above"))
    drawn = Decimal(str(place["from"])) if "from" in place else None
    most = drawn if drawn is not None else high
    is_short = number <= above if above is not None else low is not None and number < low
    if is_short or (most is not None and number > most):
        unit = place["unit"]
        start = f"more than {write_number(above)}" if above is not None else write_number(low or 0)
        raise BadEntry(
            field=place["field"],
            got=f"{write_number(number)} {unit}",
            allowed=f"{start} to {write_number(most)} {unit}" if most is not None else f"{start} {unit} or more",
            remedy=place["remedy"],
        )
    return float(number if drawn is None else drawn - number)


def _weight(place: Place, _text: str, form: Mapping[str, str]) -> float:
    kg, lb, oz = (form.get(name, "").strip() for name in place["typed"])
    if kg and (lb or oz):
        raise BadEntry(
            field="weight",
            got="A weight in kg and in lb",
            allowed="one of the two",
            remedy="Keep what the scale showed.",
        )
    number = _read_number(place | {"field": "kg"}, kg) if kg or not (lb or oz) else _kg_of(place, lb, oz)
    low, high = Decimal(str(place["low"])), Decimal(str(place["high"]))
    if not low <= number <= high:
        raise BadEntry(
            field="weight",
            got=f"{write_number(number)} kg",
            allowed=f"{write_number(low)} to {write_number(high)} kg",
            remedy="Check the number and its unit.",
        )
    if "last" in place and "checked" not in form:
        _check_jump(place, float(number))
    return float(number)


def _kg_of(place: Place, lb: str, oz: str) -> Decimal:
    """Pounds and ounces in kg, a half gram up [kg]."""
    pounds, ounces = (
        _read_number({"field": name}, text) if text else Decimal() for name, text in (("lb", lb), ("oz", oz))
    )
    if not 0 <= ounces < OUNCES:
        raise BadEntry(
            field="oz",
            got=f"{write_number(ounces)} oz",
            allowed=f"0 to less than {OUNCES} oz",
            remedy=f"A pound has {OUNCES} ounces.",
        )
    if pounds < 0:
        raise BadEntry(
            field="lb",
            got=f"{write_number(pounds)} lb",
            allowed="0 lb or more",
            remedy="Check the number and its unit.",
        )
    with localcontext(prec=80):
        return ((pounds * OUNCES + ounces) * Decimal(place["ounce_kg"])).quantize(Decimal("0.001"), ROUND_HALF_UP)


def _check_jump(place: Place, kg: float) -> None:
    """Refuse a weight that is far from the last, until a second weighing has shown the same."""
    ratio = kg / place["last"]
    if abs(ratio - 1) <= place["jump"]:
        return
    slip = max(ratio, 1 / ratio)
    hint = "It looks like pounds read as kg, or the other way. " if abs(slip * place["pound_kg"] - 1) < 0.15 else ""
    percent = floor(abs(ratio - 1) * 100 + 0.5)
    raise BadEntry(
        field="weight",
        got=f"{write_number(kg)} kg, {percent} % {'more' if ratio > 1 else 'less'} than the "
        f"{write_number(place['last'])} kg before",
        allowed=f"{floor(place['jump'] * 100 + 0.5)} % or less, or a second weighing that shows the same",
        remedy=f"{hint}Weigh once more. If it shows the same, tick that it does, and tell the vet.",
    )


def _exact(place: Place, text: str, _form: Mapping[str, str]) -> str:
    number = _read_number(place, text)
    most = Decimal(str(place["high"])) if "high" in place else None
    if number < 0 or number >= 10**_MOST_WHOLE_DIGITS or (most is not None and number > most):
        raise BadEntry(
            field=place["field"],
            got=f"{write_number(number)} for {place['field']}",
            allowed=f"0 to {write_number(most)}" if most is not None else "0 or more, and a number of ordinary length",
            remedy="Write the number as it is on the label.",
        )
    written = f"{number:f}"
    return written.rstrip("0").rstrip(".") if "." in written else written


def _words(place: Place, text: str, _form: Mapping[str, str]) -> str | None:
    if not text:
        return _missing(place)
    _check_plain(place, text)
    if len(text) > place["most"]:
        raise BadEntry(
            field=place["typed"][0],
            got=f"A text of {write_number(len(text))} characters",
            allowed=f"{write_number(place['most'])} or fewer",
            remedy="Shorten it, or write the rest down as a note of its own.",
        )
    return text


def _check_plain(place: Place, text: str) -> None:
    if has_controls(text) or not can_be_seen(text):
        raise BadEntry(
            field=place["typed"][0],
            got="A text that holds control characters" if has_controls(text) else "A text that shows nothing",
            allowed="ordinary text",
            remedy="Write it again.",
        )


def _day(place: Place, text: str, _form: Mapping[str, str]) -> str | None:
    if not text:
        return None
    found = read_day(text)
    if found is None:
        raise BadEntry(
            field=place["field"],
            got=f'"{text[:20]}" for a day',
            allowed=f"a day of the calendar, as 2026-03-31, in the years {IN_THESE_YEARS}",
            remedy=place["remedy"],
        )
    return found.isoformat()


def _printed_day(_place: Place, text: str, _form: Mapping[str, str]) -> str | None:
    return last_day_printed(text).value.isoformat() if text else None


def _strength(place: Place, text: str, _form: Mapping[str, str]) -> str:
    if text:
        _check_plain(place, text)
    if len(text) > _MOST_LABEL:
        raise BadEntry(
            field="strength",
            got=f"A strength of {write_number(len(text))} characters",
            allowed=f"{write_number(_MOST_LABEL)} or fewer",
            remedy="Copy only the strength from the label.",
        )
    return printed_strength(text)


def _choice(place: Place, text: str, _form: Mapping[str, str]) -> Any:
    return place["of"][text] if text in place["of"] else _missing(place)


def _tick(place: Place, _text: str, form: Mapping[str, str]) -> bool:
    return place["typed"][0] in form


def _unless(place: Place, _text: str, form: Mapping[str, str]) -> bool:
    return form.get(place["typed"][0]) != place["value"]


def _known(place: Place, _text: str, _form: Mapping[str, str]) -> Any:
    return place["known"]


def _missing(place: Place) -> Any:
    """Nothing for this key; refused where something must be said."""
    if "needed" in place:
        raise BadEntry(**place["needed"])
    return None


_READ = {
    "number": _number,
    "exact": _exact,
    "weight": _weight,
    "words": _words,
    "day": _day,
    "printed day": _printed_day,
    "strength": _strength,
    "choice": _choice,
    "tick": _tick,
    "unless": _unless,
    "bottle": _known,
    "locks": _known,
}
