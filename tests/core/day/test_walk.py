"""In which order, step by step, inside one session."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fillmark.core.day.steps import DrawnMedicine, SessionOrders, StepKind, water_ml
from fillmark.core.day.walk import plan_walk
from fillmark.core.orders.dosing_days import ordered_dose
from fillmark.core.orders.drawing import draw
from fillmark.core.tube.mark import fills
from fillmark.core.values.errors import BadPlan, NotStated, OutOfRange
from tests.support.medicines import SHELF, SIXTY, a_medicine, a_syringe, a_tablet

EARLY = a_medicine(id="early", name="Early", food={"relation": "before", "minutes": 30})
LATER = a_medicine(id="later", name="Later", food={"relation": "empty stomach", "minutes": 20})
ANY = a_medicine(id="any", name="Any")
WITH = a_medicine(id="with", name="With", food={"relation": "with"})


def a_walk(*orders, meal_ml=0.0, **changed):
    """A session of these medicines through a gastrostomy tube that is marked at 6.5 cm."""
    drawn = [DrawnMedicine(medicine=order, drawn=draw(order, weight_kg=17, syringes=SHELF).value) for order in orders]
    values = {
        "medicines": drawn,
        "meal_ml": meal_ml,
        "fills": fills(total_ml=meal_ml, syringe=SIXTY) if meal_ml and "fills" not in changed else (),
    }
    ordered = {
        "flush_before_ml": 10,
        "flush_between_ml": 5,
        "flush_after_ml": 20,
        "pace_ml_per_minute": 20,
        "upright_minutes": 20,
        "tube_kind": "gastrostomy",
        "mark_at_skin_cm": 6.5,
        "by_mouth": "nothing",
        "is_low_profile": False,
    }
    ordered |= {name: changed.pop(name) for name in [*ordered] if name in changed}
    return plan_walk(orders=SessionOrders(**ordered), **{**values, **changed})


def ids(steps):
    return [step.id for step in steps]


def test_a_meal_with_medicines_has_its_steps_in_order():
    """Check, water, medicines with water between, the wait, what goes with food, food, water, upright."""
    assert ids(a_walk(WITH, LATER, ANY, EARLY, meal_ml=190)) == [
        "wash-hands",
        "look",
        "check-mark",
        "check-skin",
        "flush-before",
        "medicine-early",
        "flush-after-early",
        "medicine-later",
        "flush-after-later",
        "medicine-any",
        "flush-after-any",
        "wait",
        "medicine-with",
        "flush-after-with",
        "stir",
        "fill-1",
        "fill-2",
        "fill-3",
        "fill-4",
        "flush-after",
        "close-tube",
        "upright",
        "wash-up",
    ]


def test_medicines_only():
    """n medicines, n + 1 flushes; the last one clears the tube."""
    steps = a_walk(EARLY, ANY)

    assert ids(steps) == [
        "wash-hands", "look", "check-mark", "check-skin", "flush-before", "medicine-early", "flush-after-early",
        "medicine-any", "flush-after-any", "wash-up",
    ]  # fmt: skip
    assert [step.ml for step in steps if step.kind is StepKind.FLUSH] == [10, 5, 20]


def test_a_meal_only():
    """Two flushes around the fills, and no wait."""
    assert ids(a_walk(meal_ml=60)) == [
        "wash-hands", "look", "check-mark", "check-skin", "flush-before", "stir", "fill-1", "flush-after", "close-tube",
        "upright", "wash-up",
    ]  # fmt: skip


def test_each_step_says_why():
    """Nobody keeps a rule that has no reason."""
    for step in a_walk(EARLY, WITH, meal_ml=190):
        assert len(step.reason) > 15, step.id
        assert step.source, step.id


def test_a_fill_says_which_one_to_which_mark_and_how_slowly():
    """All a person needs on the floor."""
    fill = next(step for step in a_walk(meal_ml=190) if step.id == "fill-4")

    assert fill.title == "Give fill 4 of 4: 10 mL"
    assert fill.detail == (
        "Fill the 60 mL syringe to the line at 10. Push it in over 30 seconds. Stop at once for a cough, gagging or "
        "drooling."
    )
    assert (fill.fill_number, fill.fill_count, fill.minutes) == (4, 4, 0.5)


def test_without_a_pace_none_is_invented():
    """The vet has not said: slowly is all there is."""
    fill = next(
        step for step in a_walk(meal_ml=60, pace_ml_per_minute=None, upright_minutes=None) if step.id == "fill-1"
    )

    assert "Push it in slowly." in fill.detail
    assert fill.minutes is None


def test_without_an_upright_time_there_is_no_timer():
    """The vet has not said."""
    assert "upright" not in ids(a_walk(meal_ml=60, upright_minutes=None))


@pytest.mark.hazard("H12")
def test_two_checks_stand_before_anything_but_water():
    """The mark and a flush without a cough; a no to either stops everything through the tube."""
    steps = a_walk(EARLY, meal_ml=60)
    checks = [step for step in steps if step.if_no]

    assert ids(checks) == ["look", "check-mark", "flush-before"]
    assert all(step.if_no == "Stop. Nothing goes into the tube. Call the vet." for step in checks[1:])
    assert checks[1].ask == "Is the mark at 6.5 cm?"
    assert ids(steps).index("flush-before") < ids(steps).index("medicine-early") < ids(steps).index("fill-1")


@pytest.mark.hazard("H12")
@pytest.mark.parametrize("unknown", [{"tube_kind": None}, {"mark_at_skin_cm": None}])
def test_nothing_goes_through_a_tube_that_cannot_be_checked(unknown):
    """What is left is the question, and what does not need the tube."""
    ear = a_medicine(id="ear", form="drops", dose="5 drops", route="ear")
    steps = a_walk(EARLY, ear, meal_ml=190, **unknown)

    assert ids(steps) == ["wash-hands", "look", "check-mark", "medicine-ear", "wash-up"]
    assert steps[2].title == "Ask the vet about the tube"


@pytest.mark.hazard("H16")
@pytest.mark.parametrize(
    ("by_mouth", "said", "is_asked"),
    [
        ("nothing", "Nothing by mouth: no food, no water, no treat.", True),
        ("water", "By mouth only water.", False),
        ("food and water", "Food and water by mouth as the vet said.", False),
        (None, "Nobody has said what may go by mouth: give nothing by mouth and ask the vet.", True),
    ],
)
def test_the_rule_for_the_mouth_is_the_first_line(by_mouth, said, is_asked):
    """An animal that gets nothing by mouth has it confirmed before the first step."""
    first = a_walk(meal_ml=60, by_mouth=by_mouth)[0]

    assert first.detail == said
    assert (first.ask is not None) == is_asked


@pytest.mark.hazard("H16")
def test_a_medicine_by_mouth_is_refused_where_nothing_goes_by_mouth():
    """The plan contradicts itself: ask, do not choose."""
    with pytest.raises(BadPlan, match=r"Do not give it by mouth\. Ask the vet how it should be given"):
        a_walk(a_tablet(), meal_ml=60)


@pytest.mark.hazard("H22")
def test_medicines_that_must_be_apart_never_share_a_session():
    """Whichever of the two says so."""
    apart = a_medicine(id="apart", name="Apart", apart_from=({"medicine": "any", "hours": 2},))

    for orders in ((apart, ANY), (ANY, apart)):
        with pytest.raises(BadPlan, match=r"Allowed: 2 hours between them\. Move one of them to another session"):
            a_walk(*orders)


@pytest.mark.hazard("H22")
def test_the_wait_is_the_longest_any_medicine_asks_for():
    """And it is named for whom one waits."""
    wait = next(step for step in a_walk(LATER, EARLY, meal_ml=60) if step.kind is StepKind.WAIT)

    assert (wait.minutes, wait.reason) == (30, "Early should be in for 30 minutes before food.")


def test_medicines_outside_the_tube_have_their_places():
    """Breathing comes before food, skin and ears after it, tablets by mouth where food is."""
    mist = a_medicine(id="mist", form="nebulizer vial", dose="1 vial", route="nebulizer")
    ear = a_medicine(id="ear", form="drops", dose="5 drops", route="ear")
    tablet = a_tablet(id="tablet")

    assert ids(a_walk(ear, tablet, mist, meal_ml=60, by_mouth="water")) == [
        "wash-hands", "look", "medicine-mist", "check-mark", "check-skin", "flush-before", "medicine-tablet", "stir",
        "fill-1", "flush-after", "close-tube",
        "upright", "medicine-ear", "wash-up",
    ]  # fmt: skip


def test_no_tube_step_without_need():
    """Ear drops at noon need no flush, and no orders about water."""
    ear = a_medicine(id="ear", form="drops", dose="5 drops", route="ear")

    assert ids(a_walk(ear, flush_before_ml=None, flush_between_ml=None, flush_after_ml=None)) == [
        "wash-hands", "medicine-ear", "wash-up",
    ]  # fmt: skip


@pytest.mark.parametrize("missing", ["flush_before_ml", "flush_between_ml", "flush_after_ml"])
def test_a_flush_that_nobody_ordered_is_a_question(missing):
    """Water is an order too."""
    with pytest.raises(NotStated, match="Ask the vet how much water to flush with"):
        a_walk(ANY, meal_ml=60, **{missing: None})


def test_fills_that_are_not_the_meal_are_refused():
    """The sum a person gives is the sum that was planned."""
    with pytest.raises(OutOfRange, match=r"Fills of 60 mL for a meal of 190 mL"):
        a_walk(meal_ml=190, fills=fills(total_ml=60, syringe=SIXTY))


def test_water_of_a_session_counts_flushes_and_what_carries_tablets():
    """All of it ends in the animal."""
    crushed = a_tablet(id="crushed", route="tube", crush="allowed", carrier_water_ml=8)

    assert water_ml(a_walk(crushed, ANY, meal_ml=60)) == 10 + 8 + 5 + 5 + 20


@given(
    orders=st.permutations([EARLY, LATER, ANY, WITH]).flatmap(
        lambda order: st.integers(0, 4).map(lambda count: order[:count])
    ),
    meal_ml=st.sampled_from([0, 45, 60, 190, 400]),
)
def test_every_session_keeps_the_rules(orders, meal_ml):
    """Whatever is due: ids that are unique, water around each medicine, and exactly the meal."""
    steps = a_walk(*orders, meal_ml=meal_ml)
    kinds = [step.kind for step in steps]

    assert len(set(ids(steps))) == len(steps)
    assert ids(steps) == ids(a_walk(*orders, meal_ml=meal_ml))
    flushes = kinds.count(StepKind.FLUSH)
    assert flushes == (len(orders) + 1 + bool(meal_ml) if orders or meal_ml else 0)
    for place, step in enumerate(steps):
        if step.kind is StepKind.MEDICINE:
            assert kinds[place + 1] is StepKind.FLUSH
            assert kinds[place - 1] in (StepKind.FLUSH, StepKind.WAIT)
    assert sum(step.ml for step in steps if step.kind is StepKind.FILL) == meal_ml


def test_a_medicine_says_what_it_is_for_and_to_which_line():
    """Purpose, amount and line beside the reason for its place."""
    step = next(step for step in a_walk(a_medicine(purpose="less acid")) if step.kind is StepKind.MEDICINE)

    assert (step.title, step.reason) == ("Give Drug: 5 mL through the tube", "Is due now. For: less acid.")
    assert step.detail == "Fill the 10 mL syringe to the line at 5."
    assert (step.ml, step.medicine_id) == (5, "drug")


@pytest.mark.parametrize(
    ("meal_ml", "pace", "said"),
    [
        (15, 20, "over 45 seconds."),
        (20, 20, "over 1 minute."),
        (45, 20, "over 2 minutes 15 seconds."),
        (60, 20, "over 3 minutes."),
    ],
)
def test_the_time_of_a_fill_is_said_as_a_clock_shows_it(meal_ml, pace, said):
    """Minutes and seconds, no decimals."""
    fill = next(step for step in a_walk(meal_ml=meal_ml, pace_ml_per_minute=pace) if step.kind is StepKind.FILL)

    assert f"Push it in {said}" in fill.detail


def test_a_meal_may_be_off_by_the_rounding_of_its_last_fill_and_no_more():
    """Half a step is rounding, a whole one is another meal."""
    assert [step.ml for step in a_walk(meal_ml=190.4) if step.kind is StepKind.FILL] == [60, 60, 60, 10]
    with pytest.raises(OutOfRange, match=r"Fills of 190 mL for a meal of 190\.6 mL"):
        a_walk(meal_ml=190.6, fills=fills(total_ml=190, syringe=SIXTY))


@pytest.mark.hazard("H12")
def test_a_button_without_a_length_mark_is_checked_by_its_seat():
    """It has no mark at the skin; nothing else changes."""
    steps = a_walk(meal_ml=60, mark_at_skin_cm=None, is_low_profile=True)
    check = next(step for step in steps if step.id == "check-mark")

    assert check.ask == "Does it sit flat at the skin, and turn freely?"
    assert check.if_no == "Stop. Nothing goes into the tube. Call the vet."
    assert "fill-1" in ids(steps)


@pytest.mark.hazard("H14")
def test_food_is_stirred_and_tested_on_the_wrist_before_the_first_fill():
    """And the tube is closed before the animal is held upright."""
    steps = ids(a_walk(EARLY, meal_ml=60))

    assert steps.index("stir") == steps.index("fill-1") - 1
    assert steps.index("close-tube") == steps.index("upright") - 1
    assert steps[-1] == "wash-up"


@pytest.mark.hazard("H12")
def test_what_is_not_known_about_the_tube_is_named():
    """So that the vet can be asked for just that."""
    assert "what kind of tube this is" in a_walk(meal_ml=60, tube_kind=None)[2].detail
    assert "which mark of the tube belongs at the skin" in a_walk(meal_ml=60, mark_at_skin_cm=None)[2].detail


def test_a_flush_of_no_water_is_an_order_too():
    """Stated as none: it is a step, and adds no water."""
    steps = a_walk(ANY, EARLY, flush_between_ml=0)

    assert [step.ml for step in steps if step.kind is StepKind.FLUSH] == [10, 0, 20]
    assert water_ml(steps) == 30
    with pytest.raises(OutOfRange, match=r"flush_between_ml = -1 mL\. .*Read the vet's order again"):
        a_walk(ANY, flush_between_ml=-1)


def test_a_tablet_without_water_adds_none():
    """By mouth, or without a word on how much."""
    assert water_ml(a_walk(a_tablet(), by_mouth="water")) == 0


def test_a_meal_less_than_nothing_is_refused():
    """And so is one without its fills."""
    with pytest.raises(OutOfRange, match="Enter 0 for a session without a meal"):
        a_walk(meal_ml=-1, fills=())
    with pytest.raises(OutOfRange, match=r"Fills of 0 mL for a meal of 0\.4 mL"):
        a_walk(meal_ml=0.4, fills=())


def test_the_coarsest_syringe_says_how_far_a_meal_may_be_rounded():
    """Half of its step."""
    mixed = (*fills(total_ml=60, syringe=SIXTY), *fills(total_ml=0.4, syringe=SHELF[0]))

    assert [step.ml for step in a_walk(meal_ml=60.9, fills=mixed) if step.kind is StepKind.FILL] == [60, 0.4]


def test_right_before_food_needs_no_wait():
    """No minutes are none."""
    assert "wait" not in ids(a_walk(a_medicine(food={"relation": "before", "minutes": 0}), meal_ml=60))


@pytest.mark.hazard("H12")
def test_only_the_first_flush_is_a_test():
    """It is slow, lukewarm and asked about; the others clear the tube."""
    first, *others = [step for step in a_walk(EARLY, meal_ml=60) if step.kind is StepKind.FLUSH]

    assert (first.ask, first.detail) == ("Did it go in easily, without a cough or distress?", "Lukewarm, slowly.")
    assert all((step.ask, step.if_no, step.detail) == (None, None, "") for step in others)


def test_each_step_says_whose_word_it_is():
    """The vet's where it was stated, else what is common practice."""
    assert a_walk(meal_ml=60)[0].source == "the vet's order"
    assert a_walk(meal_ml=60, by_mouth=None)[0].source == "common practice, no source"


@pytest.mark.hazard("H32")
def test_what_is_on_hold_has_a_step_and_no_mark():
    """Right after the hands; it takes no flush, no gap to others, and no tube of its own."""
    held = a_medicine(id="held", name="Sucralfate", held="Constipated.", apart_from=({"medicine": "any", "hours": 2},))
    steps = a_walk(held, ANY, flush_between_ml=5)
    step = steps[2]

    assert ids(steps) == ["wash-hands", "look", "medicine-held", "check-mark", "check-skin", "flush-before",
                          "medicine-any", "flush-after-any", "wash-up"]  # fmt: skip
    assert (step.title, step.detail, step.hold) == ("Sucralfate is on hold: give none", "Constipated.", "Constipated.")
    assert (step.mark, step.ml, step.label, step.kind) == (None, None, (), StepKind.MEDICINE)
    assert step.reason.startswith("The vet has it stopped for now.")
    assert ids(a_walk(held)) == ["wash-hands", "medicine-held", "wash-up"]
    by_mouth = a_medicine(id="held", route="mouth", held="Vomits.")
    assert ids(a_walk(by_mouth, by_mouth="nothing")) == ["wash-hands", "medicine-held", "wash-up"]


@pytest.mark.hazard("H3")
@pytest.mark.parametrize(
    ("order", "label"),
    [
        (ANY, ("5 mg through the tube", "The label says 1 mg/mL")),
        (a_tablet(), ("10 mg by mouth", "The label says 10 mg in each tablet")),
        (
            a_medicine(form="powder", strength="250 mg/sachet", dose="250 mg"),
            ("250 mg through the tube", "The label says 250 mg in each sachet"),
        ),
        (
            a_medicine(form="drops", strength="not stated", dose="3 drops", route="ear"),
            ("Goes into the ear",),
        ),
    ],
    ids=["a liquid", "a tablet", "a powder", "drops of no known strength"],
)
def test_a_dose_names_its_mass_and_what_the_label_must_say(order, label):
    """So that the bottle in the hand is held against the order each time."""
    drawn = draw(order, weight_kg=17, syringes=SHELF)
    mass = ordered_dose(order, weight_kg=17).value if order.strength else None
    given = DrawnMedicine(medicine=order, drawn=drawn.value, mass=mass)
    steps = a_walk(medicines=[given], by_mouth="food and water")

    assert next(step.label for step in steps if step.medicine_id) == label


@pytest.mark.hazard("H21")
@pytest.mark.parametrize(
    ("order", "words"),
    [
        (
            a_tablet(route="tube", crush="allowed", carrier_water_ml=8),
            "Crush it finely, in 8 mL of water, stirred just",
        ),
        (
            a_medicine(form="capsule", strength="10 mg/capsule", dose="10 mg", crush="allowed", carrier_water_ml=8),
            "Open it, in 8 mL of water, stirred just",
        ),
        (
            a_medicine(form="powder", strength="250 mg/sachet", dose="250 mg", carrier_water_ml=8),
            "In 8 mL of water, stirred just",
        ),
        (a_tablet(), ""),
    ],
    ids=["a tablet", "a capsule", "a powder", "by mouth"],
)
def test_what_is_not_a_liquid_says_how_it_goes_through_the_tube(order, words):
    """Crushed, opened or stirred; by mouth nothing of it."""
    step = next(step for step in a_walk(order, by_mouth="food and water") if step.medicine_id)

    assert step.detail.startswith(words)
    assert ("water" in step.detail) == bool(words)


def test_what_must_be_heard_stands_apart_from_how_it_is_done():
    """What is new in a course, then what the mark cautions of; a second reader is named with the how."""
    order = a_medicine(second_check=True, dose="0.6 mg")
    drawn = draw(order, weight_kg=17, syringes=[a_syringe(1, 0.01, 0.1, tip="enteral")]).value
    given = DrawnMedicine(medicine=order, drawn=drawn, notes=("New from today: 0.6 mg.",), why="Its own time is 06:30.")
    step = next(step for step in a_walk(medicines=[given]) if step.medicine_id)

    assert step.notes == ("New from today: 0.6 mg.", *drawn.cautions)
    assert drawn.cautions
    assert step.detail.endswith("A second person reads it before it is given.")
    assert step.reason.endswith("Its own time is 06:30.")
