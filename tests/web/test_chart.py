"""The chart's screen: what it says to whom, what may be printed, and what it keeps."""

import re
from datetime import date, timedelta
from io import BytesIO

import pytest
import time_machine
from django.test import Client
from pypdf import PdfReader

from fillmark.core.chart.read_chart import course_of
from fillmark.core.orders.rhythm import ApartFrom
from fillmark.core.plan.reading import write_plan
from fillmark.core.record.medicine_entries import Outcome
from fillmark.core.values.people import Role
from fillmark.records.plan_versions import add_plan
from fillmark.services import chart as service
from fillmark.services import household, record
from fillmark.web.chart.pictures import draw_course, draw_day, shape_of
from fillmark.web.drawings.day_line import Shape
from tests.journeys.household import Household
from tests.support.builders import a_kept, adopt, confirmed
from tests.support.charts import WEDNESDAY, cell, chart, given
from tests.support.medicine_week import NOW, TAPER, a_medicine_week, a_plan_of_four
from tests.support.pdfs import alternatives, words
from tests.support.sides import side_of
from tests.web.test_screens import a_phone


@pytest.fixture
def week(db: None):
    with time_machine.travel(NOW, tick=False):
        yield a_medicine_week()


def look(client: Client, week: Household, path: str = "") -> str:
    answer = client.get(f"/{week.animal_id}/chart/{path}")
    assert answer.status_code == 200
    return re.sub(r"\s+", " ", re.sub(r"<[^>]*>", " ", answer.content.decode()))


def a_sitter(week: Household) -> Client:
    who = {"household_id": week.id, "by": week.noor, "now": NOW}
    days = {"from_on": NOW.date(), "until_on": NOW.date()}
    return a_phone(week, household.add_person(**who, name="Ilse", role=Role.SITTER, **days).id)


def kinds(week: Household) -> list[str]:
    return [kept.entry.kind for kept in record.entries_since(household_id=week.id, seq=0)]


def test_who_is_not_signed_in_sees_no_chart(week: Household) -> None:
    """No page, no paper, no press."""
    for path in ("", "2026-11-24/", "2026-11-23/paper/", "version/1/"):
        answer = Client().get(f"/{week.animal_id}/chart/{path}")
        assert answer.status_code == 302
        assert answer["Location"].startswith("/sign-in/")


def test_the_table_tells_every_square(week: Household) -> None:
    """Given, late, held with its reason, left out, taken back, twice, when needed, and silence."""
    told = look(a_phone(week), week)

    for expected in (
        "06:32 Noor 5.22 mg, 5.2 mL, given",
        "07:40 Noor 5.22 mg, 5.2 mL, given, late",
        "5 mg, held Vomited twice; the vet said to wait",
        "Left out by Sam: At the clinic all evening",
        "No entry 14:35 Sam 5.22 mg, 5.2 mL, given taken back by Noor: Pressed twice (14:50)",
        "Once or twice? 06:32 Sam 12 mg, 6 mL, given 06:50 Noor 12 mg, 6 mL, given",
        "22:10 Sam one vial, given Wheezing after the walk eased. Sleeps (22:40)",
        "when needed: Wheezing, at least 4 hours apart, at most 4 in 24 hours, by nebulizer",
        "Last 02:05 by Noor No entry since 04:00 one vial, when needed",
        "Day 4 of 10, 5 mg",
        "2.5 mg = 0.5 mL in the 3 mL syringe",
    ):
        assert expected in told


@pytest.mark.hazard("H19")
def test_the_chart_counts_nothing_up_and_judges_nobody(week: Household) -> None:
    """No share of doses kept, no score."""
    told = look(a_phone(week), week).lower()

    assert "%" not in told
    assert not {"missed", "score", "streak", "adherence", "fine", "good"} & set(re.findall(r"[a-z]+", told))


def test_each_day_of_the_picture_says_what_it_holds(week: Household) -> None:
    """For those who hear it."""
    page = a_phone(week).get(f"/{week.animal_id}/chart/").content.decode()

    assert 'aria-label="Wednesday 25 November: 5 recorded, 1 no entry, 1 beside the plan"' in page
    assert 'aria-label="Sunday 29 November: 6 still to come"' in page


@pytest.mark.hazard("H25")
def test_a_sitter_sees_yesterday_and_today_and_prints_nothing(week: Household) -> None:
    """Older days are refused behind the page too."""
    sitter = a_sitter(week)
    page = sitter.get(f"/{week.animal_id}/chart/").content.decode()

    assert page.count('<li> <a href="/') == 2
    assert "A lead or a helper can print it." in page
    assert sitter.get(f"/{week.animal_id}/chart/2026-11-24/").status_code == 403
    assert sitter.get(f"/{week.animal_id}/chart/2026-11-23/paper/").status_code == 403
    assert sitter.post(f"/{week.animal_id}/chart/sheet/").status_code == 403
    assert "sheet_printed" not in kinds(week)


def test_an_effect_is_kept_once_and_shown(week: Household) -> None:
    """A second tap on the same button is the same entry."""
    client = a_phone(week, week.sam)
    page = client.get(f"/{week.animal_id}/chart/").content.decode()
    form = page[page.index('class="picks effects"') :]
    press = dict(re.findall(r'name="(entry_id|of)" value="([^"]+)"', form)[:2])
    press["effect"] = "eased a little"
    for _ in range(2):
        assert client.post(f"/{week.animal_id}/chart/effect/", press).status_code == 302

    assert kinds(week).count("effect_seen") == 2
    assert "eased a little (14:20)" in look(client, week)


@pytest.mark.parametrize("press", [{}, {"effect": "great"}, {"effect": "eased", "of": "that one"}])
def test_an_effect_that_says_nothing_is_sent_back(week: Household, press: dict[str, str]) -> None:
    """With what is allowed."""
    answer = a_phone(week).post(f"/{week.animal_id}/chart/effect/", press)

    assert answer.status_code == 400
    assert "Allowed: eased, eased a little, no change, worse, not known." in re.sub(
        r"\s+", " ", re.sub(r"<[^>]*>", " ", answer.content.decode())
    )


def test_an_effect_belongs_to_a_dose_of_this_animal(week: Household) -> None:
    """Nothing else in the record has one."""
    skipped = next(
        kept.entry.id
        for kept in record.entries_since(household_id=week.id, seq=0)
        if kept.entry.kind == "session_skipped"
    )
    press = {"effect": "eased", "of": str(skipped), "entry_id": str(record.new_entry_id(now=NOW))}
    answer = a_phone(week).post(f"/{week.animal_id}/chart/effect/", press)

    assert answer.status_code == 400
    assert kinds(week).count("effect_seen") == 1


def test_a_day_that_cannot_be_worked_out_is_named_and_its_records_stay(week: Household) -> None:
    """From Friday on two that must be apart stand together: it must not look like a day without doses."""
    binder = {"id": "binder", "name": "Binder", "start_on": date(2026, 11, 27), "stop_on": None, "steps": ()}
    apart = TAPER.model_copy(update={**binder, "apart_from": (ApartFrom(medicine="prednisolone", hours=2),)})
    plan = a_plan_of_four()
    document = write_plan(plan.model_copy(update={"medicines": (*plan.medicines, apart)}))
    # as a version let in that did not look at the days to come
    add_plan(
        confirmed(week, now=NOW), animal_id=week.animal_id, document=document, effective_from=NOW - timedelta(hours=1)
    )
    found = service.chart_of_days(side_of(**week.ids, now=NOW), first=date(2026, 11, 23), last=date(2026, 11, 29))

    assert found.problem is not None
    assert found.problem.startswith("Prednisolone and Binder in one session")
    assert len(list(found.entries())) == kinds(week).count("medicine_given")
    missing = "Some doses are missing here A day could not be worked out of its plan."
    assert missing in look(a_phone(week), week)
    with time_machine.travel(NOW + timedelta(days=1), tick=False):  # when it is today that cannot be worked out
        assert missing in look(a_phone(week), week)


def words_of(answer) -> str:
    assert answer["Content-Type"] == "application/pdf"
    return words(answer.content)


def test_the_week_on_paper_is_the_week_on_the_screen(week: Household) -> None:
    """The same records, by the same words; reading it keeps nothing."""
    answer = a_phone(week).get(f"/{week.animal_id}/chart/2026-11-23/paper/")

    assert "06:32 Noor 5.22 mg, 5.2 mL" in words_of(answer)
    assert 'filename="medicine-chart-2026-11-23.pdf"' in answer["Content-Disposition"]
    assert "sheet_printed" not in kinds(week)


@pytest.mark.parametrize(("asked", "width"), [("", 842), ("?size=a4", 842), ("?size=us-letter", 792)])
def test_the_paper_size_may_be_chosen(week: Household, asked: str, width: float) -> None:
    """By default that of the place."""
    answer = a_phone(week).get(f"/{week.animal_id}/chart/2026-11-23/paper/{asked}")

    assert float(PdfReader(BytesIO(answer.content)).pages[0].mediabox.width) == pytest.approx(width, abs=1)


@pytest.mark.parametrize(
    ("host", "has_code"),
    [("localhost", False), ("localhost:8000", False), ("127.0.0.1:8000", False), ("testserver", True)],
)
def test_a_sheet_has_a_code_only_where_a_phone_can_follow_it(week: Household, host: str, has_code: bool) -> None:
    """No other machine finds "localhost"; a code that leads nowhere teaches people to ignore it."""
    answer = a_phone(week).get(f"/{week.animal_id}/chart/2026-11-26/paper/", headers={"host": host})

    assert answer.status_code == 200
    assert ("chart/version/1/" in alternatives(answer.content)) is has_code


def test_a_day_that_no_household_asks_about_is_not_found(week: Household) -> None:
    """The end of the calendar has no week around it."""
    for day in ("9999-12-31", "0001-01-01", "2026-02-30"):
        assert a_phone(week).get(f"/{week.animal_id}/chart/{day}/").status_code == 404


@pytest.mark.hazard("H24")
def test_an_old_sheet_on_the_refrigerator_is_named(week: Household) -> None:
    """Printed from version 1; when version 2 comes into force, the chart says to take it down, until it is over."""
    client = a_phone(week)
    answer = client.post(f"/{week.animal_id}/chart/sheet/", {"entry_id": str(record.new_entry_id(now=NOW))})
    assert "Plan version 1 valid until 3 December, 04:00" in words_of(answer)
    assert kinds(week).count("sheet_printed") == 1
    assert service.find_old_sheet(side_of(**week.ids, now=NOW)) is None

    adopt(week, a_plan_of_four(), from_at=NOW + timedelta(hours=1), now=NOW)
    assert service.find_old_sheet(side_of(**week.ids, now=NOW)) is None
    later = NOW + timedelta(hours=2)
    old = service.find_old_sheet(side_of(**week.ids, now=later))
    assert old is not None
    assert (old.printed, old.in_force, old.printed_at) == (1, 2, NOW)
    with time_machine.travel(later, tick=False):
        told = "It shows plan version 1; version 2 is in force. Take it down"
        assert told in look(client, week)
        first = client.get("/").content.decode()
        assert told in first
        assert "An older sheet was printed on" in first
        gone = {"entry_id": str(record.new_entry_id(now=later)), "zone": "Europe/Dublin", "then": "/"}
        assert client.post(f"/{week.animal_id}/chart/sheet/thrown-away/", gone).status_code == 302
        assert client.post(f"/{week.animal_id}/chart/sheet/thrown-away/", gone).status_code == 302
        assert kinds(week).count("sheet_thrown_away") == 1
        assert "An older sheet" not in client.get("/").content.decode()
        assert "Take it down" not in look(client, week)
        client.post(f"/{week.animal_id}/chart/sheet/", {"entry_id": str(record.new_entry_id(now=later))})
        assert "Take it down" not in look(client, week)
    assert service.find_old_sheet(side_of(**week.ids, now=NOW + timedelta(days=9))) is None


@pytest.mark.hazard("H24")
@pytest.mark.parametrize(
    ("number", "words"),
    [
        (
            1,
            "This sheet is an old one It shows plan version 1. Version 2 is in force since Thursday",
        ),
        (2, "Version 2 is in force Since Thursday 26 November, 13:20."),
        (3, "This sheet is not in force yet It shows plan version 3; version 2 still holds."),
    ],
)
def test_the_code_of_a_sheet_tells_whether_it_holds(week: Household, number: int, words: str) -> None:
    """Old, in force, or not yet."""
    adopt(week, a_plan_of_four(), from_at=NOW - timedelta(hours=1), now=NOW)

    assert words in look(a_phone(week), week, f"version/{number}/")


def test_a_household_without_a_plan_has_an_empty_chart(week: Household) -> None:
    """Before the first plan nothing was planned; the page says so."""
    assert "No medicine was planned or recorded on this day." in look(a_phone(week), week, "2026-11-02/")


def test_the_week_picture_holds_a_mark_for_each_planned_dose() -> None:
    """At the same height on each day, also where one is not planned."""
    dose = cell(chart())

    assert draw_day([dose, None, dose]).count("<g ") == 2
    assert "translate(12.0 37.5)" in draw_day([dose, None, dose])


@pytest.mark.parametrize(
    ("outcome", "shape"),
    [
        (Outcome.GIVEN, Shape.RECORDED),
        (Outcome.HELD, Shape.HELD),
        (Outcome.MISSED, Shape.SKIPPED),
        (Outcome.NOT_KNOWN, Shape.UNKNOWN),
    ],
)
def test_a_mark_says_given_only_of_what_went_in(outcome: Outcome, shape: Shape) -> None:
    """Held is written down too, but it is no tick."""
    assert shape_of(cell(chart(a_kept(given(outcome=outcome, reason="Why"))))) is shape


def test_the_course_line_is_as_high_as_its_dose() -> None:
    """Full height for the first dose, half of it above its foot for half the dose; nothing outside its days."""
    course = course_of(TAPER)
    assert course is not None
    days = [date(2026, 11, 22) + timedelta(days=number) for number in range(12)]
    drawn = draw_course(course, days, today=WEDNESDAY)
    heights = [float(found) for found in re.findall(r'<rect[^>]*height="([\d.]+)"', drawn)]

    assert heights == [20.0] * 4 + [12.0] * 6
    assert drawn.count("course-gone") == 2
    assert drawn.count("course-end") == 2
    assert "course-now" in drawn
    assert "course-now" not in draw_course(course, days, today=date(2027, 1, 1))
