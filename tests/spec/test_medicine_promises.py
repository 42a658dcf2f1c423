"""Promises about medicines that a caregiver can read; docs/reference/promises.md prints the docstrings."""

from datetime import UTC, datetime, timedelta

import pytest

from fillmark.core.entries import Outcome, Withdrawn
from fillmark.core.mar import CellState
from tests.support.builders import a_kept
from tests.support.charts import DRUG, PUFF, cell, chart, given, in_force


@pytest.mark.hazard("H19")
def test_the_chart_shows_silence_as_silence():
    """A dose that nobody wrote down is "no entry" on the chart: not given, not missed, not forgotten."""
    assert cell(chart()).state is CellState.NO_ENTRY
    assert CellState.NO_ENTRY.value == "no entry"


@pytest.mark.hazard("H27")
def test_every_record_of_a_medicine_stands_in_the_chart_once():
    """On time or not, when needed, corrected, or of a medicine that no plan names: nothing is left out or doubled."""
    kept = [
        a_kept(given(), minute=1),
        a_kept(given(session="2026-11-25T15:00"), minute=480),
        a_kept(given(session=None, medicine="puff"), minute=30),
        a_kept(given(session=None, medicine="stranger"), minute=40),
    ]
    kept.append(a_kept(given(outcome=Outcome.SPILLED), minute=2, corrects=kept[0].entry.id))
    shown = sorted(entry.entry_id for entry in chart(*kept, plans=[in_force(DRUG, PUFF)]).entries())

    assert shown == sorted(one.entry.id for one in kept)


@pytest.mark.hazard("H1")
def test_two_records_of_one_dose_are_asked_about():
    """The chart asks "once or twice?" and shows both, until a person has said which."""
    one, other = a_kept(given(), minute=1), a_kept(given(), minute=4, by_name="Sam")

    found = cell(chart(one, other))
    assert (found.state.value, len(found.entries)) == ("once or twice?", 2)


def test_a_correction_never_hides_what_was_written():
    """What was taken back stays on the chart, struck, with who took it back, when and why."""
    wrong = a_kept(given(), minute=1)
    back = a_kept(Withdrawn(reason="Wrong animal"), minute=5, corrects=wrong.entry.id, by_name="Sam")
    correction = cell(chart(wrong, back)).entries[0].correction

    assert correction is not None
    assert (correction.by_name, correction.at, correction.reason) == ("Sam", back.entry.at, "Wrong animal")


@pytest.mark.hazard("H3")
def test_an_order_that_changed_keeps_its_old_days():
    """From the moment of the change on, a new line of the chart with the new dose; the days before keep the old one."""
    at_noon = datetime(2026, 11, 25, 12, tzinfo=UTC)
    stronger = DRUG.model_copy(update={"strength": "2 mg/mL"})
    plans = [in_force(DRUG, until_at=at_noon), in_force(stronger, number=2, from_at=at_noon)]
    old, new = chart(plans=plans).rows

    assert [(row.order.strength, len(row.cells)) for row in (old, new)] == [("1 mg/mL", 1), ("2 mg/mL", 1)]


@pytest.mark.hazard("H26")
def test_a_night_with_a_changed_clock_loses_and_doubles_no_dose():
    """Dublin's two nights of the year: as many squares as on any other day."""
    for first in (datetime(2026, 3, 27, tzinfo=UTC).date(), datetime(2026, 10, 23, tzinfo=UTC).date()):
        found = chart(first=first, last=first + timedelta(days=2))
        assert [len([one for one in found.rows[0].cells if one.day == day]) for day in found.days] == [2, 2, 2]
