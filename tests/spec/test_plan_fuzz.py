"""How many slips in whole plans are caught, and how often a right plan is asked about for nothing.

Run with -s, each prints its numbers. A plan goes the way of a person: its file is read, and passes the gate.
"""

import random
from collections import Counter, defaultdict

import pytest

from fillmark.core.gates.plan_gate import check_plan
from fillmark.core.plan.reading import read_plan
from fillmark.core.values.errors import FillmarkError
from fillmark.core.values.finding import Weight
from tests.support.plan_slips import KINDS
from tests.support.random_plans import TODAY, Document, a_random_plan, written

HOLDS_UP = (Weight.REFUSED, Weight.NEEDS_VET, Weight.ASKED)
ABOUT_WHAT_IS_LEFT_OUT = {"not-stated", "starved-not-stated", "hazardous"}
"""A word that nobody has said; how to handle what harms the hands is one of them, and no plan has a place for it."""
NEVER_SILENT = {"H3", "H4", "H5", "H10", "H23"}
MOST_SILENT_FRACTION = 0.03
MANY = pytest.mark.parametrize(
    "many", [300, pytest.param(5000, marks=pytest.mark.long)], ids=["300 plans", "5,000 plans"]
)


def weights(document: Document, before: Document | None) -> dict[str, Weight] | None:
    """What is found about a plan, by its key, as heavy as the heaviest; none where it cannot even be read."""
    try:
        plan = read_plan(written(document), kind="json")
    except FillmarkError:
        return None
    old = read_plan(written(before), kind="json") if before is not None else None
    found: dict[str, Weight] = {}
    for one in check_plan(plan, on=TODAY, old=old).findings:  # the heaviest first
        found.setdefault(one.key, one.weight)
    return found


def level(right: dict[str, Weight], wrong: dict[str, Weight] | None) -> str:
    """Whether a slip is caught, said, or passed in silence: by what only the plan with it has."""
    if wrong is None:
        return "caught"
    order = list(Weight)
    new = [weight for key, weight in wrong.items() if key not in right or order.index(weight) < order.index(right[key])]
    if any(weight in HOLDS_UP for weight in new):
        return "caught"
    return "said" if new else "silent"


@MANY
def test_a_right_plan_is_seldom_asked_about_for_nothing(many: int) -> None:
    """Of plans with printed orders and no slip, at most one in twenty is asked anything that is not left out in it."""
    chance = random.Random(20261125)
    asked: Counter[str] = Counter()
    plans = 0
    for _ in range(many):
        plan = a_random_plan(chance)
        found = weights(plan.document, plan.before)
        assert found is not None, plan.document
        codes = {key.partition(":")[0] for key, weight in found.items() if weight in HOLDS_UP}
        asked.update(codes)
        plans += bool(codes - ABOUT_WHAT_IS_LEFT_OUT)
    print(f"\n{plans} of {many} right plans are asked about ({plans / many:.1%}): {dict(asked)}")

    assert plans / many <= 0.05


@pytest.mark.hazard("H3")
@pytest.mark.hazard("H4")
@pytest.mark.hazard("H5")
@pytest.mark.hazard("H10")
@pytest.mark.hazard("H23")
@MANY
def test_a_slip_in_a_plan_is_caught(many: int) -> None:
    """One slip in each plan: those that can kill are never passed in silence, of the others three in a hundred."""
    chance = random.Random(20261126)
    counts: dict[str, Counter[str]] = defaultdict(Counter)
    examples: dict[str, str] = {}
    made = 0
    kinds = list(KINDS)
    while made < many:
        kind = kinds[made % len(kinds)]
        plan = a_random_plan(chance)
        slip = KINDS[kind][1](plan, chance)
        if slip is None:
            continue
        if not slip.is_catchable:
            made += 1
            counts[kind]["no slip that shows"] += 1
            continue
        wrong = weights(slip.document, slip.before)
        right = weights(slip.right, slip.before)
        if right is None:  # what is right here cannot be written down for this order
            continue
        made += 1
        how = level(right, wrong)
        counts[kind][how] += 1
        if how == "silent":
            examples.setdefault(kind, written(slip.document).decode())
    total: Counter[str] = sum(counts.values(), Counter())
    print(f"\n{made} plans with one slip each: {dict(total)}")
    for kind, found in counts.items():
        print(f"  {kind} ({', '.join(KINDS[kind][0])}): {dict(found)}")
    wrong_kinds = {}
    for kind, found in counts.items():
        most = 0 if NEVER_SILENT & set(KINDS[kind][0]) else MOST_SILENT_FRACTION
        shown = found.total() - found["no slip that shows"]
        if found["silent"] > most * shown:
            wrong_kinds[kind] = f"{found['silent']} of {shown} silent"
    assert not wrong_kinds, (wrong_kinds, examples)
