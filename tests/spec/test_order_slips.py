"""How many slips of a pen are asked about or refused, and how often a printed order is asked about for nothing.

Run with -s, each prints its numbers. An order goes the way of a person: a plan file is read, and passes the gate.
"""

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace

import pytest

from fillmark.core.gates.plan_gate import check_plan
from fillmark.core.plan.reading import read_plan
from fillmark.core.values.errors import FillmarkError
from fillmark.core.values.finding import Weight
from fillmark.examples import example_plan
from tests.spec.right_orders import RIGHT_ORDERS, RightOrder

PLANS = {"dog": example_plan("juniper").decode(), "cat": example_plan("sorrel").decode()}
SHELF = "".join(
    f'[[syringes]]\nid = "drawn-{size}"\nsize_ml = {size}\nstep_ml = {step}\nnumbered_every_ml = {each}\n'
    'tip = "low-dose enteral"\ncount = 2\n\n'
    for size, step, each in ((1, 0.01, 0.1), (2, 0.1, 0.5), (5, 0.2, 1), (20, 1, 5), (50, 1, 10))
)
ABOUT_THE_DOSE = {
    "outside-print", "over-printed-maximum", "weight-table", "print-far-apart", "too-often", "strength-slip",
    "slip-between-steps", "weight-moved", "many-pieces", "much-liquid", "clocks-against-interval",
}  # fmt: skip
FALSE = {"outside-print", "over-printed-maximum", "too-often", "weight-table", "strength-slip", "slip-between-steps"}
LB = 2.2046


def plan_of(order: RightOrder) -> str:
    """A plan file with this one order, for an animal of this weight."""
    text = PLANS[order.species]
    text = re.sub(r"(?s)weights = \[\n.*?\n\]", f"weights = [{{ on = 2026-11-18, kg = {order.weight_kg} }}]", text)
    return text[: text.index("[[medicines]]")] + SHELF + _medicine(order) + text[text.index("[[tasks]]") :]


def _medicine(order: RightOrder) -> str:
    hours = order.every_hours
    clocks = [f'"{(7 + number * hours) % 24:02}:00"' for number in range(max(1, 24 // hours))]
    lines = {
        "id": '"drug"',
        "name": f'"{order.name}"',
        "form": '"liquid"',
        "strength": f'"{order.strength}"',
        "dose": f'"{order.dose}"',
        "dose_for_weight_kg": str(order.weight_kg) if "/kg" in order.dose else None,
        "route": '"tube"',
        "every_hours": str(hours),
        "clocks": f"[{', '.join(clocks)}]",
        "start_on": "2026-11-20",
        "food": '{ relation = "with" }',
        "crush": '"not allowed"',
        **order.extra,
    }
    return "[[medicines]]\n" + "\n".join(f"{key} = {value}" for key, value in lines.items() if value) + "\n\n"


def asked(order: RightOrder) -> set[str] | None:
    """The checks that ask about the dose, on the page that a person sees; None where the plan is refused."""
    try:
        plan = read_plan(plan_of(order).encode(), kind="toml")
    except FillmarkError:
        return None
    found = check_plan(plan, on=plan.animal.weight.on.replace(day=25))
    if found.fault is not None:
        return None
    return {one.code for one in found.findings if one.weight is not Weight.SAID} & ABOUT_THE_DOSE


@pytest.mark.hazard("H4")
def test_a_printed_order_is_seldom_asked_about_for_nothing():
    """Sixty orders and more as print has them: at most three are called outside print, over a maximum, or a slip."""
    wrong = {}
    for order in RIGHT_ORDERS:
        codes = asked(order)
        if codes is None or codes & FALSE:
            wrong[f"{order.name}, {order.dose}, {order.species} of {order.weight_kg} kg ({order.print})"] = codes
    print(f"\n{len(wrong)} of {len(RIGHT_ORDERS)} printed orders are asked about for nothing:")
    for order_text, codes in wrong.items():
        print(f"  {order_text}: {'refused' if codes is None else ', '.join(sorted(codes))}")

    assert len(RIGHT_ORDERS) >= 60
    assert len(wrong) <= 3, wrong


def times(text: str, factor: float) -> str:
    """An amount so many times as large, as a person would write it."""
    number, unit = re.fullmatch(r"([\d.]+) ?(.*)", text).groups()
    return f"{float(f'{float(number) * factor:.4g}'):.10f}".rstrip("0").rstrip(".") + f" {unit}"


def slips_of(order: RightOrder) -> Iterator[tuple[str, RightOrder]]:
    """The slips that this order can suffer, by kind."""
    yield "ten times as much", replace(order, dose=times(order.dose, 10))
    yield "ten times less", replace(order, dose=times(order.dose, 0.1))
    if "mcg" in order.dose:
        yield "mg for mcg", replace(order, dose=order.dose.replace("mcg", "mg"))
    else:
        yield "mcg for mg", replace(order, dose=order.dose.replace("mg", "mcg"))
    if "/kg" in order.dose:
        yield "mg/lb written down", replace(order, dose=order.dose.replace("/kg", "/lb"))
        yield (
            "the weight in lb",
            replace(order, extra={**order.extra, "dose_for_weight_kg": f"{order.weight_kg * LB:.1f}"}),
        )
        yield "mg/kg/day written down", replace(order, dose=f"{order.dose}/day")
    yield "worked out with lb for kg", replace(order, dose=times(order.dose, LB))
    doses = 24 // order.every_hours
    if doses > 1:
        yield "the day's dose each time", replace(order, dose=times(order.dose, doses))
    yield "four times as often", replace(order, every_hours=max(2, order.every_hours // 4))
    yield "a strength ten times too low", replace(order, strength=times(order.strength, 0.1))
    yield "a strength ten times too high", replace(order, strength=times(order.strength, 10))
    taper = f'[{{ from_on = 2026-12-10, dose = "{times(order.dose, 10)}" }}]'
    yield "a step ten times as much", replace(order, extra={**order.extra, "steps": taper})


@pytest.mark.hazard("H3")
@pytest.mark.hazard("H4")
@pytest.mark.hazard("H5")
def test_most_slips_are_asked_about_or_refused():
    """Of every slip of every printed order whose medicine has a printed range: 95 of 100 at the least."""
    caught: Counter[str] = Counter()
    made: Counter[str] = Counter()
    missed = []
    medicines = set()
    for order in RIGHT_ORDERS:
        before = asked(order)
        if before is None:
            continue
        medicines.add((order.name, order.species))
        for kind, slip in slips_of(order):
            made[kind] += 1
            codes = asked(slip)
            if codes is None or codes - before:
                caught[kind] += 1
            else:
                missed.append(
                    f"{kind}: {slip.name}, {slip.dose}, {slip.strength}, {slip.species} of {slip.weight_kg} kg"
                )
    print(f"\n{caught.total()} of {made.total()} slips are asked about or refused, of {len(medicines)} medicines:")
    for kind, number in made.items():
        print(f"  {kind}: {caught[kind]} of {number}")
    print("\n".join(f"  missed, {text}" for text in missed))

    assert made.total() >= 60
    assert len({name for name, _ in medicines}) >= 20
    assert {species for _, species in medicines} == {"dog", "cat"}
    assert caught.total() / made.total() >= 0.95
