"""Medicines in the record: never twice without a word, never forgotten, and locked when the bottle is another one."""

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from typing import Any
from uuid import UUID

import pytest

from fillmark.core.doses.giving import Answer, Verdict
from fillmark.core.orders.rhythm import ApartFrom, DoseStep
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record.day_entries import BothGiven, Withdrawn
from fillmark.core.record.medicine_entries import BottleOpened, MedicineGiven, Outcome, SecondCheck, StrengthConfirmed
from fillmark.core.values.errors import BadEntry, BadPlan, NeedsReason, NotAllowed
from fillmark.services import bedside, medicines, plans, record
from tests.support.builders import Home, an_entry, confirmed, junipers_plan
from tests.support.builders import adopt as put_in_force
from tests.support.sides import side_of

pytestmark = pytest.mark.django_db
SEVEN = datetime(2026, 11, 25, 7, 0, tzinfo=UTC)
METOCLOPRAMIDE = "metoclopramide"


def adopt(home: Home, *, at: datetime = SEVEN - timedelta(days=9), **changed: Any) -> CarePlan:
    """Juniper's packaged plan, with something of her metoclopramide changed."""
    plan = junipers_plan()
    first, second = plan.medicines
    plan = plan.model_copy(update={"medicines": (first.model_copy(update=changed), second)})
    put_in_force(home, plan, from_at=at)
    return plan


def given(**changed: Any) -> MedicineGiven:
    values = {"medicine": METOCLOPRAMIDE, "dose_mg": Decimal("5.22"), "ml": Decimal("5.2"), "outcome": Outcome.GIVEN}
    return MedicineGiven(**{**values, **changed})


def keep(home: Home, payload: Any, *, at: datetime, by: UUID | None = None, fresh: bool = True, **changed: Any) -> UUID:
    """Record as Noor, or as `by`, at the moment it happens; the new entry's id."""
    now = changed.pop("now", at)
    entry = an_entry(payload, animal_id=home.animal_id, at=at, **changed)
    record.record_entry(household_id=home.id, by=by or home.noor, entry=entry, now=now, is_fresh=fresh)
    return entry.id


def state(home: Home, *, at: datetime, medicine: str = METOCLOPRAMIDE) -> Any:
    found = medicines.verdicts(side_of(**home.ids, now=at))
    return next(one for one in found if one.medicine.id == medicine)


def days(home: Home) -> int:
    return len(record.entries_since(household_id=home.id, seq=0))


@pytest.mark.hazard("H1")
def test_a_second_dose_inside_the_gap_needs_a_typed_reason(home: Home) -> None:
    """The whole message: who gave it when, until when to wait, and what to do. Nothing is kept."""
    adopt(home)
    first = keep(home, given(), at=SEVEN)

    with pytest.raises(NeedsReason) as refused:
        keep(home, given(), at=SEVEN + timedelta(minutes=28), by=home.sam)

    assert str(refused.value) == (
        "Metoclopramide at 07:28, when Noor gave it at 07:00, and at least 6 hours lie between two doses. Allowed: not "
        "before 13:00, or with a typed reason. If it has not gone in, do not give it. If it has, write why; ask the "
        "vet before giving any more of it."
    )
    assert (refused.value.code, refused.value.despite) == ("needs-reason", (first,))
    assert refused.value.free_at == SEVEN + timedelta(hours=6)
    assert days(home) == 1


@pytest.mark.hazard("H1")
def test_with_a_reason_that_names_the_other_it_is_kept_and_nothing_is_asked(home: Home) -> None:
    """Who typed the reason saw the other dose; the record holds that."""
    adopt(home)
    first = keep(home, given(), at=SEVEN)

    keep(
        home,
        given(reason="The first came back up; the vet said once more.", despite=(first,)),
        at=SEVEN + timedelta(minutes=28),
    )

    assert state(home, at=SEVEN + timedelta(minutes=30)).questions == ()
    assert days(home) == 2


@pytest.mark.hazard("H1")
def test_a_reason_typed_without_knowing_of_the_other_leaves_the_question(home: Home) -> None:
    """Half of it was spilled is no answer to a dose that somebody else gave."""
    adopt(home)
    keep(home, given(), at=SEVEN)

    keep(home, given(outcome=Outcome.SPILLED, reason="Some ran out."), at=SEVEN + timedelta(minutes=5), fresh=False)

    assert len(state(home, at=SEVEN + timedelta(minutes=30)).questions) == 1


@pytest.mark.hazard("H1")
@pytest.mark.hazard("H27")
def test_what_a_phone_wrote_without_a_signal_is_kept_and_asked_about(home: Home) -> None:
    """Across two sessions; "twice" is an answer, and so is "once"."""
    adopt(home)
    first = keep(home, given(session="2026-11-25T06:30"), at=SEVEN - timedelta(minutes=30))
    late = keep(
        home, given(session="2026-11-25T14:30"), at=SEVEN, by=home.sam, fresh=False, now=SEVEN + timedelta(hours=3)
    )

    asked = state(home, at=SEVEN + timedelta(hours=3)).questions

    assert [[one.id for one in question.givings] for question in asked] == [[first, late]]
    assert asked[0].text == (
        "Metoclopramide: Noor at 06:30 and Sam at 07:00 on 25 November, 30 minutes apart, when at least 6 hours lie "
        "between two doses. Did both happen?"
    )
    keep(home, BothGiven(entries=(first, late), reason="Sam had not seen mine."), at=SEVEN + timedelta(hours=3))
    assert state(home, at=SEVEN + timedelta(hours=3)).questions == ()


@pytest.mark.hazard("H1")
def test_once_is_answered_by_taking_one_back(home: Home) -> None:
    """Both stay in the log."""
    adopt(home)
    keep(home, given(), at=SEVEN)
    late = keep(home, given(), at=SEVEN + timedelta(minutes=20), by=home.sam, fresh=False)

    keep(home, Withdrawn(reason="I meant Noor's."), at=SEVEN + timedelta(hours=1), by=home.sam, corrects=late)

    now = state(home, at=SEVEN + timedelta(hours=1))
    assert (now.questions, len(now.today)) == ((), 1)
    assert days(home) == 3


@pytest.mark.hazard("H1")
def test_a_dose_written_before_another_one_needs_a_reason_too(home: Home) -> None:
    """Noor writes at 9:00 that she gave it at 6:40; Sam's of 7:00 is in the record."""
    adopt(home)
    keep(home, given(), at=SEVEN, by=home.sam)

    with pytest.raises(NeedsReason, match="when Sam gave it at 07:00"):
        keep(home, given(), at=SEVEN - timedelta(minutes=20), now=SEVEN + timedelta(hours=2))


@pytest.mark.hazard("H1")
def test_a_correction_that_makes_a_held_dose_a_given_one_is_a_dose(home: Home) -> None:
    """And one that corrects the only dose there is, is not."""
    adopt(home)
    only = keep(home, given(), at=SEVEN)
    held = keep(home, given(outcome=Outcome.HELD, reason="Sam has given it"), at=SEVEN + timedelta(minutes=9))

    keep(home, given(ml=Decimal("5.4")), at=SEVEN, corrects=only)
    with pytest.raises(NeedsReason):
        keep(home, given(), at=SEVEN + timedelta(minutes=10), corrects=held)


@pytest.mark.hazard("H2")
@pytest.mark.parametrize("outcome", [Outcome.HELD, Outcome.REFUSED, Outcome.MISSED])
def test_a_dose_of_which_nothing_went_in_never_needs_to_wait(home: Home, outcome: Outcome) -> None:
    """Nor does it keep the next one waiting."""
    adopt(home)
    keep(home, given(outcome=outcome, reason="She was at the clinic."), at=SEVEN)

    keep(home, given(), at=SEVEN + timedelta(minutes=20))

    assert state(home, at=SEVEN + timedelta(minutes=30)).questions == ()


@pytest.mark.hazard("H1")
def test_more_than_the_days_most_needs_a_reason_and_late_ones_are_asked_about(home: Home) -> None:
    """Two in 24 hours by the order; the third is one too many."""
    adopt(home, min_gap_hours=1, max_per_day=2)
    for hours in (0, 8):
        keep(home, given(), at=SEVEN + timedelta(hours=hours))

    with pytest.raises(NeedsReason, match="2 are recorded within 24 hours, and 2 is the most"):
        keep(home, given(), at=SEVEN + timedelta(hours=16))
    keep(home, given(), at=SEVEN + timedelta(hours=16), fresh=False)

    asked = state(home, at=SEVEN + timedelta(hours=17)).questions
    assert [(one.kind.value, len(one.givings)) for one in asked] == [("over the day's maximum", 3)]


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"held": "She vomits."}, "Metoclopramide is on hold: She vomits"),
        ({"stop_on": date(2026, 11, 24)}, "The last day of Metoclopramide was 24 November"),
    ],
)
def test_a_medicine_that_is_held_or_over_needs_a_reason(home: Home, changed: dict[str, Any], words: str) -> None:
    """Waiting does not help, so no time is named."""
    adopt(home, **changed)

    with pytest.raises(NeedsReason, match=words) as refused:
        keep(home, given(), at=SEVEN)
    assert refused.value.free_at is None
    keep(home, given(reason="The vet said on the phone: this one still."), at=SEVEN)


@pytest.mark.hazard("H17")
@pytest.mark.parametrize(
    "payload",
    [
        SecondCheck(medicine="furosemide", ml=Decimal(1)),
        BottleOpened(medicine="furosemide", strength="10 mg/mL", ml=Decimal(60)),
        given(medicine="furosemide"),
    ],
)
def test_another_animals_medicine_is_not_recorded_in_any_way(home: Home, payload: Any) -> None:
    """Neither given, nor checked, nor opened."""
    adopt(home)

    with pytest.raises(BadEntry, match="which no plan of this animal names"):
        keep(home, payload, at=SEVEN, fresh=False)


# Was it given today, and may it be given now?


@pytest.mark.hazard("H2")
def test_the_first_screen_is_answered_for_each_medicine(home: Home, django_assert_max_num_queries: Any) -> None:
    """Who, when, how much, when next, and whether now."""
    adopt(home)
    keep(home, given(session="2026-11-25T06:30"), at=SEVEN)

    known = side_of(**home.ids, now=SEVEN + timedelta(hours=1))
    with django_assert_max_num_queries(1):
        side = bedside.load(person=known.person, home=known.home, animal_id=home.animal_id, now=known.now)
        first, second = medicines.verdicts(side)

    assert (first.last.kept.by_name, first.last.at, first.last.payload.ml) == ("Noor", SEVEN, Decimal("5.2"))
    assert (first.decision.answer, first.decision.verdict) == (Answer.WAIT, Verdict.TOO_SOON)
    assert first.next_at == datetime(2026, 11, 25, 14, 30, tzinfo=UTC)
    assert (second.last, second.today, second.decision.verdict) == (None, (), Verdict.LATE)
    assert second.next_at == datetime(2026, 11, 25, 18, 30, tzinfo=UTC)


def test_before_the_first_plan_there_is_nothing_to_say(home: Home) -> None:
    """And nothing is guessed."""
    assert medicines.verdicts(side_of(**home.ids, now=SEVEN)) == ()


@pytest.mark.hazard("H26")
@pytest.mark.parametrize("change", [date(2026, 10, 25), date(2026, 3, 29)])
def test_the_gap_is_real_time_on_days_of_23_and_25_hours(home: Home, change: date) -> None:
    """22:30 and then 06:30 by the clock is 9 or 7 hours: both are longer than the 6 that the order needs."""
    adopt(home, at=datetime(2026, 3, 1, tzinfo=UTC))
    midnight = datetime(change.year, change.month, change.day, tzinfo=UTC)
    late = midnight - timedelta(hours=2.5 if change.month == 10 else 1.5)  # 22:30 on the wall
    keep(home, given(), at=late)

    with pytest.raises(NeedsReason):
        keep(home, given(), at=late + timedelta(hours=5, minutes=59))
    keep(home, given(), at=late + timedelta(hours=6))


# The strength of the bottle


def open_bottle(home: Home, strength: str = "5 mg/mL", *, at: datetime = SEVEN, by: UUID | None = None) -> UUID:
    return keep(home, BottleOpened(medicine=METOCLOPRAMIDE, strength=strength, ml=Decimal(100)), at=at, by=by)


def confirm(
    home: Home, bottle: UUID, *, typed: str = "5 mg/mL", by: UUID | None = None, entry_id: UUID | None = None
) -> Any:
    words = "Five mg in each mL; draw a fifth of what you drew."
    word = confirmed(home, now=SEVEN + timedelta(minutes=5), by=by, words=words)
    return medicines.confirm_strength(
        replace(word, meant=frozenset({"strength-changed: metoclopramide"})),
        animal_id=home.animal_id,
        bottle=bottle,
        typed=typed,
        entry_id=entry_id or record.new_entry_id(now=SEVEN),
        device="noor-phone",
    )


@pytest.mark.hazard("H3")
def test_a_bottle_of_another_strength_locks_its_medicine(home: Home) -> None:
    """The same amount in other words does not; a dose given all the same needs a reason."""
    adopt(home)
    open_bottle(home, "0.1 %")
    assert state(home, at=SEVEN).decision.verdict is not Verdict.LOCKED
    open_bottle(home, at=SEVEN + timedelta(minutes=1), by=home.sam)

    locked = state(home, at=SEVEN + timedelta(minutes=2))

    assert (locked.is_locked, locked.decision.answer) == (True, Answer.ASK)
    assert locked.decision.because == (
        "Metoclopramide waits: the bottle opened by Sam says 5 mg/mL and the plan says 1 mg/mL. Draw none of it until "
        "a lead has read the new label."
    )
    with pytest.raises(NeedsReason, match="the bottle opened by Sam says 5 mg/mL"):
        keep(home, given(), at=SEVEN + timedelta(minutes=2))


@pytest.mark.hazard("H3")
@pytest.mark.hazard("H32")
def test_a_lead_confirms_the_new_strength_and_the_plan_has_it(home: Home) -> None:
    """A new version with the vet's words; the dose stays the same mg, the mark is another."""
    adopt(home)
    bottle = open_bottle(home)

    stored = confirm(home, bottle)

    assert stored.number == 2
    assert stored.vet_words == "Five mg in each mL; draw a fifth of what you drew."
    assert [one.strength for one in stored.plan.medicines] == ["5 mg/mL", "2 mg/mL"]
    newest = record.entries_since(household_id=home.id, seq=0)[-1].entry.payload
    assert newest == StrengthConfirmed(medicine=METOCLOPRAMIDE, bottle=bottle, old="1 mg/mL", new="5 mg/mL")
    assert not state(home, at=SEVEN + timedelta(minutes=6)).is_locked
    keep(home, given(ml=Decimal(1)), at=SEVEN + timedelta(minutes=6))


@pytest.mark.hazard("H3")
@pytest.mark.hazard("H4")
def test_the_lead_types_the_strength_once_more_from_the_label(home: Home) -> None:
    """What is typed must be what the bottle's entry says; nothing changes otherwise."""
    adopt(home)
    bottle = open_bottle(home, "10 mg/mL")

    with pytest.raises(BadPlan) as refused:
        confirm(home, bottle, typed="1 mg/mL")

    assert str(refused.value) == (
        '"1 mg/mL" read from the label, when the bottle was written down with 10 mg/mL. Allowed: 10 mg/mL. Read the '
        "label with a second person. If the bottle was written down wrongly, correct that entry first."
    )
    assert len(plans.all_versions(**home.ids)) == 1


@pytest.mark.hazard("H25")
def test_only_a_lead_confirms_a_strength(home: Home) -> None:
    """Neither through the service, nor by an entry made by hand."""
    adopt(home)
    bottle = open_bottle(home)

    with pytest.raises(NotAllowed):
        confirm(home, bottle, by=home.sam)
    with pytest.raises(NotAllowed):
        keep(
            home,
            StrengthConfirmed(medicine=METOCLOPRAMIDE, bottle=bottle, old="1 mg/mL", new="5 mg/mL"),
            at=SEVEN,
            by=home.sam,
        )
    assert state(home, at=SEVEN + timedelta(minutes=6)).is_locked


@pytest.mark.hazard("H3")
@pytest.mark.hazard("H4")
def test_what_a_new_strength_changes_is_shown_with_its_questions(home: Home) -> None:
    """Old and new mark on this household's syringes, how wrong the old amount would be, and a tenfold slip asked."""
    adopt(home)
    bottle = open_bottle(home, "10 mg/mL")

    change = medicines.strength_to_confirm(side_of(**home.ids, now=SEVEN + timedelta(minutes=5)), bottle=bottle)

    assert change.change is not None
    assert change.change.same_amount_ratio == 10
    assert [str(one.value.drawn) for one in (change.change.old, change.change.new)] == ["5.2 mL", "0.5 mL"]
    assert change.slip == "ten times as much: a point may have moved"


@pytest.mark.hazard("H15")
def test_a_dose_from_a_bottle_past_its_day_needs_a_reason(home: Home) -> None:
    """Its last day still counts; after it the vet or the pharmacy says whether it may be used."""
    adopt(home)
    label = {"strength": "1 mg/mL", "ml": Decimal(100), "discard_on": date(2026, 11, 25)}
    keep(home, BottleOpened(medicine=METOCLOPRAMIDE, **label), at=SEVEN - timedelta(days=9))
    keep(home, given(), at=SEVEN)

    with pytest.raises(NeedsReason, match="when the last day of use of its bottle was 25 November") as refused:
        keep(home, given(), at=SEVEN + timedelta(days=1))
    assert refused.value.free_at is None
    decision = state(home, at=SEVEN + timedelta(days=1)).decision
    assert (decision.answer, decision.verdict) == (Answer.ASK, Verdict.PAST_USE)
    keep(home, given(reason="The pharmacy said: two days more."), at=SEVEN + timedelta(days=1))


@pytest.mark.hazard("H3")
def test_the_marks_of_a_new_strength_are_those_of_today(home: Home) -> None:
    """In a taper, not those of its first day: 2.6 mg today, 2.6 mL of the old bottle and 0.5 mL of the new."""
    adopt(home, steps=(DoseStep(from_on=date(2026, 11, 20), dose="2.6 mg"),))
    bottle = open_bottle(home)

    change = medicines.strength_to_confirm(side_of(**home.ids, now=SEVEN + timedelta(minutes=5)), bottle=bottle).change

    assert change is not None
    assert [str(one.value.drawn) for one in (change.old, change.new)] == ["2.6 mL", "0.5 mL"]


# The second person


@pytest.mark.hazard("H6")
@pytest.mark.parametrize(
    ("read", "by", "words"),
    [
        (None, None, "the plan asks for a second person to read the syringe, and nobody else has"),
        ("5.2", "noor", "the plan asks for a second person to read the syringe, and nobody else has"),
        ("5.4", "sam", "Sam read 5.4 mL as the second person, which is not the dose"),
        ("5.3", "sam", None),
        ("5.2", "sam", None),
    ],
)
def test_a_dose_that_asks_for_a_second_check_needs_one_by_someone_else(
    home: Home, read: str | None, by: str | None, words: str | None
) -> None:
    """Within half a step of the 10 mL syringe, whose lines are 0.2 mL apart."""
    adopt(home, second_check=True)
    if read and by:
        keep(home, SecondCheck(medicine=METOCLOPRAMIDE, ml=Decimal(read)), at=SEVEN, by=getattr(home, by))

    if words is None:
        keep(home, given(), at=SEVEN + timedelta(minutes=2))
    else:
        with pytest.raises(NeedsReason, match=words):
            keep(home, given(), at=SEVEN + timedelta(minutes=2))
        keep(home, given(reason="Nobody else is here."), at=SEVEN + timedelta(minutes=2))


# What the order forbids


@pytest.mark.hazard("H22")
def test_medicines_that_belong_apart_are_told_to_wait(home: Home) -> None:
    """Two hours between them by the order; the other one was given an hour ago."""
    clocks = (time(9), time(17), time(1))
    adopt(home, clocks=clocks, apart_from=(ApartFrom(medicine="omeprazole", hours=2),))
    keep(home, given(medicine="omeprazole", dose_mg=Decimal(12), ml=Decimal(6)), at=SEVEN)

    decision = state(home, at=SEVEN + timedelta(hours=1)).decision

    assert (decision.answer, decision.verdict) == (Answer.WAIT, Verdict.KEEP_APART)
    assert decision.free_at == SEVEN + timedelta(hours=2)


@pytest.mark.hazard("H21")
def test_a_new_box_of_a_form_that_must_not_be_crushed_never_gets_a_dose(home: Home) -> None:
    """A box of tablets for a liquid order locks; nothing says how many to crush, and a lead cannot put it in."""
    adopt(home)
    bottle = keep(home, BottleOpened(medicine=METOCLOPRAMIDE, strength="10 mg/tablet", pieces=Decimal(30)), at=SEVEN)

    found = medicines.strength_to_confirm(side_of(**home.ids, now=SEVEN + timedelta(minutes=1)), bottle=bottle)

    assert (found.change, found.lock is not None, found.problem is not None) == (None, True, True)
    with pytest.raises(BadPlan):
        confirm(home, bottle, typed="10 mg/tablet")
    assert state(home, at=SEVEN + timedelta(minutes=6)).is_locked


def test_the_stock_is_what_the_record_says_was_drawn(home: Home) -> None:
    """100 mL, less two doses that count and one that may be the second telling of the first."""
    adopt(home)
    open_bottle(home, "1 mg/mL", at=SEVEN - timedelta(minutes=1))
    keep(home, given(), at=SEVEN)
    keep(home, given(), at=SEVEN + timedelta(minutes=5), by=home.sam, fresh=False)
    keep(home, given(), at=SEVEN + timedelta(hours=8))

    found = medicines.stock(side_of(**home.ids, now=SEVEN + timedelta(hours=9)))

    assert [(one.medicine.id, one.left_words) for one in found] == [(METOCLOPRAMIDE, "84.4 to 89.6 mL")]


def test_before_the_first_plan_there_is_no_stock(home: Home) -> None:
    """Nor any question."""
    span = {"first": SEVEN.date(), "last": SEVEN.date()}
    assert medicines.stock(side_of(**home.ids, now=SEVEN)) == ()
    assert medicines.open_questions(side_of(**home.ids, now=SEVEN), **span) == ()


@pytest.mark.hazard("H1")
def test_a_dose_is_judged_by_the_order_of_its_time(home: Home) -> None:
    """The vet halves the gap at noon; what was given at 7:00 and 10:00 stays a question, 13:00 and 16:30 is none."""
    adopt(home)
    adopt(home, at=SEVEN + timedelta(hours=5), min_gap_hours=3)
    for hours in (0, 3, 6, 9.5):
        keep(home, given(), at=SEVEN + timedelta(hours=hours), fresh=False)

    asked = state(home, at=SEVEN + timedelta(hours=10)).questions

    assert [[one.at.hour for one in question.givings] for question in asked] == [[7, 10]]


def test_a_bottle_that_is_not_in_use_is_not_confirmed(home: Home) -> None:
    """One that another has taken the place of, or an entry that is no bottle."""
    adopt(home)
    first = open_bottle(home)
    open_bottle(home, "2 mg/mL", at=SEVEN + timedelta(minutes=1))

    with pytest.raises(BadPlan, match="A bottle that is not in use"):
        confirm(home, first)


@pytest.mark.hazard("H3")
def test_a_confirmation_pressed_twice_is_one_version(home: Home) -> None:
    """The second press finds the first."""
    adopt(home)
    bottle, entry_id = open_bottle(home), record.new_entry_id(now=SEVEN)

    for _ in range(2):
        stored = confirm(home, bottle, entry_id=entry_id)

    assert stored.number == 2
    assert len(plans.all_versions(**home.ids)) == 2
