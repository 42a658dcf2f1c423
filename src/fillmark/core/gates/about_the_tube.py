"""Is it another tube, and what is still said of the old one?"""

from collections.abc import Iterator

from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.values.finding import Finding, Weight
from fillmark.core.values.quantities import write_number


def check_tube(plan: CarePlan, old: CarePlan) -> Iterator[Finding]:
    """What a changed tube asks anew: its size, its mark at the skin, what it holds, and how it is flushed.

    Args:
        plan: The plan.
        old: The version that it takes the place of.
    Source:
        common practice, no source
    """
    new, before = plan.animal.tube, old.animal.tube
    if not new.is_another(before):
        return
    if plan.ends is not None:
        yield Finding(
            code="tube-that-ends",
            about="tube",
            weight=Weight.REFUSED,
            field="ends.last_on",
            text="Orders that end by themselves, with another tube: the tube would stay. Leave the end out.",
        )
    told = [
        ("the size", new.french, before.french, "Fr"),
        ("the mark at the skin", new.mark_at_skin_cm, before.mark_at_skin_cm, "cm"),
        ("the length", new.length_cm, before.length_cm, "cm"),
        ("the inner diameter", new.inner_diameter_mm, before.inner_diameter_mm, "mm"),
        ("the flush before", plan.orders.flush_before_ml, old.orders.flush_before_ml, "mL"),
        ("the flush after", plan.orders.flush_after_ml, old.orders.flush_after_ml, "mL"),
    ]
    same = [f"{what} {write_number(now)} {unit}" for what, now, then, unit in told if now is not None and now == then]
    as_before = f" Still as for the old one: {', '.join(same)}. Ask the vet whether that holds." if same else ""
    yield Finding(
        code="another-tube",
        about="tube",
        weight=Weight.ASKED,
        field="animal.tube.kind",
        text="The tube is another one. Feeding is locked from the moment this plan is confirmed, until a lead writes "
        f"down that the vet saw it in place.{as_before}",
    )
