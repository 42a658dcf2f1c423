"""Whom to call now, and what to tell them."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from math import floor
from zoneinfo import ZoneInfo

from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.vet import OpenHours, say_moment
from fillmark.core.record.amounts import Amount
from fillmark.core.record.sessions import Dose, SessionRecord, Standing
from fillmark.core.values.quantities import Mass, write_number
from fillmark.core.values.words import say_date


@dataclass(frozen=True, kw_only=True, slots=True)
class CallTo:
    """One number; `answers` tells whether somebody is there now, where the plan states its `hours`.

    A poison line stands below the clinics: it is called about poisons alone.
    """

    who: str
    phone: str
    when: str
    answers: bool | None
    hours: tuple[OpenHours, ...]
    is_poison_line: bool


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
            is_poison_line=number.is_poison_line,
        )
        for number in numbers
    ]
    return tuple(sorted(calls, key=lambda call: (call.is_poison_line, {True: 0, None: 1, False: 2}[call.answers])))


def who_is_silent(*, plan: CarePlan | None) -> str:
    """When in a week no number of the plan answers, or is known to answer, the night before all; empty where one does.

    Args:
        plan: The care plan in force, if there is one.
    """
    if plan is None:
        return ""
    if shut := plan.vet.silent_at():
        return f"No number of the plan answers {say_moment(shut)}."
    unsaid = plan.vet.silent_at(is_known=False)
    return f"The plan does not say who answers {say_moment(unsaid)}." if unsaid else ""


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
