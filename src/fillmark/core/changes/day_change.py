"""What does a change of the plan do to the day: each meal, dose and sum, before and after?"""

from dataclasses import dataclass

from fillmark.core.day.values import DayPlan
from fillmark.core.plan.words import say_factor
from fillmark.core.values.quantities import write_number


@dataclass(frozen=True, kw_only=True, slots=True)
class DayChange:
    """One thing of the day that comes out otherwise; none where one of the two days does not have it.

    Attributes:
        clocks: At which times of day; empty for what is of the whole day.
    """

    what: str
    clocks: tuple[str, ...]
    old: str | None
    new: str | None

    @property
    def size(self) -> str:
        """How many times as much the new one is, in words; empty where the two cannot be set beside each other."""
        return say_factor(self.old, self.new)


def compare_days(old: DayPlan, new: DayPlan) -> tuple[DayChange, ...]:
    """Everything of a day that comes out otherwise by two plans, the same change at several times once.

    Args:
        old: The day by the plan in force.
        new: The same day by the plan that would replace it.
    Source:
        both plans
    """
    before, after = _told(old), _told(new)
    found: dict[tuple[str, str | None, str | None], list[str]] = {}
    for what, clock in (*after, *(one for one in before if one not in after)):
        mine, theirs = before.get((what, clock)), after.get((what, clock))
        if mine != theirs:
            found.setdefault((what, mine, theirs), []).extend([clock] if clock else [])
    return tuple(
        DayChange(what=what, clocks=tuple(sorted(clocks)), old=mine, new=theirs)
        for (what, mine, theirs), clocks in found.items()
    )


def _told(day: DayPlan) -> dict[tuple[str, str], str]:
    """Each thing of a day by what it is and its time of day."""
    told = {("Energy", ""): f"{write_number(round(day.energy.value))} kcal a day"}
    for session in day.sessions:
        clock = f"{session.clock:%H:%M}"
        if session.meal_ml:
            told["Meal", clock] = f"{write_number(session.meal_ml)} mL"
        for dose in session.medicines:  # the mass first: it is what the vet's order says
            told[dose.medicine.name, clock] = ", ".join(str(one) for one in (dose.mass, dose.amount) if one)
        told |= {(task.name, clock): "done" for task in session.tasks}
        if session.flush_ml:
            told["Water in flushes", clock] = f"{write_number(session.flush_ml)} mL"
    told["Water, food included", ""] = f"{write_number(round(day.water.value.total_ml))} mL a day"
    return told
