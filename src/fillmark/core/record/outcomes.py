"""What became of a dose or a session, read in one way for every screen, paper and sentence: filled means given."""

from enum import StrEnum

from fillmark.core.record.medicine_entries import Outcome
from fillmark.core.record.sessions import SessionRecord


class Became(StrEnum):
    """What became of something that was planned."""

    GIVEN = "given"
    CAME_BACK = "came back up"
    SKIPPED = "skipped"
    HELD = "held"
    NOT_KNOWN = "not known"


_READ = {
    Outcome.GIVEN: Became.GIVEN,
    Outcome.PARTIAL: Became.GIVEN,
    Outcome.CAME_BACK: Became.CAME_BACK,
    Outcome.SPILLED: Became.CAME_BACK,
    Outcome.HELD: Became.HELD,
    Outcome.REFUSED: Became.SKIPPED,
    Outcome.MISSED: Became.SKIPPED,
    Outcome.NOT_KNOWN: Became.NOT_KNOWN,
}
_WORDS = {Outcome.PARTIAL: "part of it given", Outcome.MISSED: "not given"}
_FULLEST_FIRST = tuple(Became)
_UNCLEAR_FIRST = (Became.NOT_KNOWN, Became.HELD, Became.SKIPPED)


def read_outcome(outcome: Outcome) -> Became:
    """What became of one dose, by what was written of it."""
    return _READ[outcome]


def say_outcome_of(outcome: Outcome) -> str:
    """The same in words, with how little it was: "part of it given", "not given"."""
    return _WORDS.get(outcome, outcome.value)


def read_outcomes(outcomes: list[Outcome]) -> Became:
    """What became of one dose of which several things were written: the most that went in.

    Args:
        outcomes: One at least.
    """
    return min((_READ[one] for one in outcomes), key=_FULLEST_FIRST.index)


def read_ended(record: SessionRecord) -> Became:
    """What became of a session that is over: given only where something went in.

    Args:
        record: The session as the record has it.
    """
    went_in = [read_outcome(dose.outcome) for dose in record.doses]
    if record.blend is not None and record.blend.high_ml > 0:
        return Became.CAME_BACK if record.back is not None else Became.GIVEN
    if Became.GIVEN in went_in:
        return Became.GIVEN
    if Became.CAME_BACK in went_in:
        return Became.CAME_BACK
    nothing = {*went_in, *({Became.SKIPPED} if record.steps_skipped else set())}
    if not nothing:
        return Became.GIVEN if record.flush is not None or record.steps_done else Became.NOT_KNOWN
    return min(nothing, key=_UNCLEAR_FIRST.index)


def count_doses(record: SessionRecord) -> dict[Became, int]:
    """How many doses of a session became what; those of which something went in first."""
    found = [read_outcome(dose.outcome) for dose in record.doses]
    return {became: found.count(became) for became in Became if became in found}
