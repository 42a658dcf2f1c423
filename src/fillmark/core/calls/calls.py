"""The call cards: what to do now, what not, whom to call and what to tell them, for each kind of trouble.

A card is worked out of the plan and the moment. It begins with verbs, it never tells anyone to wait, and where the vet
said what to do, the vet's own words stand first.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from math import floor
from zoneinfo import ZoneInfo

from fillmark.core.food.energy import Species
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.vet import OpenHours
from fillmark.core.record.amounts import Amount
from fillmark.core.record.sessions import Dose, SessionRecord, Standing
from fillmark.core.tube.tube_care import tube_out, unclog_choices
from fillmark.core.values.quantities import Mass, write_number
from fillmark.core.values.trouble import Trouble
from fillmark.core.values.words import say_date
from fillmark.published import Fact, Printed
from fillmark.published import calls as aid
from fillmark.published.poisons import XYLITOL_SUGAR_G_PER_KG
from fillmark.published.vital_signs import BLOAT, BREATHING_NOW_PER_MINUTE, NUMBERS_RULE_NOTHING_OUT


class Urgency(StrEnum):
    """What the telephone is for."""

    GO = "Go now, and call on the way"
    CALL = "Call now"
    HERE = "Do this first"


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
class CallTo:
    """One number; `answers` tells whether somebody is there now, where the plan states its `hours`."""

    who: str
    phone: str
    when: str
    answers: bool | None
    hours: tuple[OpenHours, ...] = ()


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


def whom_to_call(*, plan: CarePlan | None, local: datetime) -> tuple[CallTo, ...]:
    """The plan's numbers, those that answer at this local time first, then those whose hours nobody stated.

    Args:
        plan: The care plan in force, if there is one.
        local: Now, by the household's clock.
    """
    numbers = plan.vet.call if plan else ()
    calls = [
        CallTo(
            who=number.who,
            phone=number.phone,
            when=number.when,
            answers=number.answers(local),
            hours=number.hours,
        )
        for number in numbers
    ]
    return tuple(sorted(calls, key=lambda call: {True: 0, None: 1, False: 2}[call.answers]))


def show_to_vet(
    *, name: str, plan: CarePlan | None, sessions: Sequence[SessionRecord], now: datetime, zone: ZoneInfo
) -> tuple[str, ...]:
    """What the person on the telephone needs to know, written by the record.

    Args:
        name: The animal's name.
        plan: The plan in force.
        sessions: Those of today and yesterday, oldest first.
        now: The present instant.
        zone: The household's time zone.
    """
    today = now.astimezone(zone).date()
    told = [_who(name, plan), *_tube(plan, today)]
    fed = [_fed(session, session.blend, today) for session in sessions if session.blend is not None][-_TOLD:]
    told.append(f"Went in: {', '.join(fed)}." if fed else "Went in: no entry since yesterday.")
    back = [
        f"{_amount(session.back)} of {_clock(session.session, today)}"
        for session in sessions
        if session.back is not None
    ][-_TOLD:]
    if back:
        told.append(f"Came back: {', '.join(back)}.")
    names = {medicine.id: medicine.name for medicine in plan.medicines} if plan else {}
    newest: dict[str, Dose] = {dose.medicine: dose for session in sessions for dose in session.doses}
    doses = [_dose(names.get(medicine, medicine), dose, zone, today) for medicine, dose in sorted(newest.items())]
    told.append(f"Last doses: {'; '.join(doses)}." if doses else "Last doses: no entry since yesterday.")
    return tuple(told)


_TOLD = 3
"""Sessions that are told: what a person says in one breath."""


def _who(name: str, plan: CarePlan | None) -> str:
    if plan is None:
        return f"{name}."
    animal = plan.animal
    weight = f"{write_number(animal.weight.weight_kg)} kg on {say_date(animal.weight.on)}"
    by_mouth = f", {animal.by_mouth} by mouth" if animal.by_mouth else ""
    cap = plan.orders.cap_ml_per_kg
    most = f" Most in one go by the plan: {_whole_ml(cap * animal.weight.weight_kg)} mL." if cap else ""
    return f"{animal.name}, {animal.species.value}, {weight}{by_mouth}.{most}"


def _whole_ml(most: float) -> str:
    """A limit in whole mL [mL]: never rounded up, and not down for a slip of the binary sum."""
    return write_number(floor(most + 1e-9))


def _tube(plan: CarePlan | None, on: date) -> Iterable[str]:
    if plan is None:
        return
    tube = plan.animal.tube
    parts = [f"{write_number(tube.french)} Fr {tube.kind} tube"]
    if tube.placed_on:
        parts.append(f"placed {say_date(tube.placed_on)}, {(on - tube.placed_on).days} days ago")
    if tube.mark_at_skin_cm is not None:
        parts.append(f"mark at the skin {write_number(tube.mark_at_skin_cm)} cm")
    if tube.balloon_ml is not None:
        parts.append(f"balloon {write_number(tube.balloon_ml)} mL")
    yield f"{', '.join(parts)}."


def _clock(session: str, today: date) -> str:
    """A session's time, and its day where that is not today."""
    day = date.fromisoformat(session[:10])
    return session[11:] if day == today else f"{session[11:]} on {say_date(day)}"


def _fed(session: SessionRecord, amount: Amount, today: date) -> str:
    reason = f" ({session.standing.value})" if session.standing in (Standing.STOPPED, Standing.NOT_KNOWN) else ""
    return f"{_amount(amount)} at {_clock(session.session, today)}{reason}"


def _amount(amount: Amount) -> str:
    low, high = write_number(amount.low_ml), write_number(amount.high_ml)
    return f"{low} mL" if amount.is_exact else f"{low} to {high} mL"


def _dose(name: str, dose: Dose, zone: ZoneInfo, today: date) -> str:
    mass = str(Mass(dose.high_mg)) if dose.high_mg is not None else dose.amount or ""
    at = _clock(f"{dose.at.astimezone(zone):%Y-%m-%dT%H:%M}", today)
    times = f", {dose.times} times" if dose.times > 1 else ""
    return " ".join(part for part in (name, mass, dose.outcome.value, f"at {at}{times}") if part)


# The cards

_STOP = (aid.STOP_PUSHING, aid.CLOSE_TUBE)


def _card(trouble: Trouble, plan: CarePlan | None, on: date) -> CallCard:
    urgency, stop, do, do_not, facts = _WRITTEN[trouble]
    lines_do, lines_not = _lines(do), _lines(do_not)
    said = plan.vet.words_for(trouble) if plan else None
    if trouble is Trouble.TUBE_OUT:
        lines_do, lines_not, facts = _tube_out(plan, on)
    elif trouble is Trouble.CLOG:
        urgency = Urgency.HERE if said else urgency
        lines_do = (*lines_do, _line(aid.USE_WATER if said else aid.ASK_WATER))
        facts = tuple(choice.evidence for choice in unclog_choices())
    elif trouble is Trouble.BREATHING:
        facts = (BREATHING_NOW_PER_MINUTE[(plan.animal.species if plan else Species.DOG).value], *facts)
    elif trouble is Trouble.POWER_CUT:
        lines_do = (lines_do[0], _throw_away(), *lines_do[1:])
    elif trouble is Trouble.VOMITING and (plan is None or plan.animal.tube.kind in ("esophagostomy", "nasoesophageal")):
        lines_do, facts = (*lines_do, _line(aid.LOOK_IN_MOUTH)), (aid.DISLODGED_FRACTION,)
    return CallCard(
        trouble=trouble,
        urgency=urgency,
        stop=_lines(stop),
        vet=VetWords(words=said, by=plan.vet.name, on=plan.vet.said_on) if plan and said else None,
        do=lines_do,
        do_not=lines_not,
        facts=facts,
    )


def _tube_out(
    plan: CarePlan | None, on: date
) -> tuple[tuple[CardLine, ...], tuple[CardLine, ...], tuple[Printed, ...]]:
    """By the kind of the tube and the age of its hole; of an unknown one, what holds for the youngest."""
    kind = plan.animal.tube.kind if plan else "gastrostomy"
    placed_on = plan.animal.tube.placed_on if plan else None
    # A day of placing that lies ahead is a slip of the plan: the hole is then as good as new.
    told = tube_out(tube_kind=kind, placed_on=placed_on if placed_on and placed_on <= on else None, on=on)
    figures = told.all_figures()

    def line(words: str) -> CardLine:
        by_age = any(part in words for part in ("emergency vet", "into the hole"))
        return _split(words, figures[0] if figures and by_age else aid.TUBE_OUT_CARE)

    return tuple(map(line, told.value.do)), tuple(map(line, told.value.do_not)), figures


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


_Written = tuple[Urgency, tuple[Fact, ...], tuple[Fact, ...], tuple[Fact, ...], tuple[Printed, ...]]
_WRITTEN: dict[Trouble, _Written] = {
    Trouble.BREATHING: (
        Urgency.GO,
        _STOP,
        (aid.GO_NOW, aid.CALL_AHEAD, aid.LET_IT_SIT),
        (aid.NOT_ON_ITS_BACK, aid.NOTHING_IN),
        (aid.TROUBLE_BREATHING,),
    ),
    Trouble.COLLAPSE: (
        Urgency.GO,
        _STOP,
        (aid.GO_NOW, aid.WATCH_CHEST, aid.COVER_WARM),
        (aid.NOTHING_IN, aid.HANDS_OFF_MOUTH),
        (aid.COMPRESSIONS_PER_MINUTE,),
    ),
    Trouble.BLOAT: (
        Urgency.GO,
        _STOP,
        (aid.GO_NOW, aid.CALL_AHEAD),
        (aid.NOT_PASS, aid.NOTHING_IN, aid.NOT_VENT),
        (BLOAT, aid.BLOAT_CANNOT_WAIT),
    ),
    Trouble.COUGH: (
        Urgency.CALL,
        _STOP,
        (aid.HEAD_LOW, aid.CALL_NOW, aid.SAY_HOW_MUCH, aid.GO_IF),
        (aid.NOT_SLOWER, aid.NO_FLUSH, aid.NOTHING_IN),
        (NUMBERS_RULE_NOTHING_OUT,),
    ),
    Trouble.TUBE_OUT: (Urgency.GO, (), (), (), ()),
    Trouble.TUBE_CHECK: (
        Urgency.CALL,
        _STOP,
        (aid.HOLD_TUBE, aid.CALL_NOW, aid.GO_IF),
        (aid.NOT_BACK_IN, aid.NO_FLUSH, aid.NOTHING_IN),
        (aid.DISLODGED_FRACTION,),
    ),
    Trouble.VOMITING: (
        Urgency.CALL,
        _STOP,
        (aid.LET_FINISH, aid.CALL_NOW, aid.KEEP_A_PHOTO, aid.GO_IF),
        (aid.NOT_AGAIN, aid.NOTHING_IN),
        (NUMBERS_RULE_NOTHING_OUT,),
    ),
    Trouble.TOO_MUCH: (
        Urgency.CALL,
        _STOP,
        (aid.KEEP_UPRIGHT, aid.CALL_NOW, aid.SAY_HOW_MUCH, aid.GO_IF),
        (aid.NOT_DRAW_BACK, aid.NOTHING_IN),
        (),
    ),
    Trouble.TWICE: (
        Urgency.CALL,
        (aid.STOP_GIVING,),
        (aid.CALL_NOW, aid.TAKE_PACKAGES, aid.GO_IF),
        (aid.NOT_VOMIT, aid.NOT_NEXT_DOSE, aid.NOTHING_IN),
        (),
    ),
    Trouble.WRONG: (
        Urgency.CALL,
        (aid.STOP_GIVING,),
        (aid.CALL_NOW, aid.TAKE_PACKAGES, aid.READ_WHAT_IS_IN, aid.BOTH_ANIMALS, aid.GO_IF),
        (aid.NOT_VOMIT, aid.NOT_NEXT_DOSE, aid.NOTHING_IN),
        (XYLITOL_SUGAR_G_PER_KG,),
    ),
    Trouble.HOT: (
        Urgency.CALL,
        _STOP,
        (aid.CALL_NOW, aid.SAY_HOW_HOT, aid.STIR_AND_TEST, aid.GO_IF),
        (aid.NOT_COOL, aid.NOTHING_IN),
        (),
    ),
    Trouble.CLOG: (
        Urgency.CALL,
        (aid.STOP_FORCING,),
        (aid.OPEN_CLAMP,),
        (aid.NOT_SMALL, aid.NO_OTHER_LIQUID, aid.NO_WIRE),
        (),
    ),
    Trouble.POWER_CUT: (
        Urgency.HERE,
        (),
        (aid.KEEP_SHUT, aid.FRESH_CAN, aid.ASK_COLD_MEDICINES, aid.PAPER_SHEET),
        (aid.NOT_TASTE,),
        (aid.KEEPS_COLD_HOURS, aid.TOO_WARM_HOURS),
    ),
    Trouble.UNREACHABLE: (
        Urgency.HERE,
        (),
        (aid.CALL_THE_VET, aid.ONLY_THE_PLAN, aid.LEAVE_OUT),
        (aid.NOT_CHANGE,),
        (),
    ),
}
