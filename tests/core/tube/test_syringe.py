"""Which syringe, and to which mark."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fillmark.core.tube.mark import fills, find_mark
from fillmark.core.tube.syringe import (
    Syringe,
    dead_space,
    height_fraction,
    scale_lines,
    smallest_measurable_ml,
    tip_misfit,
    tolerance_ml,
)
from fillmark.core.values.document import read_document
from fillmark.core.values.errors import CannotDraw, FillmarkError, OutOfRange
from fillmark.core.values.quantities import Strength, Volume
from tests.support.medicines import FIVE, ONE, SHELF, SHELVES, SIXTY, TEN, THREE, a_syringe


def mark_of(text, *syringes):
    return find_mark(volume=Volume.read(text), syringes=syringes or SHELF).value


@pytest.mark.parametrize(
    ("asked", "syringe", "reading"),
    [
        ("0.4 mL", ONE, "the line at 0.4"),
        ("0.43 mL", ONE, "the third small line after 0.4"),
        ("0.45 mL", ONE, "the middle line between 0.4 and 0.5"),
        ("0.48 mL", ONE, "the third small line after the middle line between 0.4 and 0.5"),
        ("0.05 mL", ONE, "the middle line between 0 and 0.1"),
        ("1 mL", ONE, "the line at 1"),
        ("1.5 mL", a_syringe(2, 0.25, 1), "the middle line between 1 and 2"),
        ("2.6 mL", THREE, "the first small line after 2.5"),
        ("5.2 mL", TEN, "the first small line after 5"),
        ("44 mL", SIXTY, "the fourth small line after 40"),
        ("12 mL", a_syringe(12, 0.5, 5), "the last line, 12"),
        ("12.5 mL", a_syringe(14, 0.5, 5), "the middle line after 10"),
        ("13 mL", a_syringe(14, 0.5, 5), "the first small line after the middle line after 10"),
        ("1.11 mL", a_syringe(1.13, 0.01, 1.13), "the 111th small line after 0"),
        ("11 mL", a_syringe(12, 1, 12), "the fifth small line after the middle line between 0 and 12"),
        ("11 mL", a_syringe(23, 1, 23), "the 11th small line after 0"),
        ("12 mL", a_syringe(23, 1, 23), "the 12th small line after 0"),
        ("13 mL", a_syringe(23, 1, 23), "the 13th small line after 0"),
        ("14 mL", a_syringe(23, 1, 23), "the 14th small line after 0"),
        ("21 mL", a_syringe(23, 1, 23), "the 21st small line after 0"),
        ("22 mL", a_syringe(23, 1, 23), "the 22nd small line after 0"),
        ("10 mL", a_syringe(23, 1, 23), "the tenth small line after 0"),
        ("23 mL", a_syringe(25, 1, 25), "the 23rd small line after 0"),
    ],
)
@pytest.mark.hazard("H6")
def test_a_mark_is_told_from_the_nearest_line_that_cannot_be_mistaken(asked, syringe, reading):
    """A number, or a line counted from a number or from the longer line in the middle."""
    assert mark_of(asked, syringe).reading == reading


def test_the_smallest_syringe_that_holds_it_is_taken():
    """A smaller one has finer lines."""
    assert mark_of("0.35 mL").syringe == ONE
    assert mark_of("2.8 mL").syringe == THREE
    assert mark_of("3.2 mL").syringe == TEN
    assert mark_of("60 mL").syringe == SIXTY


def test_a_larger_syringe_with_finer_lines_is_taken_where_the_smallest_is_too_coarse():
    """The rule serves the dose, not the other way round."""
    coarse = a_syringe(2, 0.5, 1)

    assert mark_of("1.2 mL", coarse, THREE).syringe == THREE
    assert mark_of("1.5 mL", coarse, THREE).syringe == coarse


def test_exact_and_drawn_are_both_kept():
    """Rounded once, and both can be shown."""
    mark = mark_of("2.85 mL")

    assert (mark.exact, mark.drawn) == (Volume(Decimal("2.85")), Volume(Decimal("2.8")))
    assert mark.error_fraction == pytest.approx(-0.0175, abs=0.0001)
    assert mark.cautions == ()


def test_a_rounding_of_five_to_ten_percent_is_shown():
    """It is drawn, and a person reads by how much it is off."""
    found = find_mark(volume=Volume.read("1.07 mL"), syringes=[a_syringe(2, 0.5, 1)])

    assert found.all_cautions()[0] == "Rounded from 1.07 mL to 1 mL in the 2 mL syringe: 6.5% less than ordered."


@pytest.mark.hazard("H6")
def test_a_rounding_over_ten_percent_goes_to_the_vet():
    """Nobody is left to guess between two lines."""
    with pytest.raises(CannotDraw) as refused:
        mark_of("0.3 mL", FIVE)

    assert str(refused.value) == (
        "0.3 mL, when the nearest this household can measure is 0.2 mL in the 5 mL syringe (33.3% off). Allowed: 10% "
        "off at most. Do not give it like this. Ask the vet for another strength, or for another syringe."
    )


def test_more_than_the_largest_syringe_holds_is_refused():
    """Two fills of a medicine are two chances to lose count."""
    with pytest.raises(CannotDraw, match=r"61 mL to draw\. Allowed: more than 0 mL, up to 60 mL"):
        mark_of("61 mL")
    with pytest.raises(CannotDraw, match=r"up to 0 mL in this household's largest syringe"):
        find_mark(volume=Volume.read("1 mL"), syringes=[])


def test_exactly_five_percent_is_silent_and_exactly_ten_is_drawn():
    """Both limits belong to the milder side."""
    assert mark_of("1 mL", a_syringe(1.9, 0.95, 0.95)).cautions == ()
    assert mark_of("1 mL", a_syringe(9, 0.9, 0.9)).cautions[0] == (
        "Rounded from 1 mL to 0.9 mL in the 9 mL syringe: 10.0% less than ordered."
    )


def test_a_rounding_up_is_told_as_more():
    """A person reads which way it is off."""
    assert "6.5% more than ordered" in mark_of("1.08 mL", a_syringe(2.3, 1.15, 1.15)).cautions[0]


@pytest.mark.hazard("H7")
def test_a_standard_enteral_tip_is_warned_of_under_one_and_a_half_ml():
    """What it displaces is more than a tenth of so small a dose; a low-dose tip does not do that."""
    standard, low_dose = a_syringe(3, 0.1, 0.5, tip="enteral"), THREE

    assert any("low-dose tip" in caution for caution in mark_of("1.4 mL", standard).cautions)
    assert mark_of("1.4 mL", low_dose).cautions == ()
    assert mark_of("1.5 mL", standard).cautions == ()
    assert (
        mark_of("0.6 mL", standard)
        .cautions[0]
        .startswith(
            "A standard enteral tip can push in about 0.148 mL more, or less, than the line shows: 25% of this dose."
        )
    )


@pytest.mark.hazard("H7")
def test_of_two_like_syringes_the_one_with_the_low_dose_tip_is_taken():
    """The household's better tool comes first."""
    assert mark_of("0.6 mL", a_syringe(1, 0.01, 0.1, tip="enteral"), ONE).syringe == ONE
    assert mark_of("2 mL", a_syringe(3, 0.1, 0.5, tip="enteral"), THREE).syringe == THREE


@pytest.mark.hazard("H7")
def test_a_larger_syringe_with_a_low_dose_tip_comes_before_a_smaller_standard_one():
    """A quarter of 0.6 mL lost in the tip is worse than coarser lines; but only where the larger one can be trusted."""
    standard = a_syringe(1, 0.01, 0.1, tip="enteral")

    assert mark_of("0.6 mL", standard, THREE).syringe == THREE
    assert mark_of("0.6 mL", standard, THREE).cautions == ()
    assert mark_of("0.5 mL", standard, THREE).syringe == standard  # too little for 3 mL
    assert mark_of("1 mL", standard, SIXTY).syringe == standard
    assert mark_of("1.5 mL", a_syringe(2, 0.1, 0.5, tip="enteral"), THREE).syringe.tip == "enteral"


def test_a_volume_too_small_for_its_syringe_is_told():
    """Lines as fine as these promise more than the syringe keeps."""
    assert mark_of("0.18 mL").cautions == (
        "Very little for a 1 mL syringe: 0.18 mL may be off by more than a tenth. "
        "Ask the vet for a weaker strength or a smaller syringe.",
    )
    assert mark_of("0.19 mL").cautions == ()
    assert mark_of("0.75 mL", a_syringe(4, 0.05, 0.5)).cautions == ()  # the smallest that the standard keeps


def test_a_tenth_of_a_ml_is_too_little_for_any_syringe():
    """Even for one whose standard would allow it."""
    half = a_syringe(0.5, 0.01, 0.1)

    assert "Very little for a 0.5 mL syringe: 0.1 mL" in mark_of("0.1 mL", half).cautions[0]
    assert mark_of("0.11 mL", half).cautions == ()


def test_a_larger_syringe_has_its_own_smallest_volume():
    """A three mL syringe is not to be trusted with a third of a mL."""
    assert any("Very little for a 3 mL syringe" in caution for caution in mark_of("0.3 mL", THREE).cautions)
    assert mark_of("0.6 mL", THREE).cautions == ()


def test_five_ml_is_the_first_of_the_large_syringes():
    """Where the standard's rows change."""
    assert tolerance_ml(volume_ml=1, size_ml=5).value == pytest.approx(0.085)
    assert tolerance_ml(volume_ml=1, size_ml=4.9).value == pytest.approx(0.0935)
    assert tolerance_ml(volume_ml=4, size_ml=5).value == pytest.approx(0.16)
    assert smallest_measurable_ml(size_ml=5).value == pytest.approx(0.8333, abs=0.0001)


def test_the_working_says_which_way_the_line_is_off():
    """More or less, of what was ordered."""
    more = find_mark(volume=Volume.read("2.86 mL"), syringes=[THREE]).because
    less = find_mark(volume=Volume.read("2.84 mL"), syringes=[THREE]).because

    assert more.endswith("= 2.9 mL, 1.4% more")
    assert less.endswith("= 2.8 mL, 1.4% less")


def test_no_syringe_is_as_exact_as_one_percent():
    """An aim that no volume can meet is refused rather than answered with a negative number."""
    with pytest.raises(OutOfRange, match=r"An aim of 1\.0%\. Allowed: more than 2%"):
        smallest_measurable_ml(size_ml=1, within_fraction=0.01)


@pytest.mark.parametrize(
    ("total_ml", "drawn"),
    [(190, (60, 60, 60, 10)), (60, (60,)), (120, (60, 60)), (45.4, (45,)), (59.6, (60,)), (180.2, (60, 60, 60))],
)
def test_a_meal_is_full_syringes_and_a_rest(total_ml, drawn):
    """Only the last fill has a line to look for."""
    assert tuple(float(mark.drawn.ml) for mark in fills(total_ml=total_ml, syringe=SIXTY)) == drawn


def test_fills_keep_what_was_asked_for():
    """The rounding of the meal is seen at its last fill, and nowhere else."""
    marks = fills(total_ml=190.3, syringe=SIXTY)

    assert sum(mark.exact.ml for mark in marks) == Decimal("190.3")
    assert [mark.error_fraction for mark in marks[:-1]] == [0, 0, 0]


def test_a_meal_of_less_than_half_a_line_is_refused():
    """There would be nothing to draw."""
    with pytest.raises(OutOfRange, match=r"A meal of 0\.4 mL in a 60 mL syringe\. Allowed: 1 mL or more"):
        fills(total_ml=0.4, syringe=SIXTY)


def test_the_scale_has_a_line_for_every_step():
    """Long lines carry the numbers, the middle one is longer than the rest."""
    lines = scale_lines(ONE)

    assert len(lines) == 101
    assert [line.label for line in lines if line.length == "long"] == [
        "0", "0.1", "0.2", "0.3", "0.4", "0.5", "0.6", "0.7", "0.8", "0.9", "1",
    ]  # fmt: skip
    assert [str(line.ml) for line in lines if line.length == "middle"][:2] == ["0.05", "0.15"]
    assert (lines[0].height_fraction, lines[50].height_fraction, lines[-1].height_fraction) == (0, 0.5, 1)
    assert {line.length for line in scale_lines(THREE)} == {"long", "short"}


def test_a_height_outside_the_syringe_is_refused():
    """A drawing never shows a line that is not there."""
    with pytest.raises(OutOfRange, match=r"61 mL in a 60 mL syringe\. Allowed: 0 to 60 mL"):
        height_fraction(syringe=SIXTY, ml=61)


@pytest.mark.parametrize(
    ("changed", "message"),
    [
        (
            {"step_ml": 0.3},
            "A syringe of 1 mL with a line every 0.3 mL. Allowed: a distance that divides the size evenly.",
        ),
        ({"numbered_every_ml": 0.25, "step_ml": 0.1}, "a number every 0.25 mL. Allowed: a whole number of lines"),
        ({"numbered_every_ml": 2}, "a number every 2 mL. Allowed: a whole number of lines"),
        ({"size_ml": 0.2}, "Allowed: 0.3 to 140 mL."),
        ({"size_ml": 150}, "Allowed: 0.3 to 140 mL."),
        ({"step_ml": 0.005}, "Allowed: 0.01 to 10 mL."),
        ({"tip": "screw"}, "Choose one of these."),
        ({"count": 0}, "1 or more"),
        ({"color": "blue"}, "a key that is not known here"),
    ],
)
@pytest.mark.hazard("H6")
def test_a_syringe_that_cannot_be_is_refused(changed, message):
    """What came, what is allowed, what to do."""
    values = {"id": "one", "size_ml": 1, "step_ml": 0.01, "numbered_every_ml": 0.1, "tip": "oral"}

    with pytest.raises(FillmarkError) as refused:
        read_document(Syringe, {**values, **changed})

    assert message in str(refused.value)


@pytest.mark.parametrize(
    ("size_ml", "most_ml"),
    [(0.5, 0.07), (4.9, 0.07), (5, 0.075), (9.9, 0.075), (10, 0.1), (20, 0.15), (30, 0.17), (49, 0.17), (60, 0.2)],
)
def test_what_a_tip_may_keep_grows_with_the_size(size_ml, most_ml):
    """Each row of the standard holds from its size on."""
    assert dead_space(size_ml=size_ml).value == most_ml
    with pytest.raises(OutOfRange):
        dead_space(size_ml=0.1)


@pytest.mark.hazard("H7")
def test_what_stays_in_a_tip_is_never_rinsed_in():
    """Where it is more than a tenth of the dose; a low-dose tip keeps next to nothing."""
    oral = a_syringe(1, 0.01, 0.1, tip="oral")

    assert mark_of("0.69 mL", oral).cautions == (
        "Do not rinse this syringe into the animal: what stays in its tip, up to 0.07 mL, is no part of the dose. "
        "Flush with another syringe.",
    )
    assert mark_of("0.7 mL", oral).cautions == ()
    assert mark_of("0.4 mL", ONE).cautions == ()
    figures = find_mark(volume=Volume.read("0.4 mL"), syringes=[oral]).figures
    assert "syringe.dead_space_from_0_ml" in [figure.id for figure in figures]


@pytest.mark.hazard("H7")
def test_a_tip_is_matched_to_the_route():
    """A low-dose enteral tip is for the tube, an oral syringe for the mouth."""
    misfits = {
        (tip, route)
        for tip in ("enteral", "low-dose enteral", "catheter", "oral")
        for route in ("tube", "mouth", "ear", "skin", "nebulizer")
        if tip_misfit(tip=tip, route=route)
    }

    assert misfits == {("oral", "tube"), ("catheter", "mouth"), ("enteral", "mouth")}


def test_a_syringe_is_one_of_its_kind_unless_said():
    """And may have one number only, at its end."""
    one = a_syringe(12, 1, 12)

    assert one.count == 1
    assert a_syringe(12, 1, 12, count=3).count == 3


def test_a_size_that_cannot_be_has_no_tolerance():
    """Neither of the two questions about it is answered."""
    for ask in (lambda: tolerance_ml(volume_ml=1, size_ml=0.1), lambda: smallest_measurable_ml(size_ml=0.1)):
        with pytest.raises(OutOfRange, match=r"size_ml = 0\.1 mL"):
            ask()


def test_half_full_counts_as_more_than_half():
    """Where the two formulas meet, the plainer one is shown."""
    assert tolerance_ml(volume_ml=0.5, size_ml=1).because == "5% of 0.5 mL = 0.025 mL either way"


def test_an_aim_of_just_what_the_volume_adds_is_refused():
    """No volume is large enough for it."""
    with pytest.raises(OutOfRange, match=r"An aim of 2\.0%"):
        smallest_measurable_ml(size_ml=1, within_fraction=0.02)


def test_nothing_to_draw_is_told_as_such():
    """A larger syringe would not help."""
    with pytest.raises(CannotDraw, match=r"0 mL to draw\..*Check the dose and the strength\."):
        mark_of("0 mL")
    with pytest.raises(CannotDraw, match=r"Add a larger syringe to the plan, or ask the vet for another strength\."):
        mark_of("61 mL")


def test_a_smaller_syringe_that_is_five_percent_off_is_still_the_first():
    """Close enough to be silent about is close enough to be taken."""
    small = a_syringe(1.9, 0.95, 0.95)

    assert mark_of("1 mL", THREE, small).syringe == small


def test_the_working_names_the_syringe_and_its_lines():
    """From the volume to the line."""
    assert find_mark(volume=Volume.read("2.86 mL"), syringes=[THREE]).because == (
        "2.86 mL in the 3 mL syringe (a line every 0.1 mL): the fourth small line after 2.5 = 2.9 mL, 1.4% more"
    )


def test_the_last_fill_says_how_far_it_is_off():
    """As a share of what that fill should be."""
    last = fills(total_ml=190.3, syringe=SIXTY)[-1]

    assert last.error_fraction == pytest.approx(-0.3 / 10.3)
    assert last.tolerance_ml == pytest.approx(1.0)


ORDINALS = ["first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth"]


def read_back(mark):
    """The volume a person finds who follows the words on the drawn scale [mL], by the line's height."""
    lines = scale_lines(mark.syringe)
    by_label = {line.label: place for place, line in enumerate(lines) if line.label}
    words = mark.reading
    steps = 0
    if " small line after " in words:
        count, _, words = words.removeprefix("the ").partition(" small line after ")
        steps = ORDINALS.index(count) + 1 if count in ORDINALS else int(count[:-2])
    if "middle line between" in words:
        low, high = words.split(" between ")[1].split(" and ")
        between = range(by_label[low] + 1, by_label[high])
        (start,) = [place for place in between if lines[place].length == "middle"]
    elif "middle line after" in words:
        below = by_label[words.split()[-1]]
        (start,) = [place for place in range(below + 1, len(lines)) if lines[place].length == "middle"]
    elif "last line" in words:
        start = len(lines) - 1
    else:
        start = by_label[words.split()[-1]]
    return lines[start + steps].height_fraction * mark.syringe.size_ml


@pytest.mark.hazard("H6")
@settings(max_examples=500)
@given(
    dose_mcg=st.integers(1, 500_000),
    strength=st.sampled_from(["1 mg/mL", "125 mg/5 mL", "1 %", "0.8 mg/mL", "62.5 mg/mL"]),
)
def test_a_mark_read_back_from_the_drawing_is_within_half_a_step_of_the_dose(dose_mcg, strength):
    """500 orders on six shelves; what no syringe of a shelf can measure within 10 % is always refused."""
    volume = Volume(Decimal(dose_mcg) / 1000 / Strength.read(strength).mg_per_ml)
    for shelf in SHELVES:
        best = min(
            (
                abs(round(float(volume.ml) / syringe.step_ml) * syringe.step_ml / float(volume.ml) - 1)
                for syringe in shelf
                if float(volume.ml) <= syringe.size_ml
            ),
            default=1.0,
        )
        try:
            mark = find_mark(volume=volume, syringes=shelf).value
        except CannotDraw:
            assert best > 0.1 - 1e-9
            continue
        found_ml = read_back(mark)
        assert abs(found_ml - float(volume.ml)) <= mark.syringe.step_ml / 2 + 1e-9
        assert abs(found_ml / float(volume.ml) - 1) <= 0.1 + 1e-9
        assert found_ml == pytest.approx(float(mark.drawn.ml), abs=1e-9)
