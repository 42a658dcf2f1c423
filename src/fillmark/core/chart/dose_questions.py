"""Doses that look like too much: one question each."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from uuid import UUID
from zoneinfo import ZoneInfo

from fillmark.core.chart.givings import OrdersInForce, RecordedGiving, read_givings
from fillmark.core.doses.giving import day_maximum, gap_between
from fillmark.core.orders.medicine import Medicine, order_on
from fillmark.core.record.entries import KeptEntry
from fillmark.core.record.sessions import are_told, find_told
from fillmark.core.record.two_walks import PossibleDouble
from fillmark.core.timetable.clock import write_duration
from fillmark.core.values.words import say_day, say_time


class QuestionKind(StrEnum):
    """Why a person is asked about doses that were recorded."""

    TOO_CLOSE = "too close"
    OVER_MAXIMUM = "over the day's maximum"


@dataclass(frozen=True, kw_only=True, slots=True)
class DoseQuestion:
    """Doses that the order does not allow so close together, and that nobody has explained: did all of them happen?

    "No" is answered by withdrawing what did not happen; "yes" by a `both_given` that names them, with why.
    """

    kind: QuestionKind
    medicine: Medicine
    givings: tuple[RecordedGiving, ...]
    text: str

    @property
    def clash(self) -> PossibleDouble:
        """The same as the ledger's question."""
        return PossibleDouble(what=f"the medicine {self.medicine.id}", entry_ids=tuple(one.id for one in self.givings))


def find_questions(
    entries: Iterable[KeptEntry], *, orders: OrdersInForce, time_zone: str, medicine_id: str | None = None
) -> tuple[DoseQuestion, ...]:
    """Every open question about doses that stand too close, or are too many.

    Args:
        entries: Those that count, of one animal, in any order.
        orders: The order that held at each of them.
        time_zone: The household's.
        medicine_id: Only about this one.
    Source:
        the vet's order; medicine.window_*, medicine.rolling_day
    """
    counting = tuple(entries)
    told = find_told(counting)
    questions = []
    for medicine, taken in _taken_by_medicine(read_givings(counting, time_zone=time_zone)):
        if medicine_id not in (None, medicine):
            continue
        for place in range(1, len(taken)):
            order = orders.find(medicine_id=medicine, at=taken[place].at)
            pair = taken[place - 1 : place + 1]
            if order and _too_close(*pair, order=order) and not are_told((one.id for one in pair), told=told):
                questions.append(
                    DoseQuestion(
                        kind=QuestionKind.TOO_CLOSE,
                        medicine=order,
                        givings=tuple(pair),
                        text=_ask_pair(order, pair, ZoneInfo(time_zone)),
                    )
                )
        questions += _over_maximum(medicine, taken, orders=orders, told=told)
    return tuple(questions)


def _taken_by_medicine(givings: Iterable[RecordedGiving]) -> Iterable[tuple[str, list[RecordedGiving]]]:
    found: dict[str, list[RecordedGiving]] = defaultdict(list)
    for one in givings:
        if one.may_have_gone_in:
            found[one.medicine_id].append(one)
    return sorted(found.items())


def _too_close(earlier: RecordedGiving, later: RecordedGiving, *, order: Medicine) -> bool:
    return later.at - earlier.at < _gap(earlier, later, order=order)


def _gap(earlier: RecordedGiving, later: RecordedGiving, *, order: Medicine) -> timedelta:
    return gap_between(order, earlier_on=earlier.kept.day, later_on=later.kept.day)


def _over_maximum(
    medicine_id: str, taken: Sequence[RecordedGiving], *, orders: OrdersInForce, told: Sequence[frozenset[UUID]]
) -> list[DoseQuestion]:
    """One question for each stretch of doses that are too many together."""
    questions: list[DoseQuestion] = []
    for place, one in enumerate(taken):
        order = orders.find(medicine_id=medicine_id, at=one.at)
        limit = day_maximum(order_on(order, on=one.kept.day)) if order else None
        if order is None or limit is None:
            continue
        most, day = limit
        together = tuple(other for other in taken[: place + 1] if other.at > one.at - day)
        if len(together) <= most or are_told((other.id for other in together), told=told):
            continue
        if questions and questions[-1].givings[-1] in together:
            joined = dict.fromkeys((*(other.id for other in questions[-1].givings), *(other.id for other in together)))
            together = tuple(other for other in taken if other.id in joined)
            questions.pop()
        questions.append(
            DoseQuestion(
                kind=QuestionKind.OVER_MAXIMUM,
                medicine=order,
                givings=together,
                text=f"{order.name}: {len(together)} doses within a day or little more, when {most} in 24 hours is the "
                "most. Did all of them happen?",
            )
        )
    return questions


def _ask_pair(order: Medicine, pair: Sequence[RecordedGiving], zone: ZoneInfo) -> str:
    earlier, later = pair
    return (
        f"{order.name}: {_who_when(earlier, zone, beside=later.at)} and {_who_when(later, zone)} on "
        f"{say_day(later.at.astimezone(zone))}, {write_hours(later.at - earlier.at)} apart, "
        f"when at least {write_hours(_gap(earlier, later, order=order))} lie between two doses. Did both happen?"
    )


def _who_when(one: RecordedGiving, zone: ZoneInfo, *, beside: datetime | None = None) -> str:
    return f"{one.kept.by_name} at {say_time(one.at, zone, beside=beside)}"


def write_hours(gap: timedelta) -> str:
    """A gap as people say it: "6 hours", "1 hour 20 minutes"."""
    return write_duration(round(gap.total_seconds() / 60))
