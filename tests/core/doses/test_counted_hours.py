"""Into which session a dose falls whose hours are counted from the first one."""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest

from fillmark.core.day.due import due_medicines
from fillmark.core.day.plan_day import plan_day
from fillmark.core.day.questions import open_questions
from fillmark.core.doses.counted_hours import give_or_take, place_dose
from fillmark.core.orders.dosing_days import counted_doses, nearest_counted
from fillmark.core.orders.medicine import Medicine
from fillmark.core.values.document import read_document
from fillmark.core.values.errors import BadPlan, FillmarkError
from tests.support.charts import a_plan
from tests.support.medicines import a_medicine

DUBLIN = ZoneInfo("Europe/Dublin")
FIRST = datetime(2026, 11, 25, 6, 30)  # noqa: DTZ001 - the household's clock
WEDNESDAY = date(2026, 11, 25)
MEALS = (time(7), time(11, 30), time(15), time(20))


def counted(hours: float = 36, **changed) -> Medicine:
    return a_medicine(every_hours=hours, **{"first_dose": FIRST, **changed})


def at(clock: str, *, day: int = 25) -> datetime:
    return datetime.fromisoformat(f"2026-11-{day:02}T{clock}").replace(tzinfo=UTC)


def place(medicine: Medicine, due: str, sessions: dict[str, list[Medicine]], *, meals: tuple[str, ...] = (), day=25):
    found = place_dose(
        medicine,
        due_at=at(due, day=day),
        sessions={at(clock, day=day): medicines for clock, medicines in sessions.items()},
        meals={at(clock, day=day) for clock in meals},
        from_at=at("04:00", day=day),
        until_at=at("04:00", day=day + 1),
        zone=DUBLIN,
    )
    return f"{found.at:%H:%M}", found.caution


def due_on(plan, day: date) -> dict[str, list[str]]:
    return {f"{clock:%H:%M}": [one.medicine.id for one in due] for clock, due in due_medicines(plan, on=day).items()}


def test_the_hours_are_counted_from_the_first_dose():
    """Every 36 hours from 6:30: the evening of the next day, the morning after that."""
    found = counted_doses(counted(), from_at=at("00:00"), until_at=at("00:00", day=29), time_zone="UTC")

    assert found == (at("06:30"), at("18:30", day=26), at("06:30", day=28))
    assert counted_doses(counted(), from_at=at("06:30"), until_at=at("06:30"), time_zone="UTC") == ()
    assert counted_doses(counted(), from_at=at("06:31"), until_at=at("18:30", day=26), time_zone="UTC") == ()
    assert counted_doses(counted(), from_at=at("18:30", day=26), until_at=at("18:31", day=26), time_zone="UTC") == (
        at("18:30", day=26),
    )
    assert counted_doses(a_medicine(), from_at=at("00:00"), until_at=at("00:00", day=29), time_zone="UTC") == ()


def test_an_instant_belongs_to_the_dose_it_is_nearest_to():
    """And to the first one before there was any."""
    nearest = [
        nearest_counted(counted(), at=moment, time_zone="UTC")
        for moment in (at("00:30", day=20), at("00:29", day=26), at("00:31", day=26), at("20:00", day=26))
    ]

    assert nearest == [at("06:30"), at("06:30"), at("18:30", day=26), at("18:30", day=26)]


@pytest.mark.parametrize(
    ("changed", "minutes"),
    [
        ({}, 120),  # a day or more apart: two hours either way
        ({"hours": 16}, 60),
        ({"hours": 5}, 60),
        ({"hours": 3}, 45),  # a quarter of the interval
        ({"time_critical": True}, 30),
        ({"min_gap_hours": 35}, 30),  # two neighbors that both move keep the vet's 35 hours
        ({"min_gap_hours": 36}, 0),
        ({"min_gap_hours": 40}, 0),  # an order that cannot be kept moves nothing
    ],
)
def test_a_dose_joins_a_session_only_within_its_window_and_its_gap(changed, minutes):
    """So that two doses that both move never come closer than the order allows."""
    assert give_or_take(counted(**changed)) == timedelta(minutes=minutes)


def test_a_session_within_reach_takes_the_dose_along():
    """The nearest of them; to the minute at the edge of the window; else a session of its own."""
    assert place(counted(), "06:30", {"08:30": [], "15:00": []}) == ("08:30", None)
    assert place(counted(), "06:30", {"08:31": [], "15:00": []}) == ("06:30", None)
    assert place(counted(), "06:30", {"05:00": [], "07:00": [], "08:00": []}) == ("07:00", None)
    assert place(counted(), "06:30", {"06:00": [], "07:00": []}) == ("06:00", None)


def test_what_stands_to_food_goes_to_a_meal_where_it_can():
    """Before or with food: the meal within reach is taken, though another session is nearer."""
    sessions = {"06:30": [], "08:00": []}
    for relation in ("with", "before"):
        food = {"relation": relation, "minutes": 30}
        assert place(counted(food=food), "06:30", sessions, meals=("08:00",)) == ("08:00", None)
    assert place(counted(), "06:30", sessions, meals=("08:00",)) == ("06:30", None)
    assert place(counted(food={"relation": "with"}), "06:30", sessions) == ("06:30", None)


@pytest.mark.hazard("H22")
def test_what_must_be_kept_apart_is_never_joined():
    """Another session within reach, or a time of its own that keeps the gap; beyond its window that is asked about."""
    binder = a_medicine(id="binder", name="Binder", apart_from=({"medicine": "drug", "hours": 2},))
    other = a_medicine(id="other", name="Other")

    assert place(counted(), "06:30", {"07:00": [binder], "08:00": [other]}) == ("05:00", None)
    assert place(counted(), "06:30", {"04:30": [binder], "07:00": [other]}) == ("07:00", None)
    assert place(counted(hours=16), "06:30", {"06:30": [binder]}) == (
        "04:30",
        "Drug is due at 06:30 by its order and stands at 04:30: 2 hours belong between it and Binder. Ask the vet.",
    )
    assert place(counted(hours=16), "05:00", {"05:00": [binder]})[0] == "07:00", "04:00 is when the day begins"


@pytest.mark.hazard("H22")
def test_a_dose_without_any_place_is_a_question_for_the_vet():
    """The other one is given all day long."""
    binder = a_medicine(id="binder", name="Binder", apart_from=({"medicine": "drug", "hours": 3},))

    with pytest.raises(BadPlan) as told:
        place(counted(hours=5), "12:00", {"09:30": [binder], "12:00": [binder], "14:30": [binder]})

    assert str(told.value) == (
        "Drug, due at 12:00 on 25 November 2026, too close to Binder all day. Allowed: the hours that must lie between "
        "them. Ask the vet how to give both on that day."
    )


@pytest.mark.hazard("H26")
def test_a_time_that_the_clock_shows_twice_names_no_session():
    """Dublin, 25 October 2026: the second 1:30 would be read as the first, so the dose stands at 2:00."""
    order = counted(5, first_dose=datetime(2026, 10, 24, 21, 30))  # noqa: DTZ001
    second = datetime(2026, 10, 25, 1, 30, tzinfo=UTC)
    assert second.astimezone(DUBLIN).strftime("%H:%M") == "01:30"
    found = place_dose(
        order,
        due_at=second,
        sessions={},
        meals=(),
        from_at=second - timedelta(hours=20),
        until_at=second + timedelta(hours=4),
        zone=DUBLIN,
    )

    assert found.at == datetime(2026, 10, 25, 2, 0, tzinfo=UTC)
    assert found.caution is None, "half an hour is within its window"


def test_the_day_plan_has_each_dose_where_it_falls():
    """Juniper's meals at 7:00, 11:30, 15:00, 20:00: 6:30 joins the first meal, 18:30 the last, the others have none."""
    plan = a_plan(counted(36))
    assert due_on(plan, WEDNESDAY) == {"07:00": ["drug"], "11:30": [], "15:00": [], "20:00": []}
    assert due_on(plan, date(2026, 11, 26)) == {"07:00": [], "11:30": [], "15:00": [], "20:00": ["drug"]}
    assert due_on(plan, date(2026, 11, 27)) == {"07:00": [], "11:30": [], "15:00": [], "20:00": []}
    assert due_on(plan, date(2026, 11, 28)) == {"07:00": ["drug"], "11:30": [], "15:00": [], "20:00": []}
    dose = plan_day(plan, on=date(2026, 11, 26)).sessions[-1].medicines[0]
    assert dose.due_at == at("18:30", day=26)


def test_a_dose_far_from_every_meal_makes_its_own_session():
    """Every 16 hours from 6:30: 22:30 is more than an hour from the meal at 20:00."""
    plan = a_plan(counted(16))

    assert due_on(plan, WEDNESDAY)["22:30"] == ["drug"]
    session = next(one for one in plan_day(plan, on=WEDNESDAY).sessions if one.clock == time(22, 30))
    assert (session.key, session.meal_ml, session.label) == ("2026-11-25T22:30", 0, "22:30 1 medicine")


def test_the_walk_tells_the_orders_own_time():
    """So that nobody wonders why it is given with this meal."""
    session = plan_day(a_plan(counted(36)), on=date(2026, 11, 26)).sessions[-1]
    step = next(step for step in session.steps if step.medicine_id == "drug")

    assert step.reason.endswith("Its own time is 18:30, every 36 hours.")


def test_a_moved_dose_says_so_where_it_is_given():
    """In the step, and among the day's cautions."""
    binder = a_medicine(
        id="binder",
        name="Binder",
        times_per_day=1,
        clocks=(time(22, 30),),
        apart_from=({"medicine": "drug", "hours": 2},),
    )
    day = plan_day(a_plan(binder, counted(16)), on=WEDNESDAY)
    words = "Drug is due at 22:30 by its order and stands at 20:30: 2 hours belong between it and Binder. Ask the vet."
    moved = next(one for one in day.sessions if one.clock == time(20, 30))
    step = next(step for step in moved.steps if step.medicine_id == "drug")

    assert f"20:30: {words}" in day.cautions()
    assert words in step.notes


def test_a_course_holds_for_counted_hours_too():
    """No dose after its last day."""
    plan = a_plan(counted(36, stop_on=date(2026, 11, 26)))

    assert ["drug"] in due_on(plan, date(2026, 11, 26)).values()
    assert ["drug"] not in due_on(plan, date(2026, 11, 28)).values()


def test_without_its_first_dose_a_rhythm_that_fits_no_day_is_asked_about():
    """And only with it is anything planned."""
    asked = [question for question in open_questions(a_plan(a_medicine(every_hours=36))) if question.blocks]
    assert [(question.field, question.ask) for question in asked] == [
        (
            "medicines[1].first_dose",
            "On which day and at what time is Drug given first? Every 36 hours is counted from there.",
        )
    ]
    assert not [question for question in open_questions(a_plan(counted(36))) if question.blocks]
    for hours, field in ((5, "first_dose"), (16, "first_dose"), (12, "clocks"), (48, "clocks")):
        asked = [one.field for one in open_questions(a_plan(a_medicine(every_hours=hours))) if one.blocks]
        assert f"medicines[1].{field}" in asked, hours


ORDER = {
    "id": "drug",
    "name": "Drug",
    "form": "liquid",
    "strength": "1 mg/mL",
    "dose": "5 mg",
    "route": "tube",
    "every_hours": 36,
    "first_dose": "2026-11-25 06:30",
}


def test_a_first_dose_is_written_as_a_day_and_a_time():
    """With a space or a T, or as a file's own local time; it is written back with a space."""
    for text in ("2026-11-25 06:30", "2026-11-25T06:30", FIRST):
        order = read_document(Medicine, {**ORDER, "first_dose": text})
        assert order.first_dose == FIRST
        assert order.model_dump(mode="json")["first_dose"] == "2026-11-25 06:30"
    assert read_document(Medicine, {**ORDER, "first_dose": "not stated"}).first_dose is None


@pytest.mark.parametrize(
    ("changed", "fragment"),
    [
        (
            {"first_dose": "2026-11-25"},
            'first_dose: "2026-11-25" for a day and a time of day. Allowed: a day that exists',
        ),
        ({"first_dose": "2026-02-30 06:30"}, "a day that exists and a local time"),
        ({"first_dose": "2026-11-25 06:30:10"}, "a day that exists and a local time"),
        ({"first_dose": datetime(2026, 11, 25, 6, 30, tzinfo=UTC)}, "a day that exists and a local time"),
        ({"clocks": ("06:30",), "every_hours": 48}, "Drug counted from its first dose, with times of day"),
        ({"every_hours": None, "times_per_day": 2}, "with another rhythm than every_hours"),
        (
            {"steps": ({"from_on": "2026-12-01", "dose": "3 mg", "every_hours": 48},)},
            "with another rhythm than every_hours",
        ),
        ({"every_hours": 2.5}, "2.5 hours. Allowed: 3 to 744 hours"),
        (
            {"start_on": "2026-11-26"},
            "Drug first given on 25 November 2026, with a course from 26 November 2026 to a day not stated",
        ),
        ({"start_on": "2026-11-23"}, "a first dose on the first day of the course"),
        ({"stop_on": "2026-11-23"}, "a first dose on the first day of the course"),
    ],
)
def test_what_a_first_dose_cannot_be_is_refused(changed, fragment):
    """Each with what is allowed."""
    with pytest.raises(FillmarkError) as told:
        read_document(Medicine, {**ORDER, **changed})
    assert fragment in str(told.value)


def test_a_first_dose_may_come_in_the_night_that_belongs_to_the_day_before():
    """The household's day reaches past midnight."""
    read_document(Medicine, {**ORDER, "start_on": "2026-11-24", "first_dose": "2026-11-25 02:00"})
    read_document(Medicine, {**ORDER, "start_on": "2026-11-25"})
    read_document(Medicine, {**ORDER, "stop_on": "2026-11-24", "first_dose": "2026-11-25 02:00"})
    read_document(Medicine, {**ORDER, "every_hours": 3})
