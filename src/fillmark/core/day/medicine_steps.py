"""The steps of one medicine: through the tube, or any other way."""

from collections.abc import Iterator, Sequence

from fillmark.core.day.steps import PRACTICE, VET, DrawnMedicine, SessionOrders, Step, StepKind
from fillmark.core.orders.medicine import Medicine
from fillmark.core.tube.syringe import Mark
from fillmark.core.values.errors import NotStated
from fillmark.core.values.limits import check_at_least
from fillmark.core.values.quantities import write_number

STOP = "Stop. Nothing goes into the tube. Call the vet."


def minutes_before_food(medicine: Medicine) -> float:
    """How long it should be in before food [minutes]; 0 where it need not."""
    return (medicine.food.minutes or 0.0) if medicine.food.relation in ("before", "empty stomach") else 0.0


def flush_step(step_id: str, ml: float, *, title: str, reason: str, is_test: bool = False) -> Step:
    """One flush; a test flush asks whether it went in easily.

    Args:
        step_id: Its handle in the session.
        ml: Water [mL].
        title: What to do.
        reason: Why.
        is_test: Whether it shows that the tube is open, before anything else goes in.
    """
    return Step(
        id=step_id,
        kind=StepKind.FLUSH,
        title=f"{title} with {write_number(ml)} mL of water",
        ask="Did it go in easily, without a cough or distress?" if is_test else None,
        if_no=STOP if is_test else None,
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


def held_step(given: DrawnMedicine) -> Step:
    """What is stopped for now, or has no mark, has its step, so that nobody gives it by habit; none of it is drawn."""
    medicine = given.medicine
    if given.problem is not None and medicine.held is None:
        return Step(
            id=f"medicine-{medicine.id}",
            kind=StepKind.MEDICINE,
            title=f"{medicine.name} cannot be drawn: give none",
            detail=given.problem,
            reason="No mark fits this dose here. A wrong amount is worse than a late one: call the vet.",
            medicine_id=medicine.id,
            source=PRACTICE,
            hold=given.problem,
        )
    return Step(
        id=f"medicine-{medicine.id}",
        kind=StepKind.MEDICINE,
        title=f"{medicine.name} is on hold: give none",
        detail=medicine.held or "",
        reason="The vet has it stopped for now. It comes back when the vet says so and a lead changes the plan.",
        medicine_id=medicine.id,
        source=medicine.words or VET,
        why=VET,
        hold=medicine.held,
    )


WAYS = {
    "tube": "through the tube",
    "mouth": "by mouth",
    "nebulizer": "by nebulizer",
    "ear": "into the ear",
    "skin": "on the skin",
    "eye": "into the eye",
    "patch": "as a patch",
    "under the skin": "under the skin",
}


def _say_label(given: DrawnMedicine) -> Iterator[str]:
    """ "175 mg through the tube", "The label says 50 mg/mL": the dose, and the bottle it is meant from."""
    medicine = given.medicine
    yield f"{given.mass or 'Goes'} {WAYS[medicine.route]}"
    if medicine.strength is not None:
        amount, _, piece = medicine.strength.partition("/")
        is_counted = medicine.form in ("tablet", "capsule", "powder", "nebulizer vial") and piece
        says = f"{amount.strip()} in each {piece.strip()}" if is_counted else medicine.strength
        yield f"The label says {says}"


def medicine_step(given: DrawnMedicine, *, why: str = "") -> Step:
    """One dose as a step of the session: how it is drawn or counted, and how it goes in.

    Args:
        given: The dose, worked out.
        why: Why it stands at this place; empty for what its food rule says.
    """
    medicine, drawn = given.medicine, given.drawn
    how = WAYS[medicine.route]
    ml: float | None
    if isinstance(drawn, Mark):
        amount, ml, mark = f"{drawn.drawn}", float(drawn.drawn.ml), drawn
        detail = f"Fill the {drawn.syringe.name} to {drawn.reading}."
    else:
        amount, ml, mark = drawn.reading, drawn.water_ml, None
        detail = " ".join(filter(None, (_in_water(medicine, drawn.water_ml), *drawn.cautions)))
    if medicine.second_check:
        detail = f"{detail} A second person reads it before it is given.".strip()
    before = minutes_before_food(medicine)
    reason = (
        why
        or {
            "before": f"Ordered {write_number(before)} minutes before food.",
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
        notes=(
            *given.notes,
            *((f"Hold it, and call, if: {medicine.hold_if}",) if medicine.hold_if else ()),
            *(drawn.cautions if mark else ()),
        ),
        reason=reason,
        ml=ml,
        mark=mark,
        medicine_id=medicine.id,
        source=medicine.words or VET,
        why=VET,
        label=tuple(_say_label(given)),
    )


def through_tube(
    medicines: Sequence[DrawnMedicine],
    *,
    early: Sequence[DrawnMedicine],
    late_by_mouth: Sequence[DrawnMedicine],
    meal_ml: float,
    fills: Sequence[Mark],
    orders: SessionOrders,
) -> Iterator[Step]:
    """Water, medicines one by one with water between, the wait, the meal, water, upright.

    Args:
        medicines: Those that go through the tube.
        early: Those given by mouth already that want a wait before food.
        late_by_mouth: Those given by mouth right before the meal.
        meal_ml: Blend of the meal [mL], 0 for none.
        fills: The fills of the meal, in order.
        orders: What holds of every session.
    Raises:
        NotStated: a flush is not stated.
    Source:
        the vet's orders; the order of the steps is common practice, no source
    """
    before_ml = _stated(orders.flush_before_ml, "flush_before_ml")
    between_ml = _stated(orders.flush_between_ml, "flush_between_ml") if medicines else 0.0
    after_ml = _stated(orders.flush_after_ml, "flush_after_ml")
    if meal_ml and orders.residual_ml is not None:
        yield _draw_back(orders.residual_ml)
    yield flush_step(
        "flush-before",
        before_ml,
        title="Flush",
        reason="Shows that the tube is open. Where it ends, water does not show: look at the mark at the skin.",
        is_test=True,
    )
    # The longest wait goes first; what is given with food goes last, right before the meal.
    ordered = sorted(
        medicines,
        key=lambda given: (given.medicine.food.relation == "with", -minutes_before_food(given.medicine)),
    )
    before_wait = [given for given in ordered if not meal_ml or given.medicine.food.relation != "with"]
    for given in before_wait:
        yield medicine_step(given)
        last_of_all = not meal_ml and given is before_wait[-1]
        yield _flush_after(given, after_ml if last_of_all else between_ml)
    if not meal_ml:
        return
    yield from _wait((*before_wait, *early))
    for given in late_by_mouth:
        yield medicine_step(given)
    for given in ordered[len(before_wait) :]:
        yield medicine_step(given)
        yield _flush_after(given, between_ml)
    yield _stir(orders.food_celsius)
    yield from _fill_steps(fills, pace_ml_per_minute=orders.pace_ml_per_minute)
    yield flush_step("flush-after", after_ml, title="Flush", reason="Food left in the tube sets and blocks it.")
    if orders.upright_minutes:
        yield _close()
        yield _upright(orders.upright_minutes)


def _draw_back(most_ml: float) -> Step:
    most = f"{write_number(most_ml)} mL"
    return Step(
        id="draw-back",
        kind=StepKind.LOOK,
        title="Draw back what is in the stomach",
        detail="Gently, and stop where it pulls. Push back what came, unless the vet said otherwise.",
        ask=f"Is it {most} or less?",
        if_no=f"Leave this meal out. Call the vet: more than {most} came back.",
        reason="A stomach that has not emptied cannot hold another meal.",
        source=VET,
        why=VET,
    )


def _stir(celsius: tuple[float, float] | None) -> Step:
    warm = f"{write_number(celsius[0])} to {write_number(celsius[1])} °C" if celsius else "Lukewarm"
    return Step(
        id="stir",
        kind=StepKind.STIR,
        title="Stir the food, and test it on your wrist",
        detail=f"{warm} all through. Stir again after warming: one hot spot burns.",
        reason="Food that is too hot burns the stomach, and cold food comes back up more easily.",
        source=PRACTICE,
    )


def _close() -> Step:
    return Step(
        id="close-tube",
        kind=StepKind.CLOSE,
        title="Close the cap or the clamp",
        reason="An open tube runs back while the animal is held upright.",
        source=PRACTICE,
    )


def _upright(minutes: float) -> Step:
    return Step(
        id="upright",
        kind=StepKind.UPRIGHT,
        title=f"Keep upright for {write_number(minutes)} minutes",
        reason="Food stays down, and away from the lungs, while the chest is higher than the stomach.",
        minutes=minutes,
        source=VET,
    )


def _wait(given_before: Sequence[DrawnMedicine]) -> Iterator[Step]:
    """The longest wait that one of these asks for before food."""
    waits = {one.medicine.name: minutes for one in given_before if (minutes := minutes_before_food(one.medicine))}
    if not waits:
        return
    minutes = max(waits.values())
    longest = [name for name, wait in waits.items() if wait == minutes]
    yield Step(
        id="wait",
        kind=StepKind.WAIT,
        title=f"Wait {write_number(minutes)} minutes",
        reason=f"{' and '.join(longest)} should be in for {write_number(minutes)} minutes before food.",
        minutes=minutes,
        source=VET,
        why=VET,
    )


def _fill_steps(fills: Sequence[Mark], *, pace_ml_per_minute: float | None) -> Iterator[Step]:
    for number, mark in enumerate(fills, start=1):
        ml = float(mark.drawn.ml)
        minutes = ml / pace_ml_per_minute if pace_ml_per_minute else None
        slowly = f"Push it in over {_time(minutes)}." if minutes else "Push it in slowly."
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
            minutes=minutes,
            source=VET,
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


def _flush_after(given: DrawnMedicine, ml: float) -> Step:
    return flush_step(
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
