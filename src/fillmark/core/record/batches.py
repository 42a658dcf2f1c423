"""Which batch is the meal fed from, and may it be? Not from one that is too thick, and not past its last day.

A batch is what stands on the jar and the day it was made. It is known by its flow tests, and by what people said they
feed from, and by what they said they made: the newest word of any of these names the batch in use.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum

from fillmark.core.orders.shelf_life import last_day_of_use
from fillmark.core.record.care_entries import BatchChosen, BatchMade, FlowTested
from fillmark.core.record.corrections import counting_entries
from fillmark.core.record.entries import KeptEntry, Payload
from fillmark.core.record.flow_check import FlowResult, FlowVerdict, judge_flow
from fillmark.core.record.session_entries import FillGiven
from fillmark.core.record.sessions import Standing
from fillmark.core.values.errors import BatchNotToBeGiven
from fillmark.core.values.explain import Explained
from fillmark.core.values.words import say_day

BATCH_KINDS = ("flow_test", "batch_chosen", "batch_made")
"""The kinds of entries that `read_batches` needs, beside what corrects them."""


class Fault(StrEnum):
    """Why a batch is not to be given."""

    TOO_THICK = "too thick"
    PAST_ITS_DAY = "past its last day"


def batch_name(*, label: str, made_on: date) -> str:
    """A batch as people call it.

    Args:
        label: What the jar says, or nothing.
        made_on: The day it was cooked.
    """
    made = say_day(made_on)
    return f"{label} of {made}" if label else f"the batch of {made}"


@dataclass(frozen=True, kw_only=True, slots=True)
class Batch:
    """One cooking of the blend, as far as the record knows it.

    Attributes:
        label: What is written on the jar; empty where nobody wrote a word on it.
        made_on: The household's day it was made, or thawed.
        last_on: The last day on which it may be given; none where no label says how long it keeps.
        result: What its newest flow test says; none without a test.
        made: How it was really made; none where nobody wrote that down.
        word: Why a lead gives it all the same, and on which day that was written; a newer test ends it.
    """

    label: str
    made_on: date
    last_on: date | None
    result: Explained[FlowResult] | None = None
    made: BatchMade | None = None
    word: tuple[str, date] | None = None

    @property
    def name(self) -> str:
        """As people call it."""
        return batch_name(label=self.label, made_on=self.made_on)

    def faults(self, *, today: date) -> tuple[Fault, ...]:
        """Why it is not to be given today; empty where nothing speaks against it.

        A lead's word covers what was known on the day it was written.
        """
        found = []
        if self.result is not None and self.result.value.verdict is FlowVerdict.TOO_THICK and self.word is None:
            found.append(Fault.TOO_THICK)
        is_past = self.last_on is not None and today > self.last_on
        if is_past and not (self.word is not None and self.last_on is not None and self.word[1] > self.last_on):
            found.append(Fault.PAST_ITS_DAY)
        return tuple(found)


@dataclass(frozen=True, kw_only=True, slots=True)
class Batches:
    """Every batch that the entries speak of, the one spoken of last at the end: that one is in use."""

    all: tuple[Batch, ...]
    today: date

    @property
    def in_use(self) -> Batch | None:
        """The batch that meals are fed from; none where nobody named one."""
        return self.all[-1] if self.all else None

    @property
    def faults(self) -> tuple[Fault, ...]:
        """Why the batch in use is not to be given."""
        return self.in_use.faults(today=self.today) if self.in_use else ()

    @property
    def to_choose(self) -> tuple[Batch, ...]:
        """The other batches against which nothing speaks, the newest first."""
        return tuple(one for one in reversed(self.all[:-1]) if not one.faults(today=self.today))

    @property
    def to_leave(self) -> tuple[tuple[Batch, tuple[Fault, ...]], ...]:
        """What to warn of: the batch in use with its faults, and others that are too thick and not past their day."""
        warned = []
        for one in self.all:
            faults = one.faults(today=self.today)
            if faults and (one == self.in_use or Fault.PAST_ITS_DAY not in faults):
                warned.append((one, faults))
        return tuple(warned)


def read_batches(
    entries: Iterable[KeptEntry], *, limit_level: int | None, keeps_days: int | None, today: date
) -> Batches:
    """The batches, from their flow tests and from what people said they feed from.

    Args:
        entries: Those of BATCH_KINDS of one animal, in any order, with everything that corrects them.
        limit_level: The thickest level the vet allows, or None when not stated.
        keeps_days: How long a batch keeps [days], the day it was made being the first; None when not stated.
        today: The household's day.
    Source:
        as `judge_flow` and `last_day_of_use`
    """
    found: dict[tuple[str, date], Batch] = {}
    for one in counting_entries(entries):
        payload = one.entry.payload
        if not isinstance(payload, FlowTested | BatchChosen | BatchMade):
            continue
        made_on = payload.made_on or one.day
        key = (payload.batch or "", made_on)
        last_on = None if keeps_days is None else last_day_of_use(first_on=made_on, days=keeps_days)
        batch = found.pop(key, None) or Batch(label=key[0], made_on=made_on, last_on=last_on)
        if isinstance(payload, FlowTested):
            result = judge_flow(left_ml=payload.left_ml, has_flowed=payload.has_flowed, limit_level=limit_level)
            batch = replace(batch, result=result, word=None)
        elif isinstance(payload, BatchMade):
            batch = replace(batch, made=payload)
        elif payload.reason is not None:
            batch = replace(batch, word=(payload.reason, one.day))
        found[key] = batch
    return Batches(all=tuple(found.values()), today=today)


def check_batch(payload: Payload, *, batches: Batches, standing: Standing) -> None:
    """Refuse a fill of the walk, or a choice without a lead's reason, from a batch that is not to be given.

    What went in before, or is written down afterwards, is a fact and is kept.

    Args:
        payload: What the press would write.
        batches: As the record has them now.
        standing: How far the session of the press has come.
    Raises:
        BatchNotToBeGiven: it is too thick, or past its last day.
    """
    if isinstance(payload, FillGiven) and standing is Standing.IN_HAND and batches.in_use is not None:
        _refuse(batches.in_use, batches.faults)
    if isinstance(payload, BatchChosen) and payload.reason is None:
        for one in batches.all:
            if (one.label, one.made_on) == (payload.batch or "", payload.made_on):
                _refuse(one, one.faults(today=batches.today))


def _refuse(batch: Batch, faults: Sequence[Fault]) -> None:
    if not faults:
        return
    raise BatchNotToBeGiven(
        field="batch",
        got=f"Feeding from {batch.name}, which is {' and '.join(faults)}",
        allowed="a batch that passed its flow test and is not past its last day",
        remedy="Choose another batch, thin this one and test it again, or ask a lead.",
    )
