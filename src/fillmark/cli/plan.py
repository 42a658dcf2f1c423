"""`fillmark plan FILE`: the whole day on one terminal page, every number with its working on request."""

import argparse
import json
import sys
import textwrap
from collections.abc import Iterator, Sequence
from datetime import date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from fillmark.core.day.values import DayPlan, PlannedSession
from fillmark.core.gates.plan_gate import check_plan
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.reading import plan_kind, read_plan
from fillmark.core.today.who import who_is_there
from fillmark.core.values.errors import BadPlan, NotStated
from fillmark.core.values.explain import Explained
from fillmark.core.values.finding import Finding, Weight
from fillmark.core.values.quantities import KG_PER_LB, write_number, write_sum
from fillmark.core.values.typed import read_day
from fillmark.core.values.words import say_date, say_day
from fillmark.exchange.plain import to_plain

WIDTH = 100


def load_plan(name: str) -> CarePlan:
    """The care plan in a file.

    Raises:
        FillmarkError: the file cannot be read, or something in it is wrong.
    """
    path = Path(name)
    kind = plan_kind(path.name)
    try:
        content = path.read_bytes()
    except OSError as error:
        raise BadPlan(
            field="the file",
            got=f'"{path}", which cannot be read ({error.strerror})',
            allowed="a care plan file",
            remedy="Check the name and the folder.",
        ) from None
    return read_plan(content, kind=kind)


def _day(options: argparse.Namespace, plan: CarePlan) -> date:
    if options.on is None:
        return datetime.now(ZoneInfo(plan.household.time_zone)).date()
    found = read_day(options.on)
    if found is None:
        raise BadPlan(
            field="--on",
            got=f'"{options.on}" for a day',
            allowed="a day that exists, as year-month-day (2026-03-28)",
            remedy="Check the day and the month.",
        )
    return found


def run(options: argparse.Namespace) -> int:
    """Print the day; the questions alone where no day can be made: 3 where an answer is missing, else 2."""
    plan = load_plan(options.file)
    found = check_plan(plan, on=_day(options, plan))
    if found.fault is not None:
        print(f"fillmark: {found.fault}", file=sys.stderr)
    if options.json:
        day = {"animal": plan.animal.name, "day": to_plain(found.day)} if found.day is not None else {}
        cautions = {"cautions": to_plain(found.day.cautions())} if found.day is not None else {}
        print(json.dumps(day | cautions | {"ask": to_plain(found.findings)}, ensure_ascii=False, indent=1))
    elif found.day is not None:
        print("\n".join(page_of(plan, found.day, found.findings, why=options.why)))
    else:
        print("\n".join(findings_of(found.findings)))
    if found.fault is not None:
        return found.fault.exit_code
    return NotStated.exit_code if found.of(Weight.REFUSED) else 0


def wrap(text: str, *, indent: str) -> Iterator[str]:
    """A text as lines of a terminal page."""
    yield from textwrap.wrap(text, WIDTH, initial_indent=indent, subsequent_indent=indent + "  ")


def _number(label: str, shown: str, number: Explained[object], *, why: bool) -> Iterator[str]:
    yield f"  {label:<22}{shown}"
    if why:
        for line in number.working():
            yield from wrap(f"│ {line}", indent=" " * 24)
        for figure in number.all_figures():
            yield from wrap(f"· {figure.id}: {figure.source.title}, {figure.place}", indent=" " * 24)


def page_of(plan: CarePlan, day: DayPlan, findings: Sequence[Finding], *, why: bool) -> Iterator[str]:
    """The day as lines for a terminal, with what speaks against the plan."""
    animal, tube = plan.animal, plan.animal.tube
    weight = animal.weight
    pounds = weight.weight_kg / float(KG_PER_LB)
    yield (
        f"{animal.name}, {animal.species.value} · {say_day(day.on, has_weekday=True, has_year=True)} · "
        f"{write_number(weight.weight_kg)} kg ({write_number(pounds, digits=3)} lb) on {say_date(weight.on)}"
    )
    mouth = {
        "nothing": "nothing by mouth",
        "water": "water by mouth",
        "tastes": "tastes by mouth",
        "food and water": "food and water by mouth",
    }
    yield (
        f"{write_number(tube.french)} Fr {tube.kind} tube · "
        f"{mouth.get(animal.by_mouth or '', 'by mouth: not stated, ask the vet')} · ordered by {plan.vet.name}, "
        f"{say_date(plan.vet.said_on)}"
    )
    kcal, water_ml = day.batch.value
    yield "\nTHE DAY"
    yield from _number("Energy goal", f"{day.energy.value:,.0f} kcal", day.energy, why=why)
    yield from _number("One batch", f"{kcal:,.0f} kcal, {water_ml:,.0f} mL of water in it", day.batch, why=why)
    kcal_per_ml = write_number(day.kcal_per_ml.value, digits=3)
    yield from _number("This blend", f"{kcal_per_ml} kcal/mL", day.kcal_per_ml, why=why)
    yield from _number("Blend a day", f"{day.day_ml.value:,.0f} mL", day.day_ml, why=why)
    meals = write_sum(day.meals.value)
    yield from _number("Meals", f"{' + '.join(meals.parts)} = {meals.total} mL", day.meals, why=why)
    yield from _number("They hold", f"{day.kcal_planned.value:,.0f} kcal", day.kcal_planned, why=why)
    water = day.water.value
    yield from _number(
        "Water",
        f"{water.total_words} mL, {water.level.value} of {water.low_ml:,.0f} to {water.high_ml:,.0f} mL",
        day.water,
        why=why,
    )
    yield "\nSESSIONS"
    for session in day.sessions:
        yield from _session(plan, session, why=why)
    longest = max(day.sessions, key=lambda session: len(session.steps))
    yield f"\nSTEP BY STEP, {longest.clock:%H:%M}"
    for number, step in enumerate(longest.steps, start=1):
        words = " ".join(filter(None, (*step.notes, step.detail)))
        yield from wrap(f"{number:>2}. {step.title}{f' ({words})' if words else ''}", indent="  ")
        if why:
            yield from wrap(f"│ {step.reason}", indent=" " * 6)
    cautions = day.cautions()
    if cautions:
        yield "\nLOOK AGAIN"
        for caution in cautions:
            yield from wrap(f"! {caution}", indent="  ")
    yield from findings_of(findings)
    yield ""
    yield from wrap(
        "Worked out from the vet's orders; the vet decides. Cough, gagging, fast breathing, pale gums, fever, a tube "
        "that moved, or a belly that swells: stop and call.",
        indent="",
    )
    for call in plan.vet.call:
        yield f"  {call.who}: {call.phone} ({call.when})"


def _session(plan: CarePlan, session: PlannedSession, *, why: bool) -> Iterator[str]:
    marks = ", ".join(
        [
            f"{dose.medicine.name} {dose.amount if dose.medicine.held is None else '(on hold, none)'}"
            for dose in session.medicines
        ]
        + ([" + ".join(write_number(mark.drawn.ml) for mark in session.fills) + " mL blend"] if session.fills else [])
        + [task.name for task in session.tasks]
        + (["the idle tube is flushed"] if session.idle_flush_ml else [])
    )
    yield (
        f"  {session.clock:%H:%M}  {marks}; water {write_number(session.flush_ml)} mL; "
        f"{write_number(session.load.value.ml_per_kg, digits=3)} mL/kg in all"
    )
    there = who_is_there(plan, session=session)
    if there is not None:
        yield f"         {' or '.join(there) or 'nobody is there by the hours stated in this plan'}"
    if why:
        for number in (*(dose.working for dose in session.medicines), session.load):
            for line in number.working():
                yield from wrap(f"│ {line}", indent=" " * 9)


_TITLES = {
    Weight.REFUSED: "THIS PLAN CANNOT HOLD",
    Weight.NEEDS_VET: "NEEDS A WORD OF THE VET",
    Weight.ASKED: "IS THIS MEANT?",
    Weight.OPEN: "ASK THE VET",
    Weight.SAID: "SAID ABOUT THE ORDERS",
}


def findings_of(findings: Sequence[Finding]) -> Iterator[str]:
    """What speaks against a plan and what to ask, as lines for a terminal, the heaviest first."""
    for weight, title in _TITLES.items():
        mine = [one for one in findings if (Weight.OPEN if one.code == "not-stated" else one.weight) is weight]
        if mine:
            yield f"\n{title}"
        for one in mine:
            sign = {Weight.OPEN: "?", Weight.SAID: "·"}.get(weight, "!")
            key = f" [{one.key}]" if weight is Weight.NEEDS_VET else " (needed first)" if one.blocks else ""
            yield from wrap(f"{sign} {one.text}{key}", indent="  ")
