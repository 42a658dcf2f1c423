"""What is to be asked about an order, in the plan that it stands in."""

from fillmark.core.orders.medicine import Medicine
from fillmark.core.orders.order_checks import check_order
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.values.finding import Finding


def check_order_of(plan: CarePlan, medicine: Medicine, *, previous: Medicine | None = None) -> tuple[Finding, ...]:
    """Every finding about one order, for this plan's animal, meals and syringes.

    Args:
        plan: The plan.
        medicine: The order.
        previous: The same medicine in the plan before, if any.
    Raises:
        NotStated: the dose hangs on something that is not stated.
    Source:
        those of the order checks
    """
    return check_order(
        medicine,
        species=plan.animal.species,
        weight_kg=plan.animal.weight.weight_kg,
        meals_a_day=plan.meals_a_day,
        syringes=plan.medicine_syringes,
        tube_kind=plan.animal.tube.kind,
        previous=previous,
    )
