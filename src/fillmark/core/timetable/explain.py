"""Why there is no day, and what would make one; what holds a day at its sessions, and what fewer would cost."""

from bisect import bisect_left
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from fillmark.core.timetable.check import is_day
from fillmark.core.timetable.day import Timetable
from fillmark.core.timetable.plan import NoDay, find_day, plan_day
from fillmark.core.timetable.regimen import Regimen
from fillmark.core.timetable.rules import Easing, Rule, Whose, ease_rule, list_rules, parts_of, without_rules

DEEPEST = 4
"""No way out is offered that changes more rules than this."""
ENOUGH = 2
"""Where so many ways out are known, a further one is worth the search only if it changes no more rules than this."""

Clashes = Sequence[tuple[frozenset[str], tuple[Rule, ...]]]
"""Clashes found, each with the ids of the rules that were eased when it was found."""


@dataclass(frozen=True, kw_only=True, slots=True)
class WayOut:
    """A change that gives a day, tried and checked.

    Attributes:
        easings: What is changed, one rule each.
        regimen: The regimen so changed.
        timetable: A day that holds it; the best of its kind is `plan_day(regimen)`.
    """

    easings: tuple[Easing, ...]
    regimen: Regimen
    timetable: Timetable

    @property
    def words(self) -> str:
        """What would be done."""
        return " and ".join(easing.words for easing in self.easings)

    @property
    def changed(self) -> frozenset[str]:
        """The ids of the rules that are changed."""
        return frozenset(easing.rule.id for easing in self.easings)

    def eased_within(self, rules: tuple[Rule, ...]) -> bool:
        """Whether easing these rules takes in all that this way out eases."""
        return self.changed <= {part.id for rule in rules for part in parts_of(rule)}

    @property
    def needs_vet(self) -> bool:
        """Whether the vet must agree first."""
        return any(easing.rule.whose is not Whose.HOUSEHOLD for easing in self.easings)


@dataclass(frozen=True, kw_only=True, slots=True)
class Clash:
    """Rules that cannot all hold, though any of them left out lets the rest hold; and ways out of it."""

    rules: tuple[Rule, ...]
    ways_out: tuple[WayOut, ...]

    @property
    def because(self) -> str:
        """The clash and the ways out, for a person."""
        verb = "cannot all hold" if len(self.rules) > 1 else "cannot hold"
        clash = f"{_list_words([rule.words for rule in self.rules])} {verb}."
        ways = [f"{way.words}{' (ask the vet)' if way.needs_vet else ''}" for way in self.ways_out]
        return f"{clash} What would solve it: {'; or '.join(ways)}." if ways else clash


@dataclass(frozen=True, slots=True)
class Buy:
    """What leaving a rule out would buy: the number of sessions a day would then take."""

    rule: Rule
    sessions: int


@dataclass(frozen=True, kw_only=True, slots=True)
class Holding:
    """Why a day takes this many sessions: rules that together forbid one fewer, and what each alone would buy."""

    sessions: int
    buys: tuple[Buy, ...]

    @property
    def because(self) -> str:
        """The rules that bind, for a person."""
        if not self.buys:
            return f"The number of doses and meals alone takes {self.sessions} sessions."
        lines = [
            f"without “{buy.rule.words}” it would take {buy.sessions}"
            if buy.sessions < self.sessions
            else f"leaving out “{buy.rule.words}” alone changes nothing"
            for buy in self.buys
        ]
        return f"{self.sessions} sessions: {'; '.join(lines)}."


def _list_words(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def explain_clash(regimen: Regimen, *, ways: int = 3) -> Clash:
    """Which rules clash, as few as can be named, and what would solve it.

    Args:
        regimen: Rules that no day holds.
        ways: How many ways out to look for.
    Raises:
        ValueError: some day holds these rules.
    Source:
        arithmetic only
    """
    days = _Days()
    if days.has_one(regimen):
        raise ValueError("this regimen has a day; nothing clashes")
    rules = _clash(regimen, days)
    return Clash(rules=rules, ways_out=_find_ways_out(regimen, rules, ways, days))


class _Days:
    """Asks whether a regimen has a day, and remembers the days found: the last one often answers the next question."""

    def __init__(self) -> None:
        self._found: list[Timetable] = []

    def find(self, regimen: Regimen) -> Timetable | NoDay:
        for place, known in enumerate(self._found):
            if is_day(regimen=regimen, timetable=known):
                self._found.insert(0, self._found.pop(place))
                return known
        found = find_day(regimen)
        if isinstance(found, Timetable):
            self._found.insert(0, found)
        return found

    def has_one(self, regimen: Regimen) -> bool:
        """Whether some day holds the rules; what cannot be settled counts as possible."""
        found = self.find(regimen)
        return not isinstance(found, NoDay) or not found.is_proven


def _clash(regimen: Regimen, days: _Days, known: Clashes = ()) -> tuple[Rule, ...]:
    """Rules that clash, as few as can be named; those of known clashes side by side, where halving soon meets them."""
    ids = {rule.id for _, clash in known for rule in clash}
    rules = tuple(sorted(list_rules(regimen), key=lambda rule: rule.id in ids))
    return _smallest(rules, lambda kept: days.has_one(_keep_only(regimen, kept)))


def what_holds(regimen: Regimen, *, timetable: Timetable) -> Holding:
    """Which rules hold a day at its number of sessions, and what leaving each out would buy.

    Args:
        regimen: The rules.
        timetable: A day with the fewest sessions.
    Source:
        arithmetic only
    """
    count = len(timetable.sessions)
    rules = tuple(rule for rule in list_rules(regimen) if rule.id != "sessions:most")
    limit = count - 1
    days = _Days()

    def fits(kept: tuple[Rule, ...]) -> bool:
        return days.has_one(replace(_keep_only(regimen, kept), most_sessions=limit))

    if count == 0 or not fits(()):
        return Holding(sessions=count, buys=())
    buys = []
    for rule in _smallest(rules, fits):
        fewer = plan_day(without_rules(regimen, dropped=frozenset({rule.id})), aims=())
        buys.append(Buy(rule, count if isinstance(fewer, NoDay) else len(fewer.sessions)))
    return Holding(sessions=count, buys=tuple(buys))


def _keep_only(regimen: Regimen, kept: tuple[Rule, ...]) -> Regimen:
    ids = {rule.id for rule in kept}
    return without_rules(regimen, dropped=frozenset(rule.id for rule in list_rules(regimen) if rule.id not in ids))


def _smallest(rules: tuple[Rule, ...], is_possible: Callable[[tuple[Rule, ...]], bool]) -> tuple[Rule, ...]:
    """A minimal part of the rules that is impossible, by halving (Junker's QuickXplain)."""

    def narrow(held: tuple[Rule, ...], is_new: bool, rest: tuple[Rule, ...]) -> tuple[Rule, ...]:
        if is_new and not is_possible(held):
            return ()
        if len(rest) == 1:
            return rest
        half = len(rest) // 2
        left, right = rest[:half], rest[half:]
        from_right = narrow(held + left, True, right)
        from_left = narrow(held + from_right, bool(from_right), left)
        return from_left + from_right

    return narrow((), True, rules)


def _find_ways_out(regimen: Regimen, rules: tuple[Rule, ...], wanted: int, days: _Days) -> tuple[WayOut, ...]:
    """Milder rules that give a day: one rule changed where that is enough, else two, up to `DEEPEST`.

    The search of hitting sets (Reiter 1987): each clash must be eased somewhere. A clash that the rules eased so far
    leave alone is named again without a search, and what holds a whole way out is not looked at.
    """
    ways: list[WayOut] = []
    clashes: list[tuple[frozenset[str], tuple[Rule, ...]]] = [(frozenset(), rules)]
    waiting: list[tuple[tuple[Rule, ...], Regimen]] = [((), regimen)]
    seen: set[frozenset[str]] = set()
    while waiting and len(ways) < wanted:
        changed, eased = waiting.pop(0)
        if len(ways) >= ENOUGH and len(changed) >= ENOUGH:
            break
        if any(way.eased_within(changed) for way in ways):
            continue
        left = _known_clash(changed, clashes) or _clash(eased, days, clashes)
        clashes.append((frozenset(rule.id for rule in changed), left))
        # What the household itself decides comes first.
        for rule in sorted(left, key=lambda rule: rule.whose is not Whose.HOUSEHOLD):
            wider = (*changed, rule)
            key = frozenset(other.id for other in wider)
            is_idle = any(way.eased_within(wider) for way in ways)
            if is_idle or key in seen or len(key) > DEEPEST or len(key) <= len(changed):
                continue
            seen.add(key)
            milder = _mildest(eased, rule)
            if milder == eased:
                continue
            if _known_clash(wider, clashes) or not days.has_one(milder):
                waiting.append((wider, milder))
                continue
            way = _mildest_change(regimen, wider, days)
            if way is not None:
                ways.append(way)
                if len(ways) >= wanted:
                    break
    return tuple(ways)


def _known_clash(changed: tuple[Rule, ...], clashes: Clashes) -> tuple[Rule, ...] | None:
    """A clash found where fewer of its rules were eased, so one still."""
    ids = frozenset(rule.id for rule in changed)
    for before, clash in clashes:
        if not any(rule.id in ids and rule.id not in before for rule in clash):
            return clash
    return None


def _mildest(regimen: Regimen, rule: Rule) -> Regimen:
    """The regimen with one rule in its mildest form."""
    for part in parts_of(rule):
        forms = ease_rule(regimen, rule=part)
        regimen = forms[-1].regimen if forms else regimen
    return regimen


def _mildest_change(regimen: Regimen, rules: tuple[Rule, ...], days: _Days) -> WayOut | None:
    """Ease these rules no further than it takes, and none that need not be; the first ones first."""
    chosen: list[Easing] = []
    current = regimen
    parts = tuple(part for rule in rules for part in parts_of(rule))
    for number, part in enumerate(parts):
        later = parts[number + 1 :]

        def fits(eased: Regimen, later: tuple[Rule, ...] = later) -> bool:
            for other in later:
                eased = _mildest(eased, other)
            return days.has_one(eased)

        forms = ease_rule(current, rule=part)
        if not forms or fits(current):
            continue
        # Each form is milder than the one before, so halving finds the first that fits; the last is known to fit.
        form = forms[bisect_left(forms[:-1], True, key=lambda one: fits(one.regimen))]
        chosen.append(form)
        current = form.regimen
    found = days.find(current)
    if isinstance(found, NoDay):
        return None
    return WayOut(easings=tuple(chosen), regimen=current, timetable=found)
