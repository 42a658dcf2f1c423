"""The rest of today at other times: proposed, accepted by who may, seen by everyone, and taken back."""

from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from typing import Any

import pytest

from fillmark.core.bedside.next_session import next_and_last, session_state
from fillmark.core.chart.chart import CellState
from fillmark.core.record.care_entries import FeedingLocked
from fillmark.core.record.day_entries import DayReplanned, ReplannedSession
from fillmark.core.record.medicine_entries import MedicineGiven, Outcome
from fillmark.core.record.session_entries import MealEnded, SessionEnded, SessionSkipped, SessionStarted
from fillmark.core.record.sessions import Standing
from fillmark.core.timetable import Away
from fillmark.core.values.errors import BadEntry, BadPlan, FeedingIsLocked, NotAllowed
from fillmark.services import chart, intake, new_times, plans, record
from fillmark.services.new_times import NewTimesOffer, Wish
from tests.services.test_intake import adopt, keep
from tests.support.builders import SEVEN, Home, an_id, junipers_plan
from tests.support.builders import adopt as put_in_force
from tests.support.sides import side_of

pytestmark = pytest.mark.django_db
DAY = date(2026, 11, 25)
ELEVEN_THIRTY = "2026-11-25T11:30"


def at(hour: int, minute: int = 0) -> datetime:
    return datetime(2026, 11, 25, hour, minute, tzinfo=UTC)


def propose(home: Home, *, now: datetime, wish: Wish | None = None) -> NewTimesOffer:
    found = new_times.propose(side_of(**home.ids, now=now), wish=wish or Wish())
    assert found is not None
    return found


def clocks(offer: NewTimesOffer) -> dict[str, str]:
    """Every session still to come: its new time, or that it is let go."""
    return {one.key[11:]: f"{one.at:%H:%M}" if one.at else "let go" for one in offer.times.value.times}


def accept(home: Home, offer: NewTimesOffer, *, wish: Wish, now: datetime, **changed: Any) -> Any:
    given = {
        "by": home.sam,
        "seen": offer.seen,
        "asked_at": now,
        "reason": "Nobody there",
        "entry_id": an_id(at=now),
        "device": "hall",
    }
    return new_times.set_times(**home.ids, wish=wish, now=now, **{**given, **changed})


def morning(home: Home, *, fed_at: datetime = datetime(2026, 11, 25, 7, 20, tzinfo=UTC)) -> None:
    """The first two sessions of the day were given."""
    keep(home, SessionEnded(session="2026-11-25T06:30"), at=at(6, 40))
    keep(home, MealEnded(session=SEVEN, fills=0, total_ml=210), at=fed_at)
    keep(home, SessionEnded(session=SEVEN), at=fed_at)


def planned(home: Home, day: date = DAY) -> dict[str, str]:
    found = plans.planned_sessions(**home.ids, day=day)
    return {session.key[11:]: f"{session.at:%H:%M}" for session in found}


AWAY = Wish(away=Away(at(11), at(13, 30)))


def test_before_the_first_plan_there_is_nothing_to_plan_anew(home: Home) -> None:
    """Nothing is guessed."""
    assert new_times.propose(side_of(**home.ids, now=at(10)), wish=Wish()) is None


def test_a_day_on_time_proposes_nothing(home: Home) -> None:
    """What is to come keeps its distances, so nothing has to move."""
    adopt(home)
    morning(home)
    offer = propose(home, now=at(9))
    assert offer.changed == ()
    with pytest.raises(BadPlan) as refused:
        accept(home, offer, wish=Wish(), now=at(9))
    assert str(refused.value) == (
        "A day in which nothing changes. Allowed: a day with other times. Say when you are away, or what was not given."
    )


@pytest.mark.hazard("H11")
def test_a_late_meal_moves_the_next_by_no_more_than_the_vets_distance(home: Home) -> None:
    """Fed at 9:20 in place of 7:00, the next meals come three hours on, and the evening is as planned."""
    adopt(home)
    morning(home, fed_at=at(9, 20))
    moved = {one.key[11:]: f"{one.at:%H:%M}" for one in propose(home, now=at(9, 30)).changed}
    assert moved == {"11:30": "12:20", "15:00": "15:20"}


@pytest.mark.hazard("H11")
def test_what_nobody_wrote_down_counts_as_given_until_someone_says_it_was_not(home: Home) -> None:
    """At 14:00 the 11:30 meal has no entry: it is asked about, and only a person's word offers it again."""
    adopt(home)
    morning(home)
    silent = propose(home, now=at(14))
    assert silent.times.value.ask == (ELEVEN_THIRTY,)
    assert "11:30" not in clocks(silent)

    told = propose(home, now=at(14), wish=Wish(again=(ELEVEN_THIRTY,)))

    assert told.times.value.ask == ()
    assert clocks(told)["11:30"] == "14:00"
    assert clocks(told)["15:00"] == "17:00"
    with pytest.raises(BadPlan) as refused:
        propose(home, now=at(14), wish=Wish(again=(SEVEN,)))
    assert str(refused.value) == (
        "A session that someone has recorded meanwhile, or that is still to come. Allowed: a session past its time "
        "without an entry. Look at the day again."
    )


def test_nobody_there_moves_what_may_move_and_lets_go_what_may_not(home: Home) -> None:
    """Away from 11:00 to 17:30: the 11:30 meal waits, one meal and the 14:30 dose are let go, each with why."""
    adopt(home)
    morning(home)
    wish = Wish(away=Away(at(11), at(17, 30)))
    offer = propose(home, now=at(10, 50), wish=wish)

    gone = {one.key[11:]: one.let_go for one in offer.times.value.times if one.let_go}
    assert gone["14:30"] == (("Metoclopramide", "nobody is there while it may be given"),)
    assert all(not at(11) < one.at < at(17, 30) for one in offer.times.value.times if one.at)
    assert sum(offer.new_ml(one) for one in offer.times.value.times) < 630


def test_a_session_begun_before_leaving_is_over_before_leaving(home: Home) -> None:
    """A meal with its upright time fits before eleven, or it does not begin."""
    adopt(home)
    morning(home)
    offer = propose(home, now=at(10, 20), wish=Wish(away=Away(at(11), at(15))))
    first = next(one for one in offer.times.value.times if one.key == ELEVEN_THIRTY)
    assert first.at is not None
    assert first.at + timedelta(minutes=31) <= at(11) or first.at >= at(15)


def test_times_that_are_past_or_of_tomorrow_are_refused(home: Home) -> None:
    """Each with what to do."""
    adopt(home)
    for until, told in (
        (
            at(9),
            "Away until 09:00, which is past. Allowed: a time still to come today. Enter when somebody can come again.",
        ),
        (
            at(9) + timedelta(days=1),
            "Away until 09:00 of the next day. Allowed: a time before the day ends at 04:00. Plan today anew for what "
            "is left of today, and tomorrow's in the plan.",
        ),
    ):
        with pytest.raises(BadPlan) as refused:
            propose(home, now=at(10), wish=Wish(away=Away(at(10), until)))
        assert str(refused.value) == told


@pytest.mark.hazard("H1")
def test_accepted_times_hold_for_everyone_and_a_session_stays_the_same_session(home: Home) -> None:
    """The 11:30 meal comes at 13:30 under its own name, so that two people still meet in it."""
    adopt(home)
    morning(home)
    offer = propose(home, now=at(10, 50), wish=AWAY)
    kept = accept(home, offer, wish=AWAY, now=at(10, 50))

    assert [one.kind for one in kept] == ["day_replanned"]
    assert planned(home)["11:30"] == clocks(offer)["11:30"] == "13:30"
    state = next_and_last(side_of(**home.ids, now=at(11, 40)))
    assert state.next is not None
    assert (state.next.session, state.next.planned.clock.hour) == (ELEVEN_THIRTY, 13)
    # two hours after its planned time it is still to come, since it comes later now
    assert next_and_last(side_of(**home.ids, now=at(13, 45))).next.session == ELEVEN_THIRTY
    ledger = record.day_ledger(side_of(**home.ids, now=at(13)), day=DAY)
    assert [line.record.session for line in ledger.lines].count(ELEVEN_THIRTY) == 1


def test_tomorrow_and_yesterday_stay_as_planned(home: Home) -> None:
    """New times are for today alone, and the plan stays the version it was."""
    adopt(home)
    morning(home)
    before = {day: planned(home, DAY + timedelta(days=day)) for day in (-1, 1)}
    accept(home, propose(home, now=at(10, 50), wish=AWAY), wish=AWAY, now=at(10, 50))
    assert {day: planned(home, DAY + timedelta(days=day)) for day in (-1, 1)} == before
    assert len(plans.all_versions(**home.ids)) == 1


def test_a_second_press_changes_nothing(home: Home) -> None:
    """The same press sent twice is one entry."""
    adopt(home)
    morning(home)
    offer, pressed = propose(home, now=at(10, 50), wish=AWAY), an_id(at=at(10, 50))
    accept(home, offer, wish=AWAY, now=at(10, 50), entry_id=pressed)
    seq = record.last_seq(household_id=home.id)
    assert accept(home, offer, wish=AWAY, now=at(10, 51), entry_id=pressed) == ()
    assert record.last_seq(household_id=home.id) == seq


def test_a_day_that_has_changed_since_it_was_seen_is_not_accepted(home: Home) -> None:
    """Someone starts the 11:30 meal meanwhile: nothing is put in force over it."""
    adopt(home)
    morning(home)
    offer = propose(home, now=at(10, 50), wish=AWAY)
    keep(home, SessionStarted(session=ELEVEN_THIRTY), at=at(10, 51))
    with pytest.raises(BadPlan) as refused:
        accept(home, offer, wish=AWAY, now=at(10, 52))
    assert str(refused.value) == (
        "A day that is no longer the one you saw. Allowed: the times as they were shown. Look at the new times again, "
        "then accept them."
    )
    assert planned(home)["11:30"] == "11:30"


def test_a_proposal_holds_for_a_quarter_of_an_hour(home: Home) -> None:
    """Who reads it for ten minutes may still take it as it was shown; after that the day has gone on."""
    adopt(home)
    morning(home)
    offer = propose(home, now=at(10, 50), wish=AWAY)
    with pytest.raises(BadPlan):
        accept(home, offer, wish=AWAY, now=at(11, 6), asked_at=at(10, 50))
    assert len(accept(home, offer, wish=AWAY, now=at(11), asked_at=at(10, 50))) == 1


@pytest.mark.hazard("H25")
def test_a_helper_may_take_new_times_and_a_sitter_may_not(home: Home) -> None:
    """A sitter calls a lead or a helper."""
    adopt(home)
    morning(home)
    offer = propose(home, now=at(10, 50), wish=AWAY)
    with pytest.raises(NotAllowed):
        accept(home, offer, wish=AWAY, now=at(10, 50), by=home.ilse)
    assert len(accept(home, offer, wish=AWAY, now=at(10, 50), by=home.sam)) == 1


@pytest.mark.hazard("H25")
def test_new_times_sent_as_if_they_had_happened_are_refused(home: Home) -> None:
    """They are worked out and checked here, never taken from a phone's word."""
    adopt(home)
    word = DayReplanned(sessions=(ReplannedSession(session=SEVEN, at=at(8)),), reason="by hand")
    with pytest.raises(BadEntry) as refused:
        keep(home, word, at=at(7))
    assert str(refused.value) == (
        "New times for a day, sent like something that happened. Allowed: new times that were accepted on their page. "
        "Open the page of the new times, and accept them there."
    )


def test_while_feeding_is_locked_no_new_times_are_taken(home: Home) -> None:
    """The vet comes first."""
    adopt(home)
    morning(home)
    keep(home, FeedingLocked(trouble="cough"), at=at(10))
    with pytest.raises(FeedingIsLocked) as refused:
        accept(home, propose(home, now=at(10, 50), wish=AWAY), wish=AWAY, now=at(10, 50))
    assert str(refused.value) == (
        "New times while feeding is locked. Allowed: new times once a lead has written down what the vet said. See "
        "what locks it first."
    )


def test_what_is_let_go_is_written_down_as_left_out_and_comes_back_with_the_times(home: Home) -> None:
    """The dose let go has its reason in the record; taken back, it is due again and nothing is lost."""
    adopt(home)
    morning(home)
    wish = Wish(away=Away(at(11), at(17, 30)))
    pressed = an_id(at=at(10, 50))
    accept(home, propose(home, now=at(10, 50), wish=wish), wish=wish, now=at(10, 50), entry_id=pressed)
    dose = session_state(side_of(**home.ids, now=at(11)), "2026-11-25T14:30")
    assert dose.standing is Standing.SKIPPED
    assert dose.reason == "Let go: nobody is there while it may be given. Nobody there"

    back = {"by": home.noor, "of": pressed, "entry_id": an_id(at=at(11)), "device": "hall", "now": at(11)}
    new_times.take_back(**home.ids, **back)

    assert planned(home)["11:30"] == "11:30"
    assert session_state(side_of(**home.ids, now=at(11)), "2026-11-25T14:30").standing is Standing.NO_ENTRY
    with pytest.raises(BadEntry) as refused:
        new_times.take_back(**home.ids, **{**back, "entry_id": an_id(at=at(11, 1))})
    assert str(refused.value) == (
        "New times that are not the last ones of today. Allowed: the last new times of today. Look at the day again."
    )


@pytest.mark.hazard("H11")
def test_amounts_change_only_by_the_vets_rule_and_never_past_the_cap(home: Home) -> None:
    """With the rule "spread" the later meals grow inside the cap; without it, or with "let go", none does."""
    for rule in ("spread", "let go", None):
        adopt(home, missed_meal=rule)
        if rule == "spread":
            keep(home, SessionSkipped(session=SEVEN, reason="asleep"), at=at(8))
        offer = propose(home, now=at(10))
        meals = [offer.new_ml(one) for one in offer.times.value.times if one.ordered.meal_ml]
        assert all(210 < ml < 348 for ml in meals) if rule == "spread" else meals == [210, 210, 210], rule
        if rule == "spread":
            accept(home, offer, wish=Wish(), now=at(10))
            day = plans.planned_sessions(**home.ids, day=DAY)
            grown = [session for session in day if session.meal_ml and session.key > SEVEN]
            assert [session.meal_ml for session in grown] == meals
            assert [sum(float(mark.drawn.ml) for mark in session.fills) for session in grown] == meals
            assert all(session.load.value.total_ml <= 20 * 17.4 for session in grown)
            # what the day needs is still what the plan says, so nothing is spread a second time
            again = intake.rest_of_day(side_of(**home.ids, now=at(10, 5)))
            assert again.rest.value.day_ml == 840
            assert record.day_ledger(side_of(**home.ids, now=at(10, 5)), day=DAY).planned_ml == 840
            assert propose(home, now=at(10, 5)).changed == ()
            entry = side_of(**home.ids, now=at(10, 5)).replanned(first=DAY, last=DAY)[-1].entry
            back = {"by": home.noor, "of": entry.id, "entry_id": an_id(at=at(10, 6)), "device": "hall"}
            new_times.take_back(**home.ids, **back, now=at(10, 6))


def test_a_dose_let_go_out_of_a_meal_is_left_out_on_the_chart_and_the_day_keeps_its_plan(home: Home) -> None:
    """The 20:00 meal comes at 22:45; its omeprazole would be too late: no step asks for it, and the chart says why."""
    plan = junipers_plan()
    omeprazole = plan.medicines[1].model_copy(
        update={"clocks": (time(8), time(20)), "food": plan.medicines[1].food.model_copy(update={"relation": "any"})}
    )
    ordered = plan.model_copy(update={"medicines": (omeprazole,)})
    put_in_force(home, ordered, from_at=at(4) - timedelta(days=3), now=at(4))
    wish = Wish(away=Away(at(19, 10), at(22, 45)))
    offer = propose(home, now=at(19), wish=wish)
    accept(home, offer, wish=wish, now=at(19))

    evening = next(one for one in plans.planned_sessions(**home.ids, day=DAY) if one.key == "2026-11-25T20:00")
    assert (f"{evening.at:%H:%M}", evening.meal_ml, evening.medicines) == ("22:45", 210, ())
    assert not any(step.medicine_id for step in evening.steps)
    shown = chart.chart_of_days(side_of(**home.ids, now=at(19, 5)), first=DAY, last=DAY)
    cell = next(cell for row in shown.rows for cell in row.cells if cell.session == "2026-11-25T20:00")
    assert (cell.state, cell.clock) == (CellState.LEFT_OUT, time(20))
    assert cell.left_out.reason == "Let go. Nobody there"
    assert record.day_ledger(side_of(**home.ids, now=at(19, 5)), day=DAY).planned_ml == 840


@pytest.mark.hazard("H1")
def test_a_dose_given_late_keeps_its_distance_to_the_next(home: Home) -> None:
    """Metoclopramide at 8:20 moves the 14:30 dose no nearer than the six hours that lie between two of them."""
    adopt(home)
    given = MedicineGiven(
        session="2026-11-25T06:30", medicine="metoclopramide", dose_mg=Decimal(5), outcome=Outcome.GIVEN
    )
    keep(home, given, at=at(8, 50))
    keep(home, SessionEnded(session="2026-11-25T06:30"), at=at(8, 50))
    offer = propose(home, now=at(9))
    assert clocks(offer)["14:30"] == "14:50"
