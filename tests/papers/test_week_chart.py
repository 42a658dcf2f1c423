"""The week chart on paper holds what the chart holds, for eyes and for screen readers.

The PDF is checked by two libraries from outside: page-validation against ISO 14289-1 (PDF/UA-1), pypdf for its words.
"""

import re
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from io import BytesIO

import pytest
from page import ValidationProfile, validate_pdf_bytes
from pypdf import PageObject, PdfReader

from fillmark.core.chart.chart import Chart
from fillmark.core.orders.rhythm import DoseStep
from fillmark.core.record.day_entries import Withdrawn
from fillmark.core.record.medicine_entries import EffectSeen, Outcome
from fillmark.core.record.session_entries import SessionSkipped
from fillmark.papers.typesetting import paper_size, typeset
from fillmark.papers.week_chart import Printing, render_week_chart
from tests.support.builders import NOON, a_kept
from tests.support.charts import DRUG, PUFF, chart, given, in_force
from tests.support.medicines import a_medicine, a_tablet
from tests.support.pdfs import alternatives, words

MONDAY = date(2026, 11, 23)
SUNDAY = date(2026, 11, 29)
MM = 72 / 25.4


def week(*entries, **changed) -> Chart:
    return chart(*entries, **{"first": MONDAY, "last": SUNDAY, **changed})


def printing(**changed) -> Printing:
    values = {"animal_name": "Juniper", "printed_at": NOON, "time_zone": "Europe/Dublin", "day_starts": time(4)}
    return Printing(**{**values, "size": "a4", **changed})


def print_out(shown: Chart, **changed) -> bytes:
    return render_week_chart(shown, printing=printing(**changed))


def pages_of(pdf: bytes) -> list[PageObject]:
    return PdfReader(BytesIO(pdf)).pages[:]


FULL_WEEK = (
    a_kept(given(), minute=3, by_name="Sam"),
    a_kept(given(session="2026-11-24T07:00", outcome=Outcome.HELD, reason="Vomited twice"), minute=-1430),
    a_kept(given(session="2026-11-24T19:00", outcome=Outcome.PARTIAL, given_mg="2"), minute=-600),
    a_kept(SessionSkipped(session="2026-11-23T19:00", reason="At the clinic"), minute=-2160),
)


def test_the_paper_holds_what_was_recorded():
    """Who and when, mg and mL, what became of it and why, in each square; a gap is a gap."""
    puff = a_kept(given(session=None, medicine="puff", reason="Wheezing"), minute=30)
    effect = a_kept(EffectSeen(of=puff.entry.id, effect="eased", words="Breathes slower"), minute=55)
    wrong = a_kept(given(session="2026-11-23T07:00"), minute=-2870)
    back = a_kept(Withdrawn(reason="Another animal"), minute=-2800, corrects=wrong.entry.id, by_name="Sam")
    found = words(print_out(week(*FULL_WEEK, puff, effect, wrong, back)))

    for told in (
        "07:03 Sam 5 mg, 5 mL",
        "5 mg, held Vomited twice",
        "5 mg, 5 mL, part of it given: 2 mg, late",
        "left out by Noor: At the clinic",
        "07:30 Noor 5 mg, 5 mL Wheezing eased. Breathes slower (07:55)",
        "no entry 07:10 Noor 5 mg, 5 mL taken back by Sam: Another animal (08:20)",
        "5 mg = 5 mL in the 10 mL syringe when needed: Wheezing, at least 4 hours apart, at most 4 in 24 hours",
    ):
        assert told in found


@pytest.mark.hazard("H1")
def test_an_open_question_stands_in_its_square():
    """Two records of one dose are printed both, with the question."""
    found = words(print_out(week(a_kept(given(), minute=1), a_kept(given(), minute=9, by_name="Sam"))))

    assert "once or twice? 07:01 Noor 5 mg, 5 mL 07:09 Sam 5 mg, 5 mL" in found


@pytest.mark.hazard("H24")
@pytest.mark.hazard("H16")
def test_a_sheet_to_write_on_says_its_version_and_until_when_it_holds():
    """On top and at the foot of each page; the first line says that nothing goes in by mouth."""
    ahead = chart(plans=[in_force(DRUG, PUFF, number=7)], first=date(2026, 11, 30), last=date(2026, 12, 6))
    pdf = print_out(ahead)
    found = words(pdf)

    assert "Nothing by mouth. Plan version 7 valid until 7 December, 04:00 or until the plan changes" in found
    assert "printed 25 November, 12:00" in found
    assert "Medicine chart, Juniper · Plan version 7 · valid until 7 December, 04:00" in found
    assert "5 mg = 5 mL in the 10 mL syringe every 12 hours" in found
    assert "Never give a dose twice" in found
    assert "+353 1 555 0134" in found
    assert "no entry" not in found


@pytest.mark.hazard("H24")
def test_a_code_on_the_sheet_leads_to_the_version_in_force():
    """It is a picture with its address as words, on a sheet that is still to be used, and only there."""
    address = "https://kitchen.example/sheet/3/"
    ahead = render_week_chart(week(), printing=printing(address=address))

    assert alternatives(ahead) == f"Code with the address {address}"
    past = render_week_chart(week(), printing=printing(address=address, printed_at=NOON + timedelta(days=9)))
    assert alternatives(past) == ""


def test_a_past_week_claims_no_validity():
    """It says what it is: recorded, and when printed."""
    found = words(print_out(week(*FULL_WEEK), printed_at=datetime(2026, 12, 3, 9, tzinfo=UTC)))

    assert "as recorded printed 3 December, 09:00" in found
    assert "valid until" not in found
    assert "A dashed square has no entry: nobody wrote down whether it was given." in found


def test_a_changed_order_and_its_versions_are_told_apart():
    """Each with the moment it changed."""
    plans = [
        in_force(DRUG, number=2, until_at=NOON),
        in_force(DRUG.model_copy(update={"strength": "2 mg/mL"}), number=3, from_at=NOON),
    ]
    found = words(print_out(week(plans=plans)))

    assert "Plan versions 2 and 3" in found
    assert "Drug 1 mg/mL 5 mg = 5 mL in the 10 mL syringe every 12 hours until Wed 25 Nov, 12:00" in found
    assert "Drug 2 mg/mL 5 mg = 2.5 mL in the 3 mL syringe every 12 hours from Wed 25 Nov, 12:00" in found


def test_a_taper_names_the_day_and_the_dose_in_each_square():
    """Day by day, with what the hand does where that changes."""
    taper = DRUG.model_copy(
        update={
            "start_on": MONDAY,
            "stop_on": date(2026, 12, 2),
            "steps": (DoseStep(from_on=date(2026, 11, 27), dose="2 mg"),),
        }
    )
    found = words(print_out(week(plans=[in_force(taper)])))

    assert "course day 1 of 10, 5 mg day 2 of 10, 5 mg" in found
    assert "day 5 of 10, 2 mg" in found
    assert "2 mg = 2 mL in the 3 mL syringe" in found


@pytest.mark.hazard("H26")
def test_a_day_with_a_changed_clock_says_so():
    """Dublin, 25 October 2026: its day before has 25 hours."""
    found = words(print_out(chart(first=date(2026, 10, 19), last=date(2026, 10, 25))))

    assert "Sat 24 Oct clocks change: 25 hours" in found
    assert "Sun 25 Oct clocks" not in found


def test_a_second_check_and_a_tablet_are_told():
    """The paper asks for what the plan asks for."""
    tablet = a_tablet(id="pill", name="Pill", clocks=(time(8), time(20)), route="tube", crush="allowed")
    tablet = tablet.model_copy(update={"carrier_water_ml": 5, "second_check": True})
    held = DRUG.model_copy(update={"held": "The vet said to wait"})
    found = words(print_out(week(plans=[in_force(tablet, held)])))

    assert "10 mg = one tablet in 5 mL water every 12 hours a second person checks the mark" in found
    assert "on hold: The vet said to wait" in found


@pytest.mark.parametrize(("size", "width_mm", "height_mm"), [("a4", 297, 210), ("us-letter", 279.4, 215.9)])
def test_the_page_lies_on_its_side(size, width_mm, height_mm):
    """A4 (ISO 216) or Letter (ANSI/ASME Y14.1), by where the household lives."""
    box = pages_of(print_out(week(), size=size))[0].mediabox

    assert (float(box.width), float(box.height)) == pytest.approx((width_mm * MM, height_mm * MM), abs=1)


@pytest.mark.parametrize(
    ("zone", "size"), [("Europe/Dublin", "a4"), ("America/Denver", "us-letter"), ("US/Pacific", "us-letter")]
)
def test_the_paper_is_that_of_the_place(zone, size):
    """Letter in America, A4 elsewhere."""
    assert paper_size(zone) == size


def many(count: int) -> Chart:
    orders = [
        a_medicine(id=f"m{number}", name=f"Order {number}", clocks=(time(7), time(19))) for number in range(count)
    ]
    return week(plans=[in_force(*orders)], now=datetime(2026, 11, 22, tzinfo=UTC))


@pytest.mark.parametrize(("count", "pages"), [(12, 1), (30, 3)])
def test_twelve_medicines_fit_one_page_and_more_flow_on(count, pages):
    """With a square for each of 168 doses; the next page begins with the days again, and none is cut in two."""
    pdf = print_out(many(count), printed_at=datetime(2026, 11, 22, tzinfo=UTC))
    found = [page.extract_text() for page in pages_of(pdf)]

    assert len(found) == pages
    assert all("Mon 23 Nov" in page for page in found)
    for number in range(count):
        holding = [page for page in found if re.search(rf"\bOrder {number}\b", page)]
        assert len(holding) == 1


@pytest.mark.parametrize(
    "shown",
    [
        week(*FULL_WEEK),
        chart(first=date(2026, 11, 30), last=date(2026, 12, 6)),
        many(30),
        chart(plans=[in_force()]),
    ],
    ids=["a recorded week", "a week ahead", "three pages", "no medicine"],
)
def test_the_paper_can_be_read_aloud(shown):
    """No rule of PDF/UA-1 is broken, as an independent checker sees it; every letter has a glyph, or it would be."""
    pdf = render_week_chart(shown, printing=printing(address="https://kitchen.example/sheet/3/"))
    report = validate_pdf_bytes(pdf, profile=ValidationProfile.PDF_UA_1)

    assert report.rules.total > 100
    assert [(one.rule_id, one.message) for one in report.failures] == []
    assert report.is_compliant


def test_the_checker_finds_a_paper_that_cannot_be_read_aloud():
    """A letter without a glyph: the sheet is printed all the same, and the checker sees the difference."""
    note = a_kept(given(session=None, medicine="puff", reason="喘鳴"), minute=30)
    pdf = render_week_chart(week(note), printing=printing())

    assert "07:30 Noor" in words(pdf)
    assert not validate_pdf_bytes(pdf, profile=ValidationProfile.PDF_UA_1).is_compliant


def test_what_people_write_is_never_markup():
    """A reason full of the typesetter's own signs comes out as it was written."""
    written = '#panic("x") *bold* $x$ <label> @ref `code` \\ // [x] = _y_'
    found = words(print_out(week(a_kept(given(session=None, medicine="puff", reason=written), minute=30))))

    assert written.replace(" ", "") in found.replace(" ", "")


def test_another_fault_of_a_template_is_not_hidden():
    """Only a missing letter is forgiven."""
    with pytest.raises(Exception, match="dictionary does not contain key"):
        typeset(template="week_chart", values={})


def test_a_day_that_could_not_be_worked_out_is_named():
    """A sheet that lacks doses says so on top."""
    found = words(print_out(replace(week(), problem="A plan that does not state a dose.")))

    assert "Some doses are missing: A plan that does not state a dose. Nothing by mouth." in found


def test_a_record_of_no_plan_is_printed_too():
    """With the only name the record knows."""
    found = words(print_out(week(a_kept(given(session=None, medicine="stranger"), minute=30))))

    assert "stranger in no plan of these days other times" in found


def test_doses_by_the_hour_say_their_time_in_each_square():
    """Every 36 hours: the meal at 7:00 and that at 20:00 take them along; a day without one has a dash."""
    order = a_medicine(name="Drops", every_hours=36, first_dose=datetime(2026, 11, 24, 18, 30))  # noqa: DTZ001
    found = words(print_out(week(plans=[in_force(order)])))

    assert "every 36 hours, counted from Tue 24 Nov, 18:30" in found
    assert "by the hour" in found
    assert "at 20:00: no entry" in found
    assert "at 07:00" in found
