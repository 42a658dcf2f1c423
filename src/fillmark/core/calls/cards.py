"""The call cards: what to do now, and what not, for each kind of trouble.

A card is worked out of the plan and the moment. It begins with verbs, it never tells anyone to wait, and where the vet
said what to do, the vet's own words stand first and no line of ours contradicts them.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from fillmark.core.calls.written import WRITTEN, Urgency
from fillmark.core.food.energy import Species
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.tube.tube_care import tube_out, unclog_choices
from fillmark.core.values.quantities import fahrenheit_from, write_number
from fillmark.core.values.trouble import Trouble
from fillmark.published import Band, Fact, Printed
from fillmark.published import calls as aid
from fillmark.published.poisons import PROPYLENE_GLYCOL_CAT, XYLITOL_SUGAR_G_PER_KG
from fillmark.published.tube_care import UNCLOG_MOST_MINUTES
from fillmark.published.vital_signs import BREATHING_NOW_PER_MINUTE, RECTAL_CELSIUS


@dataclass(frozen=True, kw_only=True, slots=True)
class CardLine:
    """One line of a card, its verb first, and where it comes from."""

    verb: str
    words: str
    printed: Printed

    def __str__(self) -> str:
        return f"{self.verb} {self.words}".strip()


@dataclass(frozen=True, kw_only=True, slots=True)
class VetWords:
    """What the vet said to do in this trouble, in the vet's own words."""

    words: str
    by: str
    on: date


@dataclass(frozen=True, kw_only=True, slots=True)
class CallCard:
    """What to do about one trouble.

    Attributes:
        stop: What to stop, first of all.
        vet: The vet's own words; they go before every other line of `do`.
        do: What to do.
        do_not: What must not be done.
        facts: Print behind the card that is no line of it.
    """

    trouble: Trouble
    urgency: Urgency
    stop: tuple[CardLine, ...]
    vet: VetWords | None
    do: tuple[CardLine, ...]
    do_not: tuple[CardLine, ...]
    facts: tuple[Printed, ...]

    @property
    def cannot_wait(self) -> bool:
        """Whether it is marked in the list as one that comes before any call."""
        return self.urgency in (Urgency.START, Urgency.GO)

    @property
    def lines(self) -> tuple[CardLine, ...]:
        """All its lines in the order they are read: stop, do, do not."""
        return (*self.stop, *self.do, *self.do_not)


def call_cards(*, plan: CarePlan | None, on: date) -> tuple[CallCard, ...]:
    """Every card, the ones that cannot be put off first. Without a plan they hold what does not depend on one.

    Args:
        plan: The plan in force.
        on: The household's day, for the age of the tube's hole.
    Source:
        first_aid.*, tube_care.*, vital_signs.*
    """
    return tuple(_card(trouble, plan, on) for trouble in Trouble)


def _card(trouble: Trouble, plan: CarePlan | None, on: date) -> CallCard:
    urgency, stop, do, do_not, facts = WRITTEN[trouble]
    species = plan.animal.species.value if plan else ""
    said = plan.vet.words_for(trouble) if plan else None
    lines_do, lines_not = _lines(one for one in do if not (said and one in _UNLESS_SAID)), _lines(do_not)
    if said and trouble in _BEGINS_WITH_ITS_WORDS:
        urgency = Urgency.HERE
    if trouble is Trouble.TUBE_OUT:
        urgency, lines_do, lines_not, facts = _tube_out(plan, on)
    elif trouble is Trouble.COLLAPSE:
        press, *more = _press_the_chest()
        lines_do = (press, lines_do[0], *more, *lines_do[1:])
    elif trouble is Trouble.FIT:
        lines_do = (lines_do[0], _go_for_fit(), *lines_do[1:])
    elif trouble is Trouble.FEVER:
        lines_do, facts = (lines_do[0], *_call_for_heat(species), *lines_do[1:]), (*facts, *_warmth(species))
    elif trouble is Trouble.CLOG:
        steps = (_line(aid.USE_WATER),) if said else ()
        lines_do = (*lines_do, *steps, _stop_trying())
        facts = tuple(choice.evidence for choice in unclog_choices())
    elif trouble is Trouble.BREATHING:
        facts = (BREATHING_NOW_PER_MINUTE[species or Species.DOG.value], *facts)
    elif trouble is Trouble.POWER_CUT:
        lines_do = (lines_do[0], _throw_away(), *lines_do[1:])
    elif trouble is Trouble.VOMITING and (plan is None or plan.animal.tube.kind in ("esophagostomy", "nasoesophageal")):
        lines_do, facts = (*lines_do, _line(aid.LOOK_IN_MOUTH)), (aid.DISLODGED_FRACTION,)
    elif trouble in (Trouble.TWICE, Trouble.WRONG):
        read = (_line(aid.READ_WHAT_IS_IN[species]),) if trouble is Trouble.WRONG else ()
        lines_do = (lines_do[0], *_poison_lines(plan), lines_do[1], *read, *lines_do[2:])
        facts = _HARMS_IN_A_LIQUID[species] if read else facts
    return CallCard(
        trouble=trouble,
        urgency=urgency,
        stop=_lines(stop),
        vet=VetWords(words=said, by=plan.vet.name, on=plan.vet.said_on) if plan and said else None,
        do=lines_do,
        do_not=lines_not,
        facts=facts,
    )


_UNLESS_SAID = (aid.ASK_HOW_TO_HOLD, aid.ASK_WHEN_TO_CALL, aid.ASK_WATER, aid.KEEP_UPRIGHT)
"""What is asked, or said of how the animal is held, only where the vet left no words: ours must not contradict them."""
_BEGINS_WITH_ITS_WORDS = frozenset({Trouble.CLOG, Trouble.VOMITING})
"""What the vet's own words make a matter of the home first."""
_HARMS_IN_A_LIQUID: dict[str, tuple[Printed, ...]] = {
    "dog": (XYLITOL_SUGAR_G_PER_KG,),
    "cat": (PROPYLENE_GLYCOL_CAT,),
    "": (XYLITOL_SUGAR_G_PER_KG, PROPYLENE_GLYCOL_CAT),
}


def _press_the_chest() -> tuple[CardLine, ...]:
    rate, depth, before = aid.COMPRESSIONS_PER_MINUTE, aid.COMPRESSION_DEPTH, aid.COMPRESSIONS_BEFORE_BREATHS
    return (
        CardLine(
            verb="Press",
            words=f"the chest at once if it gives no answer and no breath: {write_number(rate.low)} to "
            f"{write_number(rate.high)} times a minute, by a third to a half of its width; let it come back each time.",
            printed=rate,
        ),
        CardLine(
            verb="Give",
            words=f"2 breaths after every {write_number(before.value)} presses: hold its mouth shut, and blow into its "
            "nose until the chest rises.",
            printed=before,
        ),
        CardLine(verb="Keep", words=aid.KEEP_PRESSING.says.partition(" ")[2], printed=depth),
    )


def _go_for_fit() -> CardLine:
    longest, within = aid.FIT_MOST_MINUTES, aid.FITS_WITHIN_HOURS
    return CardLine(
        verb="Go",
        words=f"at once if it lasts over {write_number(longest.value)} {longest.unit}, or if another one comes within "
        f"{write_number(within.value)} {within.unit}.",
        printed=longest,
    )


def _warmth(species: str) -> tuple[Band, ...]:
    return (RECTAL_CELSIUS[species],) if species else tuple(RECTAL_CELSIUS.values())


def _call_for_heat(species: str) -> tuple[CardLine, ...]:
    """By the species; of an unknown one, by what is the narrower of both."""
    bands = _warmth(species)
    high, low = min(bands, key=lambda band: band.high), max(bands, key=lambda band: band.low)
    hot = aid.GO_HOT_CELSIUS
    return (
        CardLine(
            verb="Call",
            words=f"now, day or night, if it is above {_degrees(high.high)} or under {_degrees(low.low)}.",
            printed=high,
        ),
        CardLine(verb="Go", words=f"at once above {_degrees(hot.value)}.", printed=hot),
    )


def _degrees(celsius: float) -> str:
    return f"{write_number(celsius)} °C ({write_number(round(fahrenheit_from(celsius=celsius), 1))} °F)"


def _stop_trying() -> CardLine:
    most = UNCLOG_MOST_MINUTES
    return CardLine(
        verb="Stop", words=f"trying after {write_number(most.value)} {most.unit} at most, and call.", printed=most
    )


def _poison_lines(plan: CarePlan | None) -> tuple[CardLine, ...]:
    lines = [number for number in plan.vet.call if number.is_poison_line] if plan else []
    told = tuple(
        CardLine(verb="Call", words=f"{one.who} too: {one.phone} ({one.when}).", printed=aid.CALL_NOW) for one in lines
    )
    return told or (_line(aid.ASK_POISON_LINE),)


def _tube_out(
    plan: CarePlan | None, on: date
) -> tuple[Urgency, tuple[CardLine, ...], tuple[CardLine, ...], tuple[Printed, ...]]:
    """By the kind of the tube and the age of its hole; of an unknown one, what holds for the youngest."""
    kind = plan.animal.tube.kind if plan else "gastrostomy"
    placed_on = plan.animal.tube.placed_on if plan else None
    # A day of placing that lies ahead is a slip of the plan: the hole is then as good as new.
    told = tube_out(tube_kind=kind, placed_on=placed_on if placed_on and placed_on <= on else None, on=on)
    figures = told.all_figures()
    is_race = told.value.do[0].startswith("Go ")

    def line(words: str) -> CardLine:
        by_age = any(part in words for part in ("emergency vet", "into the hole"))
        return _split(words, figures[0] if figures and by_age else aid.TUBE_OUT_CARE)

    do = tuple(map(line, told.value.do))
    return (
        Urgency.GO if is_race else Urgency.CALL,
        do if is_race else (*do, _line(aid.GO_IF)),
        tuple(map(line, told.value.do_not)),
        figures,
    )


def _throw_away() -> CardLine:
    cold, warm = aid.KEEPS_COLD_HOURS, aid.TOO_WARM_HOURS
    return CardLine(
        verb="Throw away",
        words=f"blend and opened cans after {write_number(cold.value)} hours without power, or after "
        f"{write_number(warm.value)} {warm.unit}.",
        printed=warm,
    )


def _lines(facts: Iterable[Fact]) -> tuple[CardLine, ...]:
    return tuple(_line(fact) for fact in facts)


def _line(fact: Fact) -> CardLine:
    return _split(fact.says, fact)


def _split(sentence: str, printed: Printed) -> CardLine:
    """The verb of a sentence, which is shown large, and the rest."""
    words = 2 if sentence.startswith("Do not ") else 1
    parts = sentence.split(" ", words)
    return CardLine(verb=" ".join(parts[:words]), words=" ".join(parts[words:]), printed=printed)
