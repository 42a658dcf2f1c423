"""The doses in the record, beside the orders that held."""

from bisect import bisect_right
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

from fillmark.core.doses.bottles import drawn_dose
from fillmark.core.doses.giving import NOT_TAKEN, Giving, shortest_gap
from fillmark.core.doses.second_check import Checked, find_check
from fillmark.core.orders.dosing_days import rhythms
from fillmark.core.orders.medicine import Medicine, interval_hours
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record.entries import KeptEntry
from fillmark.core.record.medicine_entries import MedicineGiven
from fillmark.published.medicine import GAP_LIMITS_HOURS, ROLLING_DAY_HOURS


@dataclass(frozen=True, kw_only=True, slots=True)
class RecordedGiving:
    """One record of a dose that counts, with what the questions about it need.

    Attributes:
        giving: The same for the rules of giving.
        planned_at: The planned time of its session.
    """

    kept: KeptEntry
    payload: MedicineGiven
    giving: Giving

    @property
    def id(self) -> UUID:
        """The entry's id."""
        return self.kept.entry.id

    @property
    def medicine_id(self) -> str:
        """The order's id in the plan."""
        return self.payload.medicine

    @property
    def at(self) -> datetime:
        """When it went in [UTC]."""
        return self.kept.entry.at.astimezone(UTC)

    @property
    def may_have_gone_in(self) -> bool:
        """Whether anything of it may have gone in."""
        return self.payload.outcome not in NOT_TAKEN


class OrdersInForce:
    """Which order of a medicine held when, by the versions of the plan.

    Args:
        versions: From when on each version holds, oldest first.
    """

    def __init__(self, versions: Iterable[tuple[datetime, CarePlan]]) -> None:
        self._versions = [(from_at.astimezone(UTC), plan) for from_at, plan in versions]
        self._starts = [from_at for from_at, _ in self._versions]

    def plan_at(self, at: datetime) -> CarePlan | None:
        """The plan in force at an instant; before the first, the first."""
        return self._versions[self._place(at)][1] if self._versions else None

    def find(self, *, medicine_id: str, at: datetime) -> Medicine | None:
        """The order in force at an instant; where none was, the last one before it, or else the first after it.

        Args:
            medicine_id: The order's id in the plan.
            at: The instant.
        """
        place = self._place(at)
        nearest = (*reversed(self._versions[: place + 1]), *self._versions[place + 1 :])
        orders = (order for _, plan in nearest for order in plan.medicines)
        return next((order for order in orders if order.id == medicine_id), None)

    def _place(self, at: datetime) -> int:
        return max(0, bisect_right(self._starts, at.astimezone(UTC)) - 1)


def reach(medicines: Iterable[Medicine]) -> timedelta:
    """How far back a giving can still speak against the next one."""
    spans = [timedelta(hours=2 * ROLLING_DAY_HOURS.value)]
    for order in (one for medicine in medicines for one in rhythms(medicine)):
        spans.append(shortest_gap(order))
        spans += [timedelta(hours=apart.hours) for apart in order.apart_from]
        spans.append(timedelta(hours=2 * (interval_hours(order) or 0)))
    return min(max(spans), timedelta(hours=GAP_LIMITS_HOURS.high))


def read_givings(entries: Iterable[KeptEntry], *, time_zone: str) -> tuple[RecordedGiving, ...]:
    """The doses among entries that count, in the order they happened, whatever became of them.

    Args:
        entries: Entries that count.
        time_zone: The household's time zone, an IANA name.
    """
    zone = ZoneInfo(time_zone)
    found = []
    for one in entries:
        payload = one.entry.payload
        if isinstance(payload, MedicineGiven):
            giving = Giving(
                medicine_id=payload.medicine,
                at=one.entry.at,
                by=payload.given_by or one.by_name,
                outcome=payload.outcome,
                planned_at=_planned_at(payload.session, zone),
            )
            found.append(RecordedGiving(kept=one, payload=payload, giving=giving))
    return tuple(sorted(found, key=lambda one: (one.at, one.id)))


def _planned_at(session: str | None, zone: ZoneInfo) -> datetime | None:
    return datetime.fromisoformat(session).replace(tzinfo=zone).astimezone(UTC) if session else None


def find_second_check(
    giving: RecordedGiving, *, medicine: Medicine, entries: Iterable[KeptEntry], plan: CarePlan | None
) -> Checked | None:
    """What a second person read for a recorded dose, if anyone did.

    Args:
        giving: The dose.
        medicine: The order in force when it was given.
        entries: Those that count.
        plan: The plan in force then, for the mark.
    Source:
        record.second_check_minutes
    """
    drawn = drawn_dose(medicine, plan, on=giving.kept.day) if plan is not None else None
    if drawn is None:
        return None
    return find_check(
        entries,
        medicine_id=medicine.id,
        session=giving.payload.session,
        at=giving.at,
        by=giving.kept.by,
        drawn=drawn,
    )
