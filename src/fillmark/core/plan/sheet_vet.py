"""What does a sheet say of the vet, of its own day, of the next visit, and of whom to call?"""

import re
from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta

from fillmark.core.plan.sheet_amounts import SheetItem, pattern
from fillmark.core.plan.sheet_animal import WEIGHT, span_of
from fillmark.core.plan.sheet_found import SheetFound, read_days
from fillmark.core.plan.sheet_lines import Clause
from fillmark.core.values.words import say_day

_NIGHT = re.compile(
    r"\bno(?:ne|body|-one)?\b(?: \w+){0,3} (?:at |by |over)?night|no (?:night|after[- ]hours|"
    r"out[- ]of[- ]hours)\b|closed at night|\bnights?\s*[:=–—-]\s*(?:none|no ?(?:one|body)|closed)\b"
)
_ALWAYS = re.compile(r"24 ?h\b|24 hours|24/7|any ?time|day (?:and|or) night|round the clock|always")
_SAID = pattern(
    r"(?:\bdated?\b|discharge\w*|\bseen\b|\bvisit\b|\bsent\b|released|issued|d/c|\btoday\b|"
    r"printed|written)[^‹]{0,30}<date>"
)
_RECHECK = pattern(
    r"(?:re-?check\w*(?! report| summary| notes?)|check-?up|follow[- ]?up|re-?visit|"
    r"see (?:you|him|her|us|them)|seen? again|come back|return|appointment|"
    r"re-?exam\w*|next (?:visit|check|exam)|review)[^‹]{0,45}<date|time>"
)
_OTHER_DAY = re.compile(
    r"birth|d\.?o\.?b|born|admi|arriv|placed|inserted|until|through|from|starting|"
    r"start|stays|expir|day \d"
)
_PRACTICE = re.compile(
    r"\b(?:hospital|clinic|veterinary|vets|referrals?|surgery|practice|pet care|animal "
    r"(?:care|health)|tierklinik|tierarzt\w*|cent(?:er|re))\b",
    re.IGNORECASE,
)
_VET = (
    re.compile(r"\bDr\.?\s+(?:med\. vet\. )?(?P<name>[A-Z][\w'’.-]*(?: [A-Z][\w'’-]+){0,2})"),
    re.compile(
        r"(?i:veterinarian|clinician|attending|surgeon|vet)\s*[:=]\s*(?P<name>[A-Z][\w'’.-]*(?: [A-Z][\w'’-]+){0,3})"
    ),
    re.compile(r"(?P<name>[A-Z][\w'’.-]+(?: [A-Z][\w'’-]+){1,2}),? (?:DVM|VMD|BVSc|BVetMed|MRCVS|BVMS)"),
)


def read_vet(clauses: Sequence[Clause], found: SheetFound) -> None:
    """Who gave the orders, when, when the animal is seen again, and whom to call.

    Args:
        clauses: What a sheet says outside its medicines.
        found: What was found so far; it is added to.
    """
    rest: list[tuple[Clause, SheetItem]] = []
    for clause in clauses:
        said = {int(match[1]) for match in _SAID.finditer(clause.tagged)}
        again = _RECHECK.search(clause.tagged)
        for number, item in enumerate(clause.items):
            if item.kind == "date" and again and int(again[1]) == number:
                found.take_day("vet.recheck_on", item, clause, span=span_of(again, clause))
            elif (
                item.kind == "date"
                and number in said
                and not re.search(r"birth|placed|starting|admi|arriv", clause.tagged)
            ):
                found.take_day("vet.said_on", item, clause, weight=3)
            elif item.kind == "date" and not _OTHER_DAY.search(clause.tagged) and not again:
                rest.append((clause, item))
        _vet_names(clause, found)
        _calls(clause, found)
    if rest and found.first("vet.said_on") is None and not any(one.key == "vet.said_on" for one in found.asks):
        found.take_day("vet.said_on", rest[0][1], rest[0][0], weight=1)
    for clause in clauses:
        again = _RECHECK.search(clause.tagged)
        if again and clause.items[int(again[1])].kind == "time":
            _after_a_time(clause, clause.items[int(again[1])], found)
    _who_answers(found)
    _likely_year(found)
    on, weighed = found.first("vet.said_on"), found.first(WEIGHT) or found.first("animal.weights[1].lb")
    if weighed is not None and on is not None:
        found.answers.append(replace(on, key="animal.weights[1].on", weight=1))


def _who_answers(found: SheetFound) -> None:
    """A number without a name beside it is the practice's, or the vet's."""
    named = found.first("vet.practice") or found.first("vet.name")
    for phone in [one for one in found.answers if one.key.endswith(".phone")]:
        key = phone.key.replace(".phone", ".who")
        if named is not None and key not in found.keys:
            found.answers.append(replace(named, key=key, weight=1))


def _likely_year(found: SheetFound) -> None:
    """A recheck without its year is asked with the first such day from the sheet's own day on; it is not proposed."""
    on = found.first("vet.said_on")
    said = date.fromisoformat(str(on.value)) if on else None
    for number, one in enumerate(found.asks):
        match = re.search(r'^"([^"]+)" has no year', one.why) if one.key == "vet.recheck_on" and said else None
        if match is None or said is None:
            continue
        days = [
            day for year in (said.year, said.year + 1) for day in read_days(f"{match[1].rstrip('.')} {year}", order="")
        ]
        likely = next((day for day in days if day >= said), None)
        if likely is not None:
            why = f'"{match[1].rstrip(".")}" has no year: is it {say_day(likely, has_year=True)}?'
            found.asks[number] = replace(one, why=why)


def _after_a_time(clause: Clause, item: SheetItem, found: SheetFound) -> None:
    """A recheck told as days from the day of the sheet."""
    on, days = found.first("vet.said_on"), {"days": 1, "weeks": 7}.get(item.unit)
    if item.high or days is None or on is None:
        found.ask("vet.recheck_on", f'"{item.text}": on which day?', clause, (item.start, item.end))
        return
    day = date.fromisoformat(str(on.value)) + timedelta(days=int(item.value) * days)
    found.take("vet.recheck_on", day.isoformat(), clause, (item.start, item.end))


def _vet_names(clause: Clause, found: SheetFound) -> None:
    for words in _VET:
        if match := words.search(clause.text):
            name = match["name"] if match.re is not _VET[0] else f"Dr. {match['name']}"
            found.take("vet.name", name, clause, match.span())
            break
    text = re.sub(r"^(?i:clinic|practice|hospital)\s*[:=]\s*", "", clause.text)
    for piece in re.finditer(r"[^,|•]+", text):
        plain = re.split(r"\s[-–—]\s|\b(?:tel|phone|date)\b|\d", piece[0], flags=re.IGNORECASE)[0].strip(" .:")
        words_of_it = plain.split()
        large = sum(word[:1].isupper() for word in words_of_it)
        if _PRACTICE.search(plain) and 2 <= len(words_of_it) <= 6 and large * 2 > len(words_of_it) and ":" not in plain:
            start = clause.text.index(plain)
            found.take(
                "vet.practice", plain, clause, (start, start + len(plain)), weight=2 if plain != plain.upper() else 1
            )
            return


_A_WHEN = (
    r"(?:in |during |by |at |on |the |our )*(?:day(?:time|s)?|nights?|night[- ]?time|after[- ]?hours|"
    r"out[- ]of[- ]hours|emergenc(?:y|ies)|urgent|week-?days?|week-?ends?|evenings?|office hours|opening hours)"
    r"(?: (?:hours|only|line))?"
)
_WHEN_WORDS = re.compile(rf"{_A_WHEN}(?:(?:,? (?:and|or|&) |, | ?/ ?){_A_WHEN})*", re.IGNORECASE)
_BEHIND = re.compile(r"\s*\((?P<in>[^)]*)\)|(?P<to>[^,;/|.]*)")
_NO_WORDS = re.compile(r"\b(?:tel|telephone|phone|ph|call|number|us|our)\b\.?|[:=]", re.IGNORECASE)


def _around(clause: Clause, number: int) -> tuple[int, str, str, int]:
    """Where the words around a telephone number begin, those before it, those behind it, and where they end.

    What stands between two numbers belongs to the one before it up to a comma or a bracket, and to the next one behind
    it; where the first number has its time before it, so have the others.
    """
    item, phones = clause.items[number], [one for one in clause.items if one.kind == "phone"]
    first = _plain_about(clause.text[: phones[0].start])
    last = clause.items[number - 1].end if number else 0
    following = next((one for one in clause.items[number + 1 :] if one.kind != "clock"), None)
    end = following.start if following else len(clause.text)
    before = clause.text[last : item.start]
    is_labeled = len(phones) > 1 and bool(first and _WHEN_WORDS.search(first))
    if phones[0] is not item and not is_labeled and (match := _BEHIND.match(before)):
        before = before[match.end() :]
    behind = ""
    if not is_labeled:
        match = _BEHIND.match(clause.text, item.end, end)
        is_last = item is phones[-1]
        cut = match["in"] or match["to"] or "" if match and not (is_last and match["in"] is None) else ""
        behind = (cut or (clause.text[item.end : end] if is_last else "")).strip(" ,.()-–")
        behind = "" if _NIGHT.search(behind.lower()) or _NIGHT.search(f"{behind} at night".lower()) else behind
    return last, _plain_about(before), behind, end if not is_labeled else item.end


def _plain_about(text: str) -> str:
    return " ".join(" ".join(_NO_WORDS.sub(" ", text).split()).strip(" ,.;/|()-–").split())[-60:]


def _calls(clause: Clause, found: SheetFound) -> None:
    if match := _NIGHT.search(clause.text.lower()):
        found.take("vet.nobody_at_night", "yes", clause, match.span())
    for number, item in enumerate(clause.items):
        if item.kind != "phone" or re.search(r"\bfax\b|microchip|\bchip\b|case no|invoice", clause.tagged):
            continue
        count = 1 + sum(one.key.endswith(".phone") for one in found.answers)
        place = f"vet.call[{count}]"
        phone = item.text.replace(".", "-").replace("(", "").replace(")", "").strip()
        if any(one.key.endswith(".phone") and one.typed.text == phone for one in found.answers):
            continue
        found.take(f"{place}.phone", phone, clause, (item.start, item.end))
        last, about, behind, end = _around(clause, number)
        if _ALWAYS.search(clause.text.lower()):
            found.take(f"{place}.always", "yes", clause, (last, end))
        when = about if _WHEN_WORDS.fullmatch(about) else behind or about
        if when:
            found.take(f"{place}.when", when[:60].strip(), clause, (last, end))
        if about and not _WHEN_WORDS.fullmatch(about):
            found.take(f"{place}.who", about[:60], clause, (last, item.end))
        if "poison" in clause.tagged:
            found.take(f"{place}.for_poison", "yes", clause, (last, end))
