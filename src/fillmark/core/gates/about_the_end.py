"""Do orders that end by themselves end after they begin, and is there something to go back to?"""

from collections.abc import Iterator
from datetime import date

from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.values.finding import Finding, Weight
from fillmark.core.values.words import say_date


def check_end(plan: CarePlan, *, on: date, old: CarePlan | None) -> Iterator[Finding]:
    """What speaks against orders that end by themselves.

    Args:
        plan: The plan.
        on: The household's day on which it would begin to hold.
        old: The version it takes the place of; none for the first.
    Source:
        arithmetic only
    """
    if plan.ends is None:
        return
    if old is None:
        yield Finding(
            code="nothing-to-go-back-to",
            about="plan",
            weight=Weight.REFUSED,
            field="ends.last_on",
            text="Orders that end by themselves, without a plan that holds afterwards. Leave the end out.",
        )
    elif plan.ends.last_on < on:
        yield Finding(
            code="ended-already",
            about="plan",
            weight=Weight.REFUSED,
            field="ends.last_on",
            text=f"Orders whose last day is {say_date(plan.ends.last_on)}, which is over. "
            "Ask the vet until when they hold.",
        )
