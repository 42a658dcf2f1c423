"""Days and times as people say them."""

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

from fillmark.core.values.words import say_date, say_day, say_first_to_last, say_short_day, say_time

FOURTH = date(2026, 12, 4)


def test_a_day_is_said_with_as_much_as_its_place_needs() -> None:
    """Without a zero in front of a day of one digit."""
    assert say_day(FOURTH) == "4 December"
    assert say_day(FOURTH, has_weekday=True) == "Friday 4 December"
    assert say_day(FOURTH, has_weekday=True, has_year=True) == "Friday 4 December 2026"
    assert say_short_day(FOURTH) == "Fri 4 Dec"


def test_a_day_that_nobody_has_said_is_said_to_be_so() -> None:
    """Not left out of the sentence, and not guessed."""
    assert (say_date(FOURTH), say_date(None)) == ("4 December 2026", "a day not stated")


def test_the_month_of_some_days_is_said_twice_only_where_it_changes() -> None:
    """Also where the same month of another year ends them."""
    assert say_first_to_last(date(2026, 11, 23), date(2026, 11, 29)) == "23 to 29 November"
    assert say_first_to_last(date(2026, 11, 30), FOURTH) == "30 November to 4 December"
    assert say_first_to_last(date(2025, 12, 4), FOURTH) == "4 December to 4 December"


def test_a_time_has_its_day_where_that_is_another_one() -> None:
    """By the household's clock, not by that of the instant."""
    dublin, evening = ZoneInfo("Europe/Dublin"), datetime(2026, 7, 4, 23, 30, tzinfo=UTC)
    assert say_time(evening, dublin) == say_time(evening, dublin, beside=evening) == "00:30"
    assert say_time(evening, dublin, beside=datetime(2026, 7, 4, 12, tzinfo=UTC)) == "00:30 on 5 July"
