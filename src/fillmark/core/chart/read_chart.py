"""The medicine chart, read from the plans and the record."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from contextlib import suppress
from datetime import UTC, date, datetime, time, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

from fillmark.core.chart.chart import (
    Cell,
    CellState,
    Chart,
    ChartEntry,
    ChartRow,
    Correction,
    Course,
    CourseStep,
    LeftOut,
    PlanInForce,
    SeenEffect,
    Timing,
)
from fillmark.core.chart.givings import RecordedGiving, find_second_check
from fillmark.core.day.values import PlannedDose, PlannedSession
from fillmark.core.doses.giving import NOT_TAKEN, Giving, on_time_window
from fillmark.core.orders.course import say_rhythm
from fillmark.core.orders.dose_text import bare_amount, read_dose
from fillmark.core.orders.dosing_days import first_day
from fillmark.core.orders.drawing import draw
from fillmark.core.orders.medicine import Medicine, order_on
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record.corrections import ShownEntry, show_entries
from fillmark.core.record.day_entries import DayReplanned, Withdrawn
from fillmark.core.record.entries import KeptEntry, session_day
from fillmark.core.record.medicine_entries import EffectSeen, MedicineGiven
from fillmark.core.record.session_entries import SessionSkipped, StepSkipped
from fillmark.core.record.sessions import read_sessions
from fillmark.core.record.two_walks import PossibleDouble
from fillmark.core.values.errors import FillmarkError


def read_chart(
    *,
    first: date,
    last: date,
    plans: Sequence[PlanInForce],
    sessions: Iterable[PlannedSession],
    entries: Iterable[KeptEntry],
    now: datetime,
    time_zone: str,
    day_starts: time,
    clashes: Iterable[PossibleDouble] = (),
) -> Chart:
    """The chart of some days.

    Args:
        first: The household's first day of the chart.
        last: Its last one.
        plans: The versions in force on them, oldest first.
        sessions: What was planned, each session by the version in force at its time.
        entries: In any order, with everything that corrects them; those of other days are left aside, but what someone
            saw a dose do counts whenever they saw it.
        now: A dose whose time has passed without a record is "no entry".
        time_zone: The household's.
        day_starts: When its day begins.
        clashes: Open questions beside those within one session.
    Source:
        medicine.window_* for what is early and late
    """
    kept = tuple(entries)
    shown = show_entries(kept)
    records = _Records(shown=shown, open_ids=_open_ids(kept, clashes, now=now))
    zone = ZoneInfo(time_zone)
    days = tuple(first + timedelta(days=number) for number in range((last - first).days + 1))
    first_at, last_at = (
        datetime.combine(day, day_starts, tzinfo=zone).astimezone(UTC) for day in (first, last + timedelta(days=1))
    )
    drafts = _drafts(plans)
    for session in sorted(sessions, key=lambda session: session.at.astimezone(UTC)):
        on = session_day(session.key, day_starts=day_starts)
        plan = next((plan for plan in plans if plan.holds(session.at)), None)
        if on not in days or plan is None:
            continue
        for dose in session.medicines:
            draft = next(draft for draft in drafts if draft.stood_in(plan.number, dose.medicine.id))
            draft.cells.append(_cell(on=on, plan=plan, session=session, dose=dose, records=records, now=now))
    for one, payload in records.unplaced(days):
        draft = _row_of(payload.medicine, at=one.kept.entry.at, drafts=drafts)
        draft.others.append(records.entry(one, payload, order=draft.order, plan=draft.plan_at(one.kept.entry.at)))
    return Chart(
        days=days,
        plans=tuple(plans),
        rows=tuple(draft.finish(first_at=first_at, last_at=last_at) for draft in drafts),
    )


def _open_ids(kept: Sequence[KeptEntry], clashes: Iterable[PossibleDouble], *, now: datetime) -> frozenset[UUID]:
    within = (clash for record in read_sessions(entries=kept, now=now).values() for clash in record.clashes)
    return frozenset(entry_id for clash in (*within, *clashes) for entry_id in clash.entry_ids)


class _Records:
    """The records of medicines by the dose they answer, and what else was said about it."""

    def __init__(self, *, shown: Sequence[ShownEntry], open_ids: frozenset[UUID]) -> None:
        self._by_id = {one.kept.entry.id: one for one in shown}
        self._open_ids = open_ids
        self._by_dose: dict[tuple[str | None, str], list[tuple[ShownEntry, MedicineGiven]]] = defaultdict(list)
        self._effects: dict[UUID, list[SeenEffect]] = defaultdict(list)
        self._skipped: dict[tuple[str, str | None], LeftOut] = {}
        self._moved: dict[str, datetime] = {}
        self._let_go: dict[str, dict[str, LeftOut]] = {}
        for one in shown:
            payload = one.kept.entry.payload
            if isinstance(payload, MedicineGiven):
                self._by_dose[payload.session, payload.medicine].append((one, payload))
            elif one.counts:
                self._remember(one.kept)
        self._counting = [one.kept for one in shown if one.counts]
        self._placed: set[UUID] = set()

    def _remember(self, kept: KeptEntry) -> None:
        """What counts beside the doses themselves."""
        payload, by_name, at = kept.entry.payload, kept.by_name, kept.entry.at
        match payload:
            case EffectSeen():
                seen = SeenEffect(effect=payload.effect, words=payload.words, by_name=by_name, at=at)
                self._effects[self._newest(payload.of)].append(seen)
            case DayReplanned():
                for word in payload.sessions:
                    let_go = LeftOut(reason=f"Let go. {payload.reason}", by_name=by_name, at=at)
                    self._moved[word.session] = word.at
                    self._let_go[word.session] = dict.fromkeys(word.without, let_go)
            case SessionSkipped():
                self._skipped[payload.session, None] = LeftOut(reason=payload.reason, by_name=by_name, at=at)
            case StepSkipped():
                self._skipped[payload.session, payload.step] = LeftOut(reason=payload.reason, by_name=by_name, at=at)

    def _newest(self, entry_id: UUID) -> UUID:
        """The record that stands in the place of one, which may be itself."""
        one = self._by_id.get(entry_id)
        return (one.replaced_by or entry_id) if one else entry_id

    def take(self, dose: PlannedDose, *, on: date, session: PlannedSession, plan: CarePlan) -> tuple[ChartEntry, ...]:
        """The records that answer a planned dose; they are answered for with this."""
        order, planned_at = order_on(dose.medicine, on=on), dose.due_at or session.at
        found = self._by_dose.get((session.key, order.id), [])
        self._placed.update(one.kept.entry.id for one, _ in found)
        return tuple(self.entry(one, payload, order=order, plan=plan, planned_at=planned_at) for one, payload in found)

    def comes_at(self, session: PlannedSession) -> datetime:
        """When a session is to come: as planned, or as the household moved it on the day itself."""
        return self._moved.get(session.key, session.at)

    def left_out(self, *, session: PlannedSession, medicine: Medicine) -> LeftOut | None:
        """Why the dose was left out with its step, by the new times of its day, or with the whole session."""
        let_go = self._let_go.get(session.key, {}).get(medicine.id)
        if let_go is not None:
            return let_go
        step = next((step.id for step in session.steps if step.medicine_id == medicine.id), None)
        return (self._skipped.get((session.key, step)) if step else None) or self._skipped.get((session.key, None))

    def unplaced(self, days: Sequence[date]) -> Iterator[tuple[ShownEntry, MedicineGiven]]:
        """Every record of these days that answers no planned dose, in the order it happened."""
        for one in self._by_id.values():
            payload = one.kept.entry.payload
            if isinstance(payload, MedicineGiven) and one.kept.day in days and one.kept.entry.id not in self._placed:
                yield one, payload

    def entry(
        self,
        one: ShownEntry,
        payload: MedicineGiven,
        *,
        order: Medicine | None,
        plan: CarePlan | None,
        planned_at: datetime | None = None,
    ) -> ChartEntry:
        """One record as the chart has it; `plan` is the one in force then, `planned_at` the time it answers."""
        kept, timing, checked = one.kept, None, None
        if order is not None and payload.outcome not in NOT_TAKEN:
            if planned_at is not None:
                timing = _timing(order, planned_at=planned_at, at=kept.entry.at)
            if order.second_check:
                giving = RecordedGiving(
                    kept=kept,
                    payload=payload,
                    giving=Giving(medicine_id=order.id, at=kept.entry.at, by=kept.by_name, outcome=payload.outcome),
                )
                checked = find_second_check(giving, medicine=order, entries=self._counting, plan=plan)
        return ChartEntry(
            entry_id=kept.entry.id,
            day=kept.day,
            at=kept.entry.at,
            recorded_at=kept.recorded_at,
            by_name=kept.by_name,
            outcome=payload.outcome,
            dose_mg=payload.dose_mg,
            ml=payload.ml,
            amount=payload.amount,
            given_mg=payload.given_mg,
            reason=payload.reason,
            timing=timing,
            checked=checked,
            is_open=kept.entry.id in self._open_ids,
            correction=self._correction(one),
            effects=tuple(sorted(self._effects.get(kept.entry.id, ()), key=lambda seen: seen.at)),
        )

    def _correction(self, one: ShownEntry) -> Correction | None:
        if one.replaced_by is None:
            return None
        winner = self._by_id[one.replaced_by].kept
        reason = winner.entry.payload.reason if isinstance(winner.entry.payload, Withdrawn) else None
        return Correction(by_name=winner.by_name, at=winner.entry.at, is_withdrawn=reason is not None, reason=reason)


def _timing(medicine: Medicine, *, planned_at: datetime, at: datetime) -> Timing:
    off, window = at.astimezone(UTC) - planned_at.astimezone(UTC), on_time_window(medicine)
    return Timing.EARLY if off < -window else Timing.LATE if off > window else Timing.ON_TIME


def _cell(
    *, on: date, plan: PlanInForce, session: PlannedSession, dose: PlannedDose, records: _Records, now: datetime
) -> Cell:
    medicine = dose.medicine
    entries = records.take(dose, on=on, session=session, plan=plan.plan)
    left_out = records.left_out(session=session, medicine=medicine)
    counting = [entry for entry in entries if entry.counts]
    comes_at = records.comes_at(session).astimezone(UTC)
    if any(entry.is_open for entry in counting):
        state = CellState.ONCE_OR_TWICE
    elif counting:
        state = CellState.RECORDED
    elif left_out is not None:
        state = CellState.LEFT_OUT
    elif medicine.held is not None:
        state = CellState.HELD
    elif now < comes_at:
        state = CellState.STILL_TO_COME
    else:
        state = CellState.DUE if now <= comes_at + on_time_window(order_on(medicine, on=on)) else CellState.NO_ENTRY
    return Cell(
        day=on,
        session=session.key,
        version=plan.number,
        planned_at=session.at,
        clock=session.clock,
        dose=dose,
        state=state,
        entries=entries,
        left_out=left_out,
    )


class _Draft:
    """A row in the making."""

    def __init__(self, *, medicine_id: str, order: Medicine | None, plan: PlanInForce | None) -> None:
        self.medicine_id, self.order = medicine_id, order
        self.plans = [plan] if plan else []
        self.cells: list[Cell] = []
        self.others: list[ChartEntry] = []

    def stood_in(self, version: int, medicine_id: str) -> bool:
        return self.medicine_id == medicine_id and any(plan.number == version for plan in self.plans)

    def plan_at(self, at: datetime) -> CarePlan | None:
        return next((plan.plan for plan in self.plans if plan.holds(at)), None)

    def _needed_dose(self, *, on: date) -> PlannedDose | None:
        """One dose of an order that is given when needed; none where it cannot be drawn."""
        if self.order is None or self.order.when_needed is None:
            return None
        plan = self.plans[-1].plan
        with suppress(FillmarkError):
            working = draw(self.order, weight_kg=plan.animal.weight.weight_kg, syringes=plan.medicine_syringes, on=on)
            return PlannedDose(medicine=self.order, working=working)
        return None

    def finish(self, *, first_at: datetime, last_at: datetime) -> ChartRow:
        from_at = self.plans[0].from_at if self.plans else None
        until_at = self.plans[-1].until_at if self.plans else None
        return ChartRow(
            medicine_id=self.medicine_id,
            name=self.order.name if self.order else self.medicine_id,
            order=self.order,
            versions=tuple(plan.number for plan in self.plans),
            from_at=from_at if from_at and from_at > first_at else None,
            until_at=until_at if until_at and until_at < last_at else None,
            cells=tuple(self.cells),
            needed_dose=self._needed_dose(on=first_at.date()),
            others=tuple(self.others),
            course=course_of(self.order) if self.order else None,
        )


def _drafts(plans: Sequence[PlanInForce]) -> list[_Draft]:
    """A row for each order: unchanged from version to version it stays one, changed it stands below its old self."""
    drafts: list[_Draft] = []
    before: PlanInForce | None = None
    for plan in plans:
        for medicine in plan.plan.medicines:
            same_id = [place for place, draft in enumerate(drafts) if draft.medicine_id == medicine.id]
            last = drafts[same_id[-1]] if same_id else None
            if last is not None and last.order == medicine and before in last.plans:
                last.plans.append(plan)
                continue
            draft = _Draft(medicine_id=medicine.id, order=medicine, plan=plan)
            drafts.insert(same_id[-1] + 1 if same_id else len(drafts), draft)
        before = plan
    return drafts


def _row_of(medicine_id: str, *, at: datetime, drafts: list[_Draft]) -> _Draft:
    """The row of a record that answers no planned dose: the order in force then, else the newest of this medicine."""
    same = [draft for draft in drafts if draft.medicine_id == medicine_id]
    in_force = [draft for draft in same if draft.plan_at(at)]
    if not same:
        drafts.append(_Draft(medicine_id=medicine_id, order=None, plan=None))
    return (in_force or same or drafts)[-1]


def course_of(order: Medicine) -> Course | None:
    """The course or taper of an order; None where it has neither first nor last day nor steps."""
    first_on = first_day(order)
    if first_on is None and order.stop_on is None and not order.steps:
        return None
    starts = [(first_on, order.dose, ""), *((step.from_on, step.dose, say_rhythm(step)) for step in order.steps)]
    ends = [*(step.from_on - timedelta(days=1) for step in order.steps), order.stop_on]
    days = (order.stop_on - first_on).days + 1 if first_on and order.stop_on else None
    return Course(
        first_on=first_on,
        last_on=order.stop_on,
        days=days,
        steps=tuple(
            CourseStep(
                from_on=from_on,
                until_on=until_on,
                dose=f"{dose}{rhythm}",
                amount=bare_amount(read_dose(dose, form=order.form)),
            )
            for (from_on, dose, rhythm), until_on in zip(starts, ends, strict=True)
        ),
    )
