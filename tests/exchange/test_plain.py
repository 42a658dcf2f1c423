"""Core values become JSON without losing what they are."""

import json
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from fractions import Fraction
from uuid import UUID

import pytest

from fillmark.core.day.plan_day import plan_day
from fillmark.core.record.medicine_entries import EffectSeen, Outcome
from fillmark.core.values.explain import Explained
from fillmark.core.values.quantities import Mass, Volume
from fillmark.exchange.plain import to_plain
from fillmark.published import Fact
from fillmark.published.medicine import ROLLING_DAY_HOURS
from fillmark.published.wording import MISREAD_FORMS
from tests.support.builders import a_kept
from tests.support.charts import PUFF, WEDNESDAY, a_plan, chart, given, in_force
from tests.support.medicines import a_tablet


@pytest.mark.parametrize(
    ("value", "plain"),
    [
        (None, None),
        (True, True),
        (0.5, 0.5),
        ("words", "words"),
        (Decimal("5.22"), 5.22),
        (Fraction(3, 2), 1.5),
        (Outcome.CAME_BACK, "came back"),
        (date(2026, 11, 25), "2026-11-25"),
        (datetime(2026, 11, 25, 7, tzinfo=UTC), "2026-11-25T07:00:00+00:00"),
        (time(7, 5), "07:05"),
        (timedelta(minutes=90), 5400),
        (UUID(int=7), "00000000-0000-0000-0000-000000000007"),
        (Mass(Decimal("0.5")), "0.5 mg"),
        (Volume(Decimal("5.2")), "5.2 mL"),
        (ROLLING_DAY_HOURS, ROLLING_DAY_HOURS.id),
        (MISREAD_FORMS[0], "wording.cc"),
        ({"a": (1, frozenset({2}))}, {"a": [1, [2]]}),
    ],
    ids=str,
)
def test_each_kind_of_value_has_its_plain_form(value, plain):
    """Numbers as numbers, amounts with their unit, what comes from print by its id."""
    assert to_plain(value) == plain


def test_an_explained_number_keeps_its_working():
    """With the ids of the figures and what must be told with it."""
    part = Explained(value=2, because="1 + 1 = 2", figures=(ROLLING_DAY_HOURS,))
    whole = Explained(value=4, because="2 + 2 = 4", parts=(part,), cautions=("Look again.",))

    assert to_plain(whole) == {
        "value": 4,
        "working": ["1 + 1 = 2", "2 + 2 = 4"],
        "figures": [ROLLING_DAY_HOURS.id],
        "cautions": ["Look again."],
    }


def test_a_day_with_a_tablet_can_be_written_as_json():
    """Also its parts of a tablet."""
    tablet = a_tablet(
        id="pill", route="tube", crush="allowed", clocks=(time(7), time(19)), tablet_parts=2, dose="15 mg"
    )
    day = to_plain(plan_day(a_plan(tablet), on=WEDNESDAY))
    dose = next(session for session in day["sessions"] if session["medicines"])["medicines"][0]

    assert json.loads(json.dumps(day)) == day
    assert dose["working"]["value"]["count"] == 1.5
    assert dose["working"]["value"]["reading"] == "one and a half tablets"


def test_a_chart_can_be_written_as_json():
    """Every record with its writer, its mg and what it did."""
    puff = a_kept(given(session=None, medicine="puff", reason="Wheezing"), minute=30)
    found = to_plain(
        chart(puff, a_kept(EffectSeen(of=puff.entry.id, effect="eased"), minute=60), plans=[in_force(PUFF)])
    )
    record = found["rows"][0]["others"][0]

    assert json.loads(json.dumps(found)) == found
    assert (record["by_name"], record["dose_mg"], record["effects"][0]["effect"]) == ("Noor", 5, "eased")


def test_a_kind_that_nothing_knows_is_refused():
    """Rather than written as something it is not."""
    assert isinstance(MISREAD_FORMS[0], Fact)
    with pytest.raises(TypeError, match="no plain form for object"):
        to_plain(object())
