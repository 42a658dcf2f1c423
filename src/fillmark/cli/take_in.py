"""`fillmark take-in FILE`: read a care plan for this machine's home, show it, and put it in force once confirmed."""

import argparse
import sys
from collections.abc import Iterator
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING
from uuid import UUID
from zoneinfo import ZoneInfo

from fillmark.cli.app import alone, prepare_tables, read_settings
from fillmark.cli.plan import findings_of, load_plan, page_of, wrap
from fillmark.core.gates.plan_gate import check_plan
from fillmark.core.values.errors import BadPlan, NotStated
from fillmark.core.values.finding import Weight
from fillmark.core.values.typed import read_day
from fillmark.core.values.words import say_day

if TYPE_CHECKING:
    from fillmark.services.take_in import Reading, When

_ANSWERS = ("y", "yes")


def run(options: argparse.Namespace) -> int:
    """Show the plan, ask, and put it in force; 3 with the list of questions where a vet's answer is missing."""
    plan, said_on = load_plan(options.file), _read_day(options.vet_said_on)
    read_settings()
    prepare_tables()
    from fillmark.services import household, take_in
    from fillmark.services.plans import Confirmation
    from fillmark.services.take_in import By

    now = datetime.now(UTC)
    with alone():
        lead = household.find_or_open_first()
    who = {"household_id": lead.household_id, "by": lead.id}
    animals = {one.name: one.id for one in household.find_animals(household_id=lead.household_id)}
    animal_id = _find_animal(animals, asked=options.animal, named=plan.animal.name)
    clock = By(options.clock) if options.clock else None
    try:
        reading = take_in.read_for(**who, plan=plan, animal_id=animal_id, clock=clock, now=now)
    except NotStated as error:
        print(f"fillmark: {error}", file=sys.stderr)
        print("\n".join(findings_of(check_plan(plan, on=now.date()).findings)))
        return error.exit_code
    if reading.by is None:
        raise BadPlan(
            field="--clock",
            got="A plan by another clock than this household's: "
            + "; ".join(f"{one.what}: {one.plan} in the file, {one.home} here" for one in reading.differs),
            allowed="--clock file or --clock household",
            remedy="Choose by which of them this household lives; once something is recorded, it stays.",
        )
    when = _find_when(reading, options.when)
    print("\n".join(_page(reading, when=when)))
    answers = _read_answers(options.vet_answer)
    if not options.yes:
        answers |= _ask_for_answers(reading, answers)
        _check_confirmed(reading)
    asked = frozenset(one.key for one in reading.found.of(Weight.ASKED))
    kept = take_in.put_in_force(
        Confirmation(
            **who,
            vet_words=options.vet_words,
            vet_said_on=said_on,
            now=datetime.now(UTC),
            meant=asked if options.asked or not options.yes else frozenset(),
            answers=answers,
        ),
        take_in.Accepted(
            plan=plan,
            animal_id=animal_id,
            clock=clock,
            seen=reading.seen,
            base_number=reading.base_number,
            when=when,
        ),
    )
    since = kept.effective_from.astimezone(ZoneInfo(kept.plan.household.time_zone))
    print(
        f"\nIn force from {say_day(since, has_weekday=True, has_year=True)}, {since:%H:%M}: version {kept.number} of "
        f"{reading.plan.animal.name}'s plan, confirmed by {lead.name}."
    )
    return 0


def _read_day(text: str) -> date:
    found = read_day(text)
    if found is None:
        raise BadPlan(
            field="--vet-said-on",
            got=f'"{text[:20]}" for the day on which the vet said it',
            allowed="a day that exists, as year-month-day (2026-03-28)",
            remedy="Check the day and the month.",
        )
    return found


def _find_animal(animals: dict[str, UUID], *, asked: str | None, named: str) -> UUID | None:
    """The animal that is asked for, else the one with the plan's name; none makes a new one."""
    for name, animal_id in animals.items():
        if name.casefold() == (asked or named).casefold():
            return animal_id
    if asked is None:
        return None
    raise BadPlan(
        field="--animal",
        got=f'"{asked[:40]}", whom this home does not have',
        allowed=", ".join(animals) or "no name yet: without one, the plan's own animal is added",
        remedy="Check the name, or leave --animal out for a new animal.",
    )


def _find_when(reading: "Reading", asked: str | None) -> "When":
    """From when on it holds; where nothing is asked, a first plan from now on, another one from the next day on."""
    from fillmark.services.take_in import When

    if asked is None:
        return When.DAY if reading.base else When.NOW
    if When(asked) not in {one.when for one in reading.moments}:
        raise BadPlan(
            field="--from",
            got="The next session, of an animal that has no plan yet",
            allowed="now or day",
            remedy="Choose one of them.",
        )
    return When(asked)


def _page(reading: "Reading", *, when: "When") -> Iterator[str]:
    yield from page_of(reading.plan, reading.day, reading.found.findings, why=False)
    if reading.base:
        yield f"\nWHAT CHANGES AGAINST VERSION {reading.base.number}"
        if not reading.changes:
            yield "  nothing"
        for section in reading.changes:
            suffix = ": new" if section.is_new else ": no longer in the plan" if section.is_gone else ""
            yield f"  {section.title}{suffix}"
            for change in section.changes:
                told = f"{change.old or 'not in the plan'} → {change.new or 'not in the plan'}"
                told = change.new or "" if section.is_new else change.old or "" if section.is_gone else told
                yield from wrap(f"{change.name}: {told}", indent="    ")
    if reading.differs or reading.syringes:
        yield "\nTHE FILE AND THIS HOUSEHOLD"
    for one in reading.differs:
        yield from wrap(f"{one.what}: {one.plan} in the file, {one.home} here", indent="  ")
    for words in reading.syringes:
        yield from wrap(f"Syringes. {words}", indent="  ")
    moment = next(one for one in reading.moments if one.when is when)
    since = moment.at.astimezone(ZoneInfo(reading.plan.household.time_zone))
    day = say_day(since, has_weekday=True, has_year=True)
    yield f"\nTO BE IN FORCE FROM {day}, {since:%H:%M} ON. Nothing of it is in force yet."
    for words in moment.cautions:
        yield from wrap(f"! {words}", indent="  ")


def _read_answers(given: list[str]) -> dict[str, str]:
    """What the vet said, by the key of what needs it."""
    for text in given:
        if "=" not in text:
            raise BadPlan(
                field="--vet-answer",
                got=f'"{text[:40]}" for what the vet answered',
                allowed="the key, = and the vet's words, such as over-cap=One meal a day is right",
                remedy="The key stands behind each thing that needs a word of the vet.",
            )
    return {key.strip(): words for key, _, words in (text.partition("=") for text in given)}


def _ask_for_answers(reading: "Reading", answers: dict[str, str]) -> dict[str, str]:
    """What the vet said about each thing that still needs it, typed at the terminal."""
    found = {}
    for one in reading.found.of(Weight.NEEDS_VET):
        if one.key not in answers:
            try:
                found[one.key] = input(f"{one.text}\nWhat did the vet say? ")
            except EOFError:
                break
    return found


def _check_confirmed(reading: "Reading") -> None:
    meant = "Was each point above asked, and is it meant? " if reading.found.of(Weight.ASKED) else ""
    try:
        answer = input(f"{meant}Hold the vet's sheet next to this. Put it in force? (yes or no) ")
    except EOFError:
        answer = ""
    if answer.strip().lower() not in _ANSWERS:
        raise BadPlan(
            field="the answer",
            got="A plan that was not confirmed",
            allowed="yes, or --yes on the command line",
            remedy="Nothing was changed. Look at it again, and ask the vet where it differs from the sheet.",
        )
