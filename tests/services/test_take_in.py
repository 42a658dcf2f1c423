"""From a care plan file to a version in force: nothing holds that was not shown and confirmed."""

from dataclasses import replace
from datetime import date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.reading import read_plan
from fillmark.core.record.care_entries import Note
from fillmark.core.values.errors import BadPlan, NotAllowed, NotStated
from fillmark.core.values.finding import Weight
from fillmark.core.values.people import Role
from fillmark.records.plan_versions import StoredPlan
from fillmark.services import household, plans, record, take_in
from fillmark.services.take_in import By, Reading, When
from tests.core.plan.test_words import a_plan
from tests.support.builders import NOON, Home, an_entry, confirmed

pytestmark = pytest.mark.django_db
DUBLIN = ZoneInfo("Europe/Dublin")
TEN_TIMES = ('dose = "12 mg"', 'dose = "120 mg"')
A_TENTH = ('dose = "12 mg"', 'dose = "1.2 mg"')
LESS = ('dose = "12 mg"', 'dose = "10 mg"')


def read(home: Home, plan: CarePlan | None = None, **changed: Any) -> Reading:
    values = {"household_id": home.id, "by": home.noor, "animal_id": home.animal_id, "clock": None, "now": NOON}
    return take_in.read_for(plan=plan or a_plan(), **{**values, **changed})


def confirm(home: Home, reading: Reading, plan: CarePlan | None = None, **changed: Any) -> StoredPlan:
    said = {name: changed.pop(name) for name in ("by", "words", "on", "now") if name in changed}
    meant, vet = frozenset(changed.pop("answered", ())), changed.pop("vet", {})
    values = {
        "animal_id": home.animal_id,
        "clock": reading.by,
        "seen": reading.seen,
        "base_number": reading.base_number,
        "when": When.NOW,
    }
    return take_in.put_in_force(
        replace(confirmed(home, **said), meant=meant, answers=vet),
        take_in.Accepted(plan=plan or a_plan(), **{**values, **changed}),
    )


def versions(home: Home) -> list[int]:
    found = plans.all_versions(**home.ids)
    return [one.number for one in found]


@pytest.fixture
def empty(db: None) -> Home:
    """A household as it is opened on an empty record."""
    lead = household.open_household(name="Our home", time_zone="UTC", day_starts=time(4), lead_name="Lead")
    return Home(id=lead.household_id, animal_id=None, noor=lead.id, sam=lead.id, ilse=lead.id)  # type: ignore[arg-type]


@pytest.mark.hazard("H28")
def test_reading_puts_nothing_in_force(home: Home) -> None:
    """The day is worked out, every value told; there is no version before the confirmation."""
    reading = read(home)

    assert sum(reading.day.meals.value) == 840
    assert {section.title for section in reading.sections} >= {"The vet's orders", "Medicine: Omeprazole"}
    assert (reading.base, reading.changes, reading.found.of(Weight.ASKED)) == (None, (), ())
    assert versions(home) == []


@pytest.mark.hazard("H28")
def test_what_was_shown_becomes_the_first_version(home: Home) -> None:
    """With who confirmed it and the vet's word; it holds from now on."""
    kept = confirm(home, read(home))

    assert plans.current_plan(**home.ids, at=NOON) == kept
    assert (kept.number, kept.confirmed_by, kept.vet_words) == (1, home.noor, "As on the sheet.")
    assert kept.plan.model_copy(update={"household": a_plan().household}) == a_plan()
    assert kept.plan.household.name == "Harbor Street"
    assert kept.effective_from == NOON


@pytest.mark.hazard("H28")
def test_another_plan_than_the_one_shown_is_refused(home: Home) -> None:
    """The whole message, word for word; nothing is in force."""
    with pytest.raises(BadPlan) as refused:
        confirm(home, read(home), a_plan(LESS))

    assert str(refused.value) == (
        "A plan that is no longer read as it was shown. Allowed: the plan as it was shown. "
        "Look at it again below, then confirm it."
    )
    assert versions(home) == []


@pytest.mark.hazard("H28")
def test_a_changed_file_shows_what_differs_against_the_version_before(home: Home) -> None:
    """And becomes version 2 from the start of the next day; the first keeps today."""
    confirm(home, read(home))
    reading = read(home, a_plan(LESS))
    assert [(one.title, [(it.old, it.new) for it in one.changes]) for one in reading.changes] == [
        ("Medicine: Omeprazole", [("12 mg", "10 mg")])
    ]

    kept = confirm(home, reading, a_plan(LESS), when=When.DAY)

    assert kept.number == 2
    assert kept.effective_from == datetime(2026, 11, 26, 4, tzinfo=DUBLIN)
    current = plans.current_plan(**home.ids, at=NOON)
    assert current is not None
    assert current.number == 1


def test_the_next_session_is_the_first_to_come_of_either_version(home: Home) -> None:
    """At noon the next one by version 1 is at 14:30, by the new one at 13:00; a first plan has no such choice."""
    assert [moment.when for moment in read(home).moments] == [When.NOW, When.DAY]
    confirm(home, read(home))
    earlier = a_plan(('meals = ["07:00", "11:30", "15:00", "20:00"]', 'meals = ["07:00", "13:00", "16:30", "20:00"]'))

    moments = {moment.when: moment for moment in read(home, earlier).moments}

    assert moments[When.SESSION].at == datetime(2026, 11, 25, 13, tzinfo=DUBLIN)
    assert moments[When.DAY].at == datetime(2026, 11, 26, 4, tzinfo=DUBLIN)
    assert moments[When.NOW].cautions == moments[When.SESSION].cautions
    assert "The meal at 13:00 by this version comes 1 hour 30 minutes after" in moments[When.NOW].cautions[0]
    assert moments[When.DAY].cautions == ()


@pytest.mark.hazard("H1")
@pytest.mark.hazard("H27")
def test_confirmed_twice_it_is_one_version(home: Home) -> None:
    """The reply was lost and the button is pressed again."""
    reading = read(home)
    first = confirm(home, reading)
    again = confirm(home, reading, now=NOON + timedelta(minutes=1))

    assert again == first
    assert versions(home) == [1]


@pytest.mark.hazard("H28")
def test_who_confirms_after_another_person_was_faster_is_told_and_shown_it_anew(home: Home) -> None:
    """The whole message, word for word; their comparison was with a version that no longer holds."""
    ada = household.add_person(household_id=home.id, by=home.noor, name="Ada", role=Role.LEAD, now=NOON)
    confirm(home, read(home))
    mine = read(home, a_plan(LESS))
    theirs = a_plan(("upright_minutes = 20", "upright_minutes = 30"))
    confirm(home, read(home, theirs), theirs, by=ada.id)

    with pytest.raises(BadPlan) as refused:
        confirm(home, mine, a_plan(LESS))

    assert str(refused.value) == (
        "A plan that was compared with version 1, when Ada put version 2 in force at 12:00 on 25 November. "
        "Allowed: a plan that was compared with version 2. Speak with Ada. "
        "Look at what changes against version 2 below, then confirm it."
    )
    assert versions(home) == [1, 2]
    anew = read(home, a_plan(LESS))
    assert {one.title for one in anew.changes} == {"Medicine: Omeprazole", "The vet's orders"}


@pytest.mark.hazard("H4")
@pytest.mark.hazard("H28")
def test_what_looks_like_a_slip_holds_it_up_until_somebody_says_that_it_is_meant(home: Home) -> None:
    """A tenth of the dose of the version before; each ask is answered by its own code."""
    confirm(home, read(home))
    new = a_plan(A_TENTH)
    reading = read(home, new)
    codes = [one.key for one in reading.found.of(Weight.ASKED)]
    assert codes == ["outside-print: omeprazole"]
    word = {"slip-from-last: omeprazole": "One point two, for a week."}

    for said in ({"vet": {}}, {"vet": {"another": "Yes."}}, {"vet": {"slip-from-last: omeprazole": " "}}):
        with pytest.raises(NotStated, match=r"needs a word of the vet first: .*ten times less.*[^.]\. Allowed: what"):
            confirm(home, reading, new, answered=codes, **said)
    for answered in ((), ("another",)):
        with pytest.raises(NotStated, match=r"nobody has said that it is meant: .*[^.]\. Allowed: every one"):
            confirm(home, reading, new, answered=answered, vet=word)
    assert versions(home) == [1]

    assert confirm(home, reading, new, answered=codes, vet=word).number == 2


@pytest.mark.hazard("H4")
def test_a_slip_that_cannot_be_drawn_takes_no_other_dose_away(home: Home) -> None:
    """Ten times the dose is more than any syringe of this household holds: the rest of the day is shown."""
    confirm(home, read(home))
    reading = read(home, a_plan(TEN_TIMES))

    assert [one.key for one in reading.found.of(Weight.NEEDS_VET)] == ["slip-from-last: omeprazole"]
    assert [one.code for one in reading.found.of(Weight.ASKED)] == ["cannot-draw", "much-liquid", "outside-print"]
    morning = next(one for one in reading.day.sessions if len(one.medicines) == 2)
    assert [dose.amount for dose in morning.medicines] == ["5.2 mL", "cannot be drawn"]
    assert [dose.medicine.id for dose in morning.to_give] == ["metoclopramide"]


@pytest.mark.hazard("H32")
@pytest.mark.parametrize(
    ("changed", "message"),
    [
        ({"words": " "}, "A plan without the vet's words"),
        ({"on": date(2026, 11, 26)}, "will have spoken about on 26 November 2026"),
        ({"when": None}, "A plan without a time from which on it holds"),
        ({"when": When.SESSION}, "A plan without a time from which on it holds"),
    ],
    ids=["no words", "tomorrow", "no time", "a time that is not offered"],
)
def test_without_the_vets_word_or_a_time_it_is_refused(home: Home, changed: dict[str, Any], message: str) -> None:
    """Nothing is in force, and no animal is made."""
    with pytest.raises(BadPlan, match=message):
        confirm(home, read(home), **changed)
    with pytest.raises(BadPlan, match=message):
        confirm(
            home, read(home, a_plan(name="sorrel"), animal_id=None), a_plan(name="sorrel"), animal_id=None, **changed
        )

    assert versions(home) == []
    assert [one.name for one in household.find_animals(household_id=home.id)] == ["Juniper"]


@pytest.mark.hazard("H25")
@pytest.mark.parametrize("who", ["sam", "ilse"])
def test_only_a_lead_reads_and_confirms(home: Home, who: str) -> None:
    """Helpers and sitters are refused by the service."""
    reading = read(home)
    for attempt in (lambda by: read(home, by=by), lambda by: confirm(home, reading, by=by)):
        with pytest.raises(NotAllowed):
            attempt(getattr(home, who))
    assert versions(home) == []


@pytest.mark.hazard("H17")
def test_a_plan_of_another_animal_is_asked_about(home: Home) -> None:
    """Sorrel's file on Juniper's page; confirmed, it is still kept for Juniper alone."""
    sorrel = a_plan(name="sorrel")
    reading = read(home, sorrel)

    assert [one.key for one in reading.found.of(Weight.ASKED)][:1] == ["other-name"]
    with pytest.raises(NotStated, match="This plan is about Sorrel"):
        confirm(home, reading, sorrel)


def test_a_new_animal_comes_with_its_plan_in_one_step(home: Home) -> None:
    """It has the plan's name; pressed twice, it is one animal."""
    confirm(home, read(home))
    sorrel = a_plan(name="sorrel")
    reading = read(home, sorrel, animal_id=None)
    for _ in range(2):
        kept = confirm(home, reading, sorrel, animal_id=None)

    animals = household.find_animals(household_id=home.id)
    assert [one.name for one in animals] == ["Juniper", "Sorrel"]
    assert kept.animal_id == animals[1].id
    assert plans.all_versions(household_id=home.id, animal_id=animals[1].id) == (kept,)


@pytest.mark.hazard("H6")
def test_other_syringes_than_another_animals_plan_are_told(home: Home) -> None:
    """The drawer is one for both."""
    confirm(home, read(home))

    reading = read(home, a_plan(name="sorrel"), animal_id=None)

    assert reading.syringes == ("Not in this file: 10 mL syringe, a line every 0.2 mL, enteral tip",)


@pytest.mark.hazard("H26")
def test_an_empty_household_chooses_by_which_clock_it_lives(empty: Home) -> None:
    """Nothing is decided silently: without a choice it is refused; with the file's, the household is changed."""
    reading = read(empty, animal_id=None)
    assert (reading.by, reading.may_take_clock) == (None, True)
    assert [one.what for one in reading.differs] == ["Name of the household", "Time zone", "People"]
    with pytest.raises(BadPlan, match="A plan by another clock than this household's"):
        confirm(empty, reading, animal_id=None)

    taken = read(empty, animal_id=None, clock=By.FILE)
    kept = confirm(empty, taken, animal_id=None)

    home = household.find_household(household_id=empty.id)
    assert (home.name, home.time_zone, home.day_starts) == ("Quarry Lane", "Europe/Dublin", time(4))
    assert kept.plan == a_plan()


@pytest.mark.hazard("H26")
def test_the_households_own_clock_is_kept_where_that_is_chosen(empty: Home) -> None:
    """The document then says what holds here."""
    kept = confirm(empty, read(empty, animal_id=None, clock=By.HOME), animal_id=None)

    assert household.find_household(household_id=empty.id).time_zone == "UTC"
    assert (kept.plan.household.name, kept.plan.household.time_zone) == ("Our home", "UTC")


@pytest.mark.hazard("H26")
def test_once_something_is_recorded_the_households_clock_wins(home: Home) -> None:
    """A file by another clock is read by the household's, and says so; the file's cannot be chosen."""
    record.record_entry(
        household_id=home.id, by=home.sam, entry=an_entry(Note(text="x"), animal_id=home.animal_id), now=NOON
    )
    denver = a_plan(('time_zone = "Europe/Dublin"', 'time_zone = "America/Denver"'))

    for clock in (None, By.FILE, By.HOME):
        reading = read(home, denver, clock=clock)
        assert (reading.by, reading.may_take_clock) == (By.HOME, False)
        assert reading.plan.household.time_zone == "Europe/Dublin"
        assert "Time zone" in [one.what for one in reading.differs]


def test_another_animals_plan_holds_the_clock_too(home: Home) -> None:
    """Without an entry: its sessions are called by this clock."""
    confirm(home, read(home))

    assert read(home, animal_id=home.animal_id).may_take_clock is True
    assert read(home, a_plan(name="sorrel"), animal_id=None).may_take_clock is False


@pytest.mark.hazard("H28")
def test_a_plan_without_a_vets_answer_is_not_read(home: Home) -> None:
    """The list of questions is the answer."""
    with pytest.raises(NotStated, match="Ask: How much energy a day"):
        read(home, a_plan(("energy = { factor = 1.5 }\n", "")))


@pytest.mark.hazard("H28")
def test_volume_and_energy_that_do_not_agree_within_a_twentieth_are_not_read(home: Home) -> None:
    """4 × 240 mL of this mix hold 14 % more than the energy goal; 4 × 215 mL are within it."""
    with pytest.raises(NotStated, match=r"4 meals of 240 mL, which hold 1,023 kcal .* energy goal of 895 kcal"):
        read(home, a_plan(("meals_per_day = 4", "meals_per_day = 4\nmeal_ml = 240")))

    assert sum(read(home, a_plan(("meals_per_day = 4", "meals_per_day = 4\nmeal_ml = 215"))).day.meals.value) == 860


@pytest.mark.hazard("H27")
def test_what_is_downloaded_can_be_taken_in_again(home: Home) -> None:
    """As TOML and as JSON: the same plan, and nothing that differs."""
    from fillmark.exchange.plan_file import plan_as_toml

    kept = confirm(home, read(home))
    for plan in (
        read_plan(plan_as_toml(kept.plan).encode(), kind="toml"),
        read_plan(kept.document.encode(), kind="json"),
    ):
        assert read(home, plan).changes == ()
