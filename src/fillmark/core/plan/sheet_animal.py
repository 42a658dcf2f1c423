"""What does a sheet say of the animal and its tube?"""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from fillmark.core.plan.sheet_amounts import SheetItem, pattern
from fillmark.core.plan.sheet_found import SheetFound
from fillmark.core.plan.sheet_lines import Clause
from fillmark.published.medicine_names import read_name

_DOGS = (
    r"dogs?|canine|k-?9|pupp(?:y|ies)|bitch|labrador|retriever|beagle|great dane|terrier|"
    r"poodle|shepherd|spaniel|collie|"
    r"bulldog|pug|boxer|dachshund|chihuahua|husky|schnauzer|\w*hound|\w+doodle|\w+poo|"
    r"lurcher|sheepdog|ridgeback|bichon|cavalier|newfoundland|pit ?bull|havanese|basset|"
    r"setter|corgi|mastiff|rottweiler|doberman|whippet|"
    r"shih tzu|maltese|pomeranian|pointer|vizsla|weimaraner|malinois|akita|samoyed|papillon|pinscher|dalmatian"
)
_CATS = (
    r"cats?|feline|kitten|tomcat|d[slm]h|domestic (?:short|long|medium)[- ]?hair(?:ed)?|siamese|persian|maine coon|"
    r"ragdoll|burmese|bengal|sphynx|british shorthair|abyssinian|norwegian forest|"
    r"(?:devon|cornish) rex|himalayan|tonkinese|scottish fold|exotic shorthair|moggy|"
    r"birman|russian blue|katze"
)
SPECIES = (("dog", re.compile(rf"\b(?:{_DOGS})\b")), ("cat", re.compile(rf"\b(?:{_CATS})\b")))
_NAME = r"[\"“'«]?(?P<name>[A-Z][\w'’-]*(?: [A-Z][a-z'’]+)?)[\"”'»]?"
_NAMED = (
    (3, re.compile(rf"^(?i:patient|pet|name|animal|pt|your pet)(?i:'s name| name)?\s*[:=\-–—#|]*\s*{_NAME}")),
    (3, re.compile(rf"\b(?i:patient|pet)(?i:'s name| name)?\s*[:=]\s*{_NAME}")),
    (
        2,
        re.compile(
            rf"\b(?i:discharge|home|care|feeding|instructions|summary|sheet|note|plan|orders|"
            rf"report|aftercare)\b[\w .:/-]{{0,25}} for {_NAME}"
        ),
    ),
    (2, re.compile(rf"^(?i:for|re|regarding|about)[: ]+{_NAME}")),
    (2, re.compile(rf"^(?i:going home|goes home|home care)\s*[:–—-]\s*{_NAME}")),
    (2, re.compile(rf"(?:\babout |[-–—|] ){_NAME} ?[-–—,(/|] ?(?i:{_DOGS}|{_CATS})\b")),
    (2, re.compile(rf"\b(?i:your|the) (?:[a-z]+ )?(?i:dog|cat|puppy|kitten),? {_NAME}")),
    (2, re.compile(rf"(?i:entrusting|trusting|leaving|bringing)(?: us with| in)? {_NAME}")),
    (2, re.compile(rf"^{_NAME}\s*(?:[-–—,(/|]|\bis\b)[^.]*?\b(?i:{_DOGS}|{_CATS})\b")),
    (2, re.compile(rf"^{_NAME} (?:went|goes|weighs|has|was|is going|is ready|needs|came)\b")),
    (2, re.compile(rf"{_NAME} \((?=[^)]*\b(?i:{_DOGS}|{_CATS})\b)")),
    (1, re.compile(rf"^{_NAME}\s*[,(–-]\s*(?=[‹\d])")),
)
_NO_NAMES = re.compile(
    r"^(?:o?esoph\w*|gastro\w*|jejun\w*|naso\w*|sp|wt|pt|bw|age|dob|re|sex|discharge|patient|date|dr|the|tube|feeding|feed|"
    r"flush|weight|species|breed|sex|owner|medic\w*|all|any|please|"
    r"today|thank|dear|your|his|her|he|she|it|give|keep|call|if|a|an|name|pet|animal|instructions?|plan|peg|e|g|j|seen|"
    r"body|check|water|energy|food|home|meals?|rx|clinic|hospital|this|that|no|not|new|day|night|for|and|with)\b",
    re.IGNORECASE,
)
_SEXES = (
    ("female, neutered", r"\bf\.?/?s\.?\b|\bsf\b|\bfn\b|spayed|female,? \(?neutered|neutered female|\bf ?\(n\)"),
    ("male, neutered", r"\bm\.?/?n\.?\b|\bm ?\(n\)|\bm\.?/?c\b|\bnm\b|castrated|neutered"),
    ("female", r"\bfemale\b|^sex\s*[:=]\s*f(?:emale)?\b|\bf\.?/?[ie]\.?\b"),
    ("male", r"\bmale\b|^sex\s*[:=]\s*m\b|\bm\.?/?[ie]\.?\b"),
)
_TUBES = (
    ("nasoesophageal", r"naso-?o?esophag\w*|\bn\.?e\.?[- ]tube|\bn/?e tube|nasal (?:feeding )?tube"),
    ("jejunostomy", r"jejun\w*|\bj[- ]tube|\bpej\b"),
    ("esophagostomy", r"\bo?esophag\w*|\b[eo][- ]tube|neck tube|\bo-?tube"),
    ("gastrostomy", r"gastrostom\w*|\bpeg\b|\bg[- ]tube|\bstomach tube|low[- ]profile|\bgastric tube"),
)
_BY_MOUTH = (
    (
        "nothing",
        r"nothing by mouth|no food by mouth|(?:do not|don't|never) (?:give|feed|offer)[^.]{0,12}(?:anything|"
        r"food)[^.]{0,12} by mouth|\bnpo\b|nil (?:by mouth|per ?os)|no food or water by "
        r"mouth|nothing (?:per ?os|orally)|no oral (?:food|intake)",
    ),
    ("tastes", r"(?:may|can|allow\w*|let)\b.{0,25}\b(?:lick|tastes?|a taste)"),
    (
        "food and water",
        r"(?:may|can|allow\w*|let|free to)\b.{0,20}\b(?:eat|nibble)|(?:food|eat\w*) and "
        r"(?:water|drink\w*) by mouth|offer food by mouth",
    ),
    (
        "water",
        r"(?:may|can|allow\w*|let)\b.{0,20}\bdrink|water (?:only |may be offered )?by "
        r"mouth|(?:only|free access to) water",
    ),
)


@dataclass(frozen=True, slots=True)
class SheetRule:
    """A way in which the trade says a value.

    Attributes:
        key: The value's place in the plan.
        says: The pattern over a tagged clause; its first group is the number of the item.
        unless: What makes the same words mean something else.
        weight: How plainly it is said.
    """

    key: str
    says: re.Pattern[str]
    unless: re.Pattern[str] | None = None
    weight: int = 2


def rule(key: str, says: str, *, unless: str = "", weight: int = 2) -> SheetRule:
    """A rule from its patterns.

    Args:
        key: The value's place in the plan.
        says: The pattern, "<ml>" for an amount.
        unless: What makes the same words mean something else.
        weight: How plainly it is said.
    """
    return SheetRule(key, pattern(says), pattern(unless) if unless else None, weight)


WEIGHT = "animal.weights[1].kg"
_OTHER_WEIGHT = (
    r"target|goal|ideal|lose|gain|\bover |\bunder |more than|up to|\bcans?\b|bags?|"
    r"for (?:dogs|cats)|worked out|based on|dosed? for"
)
_RULES = (
    rule("animal.target_weight_kg", r"(?:target|goal|ideal)[^‹]{0,25}<kg>"),
    rule(WEIGHT, r"(?:\bweigh\w*|\bwt\b|\bbw\b|\bbwt\b)[^‹]{0,30}<kg|mg>", unless=_OTHER_WEIGHT, weight=3),
    rule(WEIGHT, r"<kg>[^‹]{0,12}(?:body ?weight|\bbw\b)", unless=_OTHER_WEIGHT, weight=3),
    rule("animal.born_on", r"(?:date of birth|d\.?o\.?b\.?|\bborn\b|birth ?da\w+)[^‹]{0,12}<date>"),
    rule("animal.tube.placed_on", r"(?:placed|inserted|fitted|placement|put in)[^‹]{0,20}<date>"),
    rule("animal.tube.balloon_ml", r"balloon[^‹]{0,40}<ml>|<ml>[^‹]{0,30}balloon"),
    rule("animal.tube.french", r"<fr>", unless=r"syringe|needle|catheter urine|urinary"),
    rule("animal.tube.french", r"(?:french|\bfr\b|\bch\b|tube size|size of (?:the )?tube)\s*[:=]?\s*<n>"),
    rule(
        "animal.tube.mark_at_skin_cm",
        r"‹fr:\d+›(?: (?:peg|[eog]-?tube|tube))?, ?<cm>",
        unless=r"skin|mark|exit|stoma|long|length",
        weight=1,
    ),
    rule("animal.tube.mark_at_skin_cm", r"(?:insertion )?depth[^‹]{0,25}<cm>", unless=r"incision|wound"),
    rule(
        "vet.limits.breaths_asleep_per_minute",
        r"(?:breath\w*|resp\w*|\bs?rr\b)[^‹]{0,40}(?:over|above|beyond|(?:more|faster|quicker|greater|higher) than|>|"
        r"exceed\w*) ?<n>",
        unless=r"‹mg",
    ),
    rule("animal.tube.inner_diameter_mm", r"(?:inner|internal|inside) dia\w*[^‹]{0,15}<cm>|\bi\.?d\.? ?<cm>"),
    rule(
        "animal.tube.length_cm",
        r"(?:length|total|long)[^‹]{0,20}<cm>|<cm> (?:long|in length)",
        unless=r"skin|mark|stoma|exit|incision|wound",
    ),
    rule(
        "animal.tube.mark_at_skin_cm",
        r"<cm>[^‹]{0,45}\b(?:mark\w*|skin|stoma|exit\w*|level)",
        unless=r"incision|wound|lump|mass\b",
    ),
    rule(
        "animal.tube.mark_at_skin_cm",
        r"(?:mark\w*|skin|exit\w*|stoma)[^‹]{0,40}<cm>",
        unless=r"incision|wound|lump|mass\b",
    ),
    rule(
        "animal.tube.mark_at_skin_cm",
        r"(?:tube|peg|<fr>).*?(?:\bat|@) ?(?:the )?<cm>",
        unless=r"incision|wound|skin|mark|exit|stoma",
    ),
    rule(
        "vet.limits.breaths_asleep_per_minute",
        r"(?:over|above|more than|>|exceeds?|faster than|at least|or more)[^‹]{0,10}<breaths/min|"
        r"breaths>",
        weight=1,
    ),
    rule(
        "vet.limits.temperature_c.high",
        r"(?:temp\w*|fever|\bt(?= ?>))[^.]*?(?:above|over|exceed\w*|higher than|greater than|>|more "
        r"than) ?<temp>",
    ),
    rule("vet.limits.temperature_c.low", r"(?:temp\w*)[^.]*?(?:below|under|lower than|less than|<) ?<temp>"),
)


def read_rules(rules: Sequence[SheetRule], clause: Clause, found: SheetFound) -> None:
    """Take up what the rules find in a clause.

    Args:
        rules: The ways in which values are said.
        clause: The clause.
        found: What was found so far.
    """
    for one in rules:
        if one.unless is not None and one.unless.search(clause.tagged):
            continue
        for match in one.says.finditer(clause.tagged):
            number = int(next(group for group in match.groups() if group is not None))
            take_one(one.key, clause.items[number], clause, found, weight=one.weight, span=span_of(match, clause))
            other = clause.items[number + 1] if number + 1 < len(clause.items) else None
            if (
                one.key == WEIGHT
                and other is not None
                and other.kind == "kg"
                and other.start - clause.items[number].end < 4
            ):
                take_one(one.key, other, clause, found, weight=one.weight)


def take_one(key: str, item: SheetItem, clause: Clause, found: SheetFound, **more: object) -> None:
    """Take up one item under its key, as what it is.

    Args:
        key: The place in the plan.
        item: The item.
        clause: The clause that says it.
        found: What was found so far.
        more: As of `SheetFound.take_item`.
    """
    if item.kind == "date":
        found.take_day(key, item, clause, **more)
    elif key == WEIGHT and item.kind == "mg" and item.unit != "g":
        return
    elif key == WEIGHT and item.unit == "lb":
        found.take_item("animal.weights[1].lb", item, clause, **more)
    elif key.startswith("vet.limits.breaths"):
        is_over = re.search(
            r"(?:over|above|beyond|(?:more|faster|quicker|greater|higher) than|>|exceed\w*)[^‹]{0,10}‹(?:breaths|n:)",
            clause.tagged,
        )
        text = f"{item.value + 1:f}" if is_over else item.number
        found.take_item(key, item, clause, **{**more, "text": text, "unit": ""})
    else:
        found.take_item(key, item, clause, **more)


def span_of(match: re.Match[str], clause: Clause) -> tuple[int, int]:
    """Where the words of a match stand in its clause.

    Args:
        match: A match over the tagged clause.
        clause: The clause.
    """
    return _untagged(clause, match.start()), _untagged(clause, match.end())


def _untagged(clause: Clause, place: int) -> int:
    moved = 0
    for number, one in enumerate(clause.items):
        tag = len(f"‹{one.kind}:{number}›")
        start = one.start + moved
        if place <= start:
            break
        if place < start + tag:
            return one.start if place <= start else one.end
        moved += tag - (one.end - one.start)
    return min(max(place - moved, 0), len(clause.text))


def read_animal(clauses: Sequence[Clause], found: SheetFound) -> None:
    """The animal and its tube.

    Args:
        clauses: What a sheet says outside its medicines.
        found: What was found so far; it is added to.
    """
    before = ""
    for clause in clauses:
        plain = clause.tagged
        if before in ("patient", "pet", "animal", "name") and (match := re.fullmatch(_NAME, clause.text)):
            found.take("animal.name", match["name"], clause, match.span("name"))
        before = clause.text.lower().strip(" :")
        read_rules(_RULES, clause, found)
        _weight_with_its_unit_first(clause, found)
        read_name_of(clause, found)
        for name, words in SPECIES:
            if (match := words.search(plain)) and not re.search(r"\bfood\b|\bcats and dogs|\bdogs and cats", plain):
                weight = (
                    3 if re.match(r"sp(?:ecies)?\b|breed", plain) else 2 if found.first("animal.species") is None else 1
                )
                found.take("animal.species", name, clause, span_of(match, clause), weight=weight)
                _weight_in_passing(clause, found)
                break
        for name, words_of_sex in _SEXES:
            match = re.search(words_of_sex, plain)
            about = re.search(r"\bsex\b|gender|male|neutered|spayed|castrated", plain) or any(
                w.search(plain) for _, w in SPECIES
            )
            if match and about and not re.search(r"‹temp", plain):
                found.take("animal.sex", name, clause, span_of(match, clause))
                break
        if match := re.search(
            r"(?:\bbcs\b|condition(?: score)?)[^\d]{0,25}(\d(?:\.5)?) ?(?:/|of|out of) ?([59])\b",
            clause.text,
            re.IGNORECASE,
        ):
            found.take("animal.condition.score", match[1], clause, match.span())
            found.take("animal.condition.of", match[2], clause, match.span())
        _tube(clause, found)
        for name, words_by in _BY_MOUTH:
            if match := re.search(words_by, plain):
                found.take("animal.by_mouth", name, clause, span_of(match, clause))
                break
        if match := re.search(
            r"(?:has not eaten|not (?:been )?eat(?:en|ing)|hasn't eaten|off (?:her|his) food|"
            r"inappeten\w*|anorexi\w*|without food|no food|starv\w*)[^.]{0,25}(?:days|‹time)",
            plain,
        ):
            found.take("animal.starved", "yes", clause, span_of(match, clause))
    if not any(key.startswith("animal.weights") for key in found.keys):
        for clause in clauses[:12]:
            _weight_in_passing(clause, found)


_WITH_UNIT = pattern(r"(?:weight|\bwt|\bbw) ?[(\[]?(kgs?|lbs?)[)\]]?\s*[:=]\s*<n>")


def _weight_with_its_unit_first(clause: Clause, found: SheetFound) -> None:
    """As forms have it: "Weight (kg): 4.3"."""
    if match := _WITH_UNIT.search(clause.tagged):
        key = WEIGHT if match[1].startswith("kg") else "animal.weights[1].lb"
        item, span = clause.items[int(match[2])], span_of(match, clause)
        found.take_item(key, item, clause, unit=match[1].rstrip("s"), weight=3, span=span)


def _weight_in_passing(clause: Clause, found: SheetFound) -> None:
    """A weight beside the animal's kind, without the word."""
    weights = [one for one in clause.items if one.kind == "kg" and one.unit != "oz"]
    if not weights or re.search(_OTHER_WEIGHT + r"|\bweigh|\bwt\b|\bbw\b|food|blend|‹kcal|‹mg", clause.tagged):
        return
    for one in weights:
        take_one(WEIGHT, one, clause, found, weight=1)


def read_name_of(clause: Clause, found: SheetFound) -> None:
    """The animal's name, where a clause says it.

    Args:
        clause: The clause.
        found: What was found so far; it is added to.
    """
    named = name_in(clause)
    if named is not None:
        weight, match = named
        found.take("animal.name", match["name"], clause, match.span("name"), weight=weight)


def name_in(clause: Clause) -> tuple[int, re.Match[str]] | None:
    """The name that a clause says, with how plainly.

    Args:
        clause: The clause.
    """
    for weight, words in _NAMED:
        match = words.search(clause.text)
        if not match or _NO_NAMES.match(match["name"]) or read_name(match["name"]).parts:
            continue
        if any(words_of_kind.fullmatch(match["name"].lower()) for _, words_of_kind in SPECIES):
            continue
        if weight > 2 and re.match(r"(?i)name", clause.text) and clause.section == "medicines":
            continue
        return weight, match
    return None


def _tube(clause: Clause, found: SheetFound) -> None:
    for name, words in _TUBES:
        if match := re.search(words, clause.tagged):
            found.take("animal.tube.kind", name, clause, span_of(match, clause))
            break
    if match := re.search(r"low[- ]profile|\bbutton\b", clause.tagged):
        found.take("animal.tube.low_profile", "yes", clause, span_of(match, clause))
    if re.search(r"tube|peg", clause.tagged):
        for one in clause.items:
            if one.kind == "temp" and one.unit == "°F" and 3 <= one.value <= 40:
                found.take_item("animal.tube.french", one, clause, unit="")
