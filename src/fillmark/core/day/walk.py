"""One session as steps, in the order in which hands do them."""

from collections.abc import Sequence
from itertools import combinations

from fillmark.core.day.medicine_steps import (
    STOP,
    flush_step,
    held_step,
    medicine_step,
    minutes_before_food,
    through_tube,
)
from fillmark.core.day.steps import PLAN, PRACTICE, VET, WASH, DrawnMedicine, SessionOrders, Step, StepKind, TaskNow
from fillmark.core.orders.medicine import hours_apart
from fillmark.core.tube.syringe import Mark
from fillmark.core.values.errors import BadPlan, OutOfRange
from fillmark.core.values.limits import check_at_least
from fillmark.core.values.quantities import write_number


def plan_walk(
    *,
    orders: SessionOrders,
    medicines: Sequence[DrawnMedicine] = (),
    meal_ml: float = 0,
    fills: Sequence[Mark] = (),
    tasks: Sequence[TaskNow] = (),
    idle_flush_ml: float = 0,
) -> tuple[Step, ...]:
    """The steps of one session, in order; medicines only, a meal only, a task only and a flush only all work.

    While the tube cannot be checked (no kind, or no length mark on record), nothing goes through it: what is left is
    the question for the vet, and medicines that do not need the tube.

    Args:
        orders: What holds of every session.
        medicines: What is due in this session, already drawn; the order among them is worked out here.
        meal_ml: Blend of the meal [mL], 0 for none.
        fills: The fills of the meal, in order.
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
    on_hold = [given for given in medicines if not given.is_to_give]
    given_now = [given for given in medicines if given.is_to_give]
    _check_together(given_now, orders.by_mouth)

    def by(*routes: str) -> list[DrawnMedicine]:
        return [given for given in given_now if given.medicine.route in routes]

    by_tube, by_mouth = by("tube"), by("mouth")
    early = [given for given in by_mouth if minutes_before_food(given.medicine)] if meal_ml else by_mouth
    late = [given for given in by_mouth if given not in early]

    steps = [_wash(orders.by_mouth)]
    if by_tube or by_mouth or meal_ml:
        steps.append(_look())
    steps += [held_step(given) for given in on_hold]
    steps += [_task(task) for task in tasks if not task.is_after]
    steps += [medicine_step(given, why=_BEFORE_FOOD) for given in by("nebulizer")]
    steps += [medicine_step(given) for given in early]
    if by_tube or meal_ml:
        steps += _check_tube(orders)
        if orders.may_use_tube:
            steps += through_tube(by_tube, early=early, late_by_mouth=late, meal_ml=meal_ml, fills=fills, orders=orders)
    elif idle_flush_ml:
        steps += _check_tube(orders)
        if orders.may_use_tube:
            steps.append(flush_step("flush-idle", idle_flush_ml, title="Flush", reason=_IDLE, is_test=True))
    steps += [medicine_step(given) for given in by("ear", "eye", "skin", "patch", "under the skin")]
    steps += [_task(task) for task in tasks if task.is_after]
    steps.append(_clean(is_closed=any(step.kind is StepKind.CLOSE for step in steps)))
    return tuple(steps)


_BEFORE_FOOD = "Loosens what is in the airways, so it comes before food."
_IDLE = "A tube that stands idle blocks. It is kept open until the vet takes it out."


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


def say_by_mouth(by_mouth: str | None) -> str:
    """The rule for the mouth, as the first line of every session and of the animal's first screen.

    Args:
        by_mouth: What may go by mouth, as the plan names it; None where nobody has said.
    """
    return {
        "nothing": "Nothing by mouth: no food, no water, no treat.",
        "water": "By mouth only water.",
        "tastes": "By mouth only tastes, as the vet said, and water.",
        "food and water": "Food and water by mouth as the vet said.",
    }.get(by_mouth or "", "Nobody has said what may go by mouth: give nothing by mouth and ask the vet.")


def _wash(by_mouth: str | None) -> Step:
    said = say_by_mouth(by_mouth)
    return Step(
        id=WASH,
        kind=StepKind.WASH,
        title="Wash your hands",
        detail=said,
        ask=f"{said} Have you read this?" if by_mouth in ("nothing", None) else None,
        reason="What is on hands goes into the tube. What goes in by mouth can go into the lungs.",
        source=VET if by_mouth else PRACTICE,
    )


def _look() -> Step:
    return Step(
        id="look",
        kind=StepKind.LOOK,
        title="Look at the animal first",
        detail="Awake, breathing as it does at rest, gums pink, belly soft, nothing coming up.",
        ask="Does it look as it does on an ordinary day?",
        if_no="Stop. Give nothing. Call the vet.",
        reason="What was wrong before a meal is worse after it.",
        source=PRACTICE,
    )


def _check_tube(orders: SessionOrders) -> list[Step]:
    """The mark, or what stands in for it; then the skin, which is a question of its own."""
    reason = "A tube that has moved can put food into the belly or the lungs."
    if not orders.may_use_tube:
        mark = "which mark of the tube belongs at the skin"
        missing = "what kind of tube this is" if orders.tube_kind is None else mark
        return [
            Step(
                id="check-mark",
                kind=StepKind.CHECK_MARK,
                title="Ask the vet about the tube",
                detail=f"Nobody has said {missing}. Nothing goes into the tube until it can be checked.",
                reason=reason,
                source=PRACTICE,
            )
        ]
    where = f"{write_number(orders.mark_at_skin_cm or 0)} cm"
    title, ask = f"Check the mark: {where} at the skin", f"Is the mark at {where}?"
    if orders.is_low_profile:
        title, ask = "Check that the button sits flat", "Does it sit flat at the skin, and turn freely?"
    return [
        Step(
            id="check-mark",
            kind=StepKind.CHECK_MARK,
            title=title,
            ask=ask,
            if_no=STOP,
            reason=reason,
            source=PRACTICE,
        ),
        Step(
            id="check-skin",
            kind=StepKind.CHECK_SKIN,
            title="Look at the skin around the tube",
            detail="Redness, swelling, pus, a smell, a leak, pain.",
            ask="Does it look as it did?",
            reason="A site that changes is shown to the vet the same day.",
            source=PRACTICE,
        ),
    ]


def _task(task: TaskNow) -> Step:
    return Step(
        id=f"task-{task.id}",
        kind=StepKind.TASK,
        title=task.name,
        detail=task.how or "",
        reason="Is due now.",
        minutes=task.minutes,
        weighs=task.weighs,
        source=PLAN,
        why=PLAN,
    )


def _clean(*, is_closed: bool) -> Step:
    return Step(
        id="wash-up",
        kind=StepKind.CLEAN,
        title="Wash up" if is_closed else "Close the tube and wash up",
        detail="Take the syringes apart and rinse them now.",
        reason="What dries in a syringe makes it stick, and grows.",
        source=PRACTICE,
    )
