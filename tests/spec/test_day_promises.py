"""What Fillmark promises about a day that goes otherwise, as a caregiver would read it."""

from datetime import UTC, date, datetime, timedelta

import pytest

from fillmark.core.day.plan_day import plan_day
from fillmark.core.day.values import PlannedSession
from fillmark.core.record.sessions import SessionRecord, Standing
from fillmark.core.timetable import Away
from fillmark.core.today.new_times import NewTimes, TodaysSession, propose_times
from tests.support.builders import junipers_plan

ON = date(2026, 11, 25)
NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)


def rest_of_junipers_day(*, behind: int, away: Away | None = None, again: tuple[str, ...] = ()) -> NewTimes:
    """Noon of Juniper's day: so many sessions were left out with a word, the others have no entry."""
    plan = junipers_plan()

    def beside(session: PlannedSession, standing: Standing) -> TodaysSession:
        record = SessionRecord(session=session.key, standing=standing, steps_skipped={})
        return TodaysSession(ordered=session, at=session.at, record=record)

    today = plan_day(plan, on=ON).sessions
    tomorrow = plan_day(plan, on=ON + timedelta(days=1)).sessions
    return propose_times(
        plan,
        today=[
            beside(session, Standing.SKIPPED if place < behind else Standing.NO_ENTRY)
            for place, session in enumerate(today)
        ],
        around=[beside(session, Standing.NO_ENTRY) for session in tomorrow],
        givings=(),
        now=NOON,
        on=ON,
        ends_at=datetime(2026, 11, 26, 4, tzinfo=UTC),
        away=away,
        again=again,
    ).value


@pytest.mark.hazard("H11")
def test_a_missed_meal_is_never_given_twice_to_make_up() -> None:
    """Whatever was missed or late, each session of today comes once at most; what finds no time is let go with why."""
    found = rest_of_junipers_day(behind=2, away=Away(NOON, NOON + timedelta(hours=6)))
    assert len({one.key for one in found.times}) == len(found.times)
    assert all(because for one in found.times for _, because in one.let_go)
    assert any(one.let_go for one in found.times)


@pytest.mark.hazard("H1")
def test_what_nobody_wrote_down_is_not_offered_again_by_itself() -> None:
    """A session without an entry past its time counts as given; only a person who says otherwise offers it again."""
    asked = rest_of_junipers_day(behind=0)
    assert "2026-11-25T07:00" in asked.ask
    assert "2026-11-25T07:00" not in {one.key for one in asked.times}
    told = rest_of_junipers_day(behind=0, again=("2026-11-25T07:00",))
    assert "2026-11-25T07:00" in {one.key for one in told.times}
