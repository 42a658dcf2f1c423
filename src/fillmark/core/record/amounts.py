"""Amounts of the record: known, or a range."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import fsum

from fillmark.core.record.entries import KeptEntry
from fillmark.core.record.session_entries import FillGiven, FlushGiven


@dataclass(frozen=True, slots=True)
class Amount:
    """A volume that is known only to lie between two values, ends included [mL]. Known exactly, both are the same."""

    low_ml: float
    high_ml: float

    @property
    def is_exact(self) -> bool:
        """Whether the range is a single number."""
        return self.low_ml == self.high_ml


NOTHING = Amount(0.0, 0.0)


def add_up(amounts: Iterable[Amount]) -> Amount:
    """The sum of amounts, low ends and high ends each for themselves; the same in whatever order they come."""
    known = tuple(amounts)
    return Amount(fsum(amount.low_ml for amount in known), fsum(amount.high_ml for amount in known))


def came_back(ml: float | str) -> Amount:
    """What came back; "not known" is anything from nothing to all of it, and is capped by what went in."""
    return Amount(0.0, float("inf")) if isinstance(ml, str) else exactly(ml)


def cap_back(back: Amount | None, blend: Amount | None) -> Amount | None:
    """What came back, at most the blend that went in where nobody measured it.

    Args:
        back: What came back; none when nothing did.
        blend: What went in.
    """
    if back is None or back.high_ml != float("inf"):
        return back
    return replace(back, high_ml=max(back.low_ml, blend.high_ml if blend else 0.0))


def kept_blend(blend: Amount | None, back: Amount | None) -> Amount | None:
    """What stayed in, from the least to the most it can be, 0 or more.

    Args:
        blend: What went in; none when that is not known.
        back: What came back; none when nothing did.
    """
    if blend is None:
        return None
    lost = back or NOTHING
    return Amount(max(0.0, blend.low_ml - lost.high_ml), max(0.0, blend.high_ml - lost.low_ml))


def exactly(ml: float) -> Amount:
    """An amount that somebody measured [mL]."""
    return Amount(ml, ml)


def ml_of(one: KeptEntry) -> float:
    """What a fill or a flush put in [mL]."""
    payload = one.entry.payload
    assert isinstance(payload, FillGiven | FlushGiven)  # noqa: S101
    return payload.ml


def sum_known(amounts: Iterable[Amount | None]) -> Amount | None:
    """The sum of those that are known; none when none is."""
    known = [amount for amount in amounts if amount is not None]
    return add_up(known) if known else None
