"""Why there is no day: the named rules are minimal, and the ways out work."""

import pytest

from benchmarks.regimens import heavy_day
from benchmarks.timetable import impossible_days
from fillmark.core.timetable import (
    Apart,
    Clash,
    Easing,
    EmptyStomach,
    Insisted,
    Meals,
    NoDay,
    Regimen,
    Timetable,
    Window,
    check_day,
    ease_rule,
    every_hours,
    explain_clash,
    find_day,
    list_rules,
    plan_day,
    what_holds,
    without_rules,
)


def _check_clash(regimen: Regimen) -> Clash:
    clash = explain_clash(regimen)
    all_ids = {rule.id for rule in list_rules(regimen)}
    named = {rule.id for rule in clash.rules}
    alone = without_rules(regimen, dropped=frozenset(all_ids - named))
    assert find_day(alone) == NoDay(True)
    for rule in clash.rules:
        rest = find_day(without_rules(alone, dropped=frozenset({rule.id})))
        assert isinstance(rest, Timetable), f"{rule.words} is not needed for the clash"
    assert len(clash.ways_out) >= 2
    assert len({way.words for way in clash.ways_out}) == len(clash.ways_out)
    for way in clash.ways_out:
        assert way.easings
        assert check_day(regimen=way.regimen, timetable=way.timetable) == ()
        assert _apply(regimen, way.easings) == way.regimen
        for easing in way.easings:
            others = tuple(one for one in way.easings if one != easing)
            assert find_day(_apply(regimen, others)) == NoDay(True), f"{way.words}: {easing.words} is not needed"
        for duty in regimen.duties:
            assert way.regimen.duty(duty.name).shortest_gap_minutes >= duty.floor_minutes
    return clash


def _apply(regimen: Regimen, easings: tuple[Easing, ...]) -> Regimen:
    """The regimen with some changes of a way out, each made anew."""
    for easing in easings:
        forms = {one.words: one.regimen for one in ease_rule(regimen, rule=easing.rule)}
        regimen = forms[easing.words]
    return regimen


@pytest.mark.hazard("H22")
def test_impossible_days_name_a_minimal_clash_and_ways_out_that_work() -> None:
    """Dropping any one of the named rules lets the rest hold."""
    for regimen in impossible_days(15):
        _check_clash(regimen)


@pytest.mark.long
def test_200_impossible_days_name_a_minimal_clash_and_ways_out_that_work() -> None:
    """The same over 200 days."""
    for regimen in impossible_days(200, first_seed=1000):
        _check_clash(regimen)


def test_a_clash_is_told_in_plain_words() -> None:
    """Two meals, an empty stomach and a household that insists on its evening cannot all hold."""
    regimen = Regimen(
        meals=Meals(fewest=3, most=3, shortest_gap_minutes=240, window=Window(6 * 60, 16 * 60)),
        duties=(
            every_hours("A", hours=24, tolerance_minutes=0, food=EmptyStomach(after_minutes=360, before_minutes=180)),
        ),
        quiet=(Window(19 * 60, 6 * 60),),
    )
    clash = _check_clash(regimen)
    assert {rule.id for rule in clash.rules} >= {"food:A", "quiet:0"}
    assert "cannot all hold. What would solve it: " in clash.because
    assert "no session from 19:00 to 6:00" in clash.because
    assert "(ask the vet)" in clash.because
    assert any(not way.needs_vet for way in clash.ways_out)


def test_a_day_that_exists_is_not_explained_away() -> None:
    """Asking why a possible day is impossible is an error of the caller."""
    with pytest.raises(ValueError, match="this regimen has a day; nothing clashes"):
        explain_clash(heavy_day())


def test_what_holds_a_day_names_what_each_rule_would_buy() -> None:
    """Without the separation A and B share their sessions."""
    regimen = Regimen(
        duties=(every_hours("A", hours=12, tolerance_minutes=60), every_hours("B", hours=12, tolerance_minutes=60)),
        apart=(Apart("A", "B", 120),),
        insisted=(Insisted(7 * 60, "A"),),
    )
    found = plan_day(regimen, aims=())
    assert isinstance(found, Timetable)
    holding = what_holds(regimen, timetable=found)
    assert [(buy.rule.id, buy.sessions) for buy in holding.buys] == [("apart:A:B", 2)]
    assert holding.because == "4 sessions: without “2 hours between A and B” it would take 2."


def test_a_day_held_by_its_doses_alone_says_so() -> None:
    """No rule can be left out to save a session."""
    regimen = Regimen(duties=(every_hours("A", hours=6, tolerance_minutes=60),))
    found = plan_day(regimen, aims=())
    assert isinstance(found, Timetable)
    assert what_holds(regimen, timetable=found).because == "The number of doses and meals alone takes 4 sessions."
