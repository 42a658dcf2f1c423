"""A day's meals and water as bars, each with its words. Planned is never drawn as given, and silence stays empty."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.utils.safestring import SafeString

from fillmark.core.record.amounts import NOTHING, Amount
from fillmark.core.record.sessions import Standing
from fillmark.core.today.intake import DayIntake, MealIntake
from fillmark.core.today.meals_today import MealAhead
from fillmark.core.values.quantities import write_number
from fillmark.web.drawings.bars import Bar, BarFill, BarLine, Piece, draw_bar
from fillmark.web.words import say_amount


@dataclass(frozen=True, kw_only=True, slots=True)
class ShownBar:
    """One bar with its name, its amount and a line of words."""

    name: str
    amount: str
    bar: SafeString
    words: str
    ask: str = ""


def say_kcal(ends: tuple[float, float]) -> str:
    """Energy in whole kcal, or the range it lies in."""
    low, high = (write_number(round(end)) for end in ends)
    return f"{low} kcal" if low == high else f"{low} to {high} kcal"


def _pieces(went_in: Amount | None, kept: Amount | None) -> list[Piece]:
    """What stayed in, what is not known, and what came back, from the left."""
    into, stayed = went_in or NOTHING, kept or NOTHING
    return [
        Piece(fill=BarFill.IN, start=0, end=stayed.low_ml),
        Piece(fill=BarFill.PERHAPS, start=stayed.low_ml, end=stayed.high_ml),
        Piece(fill=BarFill.BACK, start=stayed.high_ml, end=into.high_ml),
    ]


def _meal_words(meal: MealIntake) -> str:
    if meal.is_to_come:
        return "still to come"
    if meal.is_silent:
        return "no entry: nobody wrote down whether it was given"
    if meal.went_in is None:
        return {Standing.SKIPPED: "left out", Standing.STOPPED: "stopped before the meal"}.get(
            meal.standing, "begun, no blend in yet"
        )
    parts = [f"{say_amount(meal.went_in)} in"]
    if meal.back is not None:
        parts.append(
            f"{write_number(meal.back.low_ml)} mL came back"
            if meal.back.is_exact
            else "some came back, how much is not known"
        )
        parts.append(f"{say_amount(meal.kept)} kept")
    return ", ".join(parts)


def meal_bars(intake: DayIntake) -> Sequence[ShownBar]:
    """One bar for each meal of the day, to one scale; the thick line is what was planned."""
    most = max(
        [meal.planned_ml or 0 for meal in intake.meals]
        + [(meal.went_in or NOTHING).high_ml for meal in intake.meals]
        + [1.0]
    )
    shown = []
    for meal in intake.meals:
        planned = meal.planned_ml or 0.0
        pieces = _pieces(meal.went_in, meal.kept)
        if meal.is_to_come or meal.is_silent:
            fill = BarFill.TO_COME if meal.is_to_come else BarFill.SILENT
            pieces = [Piece(fill=fill, start=0, end=planned)]
        shown.append(
            ShownBar(
                name=meal.session[11:],
                amount=f"{write_number(planned)} mL planned" if planned else "not in the plan",
                bar=draw_bar(
                    Bar(whole=1.05 * most, pieces=pieces, limits=[(BarLine.GOAL, planned)] if planned else [])
                ),
                words=_meal_words(meal),
            )
        )
    return shown


def day_bar(intake: DayIntake) -> SafeString:
    """The whole day: what stayed in, what came back, what is still to come, against what was planned."""
    into = (intake.went_in or NOTHING).high_ml
    pieces = [
        *_pieces(intake.went_in, intake.kept),
        Piece(fill=BarFill.TO_COME, start=into, end=into + intake.to_come_ml),
    ]
    whole = 1.05 * max(intake.planned_ml, into + intake.to_come_ml, 1.0)
    return draw_bar(Bar(whole=whole, pieces=pieces, limits=[(BarLine.GOAL, intake.planned_ml)]))


def water_bar(intake: DayIntake) -> SafeString:
    """The day's water: so far, what is not known of it, and what is to come as planned, against the band."""
    so_far, (low, high) = intake.water_so_far, intake.water_by_the_end
    to_come = high.value.total_ml - so_far.high_ml
    ends = high.value
    pieces = [
        Piece(fill=BarFill.IN, start=0, end=so_far.low_ml),
        Piece(fill=BarFill.PERHAPS, start=so_far.low_ml, end=so_far.high_ml),
        Piece(fill=BarFill.TO_COME, start=so_far.high_ml, end=so_far.high_ml + to_come),
    ]
    limits = [(BarLine.WARNING, low.value.low_ml), (BarLine.MOST, ends.high_ml)]
    return draw_bar(Bar(whole=1.08 * max(ends.high_ml, ends.total_ml), pieces=pieces, limits=limits))


def ahead_bars(meals: Sequence[MealAhead], *, asks_above_ml: Mapping[str, float]) -> Sequence[ShownBar]:
    """The meals still to come as they would be; the thick line is what the plan has.

    Args:
        meals: In the order of the day.
        asks_above_ml: By session, the blend above which the vet wants to be asked [mL]; without the vet's word, none.
    """
    most = max([max(meal.blend_ml, meal.planned_ml, meal.most_ml or 0) for meal in meals], default=1.0)
    shown = []
    for meal in meals:
        when = f"{meal.at:%H:%M}"
        moved = f", planned for {meal.planned_at:%H:%M}" if meal.is_moved else ""
        asks_above = asks_above_ml.get(meal.session)
        is_asked = asks_above is not None and meal.blend_ml > asks_above
        cap = f", at most {write_number(meal.most_ml)} mL under the vet's cap" if meal.most_ml is not None else ""
        shown.append(
            ShownBar(
                name=f"{when}{moved}",
                amount=f"{write_number(meal.blend_ml)} mL",
                bar=draw_bar(
                    Bar(
                        whole=1.05 * most,
                        pieces=[Piece(fill=BarFill.TO_COME, start=0, end=meal.blend_ml)],
                        limits=[
                            (BarLine.GOAL, meal.planned_ml),
                            *([(BarLine.WARNING, asks_above)] if asks_above is not None else []),
                        ],
                    )
                ),
                words=f"{write_number(meal.planned_ml)} mL planned{cap}",
                ask=f"Above {write_number(int(asks_above))} mL the vet wants to be asked first."
                if is_asked and asks_above is not None
                else "",
            )
        )
    return shown
