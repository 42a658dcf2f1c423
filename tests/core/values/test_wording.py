"""Words that can be misread."""

import pytest

from fillmark.core.values.wording import find_forbidden
from fillmark.published.wording import MISREAD_FORMS
from tests.support.plain_words import write_plainly


@pytest.mark.hazard("H4")
@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("give .5 mg", "give 0.5 mg"),
        ("give 5.0 mg", "give 5 mg"),
        ("give 5.00 mL", "give 5 mL"),
        ("give 10mg", "give 10 mg"),
        ("give 2.5mL", "give 2.5 mL"),
        ("5 cc of water", "5 mL of water"),
        ("5cc of water", "5 mL of water"),
        ("5 ml of water", "5 mL of water"),
        ("250 µg", "250 mcg"),
        ("250 μg", "250 mcg"),
        ("10 U of insulin", "10 units of insulin"),
        ("10u of insulin", "10 units of insulin"),
        ("100000 units", "100,000 units"),
        ("1500 mg", "1,500 mg"),
        ("1,500 mg", "1,500 mg"),
        ("Prednisolone300 mg", "Prednisolone 300 mg"),
        ("5 mg BID x 7d", "5 mg every 12 hours for 7 days"),
        ("5 mg tid", "5 mg every 8 hours"),
        ("5 mg QID", "5 mg every 6 hours"),
        ("5 mg SID", "5 mg daily"),
        ("5 mg q.d. per os", "5 mg daily by mouth"),
        ("5 mg qod", "5 mg every other day"),
        ("ss tablet", "ss [one-half (or sliding scale): ask] tablet"),
        ("5 mg HS", "5 mg HS [bedtime (or half-strength): ask]"),
    ],
)
def test_what_is_misread_is_written_plainly(text, plain):
    """Only a person can say what "ss" and "HS" were to mean."""
    assert find_forbidden(text) or text == plain
    assert write_plainly(text) == plain


@pytest.mark.parametrize(
    "text",
    [
        "5 mg every 12 hours",
        "0.5 mL",
        "60 mL syringe",
        "20 Fr",
        "the tube at 7.0 cm",
        "version 1.0 of the plan",
        "Read this. It is short.",
        "a glass of water, across the grass",
        "The vet said so; he is a good one",
        "USA, 2026, 10:30",
        "12.5 kg",
        "1.05 mL",
        "omega3 fish oil",
        "vitamin B12 250 mcg",
    ],
)
def test_what_is_plain_is_left_alone(text):
    """A check that cries at everything is not read."""
    assert find_forbidden(text) == ()
    assert write_plainly(text) == text


def test_each_place_is_found_in_order_with_its_reason():
    """Who says so, and where in the text."""
    first, second = find_forbidden("5 mg BID, then .5 mg")

    assert (first.start, first.words, first.instead) == (5, "BID", "every 12 hours")
    assert (second.words, second.instead, second.form.source.id) == (".5", "0.5", "joint_commission")


def test_each_form_says_why():
    """And is named once."""
    assert len({form.id for form in MISREAD_FORMS}) == len(MISREAD_FORMS)
    assert all(len(form.says) > 20 for form in MISREAD_FORMS)
