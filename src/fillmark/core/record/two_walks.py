"""Entries that look like one thing recorded twice; two walks of one meal are one question, not one for each step."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from uuid import UUID

from fillmark.core.record.entries import KeptEntry
from fillmark.core.record.session_entries import FillGiven, FlushGiven, MealEnded

THE_WALK = "the walk"
"""What is asked about, where two people walked through the same meal."""


@dataclass(frozen=True, kw_only=True, slots=True)
class PossibleDouble:
    """Entries that look like one thing recorded twice. The question to a person is: once or twice?

    "Once" is answered by withdrawing all but one; "twice" by a `both_given` entry that names them, or by
    a dose that was given despite the others, with a reason.
    """

    what: str
    entry_ids: tuple[UUID, ...]


def one_question_per_walk(clashes: Sequence[PossibleDouble], facts: Iterable[KeptEntry]) -> tuple[PossibleDouble, ...]:
    """The questions of a session, those of two or more walks by the same people as one; doses stay apart.

    Args:
        clashes: Every question, step by step.
        facts: The session's entries that count.
    """
    known = {one.entry.id: one for one in facts}
    of_walk: dict[frozenset[UUID], list[PossibleDouble]] = defaultdict(list)
    for clash in clashes:
        walkers = _walkers(clash, known)
        if walkers:
            of_walk[walkers].append(clash)
    found: list[PossibleDouble] = []
    for clash in clashes:
        together = of_walk.get(_walkers(clash, known), [])
        if len(together) < 2:
            found.append(clash)
        elif clash is together[0]:
            ids = tuple(entry_id for one in together for entry_id in one.entry_ids)
            found.append(PossibleDouble(what=THE_WALK, entry_ids=ids))
    return tuple(found)


def _walkers(clash: PossibleDouble, known: Mapping[UUID, KeptEntry]) -> frozenset[UUID]:
    """Who wrote each of these steps, where each of them wrote it once; nobody for another question."""
    same = [known[entry_id] for entry_id in clash.entry_ids]
    is_step = all(isinstance(one.entry.payload, FillGiven | FlushGiven) for one in same)
    walkers = frozenset(one.by for one in same)
    return walkers if is_step and len(walkers) == len(same) else frozenset()


def steps_of(entries: Iterable[KeptEntry]) -> tuple[tuple[KeptEntry, ...], ...]:
    """The entries of two walks, step by step.

    Args:
        entries: Fills and flushes.
    """
    steps: dict[object, list[KeptEntry]] = defaultdict(list)
    for one in entries:
        payload = one.entry.payload
        steps[payload.fill if isinstance(payload, FillGiven) else getattr(payload, "step", None)].append(one)
    return tuple(tuple(same) for same in steps.values())


def withdrawn_for_walk(*, asked: Sequence[KeptEntry], keep: UUID, entries: Iterable[KeptEntry]) -> tuple[UUID, ...]:
    """What to withdraw so that only one of two walks happened: the steps of the others, and their closing totals.

    Args:
        asked: The steps that are asked about.
        keep: One step of the walk that happened.
        entries: The entries of that day that count.
    """
    kept = next(one for one in asked if one.entry.id == keep)
    others = {one.by for one in asked} - {kept.by}
    closings = (
        one.entry.id
        for one in entries
        if one.by in others
        and one.entry.session == kept.entry.session
        and isinstance(one.entry.payload, MealEnded)
        and one.entry.payload.fills
    )
    return (*(one.entry.id for one in asked if one.by in others), *closings)
