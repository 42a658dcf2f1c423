"""Which clauses of a sheet are about which medicine?"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from fillmark.core.plan.sheet_lines import MADE_UP, Clause, is_heading
from fillmark.published.medicine_names import PLAIN_WORDS, read_name

_LEADS = re.compile(
    r"^\s*(?:(?:please )?(?:give|start|continue|begin|administer|apply|increase|decrease|"
    r"reduce|raise|lower|change|resume|take|"
    r"discontinue|stop|d/c|cease|refill|new|rx|med(?:ication|icine)?s?|drugs?|name|keep "
    r"giving|also|no change|unchanged|changed?|the|his|her|their|your|this)\b[:.]?\s*)+",
    re.IGNORECASE,
)
_PHRASE = re.compile(r"[A-Za-z][A-Za-z0-9'’+-]*(?:[ /][A-Za-z][A-Za-z0-9'’+-]*){0,4}")
_STOPS_NAME = re.compile(
    r"(?:tab(?:let)?s?|cap(?:sule)?s?|suspension|solution|oral|liquid|syrup|susp|soln|"
    r"elixir|powder|drops?|eye|ear|injection|"
    r"injectable|patch|ointment|cream|gel|paste|transdermal|chewable|coated|strength|"
    r"dose|give|by|via|through|every|to|from|"
    r"for|in|on|at|of|is|has|was|are|were|been|stays?|remains?|should|can|may|will|sig|po|once|twice|daily|mg|ml|with)",
    re.IGNORECASE,
)
_NOT_NAMES = re.compile(
    r"^(?:freq\w*|instruct\w*|conc\w*|how (?:often|much)|schedule|form\b|quantity|"
    r"comment|use\b|to (?:be|help|treat)|give|dose|dosage|sig|by|for|hold|apply|take|"
    r"every|with|in|via|through|per|then|start|stop|until|note|directions?|route|"
    r"crush|mix|total|weight|body|wt|bw|feed\w*|meals?|flush\w*|water|tube|mark|call|"
    r"if|energy|resting|rer|goal|max\w*|recheck|"
    r"patient|pet|pt|meds?|drugs?|medicines?|medications?|species|date|keep|check|warm\w*|do|the|this|he|she|it|your|one|two|half|amount|strength|food|diet|"
    r"low|high|once|twice|day|night|and|or|please|we|you|use|need\w*|nothing|ask|dr|"
    r"her|his|seen|discharge\w*|summary)\b",
    re.IGNORECASE,
)
_MEDICAL = re.compile(r"‹(?:mg|mg/ml|mg/piece|mg/kg|mg/day|mg/kg/day|mg/hour|mg/mg)[:›]")
_GIVEN = re.compile(r"‹(?:piece|ml|pct|n|mg[\w/]*|every|often|latin):")
_GOES_ON = re.compile(
    r"^(?:freq\w*|instruct\w*|conc\w*|how (?:often|much)|schedule|form\b|quantity|"
    r"comment|use\b|to (?:be|help|treat)|give|dose|dosage|sig|by (?:mouth|tube)|route|"
    r"directions?|apply|take|every|for\b|with\b|hold|\(|crush|in the|via|through|strength|"
    r"note|start|then|stop|continue|until|next|last|on an|may|do not crush|shake|dissolve|"
    r"mix|give|indication|reason|purpose|"
    r"‹(?:mg|piece|n|every|often|latin|ml|time|date))"
)
_FOREIGN = re.compile(
    r"‹(?:phone|kcal|fr|ml/kg|ml/min|kcal/)|^(?:feed|fed|meals?\b|tube|flush|rinse|"
    r"water|call\b|re-?check|weigh|wt\b|patient|pet\b|"
    r"name|species|daytime|after hours|emergenc|total water|resting|energy|keep (?:her|"
    r"him|it|upright)|upright|nothing by mouth|aspirate|warm|"
    r"body|follow|total|gastro|esoph|oesoph|e-tube|g-tube|peg|naso|jejun|check|any trouble|come back|no med|please)"
)
_OF = re.compile(r"‹(?:piece|ml|mg|n):\d+› (?:of )?([a-z][a-z-]{4,}(?: [a-z]{5,})?) \(?‹mg")
_LONGEST = 1500
"""What goes on longer is no order of one medicine [characters]."""
_STOPPED = re.compile(
    r"^(?:please )?(?:discontinue|stop(?: giving)?|d/c|cease|no longer give|finish(?:ed)?)\b(?! if)|"
    r"^[^‹.]{0,40}\b(?:has been|have been|is|was|were) (?:now )?(?:discontinued|stopped)\b",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class Order:
    """What a sheet says of one medicine.

    Attributes:
        name: What it is called there.
        clause: All of it, on one line.
        name_at: Where its name stands in that line.
        is_stopped: The sheet takes it away.
    """

    name: str
    clause: Clause
    name_at: tuple[int, int]
    is_stopped: bool = False


def find_orders(clauses: Sequence[Clause]) -> tuple[list[Order], list[Clause]]:
    """The orders of medicines, and what is about something else.

    Args:
        clauses: The clauses of a sheet that are about one animal.
    """
    blocks: list[tuple[str, list[Clause], bool]] = []
    rest: list[Clause] = []
    is_open = False
    for number, clause in enumerate(clauses):
        following = clauses[number + 1] if number + 1 < len(clauses) else None
        name = _starts(clause, following)
        if name is not None:
            blocks.append((name, [clause], bool(_STOPPED.match(clause.text))))
            is_open = True
        elif is_open and _belongs(clause) and sum(len(one.text) for one in blocks[-1][1]) < _LONGEST:
            blocks[-1][1].append(clause)
        else:
            is_open = False
            rest.append(clause)
    return [_order(*block) for block in blocks], rest


def _order(name: str, clauses: list[Clause], is_stopped: bool) -> Order:
    text, at = "", []
    for clause in clauses:
        between = " . " if text else ""
        text += between + clause.text
        at += [MADE_UP] * len(between) + list(clause.at)
    start = max(text.find(name), 0)
    merged = Clause(text, tuple(at), section="medicines", is_row=clauses[0].is_row)
    return Order(name, merged, (start, start + len(name)), is_stopped)


def _belongs(clause: Clause) -> bool:
    """Whether a clause goes on with the medicine before it."""
    plain = clause.tagged
    if _FOREIGN.search(plain) or is_heading(clause.text):
        return False
    if not clause.is_new:
        return True
    if clause.gap and not _MEDICAL.search(plain):
        return False
    return bool(_GOES_ON.search(plain)) or (clause.section == "medicines" and bool(_GIVEN.search(plain)))


def _starts(clause: Clause, following: Clause | None) -> str | None:
    """The name of the medicine that a clause begins with; none where it begins none."""
    plain = clause.tagged
    if re.search(r"\bapart\b", plain) and not _MEDICAL.search(plain):
        return None
    if clause.is_row:
        return _name_of_row(clause)
    known = _known(clause.text)
    lead = _LEADS.match(clause.text)
    phrase = _phrase(clause.text[lead.end() if lead else 0 :])
    if known is not None:
        is_said = bool(_GIVEN.search(plain)) or bool(_STOPPED.match(clause.text))
        follows = following is not None and bool(_MEDICAL.search(following.tagged) or _GOES_ON.search(following.tagged))
        begins = phrase is not None and known.lower() in phrase.lower()
        if not is_said and not (begins and (clause.section == "medicines" or follows)):
            return None
        if not begins and not _MEDICAL.search(plain) and "‹piece" not in plain:
            return None
        return phrase if begins and phrase else known
    if _FOREIGN.search(plain):
        return None
    if of := _OF.search(plain):
        start = clause.text.lower().find(of[1])
        return clause.text[start : start + len(of[1])]
    if phrase is None or _NOT_NAMES.match(phrase):
        return None
    tail = clause.tagged[clause.tagged.find(phrase.lower()) + len(phrase) :]
    if re.match(r"[^‹.]{0,12}‹pct:\d+›[^.]{0,30}(?:drop|ointment|cream|solution|gel)", tail):
        return phrase
    if _MEDICAL.search(tail[:60]) and re.match(r"[^‹.]{0,40}‹(?:mg|pct|piece|n)", tail):
        return phrase
    if (
        clause.section == "medicines"
        and clause.is_new
        and not clause.items
        and len(clause.text.split()) <= 3
        and following
    ):
        return phrase if _MEDICAL.search(following.tagged) and not is_heading(clause.text) else None
    if clause.section == "medicines" and clause.is_new and re.match(r"[^‹.]{0,30}‹(?:mg|pct|ml|piece)", tail):
        return phrase
    return None


def _name_of_row(clause: Clause) -> str | None:
    name = clause.text.partition(" | ")[0].strip()
    plain = re.split(r"\s+(?=[\d.,½¼]+\s*(?:mg|mcg|g|ml|%|units))", name, maxsplit=1, flags=re.IGNORECASE)[0].strip(
        " ,:-"
    )
    return plain if re.search(r"[A-Za-z]{3}", plain) and not _NOT_NAMES.match(plain) else None


def _phrase(text: str) -> str | None:
    """The words that a text begins with, up to a number, a form or a mark."""
    match = _PHRASE.match(text.lstrip("\"“'([ "))
    if not match:
        return None
    words: list[str] = []
    for word in match[0].split(" "):
        if _STOPS_NAME.fullmatch(word.strip("'")):
            break
        words.append(word)
    name = " ".join(words).strip(" -/")
    return name if len(name) > 2 else None


def _known(text: str) -> str | None:
    """The words of a text that name a known substance."""
    for word in _words(text):
        if word.lower() not in PLAIN_WORDS and read_name(word).parts:
            return word
    return None


def _words(text: str) -> Iterator[str]:
    yield from re.findall(r"[A-Za-z][A-Za-z-]{4,}", text)
