"""In which order, step by step, inside one session? The order follows from rules; each step says why it is there."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import combinations

from fillmark.core.errors import BadPlan, NotStated, OutOfRange
from fillmark.core.limits import check_at_least
from fillmark.core.medicine import Medicine, TabletParts, hours_apart
from fillmark.core.quantities import Mass, write_number
from fillmark.core.syringe import Mark


class StepKind(StrEnum):
    """What a step is."""

    WASH = "wash"
    CHECK_MARK = "check mark"
    FLUSH = "flush"
    MEDICINE = "medicine"
    WAIT = "wait"
    FILL = "fill"
    UPRIGHT = "upright"
    TASK = "task"
    CLEAN = "clean"


@dataclass(frozen=True, kw_only=True, slots=True)
class DrawnMedicine:
    """A medicine that is due in this session, with what the hand does for one dose.

    Attributes:
        mass: The dose as ordered; none where the order counts pieces.
        notes: What a person must hear while giving it, such as a dose that is new; each a sentence.
        why: Why it is due now, besides its order.
    """

    medicine: Medicine
    drawn: Mark | TabletParts
    mass: Mass | None = None
    notes: tuple[str, ...] = ()
    why: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class TaskNow:
    """A task that is due in this session.

    Attributes:
        id: Its handle in the plan.
        is_after: Whether it comes after the meal.
        minutes: How long it takes [minutes].
        how: How it is done, in the words of the plan.
    """

    id: str
    name: str
    is_after: bool = False
    minutes: float | None = None
    how: str | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Step:
    """One step of a session.

    Attributes:
        id: Stable within the session ("flush-before", "fill-2", "medicine-metoclopramide").
        title: What to do, verb first, short.
        detail: How, where that is not plain.
        reason: Why this step is here.
        ask: What must be answered with yes before the next step; a no stops everything through the tube.
        if_no: What to do when the answer is no.
        ml: What goes in with this step [mL].
        mark: The line to fill the syringe to.
        fill_number: Which fill of the meal it is, the first being 1.
        minutes: How long it takes [minutes].
        source: Whose word this step is.
        notes: What a person must hear before they act: what is new in a course, and what the mark cautions of.
        label: The dose as ordered, its way, and what the label of its bottle or box must say, each a sentence.
        hold: Why the vet has the medicine stopped; then none of it is given.
    """

    id: str
    kind: StepKind
    title: str
    detail: str = ""
    reason: str
    ask: str | None = None
    if_no: str | None = None
    ml: float | None = None
    mark: Mark | None = None
    fill_number: int | None = None
    fill_count: int | None = None
    minutes: float | None = None
    medicine_id: str | None = None
    source: str = ""
    notes: tuple[str, ...] = ()
    label: tuple[str, ...] = ()
    hold: str | None = None


VET = "the vet's order"
PLAN = "the care plan"
PRACTICE = "common practice, no source"
_STOP = "Stop. Nothing goes into the tube. Call the vet."


def plan_walk(
    *,
    medicines: Sequence[DrawnMedicine] = (),
    meal_ml: float = 0,
    fills: Sequence[Mark] = (),
    flush_before_ml: float | None,
    flush_between_ml: float | None,
    flush_after_ml: float | None,
    pace_ml_per_minute: float | None = None,
    upright_minutes: float | None = None,
    tube_kind: str | None,
    mark_at_skin_cm: float | None,
    by_mouth: str | None = None,
    tasks: Sequence[TaskNow] = (),
    idle_flush_ml: float = 0,
) -> tuple[Step, ...]:
    """The steps of one session, in order; medicines only, a meal only, a task only and a flush only all work.

    While the tube cannot be checked (no kind, or no length mark on record), nothing goes through it: what is left is
    the question for the vet, and medicines that do not need the tube.

    Args:
        medicines: What is due in this session, already drawn; the order among them is worked out here.
        meal_ml: Blend of the meal [mL], 0 for none.
        fills: The fills of the meal, in order.
        flush_before_ml: Water before anything else [mL].
        flush_between_ml: Water after each medicine [mL].
        flush_after_ml: Water at the end [mL].
        pace_ml_per_minute: The vet's pace, or None when not stated.
        upright_minutes: How long the animal stays upright after a meal, or None when not stated.
        tube_kind: What tube it is, or None when not known.
        mark_at_skin_cm: What the tube's length mark at the skin should read [cm], or None when not known.
        by_mouth: What may go by mouth ("nothing", "water", "food and water"), or None when not stated.
        tasks: Care beside food and medicines that is due in this session.
        idle_flush_ml: Water that keeps an idle tube open [mL], 0 for none; where anything else goes through the tube,
            its flushes do.
    Raises:
        NotStated: something goes through the tube and a flush is not stated.
        BadPlan: medicines of one session that must be kept apart, or one by mouth when nothing may go by mouth.
        OutOfRange: the fills do not add up to the meal.
    Source:
        the vet's orders; the order of the steps is common practice, no source
    """
    _check_fills(meal_ml, fills)
    on_hold = [given for given in medicines if given.medicine.held is not None]
    medicines = [given for given in medicines if given.medicine.held is None]
    _check_together(medicines, by_mouth)
    through_tube = [given for given in medicines if given.medicine.route == "tube"]
    inhaled = [given for given in medicines if given.medicine.route == "nebulizer"]
    by_mouth_now = [given for given in medicines if given.medicine.route == "mouth"]
    outside = [given for given in medicines if given.medicine.route in ("ear", "skin")]
    may_use_tube = tube_kind is not None and mark_at_skin_cm is not None
    is_idle = not (through_tube or meal_ml)
    needs_tube = not is_idle or bool(idle_flush_ml)

    steps = [_wash(by_mouth), *(_held_step(given.medicine) for given in on_hold)]
    steps += [_task(task) for task in tasks if not task.is_after]
    steps += [
        _medicine_step(given, why="Loosens what is in the airways, so it comes before food.") for given in inhaled
    ]
    early = [given for given in by_mouth_now if _minutes_before_food(given.medicine)]
    steps += [_medicine_step(given) for given in (by_mouth_now if not meal_ml else early)]
    if needs_tube:
        steps.append(_check_tube(tube_kind, mark_at_skin_cm))
    if is_idle and idle_flush_ml and may_use_tube:
        steps.append(
            _flush(
                "flush-idle",
                idle_flush_ml,
                title="Flush",
                reason="A tube that stands idle blocks. It is kept open until the vet takes it out.",
                is_test=True,
            )
        )
    elif needs_tube and may_use_tube:
        late = [given for given in by_mouth_now if given not in early] if meal_ml else []
        steps += _through_tube(
            through_tube,
            early=early,
            late_by_mouth=late,
            meal_ml=meal_ml,
            fills=fills,
            before_ml=_stated(flush_before_ml, "flush_before_ml"),
            between_ml=_stated(flush_between_ml, "flush_between_ml") if through_tube else 0.0,
            after_ml=_stated(flush_after_ml, "flush_after_ml"),
            pace_ml_per_minute=pace_ml_per_minute,
            upright_minutes=upright_minutes,
        )
    steps += [_medicine_step(given) for given in outside]
    steps += [_task(task) for task in tasks if task.is_after]
    steps.append(_clean())
    return tuple(steps)


def water_ml(steps: Sequence[Step]) -> float:
    """The water of a session: all flushes, and the water that crushed medicines are given in [mL]."""
    return sum(step.ml or 0.0 for step in steps if step.kind is StepKind.FLUSH) + sum(
        step.ml or 0.0 for step in steps if step.kind is StepKind.MEDICINE and step.mark is None
    )


def _check_fills(meal_ml: float, fills: Sequence[Mark]) -> None:
    check_at_least(field="meal_ml", value=meal_ml, least=0, unit="mL", remedy="Enter 0 for a session without a meal.")
    filled = sum(float(mark.drawn.ml) for mark in fills)
    step_ml = max((mark.syringe.step_ml for mark in fills), default=0.0)
    if abs(filled - meal_ml) > step_ml / 2 + 1e-6:
        raise OutOfRange(
            field="fills",
            got=f"Fills of {write_number(filled)} mL for a meal of {write_number(meal_ml)} mL",
            allowed="fills that add up to the meal",
            remedy="Split the meal again.",
        )


def _check_together(medicines: Sequence[DrawnMedicine], by_mouth: str | None) -> None:
    for one, other in combinations((given.medicine for given in medicines), 2):
        hours = hours_apart(one, other)
        if hours:
            raise BadPlan(
                field="medicines",
                got=f"{one.name} and {other.name} in one session",
                allowed=f"{write_number(hours)} hours between them",
                remedy="Move one of them to another session.",
            )
    for given in medicines:
        if given.medicine.route == "mouth" and by_mouth == "nothing":
            raise BadPlan(
                field="medicines",
                got=f"{given.medicine.name} by mouth, for an animal that gets nothing by mouth",
                allowed="a medicine that goes through the tube",
                remedy="Do not give it by mouth. Ask the vet how it should be given.",
            )


def _stated(ml: float | None, field: str) -> float:
    if ml is None:
        raise NotStated(
            field=field,
            got=f"A session through the tube, without {field}",
            allowed="mL of water",
            remedy="Ask the vet how much water to flush with.",
        )
    return check_at_least(field=field, value=ml, least=0, unit="mL", remedy="Read the vet's order again.")


def _minutes_before_food(medicine: Medicine) -> float:
    return (medicine.food.minutes or 0.0) if medicine.food.relation in ("before", "empty stomach") else 0.0


def _wash(by_mouth: str | None) -> Step:
    said = {
        "nothing": "Nothing by mouth: no food, no water, no treat.",
        "water": "By mouth only water.",
        "food and water": "Food and water by mouth as the vet said.",
    }.get(by_mouth or "", "Nobody has said what may go by mouth: give nothing by mouth and ask the vet.")
    return Step(
        id="wash-hands",
        kind=StepKind.WASH,
        title="Wash your hands",
        detail=said,
        ask=f"{said} Have you read this?" if by_mouth in ("nothing", None) else None,
        reason="What is on hands goes into the tube. What goes in by mouth can go into the lungs.",
        source=VET if by_mouth else PRACTICE,
    )


def _check_tube(tube_kind: str | None, mark_at_skin_cm: float | None) -> Step:
    reason = "A tube that has moved can put food into the belly or the lungs."
    if tube_kind is None or mark_at_skin_cm is None:
        missing = "what kind of tube this is" if tube_kind is None else "which mark of the tube belongs at the skin"
        return Step(
            id="check-mark",
            kind=StepKind.CHECK_MARK,
            title="Ask the vet about the tube",
            detail=f"Nobody has said {missing}. Nothing goes into the tube until it can be checked.",
            reason=reason,
            source=PRACTICE,
        )
    where = f"{write_number(mark_at_skin_cm)} cm"
    return Step(
        id="check-mark",
        kind=StepKind.CHECK_MARK,
        title=f"Check the mark: {where} at the skin",
        detail="Look at the skin around the tube too: redness, swelling, pus, a leak, pain.",
        ask=f"Is the mark at {where}, and does the skin look as it did?",
        if_no=_STOP,
        reason=reason,
        source=PRACTICE,
    )


def _task(task: TaskNow) -> Step:
    return Step(
        id=f"task-{task.id}",
        kind=StepKind.TASK,
        title=task.name,
        detail=task.how or "",
        reason="Is due now.",
        minutes=task.minutes,
        source=PLAN,
    )


def _flush(step_id: str, ml: float, *, title: str, reason: str, is_test: bool = False) -> Step:
    return Step(
        id=step_id,
        kind=StepKind.FLUSH,
        title=f"{title} with {write_number(ml)} mL of water",
        ask="Did it go in easily, without a cough or distress?" if is_test else None,
        if_no=_STOP if is_test else None,
        detail="Lukewarm, slowly." if is_test else "",
        reason=reason,
        ml=ml,
        source=VET,
    )


def _in_water(medicine: Medicine, water_ml: float | None) -> str:
    """How a tablet, capsule or powder becomes something that flows through a tube; empty where no water is named."""
    if not water_ml:
        return ""
    water = f"in {write_number(water_ml)} mL of water, stirred just before."
    verb = {"tablet": "Crush it finely", "capsule": "Open it"}.get(medicine.form)
    return f"{verb}, {water}" if verb else f"I{water[1:]}"


def _held_step(medicine: Medicine) -> Step:
    """What is stopped for now has its step, so that nobody gives it by habit; nothing is drawn in it."""
    return Step(
        id=f"medicine-{medicine.id}",
        kind=StepKind.MEDICINE,
        title=f"{medicine.name} is on hold: give none",
        detail=medicine.held or "",
        reason="The vet has it stopped for now. It comes back when the vet says so and a lead changes the plan.",
        medicine_id=medicine.id,
        source=medicine.words or VET,
        hold=medicine.held,
    )


_WAYS = {
    "tube": "through the tube",
    "mouth": "by mouth",
    "nebulizer": "by nebulizer",
    "ear": "into the ear",
    "skin": "on the skin",
}


def _say_label(given: DrawnMedicine) -> Iterator[str]:
    """ "175 mg through the tube", "The label says 50 mg/mL": the dose, and the bottle it is meant from."""
    medicine = given.medicine
    yield f"{given.mass or 'Goes'} {_WAYS[medicine.route]}"
    if medicine.strength is not None:
        amount, _, piece = medicine.strength.partition("/")
        is_counted = medicine.form in ("tablet", "capsule", "powder", "nebulizer vial") and piece
        says = f"{amount.strip()} in each {piece.strip()}" if is_counted else medicine.strength
        yield f"The label says {says}"


def _medicine_step(given: DrawnMedicine, *, why: str = "") -> Step:
    medicine, drawn = given.medicine, given.drawn
    how = _WAYS[medicine.route]
    ml: float | None
    if isinstance(drawn, Mark):
        amount, ml, mark = f"{drawn.drawn}", float(drawn.drawn.ml), drawn
        detail = f"Fill the {drawn.syringe.name} to {drawn.reading}."
    else:
        amount, ml, mark = drawn.reading, drawn.water_ml, None
        detail = " ".join(filter(None, (_in_water(medicine, drawn.water_ml), *drawn.cautions)))
    if medicine.second_check:
        detail = f"{detail} A second person reads it before it is given.".strip()
    before = _minutes_before_food(medicine)
    reason = (
        why
        or {
            "before": f"Works best {write_number(before)} minutes before food.",
            "empty stomach": f"Needs an empty stomach: {write_number(before)} minutes before food.",
            "with": "Is given with food.",
            "any": "Is due now.",
        }[medicine.food.relation]
    )
    if medicine.purpose:
        reason = f"{reason} For: {medicine.purpose}."
    if given.why:
        reason = f"{reason} {given.why}"
    return Step(
        id=f"medicine-{medicine.id}",
        kind=StepKind.MEDICINE,
        title=f"Give {medicine.name}: {amount} {how}",
        detail=detail,
        notes=(*given.notes, *(drawn.cautions if mark else ())),
        reason=reason,
        ml=ml,
        mark=mark,
        medicine_id=medicine.id,
        source=medicine.words or VET,
        label=tuple(_say_label(given)),
    )


def _through_tube(
    medicines: Sequence[DrawnMedicine],
    *,
    early: Sequence[DrawnMedicine],
    late_by_mouth: Sequence[DrawnMedicine],
    meal_ml: float,
    fills: Sequence[Mark],
    before_ml: float,
    between_ml: float,
    after_ml: float,
    pace_ml_per_minute: float | None,
    upright_minutes: float | None,
) -> Iterator[Step]:
    """Water, medicines one by one with water between, the wait, the meal, water, upright."""
    yield _flush(
        "flush-before",
        before_ml,
        title="Flush",
        reason="Shows that the tube is open and where it should be, before anything else goes in.",
        is_test=True,
    )
    # The longest wait goes first; what is given with food goes last, right before the meal.
    ordered = sorted(
        medicines,
        key=lambda given: (given.medicine.food.relation == "with", -_minutes_before_food(given.medicine)),
    )
    before_wait = [given for given in ordered if not meal_ml or given.medicine.food.relation != "with"]
    after_wait = ordered[len(before_wait) :]
    for given in before_wait:
        yield _medicine_step(given)
        last_of_all = not meal_ml and given is before_wait[-1]
        yield _flush_after(given, after_ml if last_of_all else between_ml)
    if not meal_ml:
        return
    waits = {
        given.medicine.name: _minutes_before_food(given.medicine)
        for given in (*before_wait, *early)
        if _minutes_before_food(given.medicine)
    }
    if waits:
        minutes = max(waits.values())
        longest = [name for name, wait in waits.items() if wait == minutes]
        yield Step(
            id="wait",
            kind=StepKind.WAIT,
            title=f"Wait {write_number(minutes)} minutes",
            reason=f"{' and '.join(longest)} should be in for {write_number(minutes)} minutes before food.",
            minutes=minutes,
            source=VET,
        )
    for given in late_by_mouth:
        yield _medicine_step(given)
    for given in after_wait:
        yield _medicine_step(given)
        yield _flush_after(given, between_ml)
    for number, mark in enumerate(fills, start=1):
        ml = float(mark.drawn.ml)
        minutes_each = ml / pace_ml_per_minute if pace_ml_per_minute else None
        slowly = f"Push it in over {_time(minutes_each)}." if minutes_each else "Push it in slowly."
        yield Step(
            id=f"fill-{number}",
            kind=StepKind.FILL,
            title=f"Give fill {number} of {len(fills)}: {write_number(ml)} mL",
            detail=f"Fill the {mark.syringe.name} to {mark.reading}. {slowly} "
            "Stop at once for a cough, gagging or drooling.",
            reason="Too much or too fast comes back up, and can go into the lungs.",
            ml=ml,
            mark=mark,
            fill_number=number,
            fill_count=len(fills),
            minutes=minutes_each,
            source=VET,
        )
    yield _flush("flush-after", after_ml, title="Flush", reason="Food left in the tube sets and blocks it.")
    if upright_minutes:
        yield Step(
            id="upright",
            kind=StepKind.UPRIGHT,
            title=f"Keep upright for {write_number(upright_minutes)} minutes",
            reason="Food stays down, and away from the lungs, while the chest is higher than the stomach.",
            minutes=upright_minutes,
            source=VET,
        )


def _flush_after(given: DrawnMedicine, ml: float) -> Step:
    return _flush(
        f"flush-after-{given.medicine.id}",
        ml,
        title="Flush",
        reason=f"Brings all of the {given.medicine.name} in, and keeps it apart from what comes next.",
    )


def _time(minutes: float) -> str:
    if minutes < 1:
        return f"{write_number(round(minutes * 60))} seconds"
    whole, seconds = divmod(round(minutes * 60), 60)
    text = f"{whole} minute{'' if whole == 1 else 's'}"
    return f"{text} {seconds} seconds" if seconds else text


def _clean() -> Step:
    return Step(
        id="wash-up",
        kind=StepKind.CLEAN,
        title="Close the tube and wash up",
        detail="Take the syringes apart and rinse them now.",
        reason="What dries in a syringe makes it stick, and grows.",
        source=PRACTICE,
    )
