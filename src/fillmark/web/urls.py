"""The addresses of the screens."""

from datetime import date

from django.conf import settings
from django.urls import include, path, register_converter

from fillmark.core.values.typed import read_clock, read_day
from fillmark.web.calls import views as calls
from fillmark.web.day import views as day
from fillmark.web.now import views as now
from fillmark.web.walk import views as walk


class DayConverter:
    """A day that exists, as year-month-day, in a century that a household may ask about."""

    regex = r"(?:19|20|21)[0-9]{2}-[0-9]{2}-[0-9]{2}"

    def to_python(self, value: str) -> date:
        day = read_day(value)
        if day is None:
            raise ValueError
        return day

    def to_url(self, value: date) -> str:
        return value.isoformat()


class SessionConverter:
    """A session: its local day and planned time."""

    regex = r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}"

    def to_python(self, value: str) -> str:
        if read_day(value[:10]) is None or read_clock(value[11:]) is None:
            raise ValueError
        return value

    def to_url(self, value: str) -> str:
        return value


register_converter(DayConverter, "day")
register_converter(SessionConverter, "session")

urlpatterns = [
    path("", include("fillmark.web.old_addresses")),
    path("", include("fillmark.web.sign_in.urls")),
    path("", include("fillmark.web.phone.urls")),
    path("", include("fillmark.web.welcome.urls")),
    path("", include("fillmark.web.household.urls")),
    path("", include("fillmark.web.set_aside.urls")),
    path("", include("fillmark.web.take_in.urls")),
    path("", include("fillmark.web.make_plan.urls")),
    path("something-is-wrong/", calls.anyones_cards, name="anyones_cards"),
    path("", now.now, name="now"),
    path("<uuid:animal_id>/", now.now, name="now_of"),
    path("<uuid:animal_id>/ahead/", now.ahead, name="ahead"),
    path("<uuid:animal_id>/day/", day.day, name="day"),
    path("<uuid:animal_id>/day/<day:on>/", day.day, name="day_on"),
    path("<uuid:animal_id>/food/", include("fillmark.web.places.urls")),
    path("<uuid:animal_id>/plan/", include("fillmark.web.plan.urls")),
    path("<uuid:animal_id>/chart/", include("fillmark.web.chart.urls")),
    path("<uuid:animal_id>/when-needed/", include("fillmark.web.when_needed.urls")),
    path("<uuid:animal_id>/bottles/", include("fillmark.web.bottles.urls")),
    path("<uuid:animal_id>/timetable/", include("fillmark.web.timetable.urls")),
    path("<uuid:animal_id>/new-times/", include("fillmark.web.new_times.urls")),
    path("<uuid:animal_id>/ways/", include("fillmark.web.ways.urls")),
    path("<uuid:animal_id>/energy/", include("fillmark.web.energy.urls")),
    path("<uuid:animal_id>/mixes/", include("fillmark.web.mixes.urls")),
    path("<uuid:animal_id>/weigh/", include("fillmark.web.weigh.urls")),
    path("<uuid:animal_id>/batch/", include("fillmark.web.batch.urls")),
    path("<uuid:animal_id>/flow/", include("fillmark.web.flow.urls")),
    path("<uuid:animal_id>/intake/", include("fillmark.web.intake.urls")),
    path("<uuid:animal_id>/ladder/", include("fillmark.web.ladder.urls")),
    path("<uuid:animal_id>/", include("fillmark.web.calls.urls")),
    path("<uuid:animal_id>/", include("fillmark.web.once_or_twice.urls")),
    path("<uuid:animal_id>/", include("fillmark.web.entry.urls")),
    path("<uuid:animal_id>/", include("fillmark.web.find.urls")),
    path("<uuid:animal_id>/", include("fillmark.web.photos.urls")),
    path("<uuid:animal_id>/<session:session>/", walk.walk, name="walk"),
    path("<uuid:animal_id>/<session:session>/second-check/", include("fillmark.web.second_check.urls")),
    path("<uuid:animal_id>/<session:session>/press/", walk.press, name="press"),
]
if settings.DEBUG:
    urlpatterns.append(path("design/", include("fillmark.web.drawings.urls")))
