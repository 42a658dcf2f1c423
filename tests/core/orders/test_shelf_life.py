"""Until when a medicine may be used, and for how many days it lasts."""

from datetime import date

import pytest

from fillmark.core.orders.shelf_life import beyond_use_day, last_day_of_use, last_day_printed, opened_until, use_until
from fillmark.core.values.errors import BadNumber, OutOfRange

MADE = date(2026, 3, 1)


def test_the_day_of_making_is_the_first():
    """One day of use ends on the day it begins."""
    assert last_day_of_use(first_on=MADE, days=1) == MADE
    assert last_day_of_use(first_on=MADE, days=14) == date(2026, 3, 14)


@pytest.mark.parametrize("days", [0, -3, 4000])
def test_a_number_of_days_that_cannot_be_is_refused(days):
    """What came, what is allowed, what to do."""
    with pytest.raises(OutOfRange, match=r"Allowed: 1 days to 3,653 days|Allowed: 1 to 3,653 days\. Read the label"):
        last_day_of_use(first_on=MADE, days=days)


def test_what_was_compounded_keeps_by_its_kind():
    """With its working, and the figure it came from."""
    found = beyond_use_day(compounded="dry", made_on=MADE)

    assert found.value == date(2026, 8, 27)
    assert found.because == "1 March 2026 is day 1 of 180 days: 27 August 2026"
    assert [figure.id for figure in found.figures] == ["shelf_life.dry", "shelf_life.day_of_making"]


def test_an_ingredient_ends_it_only_where_it_comes_first():
    """A later ingredient changes nothing."""
    sooner = beyond_use_day(compounded="oil", made_on=MADE, ingredients_expire_on=date(2026, 4, 1))
    later = beyond_use_day(compounded="oil", made_on=MADE, ingredients_expire_on=date(2027, 4, 1))
    same = beyond_use_day(compounded="oil", made_on=MADE, ingredients_expire_on=date(2026, 5, 29))

    assert sooner.value == date(2026, 4, 1)
    assert sooner.because.endswith("; an ingredient ends on 1 April 2026")
    assert later.value == same.value == date(2026, 5, 29)
    assert "ingredient" not in same.because


def test_a_label_that_is_silent_leaves_the_rule():
    """And where neither is known nothing is invented."""
    rule = beyond_use_day(compounded="water, preserved", made_on=MADE)

    assert use_until(label_on=None, by_rule=rule) == rule
    assert use_until(label_on=None, by_rule=None) is None
    assert use_until(label_on=MADE, by_rule=None).because == "the label says 1 March 2026"


@pytest.mark.hazard("H3")
def test_a_label_that_allows_more_than_print_is_asked_about():
    """It is kept: a pharmacy can have tested what it made."""
    rule = beyond_use_day(compounded="water, preserved", made_on=MADE)
    later = use_until(label_on=date(2026, 4, 5), by_rule=rule)
    same = use_until(label_on=rule.value, by_rule=rule)

    assert later.value == date(2026, 4, 5)
    assert later.because == "the label says 5 April 2026, and goes before 4 April 2026 worked out from print"
    assert later.cautions == ("The label allows more than print does (4 April 2026): ask the pharmacy once.",)
    assert same.cautions == ()


@pytest.mark.parametrize(
    ("opened_as", "opened_on", "until"),
    [
        ("liquid", date(2026, 8, 31), date(2027, 2, 27)),
        ("liquid", date(2026, 6, 15), date(2026, 12, 14)),
        ("liquid", date(2026, 7, 1), date(2026, 12, 31)),
        ("tablets in a weekly box", date(2026, 12, 31), date(2027, 2, 27)),
    ],
)
def test_months_end_before_the_day_of_opening_comes_again(opened_as, opened_on, until):
    """Where that day does not exist, before the last day of the month."""
    found = opened_until(opened_as=opened_as, opened_on=opened_on)

    assert found.value == until
    assert found.cautions == ("Its label or its maker may say less: ask the pharmacy.",)


def test_days_on_the_label_go_before_print():
    """Counted with the day of opening as the first."""
    found = opened_until(opened_as="liquid", opened_on=MADE, label_days=28)

    assert found.value == date(2026, 3, 28)
    assert found.because == "opened on 1 March 2026, 28 days by its label: 28 March 2026"


@pytest.mark.parametrize(
    ("words", "until"),
    [
        ("EXP 03/2026", date(2026, 3, 31)),
        ("exp: 2/2028", date(2028, 2, 29)),
        ("Expiry Mar 2026", date(2026, 3, 31)),
        ("Sept 2026", date(2026, 9, 30)),
        ("Use by the end of June 2026", date(2026, 6, 30)),
        ("Exp. 2026-03-15", date(2026, 3, 15)),
        ("Use before 2026-03-15", date(2026, 3, 14)),
        ("Use before March 2026", date(2026, 2, 28)),
        ("use before 01/2026", date(2025, 12, 31)),
        ("12/2026", date(2026, 12, 31)),
    ],
)
def test_the_words_of_a_label(words, until):
    """Month names, short names, numbers, and whole days."""
    assert last_day_printed(words).value == until


def test_use_by_a_month_is_read_in_two_ways():
    """The later one is counted by the guidance at hand, and the person is told of the earlier."""
    assert last_day_printed("Use by March 2026").cautions == (
        'Some pharmacies mean 28 February 2026 by "Use by March 2026": ask yours.',
    )
    assert last_day_printed("Use by end March 2026").cautions == ()
    assert last_day_printed("Expires March 2026").cautions == ()


@pytest.mark.parametrize(
    "words", ["soon", "March", "ma 2026", "ju 2026", "13/2026", "0/2026", "March 26", "2026-02-30", "", "May 0000"]
)
def test_words_that_name_no_month_are_refused(words):
    """Two months begin with "ju" and "ma"; a year has four digits."""
    with pytest.raises(BadNumber) as refused:
        last_day_printed(words)

    assert str(refused.value) == (
        f'"{words}" as an expiry. Allowed: a month with its year (March 2026 or 03/2026), or a day as 2026-03-31. '
        "Copy it from the label; where it cannot be read, ask the pharmacy."
    )


def test_a_long_label_is_shown_short():
    """Forty characters are enough to find it."""
    with pytest.raises(BadNumber) as refused:
        last_day_printed("x" * 60)

    assert str(refused.value).startswith(f'"{"x" * 40}" as an expiry')
