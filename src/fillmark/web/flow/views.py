"""Flow tests: ten seconds with a syringe, what they say of the batch, and what all of them say of the food."""

from collections.abc import Sequence
from dataclasses import dataclass
from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.safestring import SafeString
from django.views.decorators.http import require_GET, require_http_methods

from fillmark.core.changes.canned_food import BlendUnit, blend_unit, canned_food
from fillmark.core.day.values import DayPlan
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record.batches import Fault
from fillmark.core.record.care_entries import FlowTested
from fillmark.core.record.entries import KeptEntry
from fillmark.core.record.fields import MOST_FOOD_G, MOST_ML
from fillmark.core.record.flow_check import SHOWN_TESTS, FlowResult, FlowVerdict, foods_of, judge_flow, most_left_ml
from fillmark.core.tube.flow_tests import WaterProposal, predict_flow, propose_water, water_for_next_batch
from fillmark.core.values.errors import FillmarkError, NotStated
from fillmark.core.values.explain import Explained
from fillmark.core.values.people import Capability, may
from fillmark.core.values.quantities import write_number
from fillmark.core.values.words import say_day
from fillmark.published.blend import PRACTICE_WATER_PER_CAN_ML
from fillmark.published.flow import FLOW_TEST_SECONDS, FLOW_TEST_SYRINGE_ML, PRIOR_WATER_ML_PER_100_G
from fillmark.services import flow as service
from fillmark.services import record
from fillmark.services.flow import Handling
from fillmark.web.bedside import Bedside, at_the_bedside
from fillmark.web.bedside.page_context import page_context
from fillmark.web.entry_form import EntryForm, day, ml, tick, unless, words
from fillmark.web.flow.curve import Curve, Dot, draw_curve, say_curve
from fillmark.web.phone.facts import batches_for_phone, form_facts
from fillmark.web.ways.numbers import say_density
from fillmark.web.words import say_batch, say_clock, say_faults
from fillmark.web.writing import write_fact

_POINTS = 33
_LEAST_SHOWN_ML_PER_100_G = 40.0
_CLOSE_ML_PER_100_G = 1.0
_NEWEST_TESTS = 6
_AS_THICK_AS = ("as thin as water", "a little thicker than water", "clearly thicker than water", "hardly flowing")


@dataclass(frozen=True, kw_only=True, slots=True)
class ShownTest:
    """One test as the list shows it."""

    when: str
    by: str
    batch: str
    mix: str
    left: str
    level: str
    has_failed: bool
    result: Explained[FlowResult]


@dataclass(frozen=True, kw_only=True, slots=True)
class ShownProposal:
    """The water proposed for this food, with its picture and what it costs."""

    unit: str
    water: str
    for_100_g: str
    span: str
    cost: str
    curve: SafeString
    working: Explained[WaterProposal]
    step: Explained[float] | None  # why more water than proposed, where too little of it was tested
    is_untried: bool  # less water than in any batch that was tested
    query: str


def say_level(level: int | None) -> str:
    """How thick a level is, in words before its number."""
    return "what the vet says" if level is None else f"{_AS_THICK_AS[level]} (level {level})"


def _show_test(kept: KeptEntry, *, plan: CarePlan, bedside: Bedside) -> ShownTest:
    payload = kept.entry.payload
    assert isinstance(payload, FlowTested)  # noqa: S101 - the service hands out no other kind
    result = judge_flow(
        left_ml=payload.left_ml, has_flowed=payload.has_flowed, limit_level=plan.orders.flow_limit_level
    )
    names = {food.id: food.name for food in plan.foods}
    handled = [word for word, is_so in (("sieved", payload.sieved), ("frozen and thawed", payload.frozen)) if is_so]
    foods = " and ".join(names.get(food, food) for food in payload.foods)
    level = result.value.level
    return ShownTest(
        when=f"{say_day(kept.entry.at.astimezone(bedside.zone))}, {say_clock(kept.entry.at, bedside.zone)}",
        by=kept.by_name,
        batch=payload.batch or "",
        mix=", ".join(
            [
                f"{write_number(payload.water_ml)} mL water in {write_number(payload.food_g)} g of {foods}",
                *handled,
            ]
        ),
        left=f"{write_number(payload.left_ml)} mL left" if payload.has_flowed else "nothing flowed",
        level="thicker than the test tells" if level is None else say_level(level),
        has_failed=result.value.verdict is FlowVerdict.TOO_THICK,
        result=result,
    )


def _level_and_can(plan: CarePlan) -> tuple[int, BlendUnit, float]:
    """The vet's flow limit, and one can of the blend with its net weight [g].

    Raises:
        NotStated: one of them is not known.
    """
    level = plan.orders.flow_limit_level
    if level is None:
        raise NotStated(
            field="orders.flow_limit_level",
            got="A plan that does not say how thick the blend may be",
            allowed="the vet's level, 0 to 3",
            remedy="Ask: how thick may the blend be for this tube?",
        )
    unit = blend_unit(plan)
    if unit.g is None:
        raise NotStated(
            field="foods.can_g",
            got=f"{unit.name}, without the net weight of a can",
            allowed="the net weight of one can in g",
            remedy="Copy the net weight from the label.",
        )
    return level, unit, unit.g


def _show_proposal(
    plan: CarePlan, tests: tuple[KeptEntry, ...], *, handling: Handling, day: DayPlan | None
) -> ShownProposal | None:
    """The water for nine passes of ten; none without a test of this food, handled in this way.

    Raises:
        NotStated: the vet stated no flow limit, or the weight of a can is not known.
    """
    level, unit, unit_g = _level_and_can(plan)
    learned = service.tests_of(tests, foods=foods_of(plan), handling=handling)
    if not learned:
        return None
    most_ml, per_can = most_left_ml(level=level), unit_g / 100
    proposal = propose_water(learned, most_left_ml=most_ml)
    next_water = water_for_next_batch(proposal.value, tests=learned)
    water_100 = next_water.value
    widest = max([_LEAST_SHOWN_ML_PER_100_G, 1.5 * water_100, *(1.15 * test.water_ml_per_100_g for test in learned)])
    curve = Curve(
        points=predict_flow(
            learned,
            most_left_ml=most_ml,
            waters_ml_per_100_g=[widest * place / (_POINTS - 1) for place in range(_POINTS)],
        ),
        ml_per_100_g=per_can,
        most_left_ml=most_ml,
        proposed_ml=water_100 * per_can,
        tests=[
            Dot(
                water_ml=test.water_ml_per_100_g * per_can,
                left_ml=test.left_ml,
                has_passed=test.left_ml <= most_ml,
            )
            for test in learned
        ],
        unit=unit.unit,
    )
    water_ml = 5 * round(water_100 * per_can / 5)
    now_ml = plan.blend.water_ml / unit.count
    least_tested = min(test.water_ml_per_100_g for test in learned)
    low, high = (
        max(0.0, end) * per_can for end in (proposal.value.pass_point_low_ml, proposal.value.pass_point_high_ml)
    )
    return ShownProposal(
        unit=unit.unit,
        water=f"{write_number(water_100 * per_can, digits=2)} mL",
        for_100_g=f"{write_number(water_100, digits=2)} mL",
        span=f"{write_number(low, digits=2)} to {write_number(high, digits=2)} mL",
        cost=_say_cost(water_ml, now_ml=now_ml, unit=unit, plan=plan, day=day),
        curve=draw_curve(curve, spoken=say_curve(curve)),
        working=proposal,
        step=next_water if next_water.value > proposal.value.water_ml_per_100_g else None,
        is_untried=water_100 < least_tested - _CLOSE_ML_PER_100_G,
        query=f"water={water_ml}",
    )


def _say_cost(water_ml: float, *, now_ml: float, unit: BlendUnit, plan: CarePlan, day: DayPlan | None) -> str:
    """What the proposed water does to the energy of the mix, beside the water of now."""
    if day is None:
        return ""
    can_ml, kcal_per_ml = canned_food(plan, day=day).value.ml_per_can, day.kcal_per_ml.value
    then = kcal_per_ml * (can_ml + now_ml) / (can_ml + water_ml)
    change = (can_ml + water_ml) / (can_ml + now_ml) - 1
    if abs(change) < 0.005:
        return f"That is the water of now: {say_density(kcal_per_ml)}."
    way = "more" if change > 0 else "less"
    return (
        f"With {write_number(water_ml)} mL in place of {write_number(now_ml)} mL a {unit.unit}, the mix holds about "
        f"{say_density(then)} in place of {say_density(kcal_per_ml)}: the same energy needs "
        f"{abs(change):.0%} {way} blend."
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class ShownBatch:
    """One batch of the last days: until when it may be given, and why not; with where it is tested again."""

    words: str
    faults: str
    is_in_use: bool
    query: str


def _show_batches(bedside: Bedside) -> list[ShownBatch]:
    """The newest first; what is past its day is named only while it is in use."""
    known = bedside.side.batch_facts.read()
    shown = []
    for one in reversed(known.all):
        faults = one.faults(today=known.today)
        if Fault.PAST_ITS_DAY in faults and one != known.in_use:
            continue
        query = urlencode({"batch": one.label, "made_on": one.made_on})
        shown.append(
            ShownBatch(words=say_batch(one), faults=say_faults(faults), is_in_use=one == known.in_use, query=query)
        )
    return shown


@require_GET
@at_the_bedside(what=Capability.SEE_RECORD)
def flow(request: HttpRequest, bedside: Bedside) -> HttpResponse:
    plan = bedside.side.plan
    tests = service.flow_tests(**bedside.ids)
    foods = foods_of(plan)
    usual = service.usual_handling(tests, foods=foods)
    is_asked = "handled" in request.GET
    handling = Handling(sieved="sieved" in request.GET, frozen="frozen" in request.GET) if is_asked else usual
    context = page_context(bedside, under="Flow tests")
    try:
        stored = bedside.side.stored
        day = stored.day(bedside.today) if stored else None
        context["proposal"] = _show_proposal(plan, tests, handling=handling, day=day)
    except FillmarkError as error:
        context["error"] = error
    shown = [_show_test(one, plan=plan, bedside=bedside) for one in reversed(tests[-SHOWN_TESTS:])]
    known = bedside.side.batch_facts
    context.update(
        phone=form_facts(bedside) | {"batches": batches_for_phone(known, day_starts=bedside.home.day_starts)},
        tests=shown[:_NEWEST_TESTS],
        older=shown[_NEWEST_TESTS:],
        newest=shown[0] if shown and request.GET.get("written") == str(tests[-1].entry.id) else None,
        batches=_show_batches(bedside),
        handling=handling,
        limit=say_level(plan.orders.flow_limit_level),
        count=len(service.tests_of(tests, foods=foods, handling=handling)),
        may_record=may(bedside.caregiver, what=Capability.RECORD_ANYTHING, on=bedside.today),
        practice=PRACTICE_WATER_PER_CAN_ML,
        printed=PRIOR_WATER_ML_PER_100_G,
    )
    return render(request, "flow/flow.html", context)


# The test


def _mix_of(plan: CarePlan) -> dict[str, str]:
    """The batch of the plan, as the form begins: in cans where the label weighs one, else in grams."""
    filled = {"water": write_number(plan.blend.water_ml)}
    try:
        unit = blend_unit(plan)
    except NotStated:
        return filled | {"food_g": ""}
    if unit.unit == "can" and unit.g is not None:
        filled["cans"] = write_number(unit.count)
    else:
        filled["food_g"] = write_number(unit.g * unit.count) if unit.g else ""
    return filled


def _form(plan: CarePlan, *, in_cans: bool) -> EntryForm:
    """What a test tells; the food is counted in cans where the label weighs one, else weighed."""
    remedy = "Count the cans again." if in_cans else "Weigh it again."
    return EntryForm(
        {
            "kind": "flow_test",
            "foods": list(foods_of(plan)),
            "food_g": ml(
                *(["cans"] if in_cans else ["food_g"]),
                field="cans" if in_cans else "food_g",
                unit="g of food",
                above=0,
                high=MOST_FOOD_G,
                times=blend_unit(plan).g if in_cans else None,
                remedy=remedy,
            ),
            "water_ml": ml("water", field="water", unit="mL of water", high=MOST_ML, remedy="Measure it again."),
            "left_ml": ml(
                "left_typed",
                "left",
                field="mL left",
                unit="mL left",
                high=FLOW_TEST_SYRINGE_ML.value,
                instead={"nothing": FLOW_TEST_SYRINGE_ML.value},
                remedy="Read the syringe again, or test once more.",
            ),
            "has_flowed": unless("left", "nothing"),
            "sieved": tick("sieved"),
            "frozen": tick("frozen"),
            "batch": words("batch", most=80),
            "made_on": day("made_on", remedy="Choose the day on which it was made."),
        }
    )


def _picks() -> Sequence[int]:
    return range(int(FLOW_TEST_SYRINGE_ML.value) + 1)


@require_http_methods(["GET", "POST"])
@at_the_bedside(what=Capability.RECORD_ANYTHING)
def flow_test(request: HttpRequest, bedside: Bedside) -> HttpResponse:
    plan = bedside.side.plan
    error = None
    filled = {
        **_mix_of(plan),
        "batch": request.GET.get("batch", "")[:80],
        "made_on": request.GET.get("made_on") or bedside.today.isoformat(),
    }
    form = _form(plan, in_cans="cans" in filled)
    tests = service.flow_tests(**bedside.ids)
    handling = service.usual_handling(tests, foods=foods_of(plan))
    if request.method == "POST":
        try:
            entry_id = write_fact(request, bedside, form.read(request.POST)).id
            return redirect(f"{bedside.href('flow')}?written={entry_id}")
        except FillmarkError as refused:
            error = refused
            filled = {name: request.POST.get(name, "") for name in filled}
            handling = Handling(sieved="sieved" in request.POST, frozen="frozen" in request.POST)
    context = {
        **page_context(bedside, under="Flow test"),
        "error": error,
        "form": form,
        "phone": form_facts(bedside),
        "filled": filled,
        "handling": handling,
        "picks": _picks(),
        "seconds": write_number(FLOW_TEST_SECONDS.value),
        "syringe": FLOW_TEST_SYRINGE_ML,
        "today": bedside.today,
        "foods": " and ".join(plan.food(food).name for food in foods_of(plan)),
        "entry_id": record.new_entry_id(now=bedside.now),
    }
    return render(request, "flow/flow_test.html", context, status=400 if error else 200)
