"""What the vet ordered, and what that is in mL or tablet parts."""

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from fillmark.core.orders.dose_text import read_dose
from fillmark.core.orders.dosing_days import amount_on, course_day, dose_on, is_dosing_day, ordered_dose
from fillmark.core.orders.drawing import dose_volume, draw
from fillmark.core.orders.medicine import Medicine, read_strength
from fillmark.core.orders.tablets import tablet_parts
from fillmark.core.values.document import read_document
from fillmark.core.values.errors import CannotDraw, FillmarkError, NotStated, OutOfRange, WrongUnit
from fillmark.core.values.quantities import Mass
from tests.support.medicines import ONE, SHELF, a_medicine, a_syringe, a_tablet

ORDER = {
    "id": "drug",
    "name": "Drug",
    "form": "liquid",
    "strength": "1 mg/mL",
    "dose": "5 mg",
    "route": "tube",
    "every_hours": 12,
}


@pytest.mark.hazard("H3")
def test_another_bottle_gives_another_amount_for_the_same_order():
    """The order is a mass: only the mL follows the bottle."""
    weak, strong = a_medicine(strength="1 mg/mL"), a_medicine(strength="10 mg/mL")

    assert ordered_dose(weak, weight_kg=17).value == ordered_dose(strong, weight_kg=17).value == Mass(Decimal(5))
    assert str(dose_volume(weak, weight_kg=17).value) == "5 mL"
    assert str(dose_volume(strong, weight_kg=17).value) == "0.5 mL"


@pytest.mark.hazard("H3")
@pytest.mark.parametrize("dose", ["2 mL", "2ml", "0.1 mL/kg", "2 cc"])
def test_no_order_is_a_volume(dose):
    """ "Same mL, new strength" cannot even be written down."""
    with pytest.raises(WrongUnit) as refused:
        read_dose(dose, form="liquid")

    assert "The same mL of another bottle can be ten times as much" in str(refused.value)


@pytest.mark.hazard("H4")
@pytest.mark.parametrize(
    "changed", [{"dose": ".5 mg"}, {"dose": "5.0 mg"}, {"strength": ".5 mg/mL"}, {"dose": "1,000 mg"}]
)
def test_a_number_that_invites_a_tenfold_slip_is_refused(changed):
    """In the dose and in the strength alike."""
    with pytest.raises(FillmarkError) as refused:
        read_document(Medicine, {**ORDER, **changed})

    assert refused.value.code == "bad-number"


def test_a_dose_per_kg_is_worked_out_for_the_weight_it_was_made_for():
    """Not for the weight of today: only the vet changes a dose."""
    found = ordered_dose(a_medicine(dose="0.3 mg/kg", dose_for_weight_kg=17.4), weight_kg=18)

    assert str(found.value) == "5.22 mg"
    assert found.because == "Drug: 0.3 mg/kg × 17.4 kg = 5.22 mg"
    assert found.cautions == ()


@pytest.mark.hazard("H5")
def test_a_weight_that_moved_by_more_than_a_tenth_is_asked_about():
    """Growth, loss, or a scale that showed pounds: the vet is asked, the dose stays."""
    found = ordered_dose(a_medicine(dose="1 mg/kg", dose_for_weight_kg=10), weight_kg=22)

    assert found.value == Mass(Decimal(10))
    assert found.cautions == (
        "Drug was ordered for 10 kg; the weight is now 22 kg (+120%). Ask the vet whether the dose still holds.",
    )


def test_a_dose_per_kg_without_its_weight_is_a_question():
    """Nothing is guessed in its place."""
    with pytest.raises(NotStated) as asked:
        ordered_dose(a_medicine(dose="1 mg/kg"), weight_kg=10)

    assert asked.value.exit_code == 3
    assert "Ask the vet which weight the dose was worked out for." in str(asked.value)


def test_a_bottle_without_a_strength_is_a_question():
    """Nothing is guessed in its place."""
    with pytest.raises(NotStated, match="Drug without a strength"):
        draw(a_medicine(strength="not stated"), weight_kg=10, syringes=SHELF)
    with pytest.raises(NotStated, match="Drug without a strength"):
        draw(a_tablet(strength="not stated"), weight_kg=10, syringes=SHELF)


def test_the_whole_working_can_be_read():
    """From the order to the line on the syringe, first things first."""
    found = draw(a_medicine(dose="0.3 mg/kg", dose_for_weight_kg=17.4), weight_kg=17.4, syringes=SHELF)

    assert list(found.working()) == [
        "Drug: 0.3 mg/kg × 17.4 kg = 5.22 mg",
        "5.22 mg ÷ 1 mg/mL = 5.22 mL",
        "4% of 5.2 mL = 0.208 mL either way",
        "5.22 mL in the 10 mL syringe (a line every 0.2 mL): the first small line after 5 = 5.2 mL, 0.4% less",
    ]


@pytest.mark.parametrize(
    ("dose", "parts", "count", "reading"),
    [
        ("10 mg", 1, Fraction(1), "one tablet"),
        ("20 mg", 1, Fraction(2), "two tablets"),
        ("5 mg", 2, Fraction(1, 2), "half a tablet"),
        ("15 mg", 2, Fraction(3, 2), "one and a half tablets"),
        ("2.5 mg", 4, Fraction(1, 4), "a quarter of a tablet"),
        ("7.5 mg", 4, Fraction(3, 4), "three quarters of a tablet"),
        ("100 mg", 1, Fraction(10), "ten tablets"),
        ("110 mg", 1, Fraction(11), "11 tablets"),
        ("120 mg", 1, Fraction(12), "12 tablets"),
    ],
)
def test_tablets_are_counted_in_the_parts_their_score_lines_allow(dose, parts, count, reading):
    """Said in words, since a fraction is misread."""
    found = tablet_parts(a_tablet(dose=dose, tablet_parts=parts), weight_kg=10).value

    assert (found.count, found.reading, found.error_fraction) == (count, reading, 0)


def test_a_tablet_without_a_score_line_is_never_split():
    """The nearest whole one is too far off, so the vet is asked."""
    with pytest.raises(CannotDraw, match=r"15 mg, when the nearest this household can measure is 10 mg in one tablet"):
        tablet_parts(a_tablet(dose="15 mg"), weight_kg=10)


def test_a_rounded_tablet_shows_how_far_it_is_off():
    """5 to 10 % is said aloud, and splitting gets its caution."""
    found = tablet_parts(a_tablet(dose="5.3 mg", tablet_parts=2), weight_kg=10)

    assert found.value.cautions == (
        "Rounded from 5.3 mg to 5 mg in half a tablet: 5.7% less than ordered.",
        "Split it along its line just before it is given; halves are rarely equal.",
    )


@pytest.mark.hazard("H21")
@pytest.mark.parametrize("form", ["tablet", "capsule"])
def test_what_must_not_be_crushed_never_goes_through_a_tube(form):
    """Unknown is not allowed; each refusal says what to do."""
    order = {"form": form, "strength": f"10 mg/{form}", "route": "tube"}

    with pytest.raises(
        CannotDraw, match=r"must not be crushed or opened, through a tube.*Do not crush it\. Ask the vet"
    ):
        draw(a_tablet(**order, crush="not allowed"), weight_kg=10, syringes=SHELF)
    with pytest.raises(NotStated, match=r"no word on crushing.*Do not crush it\. Ask the vet or the pharmacy first"):
        draw(a_tablet(**order), weight_kg=10, syringes=SHELF)


@pytest.mark.hazard("H21")
def test_a_crushed_tablet_is_given_whole_in_its_water():
    """A part of a suspension is a part of nobody knows what."""
    found = draw(a_tablet(route="tube", crush="allowed", carrier_water_ml=10), weight_kg=10, syringes=SHELF).value

    assert found.water_ml == 10
    assert found.cautions == ("Give all of it and rinse the cup: a part of it may hold too much or too little.",)


@pytest.mark.parametrize(
    ("form", "dose", "strength", "reading"),
    [
        ("drops", "5 drops", "1 %", "five drops"),
        ("nebulizer vial", "1 vial", "0.9 %", "one vial"),
        ("powder", "2 sachets", "not stated", "two sachets"),
        ("capsule", "20 mg", "10 mg/capsule", "two capsules"),
    ],
)
def test_other_forms_are_counted(form, dose, strength, reading):
    """Where no mass is ordered, the count is the order."""
    route = {"drops": "ear", "nebulizer vial": "nebulizer"}.get(form, "mouth")
    order = a_medicine(form=form, dose=dose, strength=strength, route=route)

    assert draw(order, weight_kg=10, syringes=SHELF).value.reading == reading


def test_a_vial_measured_by_volume_is_drawn():
    """A mass of a liquid is a line on a syringe, whatever it comes in."""
    order = a_medicine(form="nebulizer vial", dose="2.5 mg", strength="2.5 mg/3 mL", route="nebulizer")

    assert draw(order, weight_kg=10, syringes=SHELF).value.reading == "the line at 3"


def test_a_number_of_tablets_is_no_order():
    """The next box may hold another strength."""
    with pytest.raises(WrongUnit):
        read_dose("2 tablets", form="tablet")


def test_a_taper_follows_the_steps_the_vet_wrote():
    """Each day has the dose of the last step that has begun."""
    steps = ({"from_on": date(2026, 12, 1), "dose": "4 mg"}, {"from_on": date(2026, 12, 15), "dose": "3 mg"})
    order = a_medicine(steps=steps, start_on=date(2026, 11, 20), stop_on=date(2026, 12, 31))

    assert [dose_on(order, on=date(2026, *day)) for day in ((11, 30), (12, 1), (12, 14), (12, 15))] == [
        "5 mg", "4 mg", "4 mg", "3 mg",
    ]  # fmt: skip
    assert str(ordered_dose(order, weight_kg=10, on=date(2026, 12, 20)).value) == "3 mg"
    assert course_day(order, on=date(2026, 11, 20)) == 1
    assert course_day(order, on=date(2026, 12, 31)) == 42
    assert course_day(order, on=date(2026, 11, 19)) is None
    assert course_day(order, on=date(2027, 1, 1)) is None


@pytest.mark.parametrize(
    ("changed", "message"),
    [
        ({"times_per_day": 2}, "Drug with every_hours and times_per_day. Allowed: exactly one of every_hours"),
        ({"every_hours": None}, "no word on how often"),
        ({"clocks": ("08:00",)}, "Drug every 12 hours, with 1 times of day. Allowed: 2 times of day"),
        ({"clocks": ("08:00", "08:00")}, "Drug twice at the same time of day"),
        ({"every_hours": None, "times_per_day": 3, "clocks": ("08:00",)}, "Drug 3 times a day, with 1 times of day"),
        ({"every_hours": None, "with_each_meal": True, "clocks": ("08:00",)}, "Drug with each meal, with times of day"),
        ({"food": {"relation": "before"}}, 'Drug "before", without how long before food'),
        ({"apart_from": ({"medicine": "drug", "hours": 2},)}, "Drug apart from itself"),
        ({"start_on": "2026-02-02", "stop_on": "2026-02-01"}, "Drug from 2 February 2026 to 1 February 2026"),
        ({"start_on": "2026-02-30"}, "a day that exists"),
        (
            {"steps": ({"from_on": "2026-02-02", "dose": "1 mg"}, {"from_on": "2026-02-01", "dose": "2 mg"})},
            "not in order",
        ),
        ({"form": "tablet"}, "of a tablet. Allowed: a mass in each tablet, such as 5 mg/tablet"),
        ({"form": "tablet", "strength": "5 mg/tablet", "route": "ear"}, "A tablet by the route ear"),
        ({"form": "tablet", "strength": "0 mg/tablet"}, "more than 0 mg"),
        ({"dose": "0 mg"}, "Allowed: more than 0"),
        ({"dose": "5 mcg/mL"}, "Write"),
        ({"dose": "5 µg"}, 'Write "mcg"'),
        ({"every_hours": 0.1}, "0.5 to 744 hours"),
        ({"color": "blue"}, "not known here"),
    ],
)
def test_an_order_that_cannot_be_meant_is_refused(changed, message):
    """One message, in words."""
    with pytest.raises(FillmarkError) as refused:
        read_document(Medicine, {**ORDER, **changed})

    assert message in str(refused.value)


def test_sachets_of_known_mass_are_a_mass():
    """So that they can be held to print like any other dose."""
    order = a_medicine(form="powder", dose="2 sachets", strength="250 mg/sachet", route="mouth")

    assert str(ordered_dose(order, weight_kg=10).value) == "500 mg"
    assert ordered_dose(order, weight_kg=10).because == "Drug: 2 sachets × 250 mg = 500 mg"


def test_drops_of_unknown_mass_have_none():
    """Nothing is guessed in its place."""
    with pytest.raises(NotStated, match=r"Drug in 5 drops, without what one drop holds"):
        ordered_dose(a_medicine(form="drops", dose="5 drops", route="ear"), weight_kg=10)


def test_half_a_drop_is_refused():
    """What is counted comes whole."""
    with pytest.raises(CannotDraw, match=r"Drug: 2\.5 drops\. Allowed: a whole number of drops"):
        draw(a_medicine(form="drops", dose="2.5 drops", route="ear"), weight_kg=10, syringes=SHELF)


def test_liquids_are_drawn_and_tablets_counted():
    """Neither is taken for the other."""
    with pytest.raises(WrongUnit, match=r"Drug of 10 mg/tablet, to be drawn up\..* It is given by the tablet\."):
        dose_volume(a_tablet(), weight_kg=10)
    with pytest.raises(WrongUnit, match=r"Drug, a liquid, counted in pieces\..* Draw it up in a syringe\."):
        tablet_parts(a_medicine(), weight_kg=10)
    with pytest.raises(WrongUnit, match=r"Drug of 10 mg/mL, counted in drops\. Allowed: a mass in each drop"):
        tablet_parts(a_medicine(form="drops", strength="1 %"), weight_kg=10)


def test_a_tie_between_two_counts_takes_the_lower():
    """Half way is never more than was ordered; here both are too far off."""
    with pytest.raises(CannotDraw, match=r"is 0 mg in no tablets \(100\.0% off\)"):
        tablet_parts(a_tablet(dose="5 mg"), weight_kg=10)


@pytest.mark.hazard("H7")
def test_a_syringe_whose_tip_goes_with_the_route_is_taken_first():
    """Even where another one would hold the dose too."""
    oral = a_syringe(1, 0.01, 0.1, tip="oral")

    assert draw(a_medicine(dose="0.8 mg"), weight_kg=10, syringes=[oral, ONE]).value.syringe == ONE
    by_mouth = draw(a_medicine(dose="0.8 mg", route="mouth"), weight_kg=10, syringes=[oral, ONE])
    assert (by_mouth.value.syringe, by_mouth.cautions) == (oral, ())


@pytest.mark.hazard("H7")
def test_a_tip_that_does_not_go_with_the_route_is_a_question():
    """The dose can be measured; whether the syringe joins is for the person to see."""
    oral = a_syringe(1, 0.01, 0.1, tip="oral")
    through_tube = draw(a_medicine(dose="0.8 mg"), weight_kg=10, syringes=[oral, SHELF[3]])
    by_mouth = draw(a_medicine(dose="40 mg", route="mouth"), weight_kg=10, syringes=[oral, SHELF[3]])

    assert through_tube.value.syringe == oral
    assert (
        through_tube.cautions
        == through_tube.value.cautions
        == (
            "Does the 1 mL syringe fit? An oral tip does not lock onto a feeding tube, and can slip off and spill the "
            "dose. Ask for a syringe with a low-dose enteral tip.",
        )
    )
    assert through_tube.figures[-1].id == "syringe.misfit_oral_tube"
    assert by_mouth.cautions == (
        "Does the 60 mL syringe fit? A catheter tip is long and stiff, and can hurt a mouth. Ask for an oral syringe.",
    )


def test_no_syringe_at_all_is_told_once():
    """With and without those that do not fit."""
    with pytest.raises(CannotDraw, match="up to 0 mL"):
        draw(a_medicine(), weight_kg=10, syringes=[])
    with pytest.raises(CannotDraw, match="up to 1 mL"):
        draw(a_medicine(dose="5 mg"), weight_kg=10, syringes=[a_syringe(1, 0.01, 0.1, tip="oral")])


@pytest.mark.parametrize(
    ("most", "one_too_many"),
    [
        (
            {"every_hours": None, "times_per_day": 24, "clocks": [f"{hour:02}:00" for hour in range(24)]},
            {"every_hours": None, "times_per_day": 24, "clocks": [f"{hour:02}:00" for hour in range(24)] + ["00:30"]},
        ),
        (
            {"apart_from": [{"medicine": f"drug-{number}", "hours": 1} for number in range(40)]},
            {"apart_from": [{"medicine": f"drug-{number}", "hours": 1} for number in range(41)]},
        ),
        (
            {
                "steps": [
                    {"from_on": f"{2026 + number // 12}-{number % 12 + 1:02}-01", "dose": "1 mg"}
                    for number in range(60)
                ]
            },
            {
                "steps": [
                    {"from_on": f"{2026 + number // 12}-{number % 12 + 1:02}-01", "dose": "1 mg"}
                    for number in range(61)
                ]
            },
        ),
    ],
)
def test_lists_have_an_end(most, one_too_many):
    """A plan that runs on for ever is a slip of a program, not an order."""
    read_document(Medicine, {**ORDER, **most})
    with pytest.raises(FillmarkError, match=r"Allowed: (24|40|60) or fewer"):
        read_document(Medicine, {**ORDER, **one_too_many})


def test_once_every_24_hours_has_one_time_of_day():
    """Two times a day would be another order."""
    with pytest.raises(FillmarkError, match=r"Drug every 24 hours, with 2 times of day\. Allowed: 1 times of day"):
        read_document(Medicine, {**ORDER, "every_hours": 24, "clocks": ("08:00", "20:00")})


def test_a_course_of_one_day_is_a_course():
    """Its first day is its last."""
    order = a_medicine(start_on=date(2026, 12, 1), stop_on=date(2026, 12, 1))

    assert course_day(order, on=date(2026, 12, 1)) == 1


def test_a_wrong_step_is_named():
    """Which of the doses it was."""
    with pytest.raises(FillmarkError) as refused:
        read_document(Medicine, {**ORDER, "steps": ({"from_on": "2026-02-01", "dose": "1 mL"},)})

    assert "steps[1].dose" in str(refused.value)
    with pytest.raises(FillmarkError) as refused:
        read_document(Medicine, {**ORDER, "dose": "1 mL"})
    assert '"1 mL" for dose, in a volume' in str(refused.value)


@pytest.mark.parametrize(("start", "end"), [("1", "mL"), ("0", "mg")])
def test_a_long_slip_is_shown_short(start, end):
    """Forty characters are enough to find it."""
    with pytest.raises(WrongUnit) as refused:
        read_dose(f"{start}{' ' * 60}{end}", form="liquid")

    assert str(refused.value).startswith(f'"{start}{" " * 39}" for dose')


@pytest.mark.hazard("H5")
@pytest.mark.parametrize(("weight_kg", "is_asked"), [(11, False), (9, False), (11.1, True), (8.9, True), (15, True)])
def test_exactly_a_tenth_is_not_more_than_a_tenth(weight_kg, is_asked):
    """Whatever binary digits say."""
    found = ordered_dose(a_medicine(dose="1 mg/kg", dose_for_weight_kg=10), weight_kg=weight_kg)

    assert bool(found.cautions) is is_asked


def test_a_weight_that_cannot_be_is_refused():
    """Even where the dose does not hang on it."""
    with pytest.raises(OutOfRange, match="weight_kg"):
        ordered_dose(a_medicine(), weight_kg=0.01)


def test_water_goes_with_what_is_crushed_for_a_tube_and_with_nothing_else():
    """A tablet by mouth and drops through a tube need none."""
    crushed = {"route": "tube", "crush": "allowed", "carrier_water_ml": 10}

    assert tablet_parts(a_tablet(**crushed), weight_kg=10).value.water_ml == 10
    assert tablet_parts(a_tablet(carrier_water_ml=10), weight_kg=10).value.water_ml is None
    drops = a_medicine(form="drops", dose="5 drops", strength="not stated", carrier_water_ml=10)
    assert tablet_parts(drops, weight_kg=10).value.water_ml is None
    powder = a_medicine(form="powder", dose="1 sachet", strength="not stated", carrier_water_ml=10)
    assert tablet_parts(powder, weight_kg=10).value.water_ml == 10


def test_what_is_counted_as_ordered_is_not_off():
    """Five drops are five drops."""
    order = a_medicine(form="drops", dose="5 drops", strength="not stated", route="ear")

    assert tablet_parts(order, weight_kg=10).value.error_fraction == 0


def test_a_capsule_is_never_halved():
    """It has no score line, whatever the order says of tablets."""
    order = a_medicine(form="capsule", dose="15 mg", strength="10 mg/capsule", route="mouth", tablet_parts=2)

    with pytest.raises(CannotDraw, match=r"15 mg, when the nearest this household can measure is 10 mg in one capsule"):
        tablet_parts(order, weight_kg=10)


@pytest.mark.hazard("H21")
def test_a_half_that_is_crushed_has_both_cautions():
    """Splitting and rinsing, in the value and in its explanation."""
    order = a_tablet(dose="5 mg", tablet_parts=2, route="tube", crush="allowed", carrier_water_ml=5)
    found = tablet_parts(order, weight_kg=10)

    assert (
        found.value.cautions
        == found.cautions
        == (
            "Split it along its line just before it is given; halves are rarely equal.",
            "Give all of it and rinse the cup: a part of it may hold too much or too little.",
        )
    )


@pytest.mark.parametrize(
    ("dose", "because"),
    [
        ("10 mg", "10 mg ÷ 10 mg in each tablet = one tablet"),
        ("9.8 mg", "9.8 mg ÷ 10 mg in each tablet = one tablet (10 mg, 2.0% more)"),
        ("10.2 mg", "10.2 mg ÷ 10 mg in each tablet = one tablet (10 mg, 2.0% less)"),
    ],
)
def test_the_working_of_tablets_says_how_far_they_are_off(dose, because):
    """And nothing where they are not."""
    assert tablet_parts(a_tablet(dose=dose), weight_kg=10).because == because


@pytest.mark.hazard("H11")
@pytest.mark.parametrize(("every_hours", "clocks"), [(36, ("08:00",)), (48, ("08:00", "20:00"))])
def test_a_rhythm_that_no_time_of_day_can_keep_is_refused(every_hours, clocks):
    """Every 36 hours by the clock would lose every other dose; two times on one day would double it."""
    with pytest.raises(FillmarkError) as refused:
        read_document(Medicine, {**ORDER, "every_hours": every_hours, "clocks": clocks})

    assert f"Drug every {every_hours} hours, with {len(clocks)} times of day" in str(refused.value)
    assert "Allowed: one time of day, and a whole number of days" in str(refused.value)
    read_document(Medicine, {**ORDER, "every_hours": every_hours})
    read_document(Medicine, {**ORDER, "every_hours": 48, "clocks": ("08:00",)})


def test_a_dose_every_other_day_has_its_own_days():
    """Counted from the first; none while it is not stated."""
    order = a_medicine(every_hours=48, start_on=date(2026, 11, 22))

    assert [is_dosing_day(order, on=date(2026, 11, day)) for day in range(20, 27)] == [
        False, False, True, False, True, False, True,
    ]  # fmt: skip
    assert not is_dosing_day(a_medicine(every_hours=48), on=date(2026, 11, 22))
    assert is_dosing_day(a_medicine(every_hours=24), on=date(2026, 11, 22))
    assert is_dosing_day(a_medicine(with_each_meal=True), on=date(2026, 11, 22))


def test_a_text_is_read_once():
    """A dose and a strength are parsed where the plan is read; each later use gets the value that was read then."""
    one, other = (read_document(Medicine, {**ORDER, "dose": "2.625 mg", "strength": "1.75 mg/mL"}) for _ in range(2))

    assert amount_on(one) is amount_on(other)
    assert read_strength(one) is read_strength(other)
    changed = one.model_copy(update={"dose": "5 mg", "strength": "3.5 mg/mL"})
    assert (str(amount_on(changed)), str(read_strength(changed))) == ("5 mg", "3.5 mg/mL")
