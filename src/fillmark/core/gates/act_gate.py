"""The gate of an act: all that record, plan and clock say against a start, a fill or a dose, before it is done."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from math import floor
from uuid import UUID

from fillmark.core.bedside.next_session import check_nothing_stopped, next_and_last, session_state
from fillmark.core.bedside.side import Side, as_kept
from fillmark.core.chart.objections import check_reason, judge_dose
from fillmark.core.day.values import PlannedSession
from fillmark.core.doses.giving import NOT_TAKEN, Verdict
from fillmark.core.gates.as_planned import more_than_planned
from fillmark.core.gates.reasons import newest_reason
from fillmark.core.gates.stomach import FeedRules, InStomach, find_feed_rules, read_stomach
from fillmark.core.record.batches import check_batch as check_batch_fits
from fillmark.core.record.care_entries import BatchChosen
from fillmark.core.record.claims import check_press as check_claim
from fillmark.core.record.corrections import counting_entries
from fillmark.core.record.entries import Entry, KeptEntry, Payload, make_entry_id, session_day
from fillmark.core.record.locks import check_unlocked
from fillmark.core.record.medicine_entries import MedicineGiven, Outcome
from fillmark.core.record.session_entries import CameBack, FillGiven, MealEnded, SessionStarted
from fillmark.core.today.replanned import newest_times
from fillmark.core.tube.meals import LoadLevel
from fillmark.core.values.errors import FillmarkError, NeedsReason, NeedsVet
from fillmark.core.values.finding import Finding, Weight
from fillmark.core.values.quantities import write_number
from fillmark.core.values.words import say_date, say_time

_HEAVIEST_FIRST = tuple(Weight)
_HAIR_ML = 1e-6  # a meal planned exactly at the cap must not trip over the last binary digit


@dataclass(frozen=True, kw_only=True, slots=True)
class ActFinding(Finding):
    """One thing that speaks against doing something now, or that is said beside it.

    Attributes:
        because: The same as a clause that follows "when".
        free_at: From when on it holds no more; none where waiting does not help.
        despite: The doses it stands too close to; a dose with a reason names them.
        error: What the door refuses the press with; none for what is asked or said.
    """

    because: str = ""
    free_at: datetime | None = None
    despite: tuple[UUID, ...] = ()
    error: FillmarkError | None = None


def check_act(side: Side, entry: Entry) -> tuple[ActFinding, ...]:
    """Everything known that speaks against an act, the heaviest first; what was answered with a reason is said.

    Args:
        side: The animal's side, with every entry of yesterday and of the session's day.
        entry: What the press would write.
    Source:
        those of the checks
    """
    found = [*_refusals(side, entry), *_about_food(side, entry), *_about_the_dose(side, entry)]
    return tuple(sorted(found, key=lambda one: _HEAVIEST_FIRST.index(one.weight)))


def look_ahead(side: Side, session: str) -> tuple[ActFinding, ...]:
    """What speaks against a session before its first step: what its start is asked about, and what its doses will be.

    Args:
        side: As for `check_act`.
        session: The session's identity.
    Source:
        those of the checks
    """
    start = check_act(side, act_now(side, SessionStarted(session=session)))
    planned = find_planned(side, session)
    doses = []
    for dose in planned.to_give if planned else ():
        payload = MedicineGiven(session=session, medicine=dose.medicine.id, amount=dose.amount, outcome=Outcome.GIVEN)
        for one in _about_the_dose(side, act_now(side, payload)):
            if one.code != _code(Verdict.NOT_CHECKED):  # nobody can have read a syringe that is not drawn
                doses.append(_said(one, f"{dose.medicine.name}: {one.text}"))
    return (*start, *doses)


def hold_back_act(side: Side, entry: Entry) -> None:
    """Refuse a press that something speaks against, and that nobody has answered.

    Args:
        side: As for `check_act`.
        entry: What the press would write.
    Raises:
        AlreadyRecorded, HeldByAnother: its screen was overtaken by what others wrote.
        FeedingIsLocked, BatchNotToBeGiven: a lock holds, or the batch is not to be given.
        NeedsVet: it is more than the vet allows.
        NeedsReason: the record, the plan or the clock speaks against it, and no reason was typed.
    """
    found = (*_refusals(side, entry), *_about_food(side, entry))
    for one in found:
        if one.error is not None:
            raise one.error
    asked = [one for one in found if one.weight is Weight.ASKED]
    if asked:
        raise _meal_needs_reason(side, entry, asked)
    doses = side.doses(at=entry.at) if isinstance(entry.payload, MedicineGiven) else None
    if doses is not None:
        check_reason(
            as_kept(side, entry),
            entries=doses.entries,
            orders=doses.orders,
            time_zone=side.home.time_zone,
            planned_at=_session_at(side, entry.session),
        )


def _meal_needs_reason(side: Side, entry: Entry, asked: Sequence[ActFinding]) -> NeedsReason:
    free_at = max((one.free_at for one in asked if one.free_at is not None), default=None)
    may_wait = free_at is not None and all(one.free_at is not None for one in asked)
    when = say_time(entry.at, side.zone)
    came_back = isinstance(entry.payload, CameBack)
    return NeedsReason(
        field="reason",
        got=f"{'What came back' if came_back else 'A meal'} at {when}, when {'; '.join(one.because for one in asked)}",
        allowed=f"not before {say_time(free_at, side.zone, beside=entry.at)}, or with a typed reason"
        if free_at is not None and may_wait
        else "with a typed reason",
        remedy="Say where the rest comes from: saliva, an older meal, or a slip of the finger. It is kept as you say."
        if came_back
        else "If it has not gone in, do not give it. If the vet allows it, or if it has gone in, write that down.",
        free_at=free_at if may_wait else None,
    )


def find_planned(side: Side, session: str) -> PlannedSession | None:
    """A session as it is to come; none where the plan has none of this name, or its day cannot be worked out.

    Args:
        side: The animal's side, with every entry of the session's day.
        session: The session's identity.
    """
    day = session_day(session, day_starts=side.home.day_starts)
    found = side.sessions_of_days(day, day, new=newest_times(side.of_days(day, day)))[day]
    return None if isinstance(found, FillmarkError) else next((one for one in found if one.key == session), None)


def _session_at(side: Side, session: str | None) -> datetime | None:
    """When a session comes: as planned, or as today's new times have it."""
    if session is None:
        return None
    day = session_day(session, day_starts=side.home.day_starts)
    word = newest_times(side.of_days(day, day)).get(session)
    return word.at if word is not None else datetime.fromisoformat(session).replace(tzinfo=side.zone)


def act_now(side: Side, payload: Payload) -> Entry:
    """An entry that nobody has pressed yet, for what the gate would say of it now.

    Args:
        side: The animal's side.
        payload: What the press would write.
    """
    return Entry(
        id=make_entry_id(at=side.now, chance=bytes(10)),
        animal_id=side.animal_id,
        at=side.now,
        zone=side.home.time_zone,
        device="not pressed",
        payload=payload,
    )


# What cannot be, whatever is typed


def _refusals(side: Side, entry: Entry) -> Iterator[ActFinding]:
    """The lock, who has the session in hand, the batch, and what was stopped before."""
    session, payload = entry.session, entry.payload
    if session is None or entry.corrects is not None:
        return
    state = session_state(side, session)
    medicines = side.stored.plan.medicines if side.stored else ()
    other_routes = {medicine.id for medicine in medicines if medicine.route != "tube"}
    checks: list[Callable[[], None]] = [
        lambda: check_unlocked(payload, lock=side.lock, standing=state.standing, other_routes=other_routes),
        lambda: check_claim(payload, by=side.person.id, record=state),
    ]
    if isinstance(payload, FillGiven | BatchChosen):
        checks.append(lambda: check_batch_fits(payload, batches=side.batch_facts.read(), standing=state.standing))
    if isinstance(payload, SessionStarted):
        checks.append(lambda: check_nothing_stopped(next_and_last(side)))
    for check in checks:
        try:
            check()
        except FillmarkError as error:
            yield ActFinding(
                code=error.code,
                weight=Weight.REFUSED,
                field=error.field,
                text=f"{error.got}. {error.remedy}",
                error=error,
            )


# The meal


def _about_food(side: Side, entry: Entry) -> Iterator[ActFinding]:
    """The stomach, and whether it is as much as was planned."""
    yield from _about_the_meal(side, entry)
    payload = entry.payload
    if isinstance(payload, FillGiven | MealEnded) and payload.reason is None and entry.corrects is None:
        because = more_than_planned(payload, find_planned(side, payload.session))
        if because is not None:
            yield _asked("more-than-planned", because, side=side, at=entry.at)
    if isinstance(payload, CameBack) and payload.reason is None and entry.corrects is None:
        yield from _more_came_back(side, entry, payload)


def _more_came_back(side: Side, entry: Entry, payload: CameBack) -> Iterator[ActFinding]:
    """More than is still in: saliva, an older meal, or a slip of the finger."""
    stored, session = side.plan_at(entry.at), payload.session
    if stored is None or session is None or isinstance(payload.ml, str):
        return
    rules = find_feed_rules(stored.plan, find_planned(side, session))
    entries = side.of_days(side.today - timedelta(days=1), side.today + timedelta(days=1))
    inside = read_stomach(entries, rules=rules, session=session, at=entry.at, now=side.now)
    if payload.ml > inside.own_ml + _HAIR_ML:
        because = f"{_ml(payload.ml)} mL is more than the {_ml(inside.own_ml)} mL of this session that are still in"
        yield _asked("more-came-back", because, side=side, at=entry.at)


def _about_the_meal(side: Side, entry: Entry) -> Iterator[ActFinding]:
    """The vet's most at once, the gap to the last meal, what went in during it, and doses that want no food yet."""
    payload, stored = entry.payload, side.plan_at(entry.at)
    if not isinstance(payload, SessionStarted | FillGiven) or entry.corrects is not None or stored is None:
        return
    planned = find_planned(side, payload.session)
    if isinstance(payload, SessionStarted) and not (planned and planned.meal_ml):
        return
    rules = find_feed_rules(stored.plan, planned)
    over = say_over_cap(rules, planned)
    if over is not None:
        yield over
    entries = side.of_days(side.today - timedelta(days=1), side.today + timedelta(days=1))
    inside = read_stomach(entries, rules=rules, session=payload.session, at=entry.at, now=side.now)
    now_ml = payload.ml if isinstance(payload, FillGiven) else planned.load.value.total_ml if planned else 0.0
    if payload.reason is None:
        said = newest_reason(counting_entries(entries), payload.session)
        for one, since in (
            *_too_soon(rules, inside, side, entry.at),
            *_too_many(rules, inside, side, entry.at),
            *_too_much(rules, inside, side, entry.at, now_ml),
        ):
            if said is not None and said.at >= since:
                one = _said(one, f'{one.text} {said.by_name}: "{said.reason}"')
            yield one
    yield from _food_too_soon(rules, counting_entries(entries), side, entry.at)


def say_over_cap(rules: FeedRules, planned: PlannedSession | None) -> ActFinding | None:
    """That a session comes to more than the vet's most, with the vet's word where there is one; none where it does not.

    Args:
        rules: What the plan says about food in this session.
        planned: The session as it is to come.
    Source:
        the vet's order
    """
    if planned is None or planned.load.value.level is not LoadLevel.OVER_CAP:
        return None
    load = planned.load.value
    told = (
        f"The {planned.clock:%H:%M} session comes to {_ml(load.total_ml)} mL with its water and medicines, "
        f"{_ml(load.ml_per_kg)} mL/kg, and the vet's most is {write_number(rules.cap_ml_per_kg or 0)} mL/kg"
    )
    finding = ActFinding(code="over-cap", weight=Weight.SAID, field="session", text=told, because=told)
    if rules.vet_word is not None:
        words = f'The vet, on {say_date(rules.vet_word.said_on)}: "{rules.vet_word.words}"'
        return replace(finding, text=f"{told}. {words}")
    error = NeedsVet(
        field="session",
        got=told,
        allowed="no more at once than the vet's most",
        remedy="Do not give it. Ask the vet, and write the vet's word into the plan.",
    )
    return replace(finding, weight=Weight.NEEDS_VET, text=f"{told}. {error.remedy}", error=error)


_Asked = Iterator[tuple[ActFinding, datetime]]
"""What is asked, with the newest instant that it hangs on: a reason typed after that holds."""


def _too_soon(rules: FeedRules, inside: InStomach, side: Side, at: datetime) -> _Asked:
    if inside.meals:
        last = max(inside.meals, key=lambda meal: meal.began_at)
        told = f"the last meal began at {say_time(last.began_at, side.zone, beside=at)} ({last.by_name})"
        free_at = last.began_at + rules.gap
        finding = _asked(
            "meal-too-soon", f"{told} and {rules.gap_words}", side=side, at=at, free_at=free_at, ask=rules.gap_ask
        )
        yield finding, last.began_at


def _too_many(rules: FeedRules, inside: InStomach, side: Side, at: datetime) -> _Asked:
    """As many meals as a day has went in already: the next one belongs to tomorrow."""
    meals = inside.day_meals
    if not rules.meals_a_day or len(meals) < rules.meals_a_day:
        return
    since = say_time(meals[0].began_at, side.zone, beside=at)
    because = f"{len(meals)} meals went in since {since}, and a day has {rules.meals_a_day}"
    free_at = meals[len(meals) - rules.meals_a_day].began_at + rules.day
    yield _asked("meals-a-day", because, side=side, at=at, free_at=free_at), meals[-1].began_at


def _too_much(rules: FeedRules, inside: InStomach, side: Side, at: datetime, now_ml: float) -> _Asked:
    total_ml = inside.before_ml + inside.own_ml + now_ml
    if rules.most_ml is None or inside.newest_at is None or total_ml <= rules.most_ml + _HAIR_ML:
        return
    because = (
        f"{_ml(inside.before_ml)} mL went in before it and {_ml(inside.own_ml + now_ml)} mL with it, together "
        f"{_ml(total_ml / rules.weight_kg)} mL/kg, and the vet's most at once is "
        f"{_ml(rules.most_ml / rules.weight_kg)} mL/kg"
    )
    yield _asked("over-cap-together", because, side=side, at=at, free_at=inside.free_at), inside.newest_at


def _food_too_soon(rules: FeedRules, counting: Sequence[KeptEntry], side: Side, at: datetime) -> Iterator[ActFinding]:
    """A medicine that belongs so long before food has only just been given: that is said, and nothing is asked."""
    medicines = {one.id: one.name for stored in side.versions for one in stored.plan.medicines}
    newest: dict[str, datetime] = {}
    for one in counting:
        payload = one.entry.payload
        if isinstance(payload, MedicineGiven) and payload.outcome not in NOT_TAKEN and one.entry.at <= at:
            newest[payload.medicine] = one.entry.at
    for medicine, minutes in rules.before_food.items():
        if medicine in newest and at < (free_at := newest[medicine] + timedelta(minutes=minutes)):
            yield ActFinding(
                code="before-food",
                weight=Weight.SAID,
                field="session",
                about=medicine,
                text=f"{medicines[medicine]} went in at {say_time(newest[medicine], side.zone, beside=at)} and belongs "
                f"{write_number(minutes)} minutes before food: not before {say_time(free_at, side.zone, beside=at)}.",
                free_at=free_at,
            )


# The dose


def _about_the_dose(side: Side, entry: Entry) -> Iterator[ActFinding]:
    doses = side.doses(at=entry.at) if isinstance(entry.payload, MedicineGiven) else None
    if doses is None:
        return
    found = judge_dose(
        as_kept(side, entry),
        entries=doses.entries,
        orders=doses.orders,
        time_zone=side.home.time_zone,
        planned_at=_session_at(side, entry.session),
    )
    for one in found.objections if found else ():
        finding = _asked(_code(one.verdict), one.because, side=side, at=entry.at, free_at=one.free_at)
        yield replace(finding, about=found.medicine.id if found else "", despite=tuple(dose.id for dose in one.givings))


def _code(verdict: Verdict) -> str:
    return verdict.name.lower().replace("_", "-")


def _asked(
    code: str, because: str, *, side: Side, at: datetime, free_at: datetime | None = None, ask: str = ""
) -> ActFinding:
    until = f" Not before {say_time(free_at, side.zone, beside=at)}." if free_at is not None else ""
    return ActFinding(
        code=code,
        weight=Weight.ASKED,
        field="reason",
        text=f"{because[0].upper()}{because[1:]}.{until}{ask}",
        because=because,
        free_at=free_at,
    )


def _said(finding: ActFinding, text: str) -> ActFinding:
    return replace(finding, weight=Weight.SAID, text=text)


def _ml(amount: float) -> str:
    """An amount as people read it, to a tenth, a half going up."""
    return write_number(floor(amount * 10 + 0.5) / 10)
