"""The tube and its hole: how old it is, what unblocks it, when it is changed, what it holds."""

import math
from collections.abc import Collection
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from fillmark.core.values.errors import OutOfRange
from fillmark.core.values.explain import Explained
from fillmark.core.values.limits import check_at_least
from fillmark.core.values.quantities import write_number
from fillmark.core.values.words import say_date
from fillmark.published import Fact, Printed
from fillmark.published.tube_care import (
    FLUSH_AROUND_FEED_ML,
    FLUSH_BETWEEN_MEDICINES_HUMAN_ML,
    FLUSH_HUMAN_HOME_ML,
    NECK_HOLE_CLOSES,
    TRACT_EARLY_DAYS,
    TRACT_LEAST_DAYS,
    TRACT_NARROWS,
    UNCLOG_COLA,
    UNCLOG_ENZYME_STRONG,
    UNCLOG_ENZYME_WEAK,
    UNCLOG_WATER,
)


class Tract(StrEnum):
    """How far the way from the skin to the stomach or gullet has grown."""

    NONE = "none"
    EARLY = "early"
    GROWN = "grown"
    NOT_KNOWN = "not known"


@dataclass(frozen=True, kw_only=True, slots=True)
class TubeOut:
    """What to do when a tube has come out, by the age of its tract. It is always a matter for the vet, now.

    Attributes:
        do: What to do, first things first.
        do_not: What must not be done.
    """

    tract: Tract
    do: tuple[str, ...]
    do_not: tuple[str, ...]


def tract_age(*, tube_kind: str, placed_on: date | None, on: date) -> Explained[Tract]:
    """How far a tube's tract has grown on a day; one of unknown age is treated as early by every caller.

    Args:
        tube_kind: Kind of tube, as the plan names it.
        placed_on: The day it was placed; None where not known.
        on: The household's day.
    Raises:
        OutOfRange: the tube was placed after that day.
    Source:
        tube_care.tract_early, tube_care.tract_least (from memory)
    """
    if tube_kind == "nasoesophageal":
        return Explained(value=Tract.NONE, because="a tube through the nose has no hole of its own")
    if placed_on is None:
        return Explained(value=Tract.NOT_KNOWN, because="nobody has said when the tube was placed")
    days = (on - placed_on).days
    if days < 0:
        raise OutOfRange(
            field="tube.placed_on",
            got=f"A tube placed on {say_date(placed_on)}, looked at on {say_date(on)}",
            allowed=f"{say_date(on)} or before",
            remedy="Check the day on which it was placed.",
        )
    early = days < TRACT_EARLY_DAYS.value
    return Explained(
        value=Tract.EARLY if early else Tract.GROWN,
        because=f"placed {days} days ago, {'less than' if early else 'not less than'} "
        f"{write_number(TRACT_EARLY_DAYS.value)}",
        figures=(TRACT_EARLY_DAYS, TRACT_LEAST_DAYS) if early else (TRACT_EARLY_DAYS, TRACT_NARROWS),
    )


def tube_out(*, tube_kind: str, placed_on: date | None, on: date) -> Explained[TubeOut]:
    """What to do, and what not, when the tube has come out.

    Args:
        tube_kind: Kind of tube, as the plan names it.
        placed_on: The day it was placed; None where not known.
        on: The household's day.
    Raises:
        OutOfRange: the tube was placed after that day.
    Source:
        tube_care.tract_early, tube_care.tract_narrows, tube_care.neck_hole_closes
    """
    age = tract_age(tube_kind=tube_kind, placed_on=placed_on, on=on)
    go = "Go to the emergency vet now."
    if tube_kind == "esophagostomy":
        # The hole of a neck tube leads into the gullet, not through the belly: it is no race, and closes by itself.
        return Explained(
            value=TubeOut(
                tract=age.value,
                do=(
                    "Call the vet now.",
                    "Cover the hole with a clean dressing, and wrap the neck so that two fingers fit under the wrap.",
                    "Keep the tube and bring it.",
                ),
                do_not=(
                    "Do not put the tube or anything else into the hole: it can miss the gullet.",
                    "Do not feed and do not give water or medicine until the vet has said so.",
                ),
            ),
            because="a tube in the neck ends in the gullet",
            figures=(NECK_HOLE_CLOSES,),
        )
    if age.value is Tract.NONE:
        value = TubeOut(
            tract=age.value,
            do=("Call the vet now.", "Keep the tube and bring it."),
            do_not=("Do not put it back.", "Do not feed or give a medicine by mouth unless the vet says so."),
        )
    elif age.value is Tract.GROWN:
        value = TubeOut(
            tract=age.value,
            do=(
                f"{go} The hole narrows within hours.",
                "Cover the hole loosely with a clean cloth.",
                "Keep the tube and bring it.",
            ),
            do_not=("Do not feed.", "Do not push anything into the hole unless the vet says so."),
        )
    else:
        value = TubeOut(
            tract=age.value,
            do=(go, "Cover the hole loosely with a clean cloth.", "Keep the tube and bring it."),
            do_not=(
                "Do not put the tube or anything else into the hole: it can end in the belly.",
                "Do not feed and do not give water.",
            ),
        )
    return Explained(value=value, because=age.because, parts=(age,))


@dataclass(frozen=True, kw_only=True, slots=True)
class UnclogChoice:
    """One liquid against a clog.

    Attributes:
        liquid: What it is.
        is_first: Whether it is tried before any other.
        is_allowed: Whether it may be used: water always, everything else only by the vet's word.
        advised_against: Why not, where print found it worse than water.
        evidence: What was found, and where.
    """

    liquid: str
    is_first: bool
    is_allowed: bool
    advised_against: str | None
    evidence: Fact


_WORSE_THAN_WATER = (UNCLOG_COLA, UNCLOG_ENZYME_STRONG)


def unclog_choices(*, vet_allows: Collection[str] = ()) -> tuple[UnclogChoice, ...]:
    """What may be tried against a clog, in order: plain warm water, then only what the vet allows; worst last.

    Args:
        vet_allows: The liquids the vet named, by the `subject` of their fact.
    Source:
        tube_care.unclog_*
    """
    return tuple(
        UnclogChoice(
            liquid=fact.subject,
            is_first=fact is UNCLOG_WATER,
            is_allowed=fact is UNCLOG_WATER or fact.subject in vet_allows,
            advised_against=fact.says if fact in _WORSE_THAN_WATER else None,
            evidence=fact,
        )
        for fact in (UNCLOG_WATER, UNCLOG_ENZYME_WEAK, *_WORSE_THAN_WATER)
    )


def volume_inside(*, inner_mm: float, length_cm: float) -> Explained[float]:
    """What a tube holds [mL]: a flush of less leaves some of the medicine inside it.

    Args:
        inner_mm: Inner diameter [mm].
        length_cm: Length [cm].
    Raises:
        OutOfRange: a number is below 0.
    Source:
        volume of a cylinder
    """
    check_at_least(field="inner_mm", value=inner_mm, least=0, unit="mm", remedy="Read the package again.")
    check_at_least(field="length_cm", value=length_cm, least=0, unit="cm", remedy="Measure the tube again.")
    ml = math.pi * (inner_mm / 20) ** 2 * length_cm
    return Explained(
        value=ml,
        because=f"π × ({write_number(inner_mm)} mm ÷ 2)² × {write_number(length_cm)} cm = "
        f"{write_number(ml, digits=3)} mL",
    )


def flush_question(*, flush_ml: float, inner_mm: float | None, length_cm: float | None) -> Explained[bool]:
    """Whether a flush after a medicine is worth a question: it does not even fill the tube.

    Args:
        flush_ml: The water that was ordered [mL].
        inner_mm: The tube's inner diameter by its maker [mm], where it is known.
        length_cm: The tube's length [cm], where it is known.
    Source:
        volume of a cylinder; tube_care.flush_*
    """
    check_at_least(field="flush_ml", value=flush_ml, least=0, unit="mL", remedy="Read the vet's order again.")
    shown: tuple[Printed, ...] = (FLUSH_AROUND_FEED_ML, FLUSH_BETWEEN_MEDICINES_HUMAN_ML, FLUSH_HUMAN_HOME_ML)
    if inner_mm is None or length_cm is None:
        return Explained(value=False, because="what the tube holds is not known", figures=shown)
    inside = volume_inside(inner_mm=inner_mm, length_cm=length_cm)
    if flush_ml >= inside.value:
        return Explained(
            value=False,
            because=f"{write_number(flush_ml)} mL fills the tube ({write_number(inside.value, digits=3)} mL)",
            figures=shown,
            parts=(inside,),
        )
    return Explained(
        value=True,
        because=f"{write_number(flush_ml)} mL is less than the tube holds ({write_number(inside.value, digits=3)} mL): "
        "some of a medicine stays inside it",
        figures=shown,
        parts=(inside,),
        cautions=("Ask the vet whether the flush after a medicine should be larger.",),
    )
