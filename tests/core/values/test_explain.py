"""A number that carries its own working."""

import pytest

from fillmark.core.values.errors import BadNumber, FillmarkError, OutOfRange
from fillmark.core.values.explain import Explained
from fillmark.core.values.limits import check_at_least, check_finite, check_range
from fillmark.published import Band, Figure, all_figures
from fillmark.published.energy import RESTING_FACTOR, RESTING_POWER
from fillmark.published.input_limits import WEIGHT_LIMITS_KG
from fillmark.published.sources import OWN_CHOICE


def test_working_reads_from_the_first_sum_to_the_last():
    """What was worked out first is told first, and each figure and caution is named once."""
    rest = Explained(value=1, because="first", figures=(RESTING_FACTOR, RESTING_POWER), cautions=("look",))
    goal = Explained(value=2, because="second", figures=(RESTING_FACTOR,), parts=(rest, rest), cautions=("look", "ask"))

    assert list(goal.working()) == ["first", "first", "second"]
    assert goal.all_figures() == (RESTING_FACTOR, RESTING_POWER)
    assert goal.all_cautions() == ("look", "ask")


def test_every_figure_says_what_it_is_and_where_it_stands():
    """Unit, place and the words for a person are never empty."""
    silent = [
        figure.id for figure in all_figures() if not (getattr(figure, "unit", "none") and figure.place and figure.says)
    ]
    assert silent == []


def test_a_band_runs_upward():
    """A band whose ends are swapped cannot be made."""
    with pytest.raises(ValueError, match="low 2 is above high 1"):
        Band(id="x", low=2, high=1, unit="kg", source=OWN_CHOICE, place="here", says="nothing")


def test_a_figure_takes_its_basis_from_its_source():
    """One fact, one place."""
    assert Figure(id="x", value=1, unit="kg", source=OWN_CHOICE, place="p", says="s").basis is OWN_CHOICE.basis


@pytest.mark.hazard("H5")
def test_a_weight_out_of_range_is_told_whole():
    """What came with its unit, what is allowed, what to do."""
    with pytest.raises(OutOfRange) as caught:
        check_range(field="weight_kg", value=4500, limits=WEIGHT_LIMITS_KG, remedy="If it was grams, divide by 1000.")
    assert str(caught.value) == "weight_kg = 4,500 kg. Allowed: 0.5 to 100 kg. If it was grams, divide by 1000."


@pytest.mark.parametrize("value", [float("nan"), float("inf"), -float("inf")])
def test_what_is_no_number_is_refused(value):
    """NaN and infinity never enter a sum."""
    for check in (
        lambda: check_finite(field="x", value=value),
        lambda: check_range(field="x", value=value, limits=WEIGHT_LIMITS_KG),
        lambda: check_at_least(field="x", value=value, least=0, unit="mL", remedy="Measure again."),
    ):
        with pytest.raises(BadNumber):
            check()


@pytest.mark.parametrize("value", [0.5, 100])
def test_the_ends_of_a_limit_are_allowed(value):
    """Both ends belong to the band."""
    assert check_range(field="weight_kg", value=value, limits=WEIGHT_LIMITS_KG) == value


def test_every_kind_of_error_has_its_own_code():
    """Codes are stable handles for machines; exit codes are 2 or 3."""
    kinds = FillmarkError.__subclasses__()
    assert len({kind.code for kind in kinds}) == len(kinds) >= 9
    assert {kind.exit_code for kind in kinds} == {2, 3}
