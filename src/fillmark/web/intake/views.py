"""One day's feeding: in, back and kept of each meal, the water, and what of today is still due."""

from collections.abc import Sequence
from datetime import date, timedelta

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_POST

from fillmark.core.record.amounts import Amount
from fillmark.core.record.fields import MOST_ML
from fillmark.core.today.intake import DayIntake, read_intake
from fillmark.core.tube.water import WaterLevel
from fillmark.core.values.errors import BadEntry, FillmarkError
from fillmark.core.values.quantities import write_number, write_sum
from fillmark.core.values.words import say_day
from fillmark.services import batches, record
from fillmark.services.intake import Today, rest_of_day, water_drunk
from fillmark.web.bedside import Bedside, at_the_bedside, day_on
from fillmark.web.bedside.day_line import line_of_day
from fillmark.web.bedside.todays_plan import PlannedDay, planned_on
from fillmark.web.entry_form import EntryForm, ml, unknown
from fillmark.web.intake.pictures import ahead_bars, day_bar, meal_bars, say_kcal, water_bar
from fillmark.web.ways.numbers import say_density
from fillmark.web.words import say_amount, say_many
from fillmark.web.writing import write_fact

_DRINKS = ("water", "tastes", "food and water")
_DRANK = EntryForm(
    {"kind": "drank", "ml": ml("ml_typed", "ml", high=MOST_ML, instead=unknown(), remedy="Measure it again.")}
)


def sums(intake: DayIntake) -> list[tuple[str, str, str]]:
    """Planned, in, back and kept of a day: name, mL, kcal; silence has no kcal."""
    planned = Amount(intake.planned_ml, intake.planned_ml)
    shown = [("Planned", say_amount(planned), say_kcal(intake.kcal(planned)))]
    amounts = (
        ("Went in", intake.went_in, intake.kcal_went_in),
        ("Came back", intake.back, intake.kcal_back),
        ("Kept", intake.kept, intake.kcal_kept),
    )
    known = [amount.low_ml for _, amount, _ in amounts if amount is not None and amount.is_exact]
    if len(known) == len(amounts):
        ml = write_sum(known[1:])
        kcal = write_sum([ends[0] for _, _, ends in amounts[1:]], is_whole=True)
        for (name, _, _), mls, kcals in zip(amounts, (ml.total, *ml.parts), (kcal.total, *kcal.parts), strict=True):
            shown.append((name, f"{mls} mL", f"{kcals} kcal"))
        return shown
    for name, amount, ends in amounts:
        shown.append((name, say_amount(amount), say_kcal(ends) if amount else ""))
    return shown


def say_water(parts: Sequence[tuple[str, Amount]]) -> tuple[str, list[tuple[str, str]]]:
    """The water so far, and each part of it that there is, so that what is shown adds up.

    Args:
        parts: Where it came from, least and most of each.
    """
    ends = [write_sum([end(amount) for _, amount in parts], is_whole=True) for end in (_low, _high)]
    least, most = ends
    each = zip(parts, least.parts, most.parts, strict=True)
    shown = [(name, _from_to(low, high)) for (name, amount), low, high in each if amount.high_ml]
    return _from_to(least.total, most.total), shown


def _low(amount: Amount) -> float:
    return amount.low_ml


def _high(amount: Amount) -> float:
    return amount.high_ml


def _from_to(low: str, high: str) -> str:
    return f"{low} mL" if low == high else f"{low} to {high} mL"


def _water(intake: DayIntake) -> dict[str, object]:
    low, high = intake.water_by_the_end
    ends = {round(low.value.total_ml), round(high.value.total_ml)}
    total = " to ".join(write_number(ml) for ml in sorted(ends))
    band = f"{write_number(round(high.value.low_ml))} to {write_number(round(high.value.high_ml))} mL"
    whose = "the vet's band" if high.value.is_vets_band else "the span of print"
    made_low, made_high = intake.metabolic_ml.value
    so_far, parts = say_water(intake.water_parts)
    return {
        "bar": water_bar(intake),
        "so_far": so_far,
        "parts": parts,
        "by_the_end": f"{total} mL",
        "band": f"{whose}: {band}",
        "is_inside": low.value.level is WaterLevel.INSIDE and high.value.level is WaterLevel.INSIDE,
        "cautions": _water_cautions(intake),
        "workings": [high],
        "made": f"{write_number(round(made_low))} to {write_number(round(made_high))} mL",
    }


def _water_cautions(intake: DayIntake) -> list[str]:
    """Too little and too much; where sessions have no entry, too little is not known."""
    least, most = intake.water_by_the_end
    is_short = WaterLevel.TOO_LITTLE in (least.value.level, most.value.level)
    if is_short and intake.silent:
        return [
            f"{say_many(intake.silent, 'session')} without an entry: how much water went in is not known. Write down "
            "what is known first.",
            *most.cautions[:-1],
        ]
    # the end that is further off says it; where only one is off, it may be that nothing is
    return list(least.cautions if is_short else most.cautions)


def _asks_above(planned: PlannedDay) -> dict[str, float]:
    """By session, the blend above which the vet wants to be asked, its flushes and medicines counted [mL]."""
    plan = planned.plan
    if plan is None or plan.orders.warn_ml_per_kg is None:
        return {}
    whole_ml = plan.orders.warn_ml_per_kg * plan.animal.weight.weight_kg
    return {
        session.key: max(0.0, whole_ml - (session.load.value.total_ml - session.meal_ml))
        for session in planned.sessions
    }


def _rest(today: Today, planned: PlannedDay) -> dict[str, object]:
    rest = today.rest.value
    cautions = today.rest.all_cautions()
    return {
        "due": f"{write_number(round(rest.due_ml))} mL",
        "due_kcal": f"{write_number(round(rest.due_kcal))} kcal",
        "is_as_planned": rest.is_as_planned,
        "bars": ahead_bars(rest.meals, asks_above_ml=_asks_above(planned)),
        "let_go": f"{write_number(round(rest.let_go_ml))} mL, {write_number(round(rest.let_go_kcal))} kcal"
        if rest.let_go_ml >= 1
        else "",
        "in_hand": f"{write_number(round(rest.in_hand_ml))} mL" if rest.in_hand_ml >= 1 else "",
        # one that another says too is not said twice
        "cautions": [words for words in cautions if not any(words != more and words in more for more in cautions)],
        "workings": [today.rest, today.shortest_gap],
    }


@require_POST
@at_the_bedside
def drank(request: HttpRequest, bedside: Bedside) -> HttpResponse:
    """Write down what was drunk, from a browser without JavaScript."""
    plan = planned_on(bedside, bedside.today).plan
    if plan is None or plan.animal.by_mouth not in _DRINKS:
        raise BadEntry(
            field="by_mouth",
            got="Water by mouth for an animal whose plan does not allow it",
            allowed="water by mouth where the vet has said so",
            remedy="If it drank all the same, write a note and call the vet.",
        )
    write_fact(request, bedside, _DRANK.read(request.POST))
    return redirect(bedside.href("intake"))


@require_GET
@at_the_bedside(day=day_on, behind=0)
def intake(request: HttpRequest, bedside: Bedside, *, on: date | None = None) -> HttpResponse:
    shown_on = on or bedside.today
    is_today = shown_on == bedside.today
    planned = planned_on(bedside, shown_on)
    ledger = record.day_ledger(bedside.side, day=shown_on)
    context: dict[str, object] = {
        "bedside": bedside,
        "line": line_of_day(bedside, day=shown_on, records=[line.record for line in ledger.lines]),
        "day_href": bedside.href("day"),
        "calls_href": bedside.href("calls"),
        "under": f"In, back and kept, {say_day(shown_on, has_weekday=True)}",
        "is_today": is_today,
        "shown_on": shown_on,
        "may_see_before": bedside.may_see(shown_on - timedelta(days=1), behind=0),
        "before_href": bedside.href("intake_on", on=shown_on - timedelta(days=1)),
        "after_href": bedside.href("intake_on", on=shown_on + timedelta(days=1)) if not is_today else None,
        "error": planned.error,
        "drank": _DRANK,
        "drinks": planned.plan is not None and planned.plan.animal.by_mouth in _DRINKS,
        "entry_id": record.new_entry_id(now=bedside.now),
    }
    if planned.plan is not None and planned.day is not None:
        drunk = water_drunk(**bedside.ids, day=shown_on)
        held = batches.energy_of_meals(bedside.side, ledger, plan=planned.plan, day=shown_on)
        eaten = read_intake(
            ledger, plan=planned.plan, day=planned.day, now=bedside.now, drunk=drunk, kcal_per_ml_of=held
        )
        context.update(
            meals=meal_bars(eaten),
            day_bar=day_bar(eaten),
            sums=sums(eaten),
            silent=say_many(eaten.silent, "session") if eaten.silent else "",
            water=_water(eaten),
            unmeasured=say_many(drunk.unmeasured, "time") if drunk.unmeasured else "",
            density=say_density(eaten.kcal_per_ml),
            is_by_batch=bool(held),
        )
    if is_today:
        try:
            today = rest_of_day(bedside.side)
        except FillmarkError as error:
            context["error"] = context["error"] or error
        else:
            context["rest"] = _rest(today, planned) if today else None
    return render(request, "intake/intake.html", context)
