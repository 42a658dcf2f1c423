"""Which batch is in use, and why it may not be given."""

from datetime import date

import pytest

from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record.batches import Batches, Fault, check_batch, read_batches
from fillmark.core.record.care_entries import BatchChosen, FlowTested
from fillmark.core.record.day_entries import Withdrawn
from fillmark.core.record.session_entries import FillGiven
from fillmark.core.record.sessions import Standing
from fillmark.core.values.document import read_document
from fillmark.core.values.errors import BatchNotToBeGiven
from tests.support.builders import SEVEN, a_kept, junipers_plan

TODAY = date(2026, 11, 25)
YESTERDAY = date(2026, 11, 24)


def a_test(left_ml: float = 5.0, *, batch: str | None = "A", made_on: date | None = TODAY) -> FlowTested:
    return FlowTested(
        foods=("stew",),
        food_g=820.0,
        water_ml=160.0,
        left_ml=left_ml,
        sieved=False,
        frozen=False,
        batch=batch,
        made_on=made_on,
    )


def chosen(batch: str | None = "A", *, made_on: date = TODAY, reason: str | None = None) -> BatchChosen:
    return BatchChosen(session=SEVEN, batch=batch, made_on=made_on, reason=reason)


def read(*payloads: object, keeps: int | None = 2, today: date = TODAY, limit: int | None = 2) -> Batches:
    """These, a minute apart."""
    entries = [a_kept(payload, minute=minute, day=TODAY) for minute, payload in enumerate(payloads)]
    return read_batches(entries, limit_level=limit, keeps_days=keeps, today=today)


def test_without_a_word_about_a_batch_none_is_in_use():
    """Nothing is asked of a household that names no batch."""
    batches = read()

    assert (batches.in_use, batches.faults, batches.to_choose, batches.to_leave) == (None, (), (), ())


@pytest.mark.hazard("H9")
def test_the_newest_test_of_a_batch_decides():
    """Too thick, then thinned and tested again: it may be given. The other jar may not."""
    thick, thin = a_test(9.0), a_test(5.0)

    assert read(thick).faults == (Fault.TOO_THICK,)
    assert read(thick, thin).faults == ()
    assert read(thin, thick).faults == (Fault.TOO_THICK,)
    assert read(thick, limit=None).faults == ()
    both = read(a_test(9.0, batch="B"), thin)
    assert (both.in_use.label, both.faults) == ("A", ())
    assert [(batch.label, faults) for batch, faults in both.to_leave] == [("B", (Fault.TOO_THICK,))]


@pytest.mark.hazard("H9")
def test_a_jar_with_no_word_on_it_is_a_batch_too():
    """A test of an unlabeled jar that is too thick holds that day's unlabeled batch."""
    batches = read(a_test(9.0, batch=None, made_on=None))

    assert batches.in_use.name == "the batch of 25 November"
    assert batches.faults == (Fault.TOO_THICK,)


@pytest.mark.hazard("H9")
def test_the_batch_spoken_of_last_is_in_use_and_others_can_be_chosen():
    """A passes, B is too thick: B is in use until someone chooses A; what has a fault is not offered."""
    passing, failing = a_test(), a_test(9.0, batch="B")
    before = read(passing, failing)
    after = read(passing, failing, chosen("A"))

    assert (before.in_use.label, [one.label for one in before.to_choose]) == ("B", ["A"])
    assert (after.in_use.label, after.faults, after.to_choose) == ("A", (), ())
    assert read(failing, a_test(batch="C"), chosen("D")).to_choose[0].label == "C"


@pytest.mark.hazard("H9")
def test_a_leads_reason_holds_until_the_next_test():
    """It covers what was known when it was written."""
    thick, word = a_test(9.0), chosen("A", reason="The vet said so for the wide tube.")

    assert read(thick, word).faults == ()
    assert read(thick, word, thick).faults == (Fault.TOO_THICK,)
    assert read(thick, word, today=date(2026, 11, 27)).faults == (Fault.PAST_ITS_DAY,)


@pytest.mark.hazard("H15")
def test_a_batch_is_not_to_be_given_past_its_last_day():
    """Made on the 24th and kept for two days, the 25th is its last day; without a word on the label none is counted."""
    old = a_test(made_on=YESTERDAY)

    assert read(old).in_use.last_on == TODAY
    assert read(old).faults == ()
    assert read(old, keeps=1).faults == (Fault.PAST_ITS_DAY,)
    assert read(old, keeps=None, today=date(2026, 12, 24)).faults == ()
    assert read(a_test(9.0, made_on=YESTERDAY), keeps=1).faults == (Fault.TOO_THICK, Fault.PAST_ITS_DAY)
    assert read(old, chosen("A", made_on=YESTERDAY, reason="Frozen overnight."), keeps=1).faults == ()


@pytest.mark.hazard("H15")
def test_thinning_an_old_batch_does_not_make_it_new():
    """The jar keeps the day it was made through every test; another day under the same word is another batch."""
    old = read(a_test(9.0, made_on=YESTERDAY), a_test(made_on=YESTERDAY), keeps=1)
    new = read(a_test(made_on=YESTERDAY), a_test(made_on=TODAY), keeps=1)

    assert old.faults == (Fault.PAST_ITS_DAY,)
    assert (new.in_use.made_on, new.faults, len(new.all)) == (TODAY, (), 2)
    assert new.to_leave == ()


@pytest.mark.hazard("H9")
def test_a_test_that_was_taken_back_holds_nothing():
    """Only entries that count are read."""
    first = a_kept(a_test(9.0), minute=0)
    taken_back = a_kept(Withdrawn(reason="Another jar."), minute=1, corrects=first.entry.id)

    assert read_batches([first, taken_back], limit_level=2, keeps_days=2, today=TODAY).in_use is None


@pytest.mark.hazard("H9")
@pytest.mark.hazard("H15")
def test_a_fill_of_the_walk_is_refused_from_a_bad_batch_and_what_happened_is_kept():
    """In the walk it is refused; written down afterwards it is a fact. A bad batch is not chosen without a reason."""
    fill, bad = FillGiven(session=SEVEN, fill=1, ml=60), read(a_test(9.0, made_on=YESTERDAY), keeps=1)

    with pytest.raises(BatchNotToBeGiven) as caught:
        check_batch(fill, batches=bad, standing=Standing.IN_HAND)
    assert str(caught.value) == (
        "Feeding from A of 24 November, which is too thick and past its last day. Allowed: a batch that passed its "
        "flow test and is not past its last day. Choose another batch, thin this one and test it again, or ask a lead."
    )
    with pytest.raises(BatchNotToBeGiven):
        check_batch(chosen("A", made_on=YESTERDAY), batches=bad, standing=Standing.IN_HAND)
    check_batch(fill, batches=bad, standing=Standing.ENDED)
    check_batch(chosen("A", made_on=YESTERDAY, reason="Vet"), batches=bad, standing=Standing.IN_HAND)
    check_batch(chosen("A"), batches=bad, standing=Standing.IN_HAND)
    check_batch(fill, batches=read(), standing=Standing.IN_HAND)
    check_batch(fill, batches=read(a_test()), standing=Standing.IN_HAND)


def test_a_blend_keeps_as_long_as_the_food_that_keeps_the_shortest():
    """Two days of the stew before three of the puree; not stated where no label says it."""
    plan = junipers_plan()
    values = plan.model_dump(mode="json", exclude_unset=True)
    values["blend"]["foods"] = [{"food": "puree", "cans": 1}, {"food": "stew", "cans": 1}]
    silent = {**values, "foods": [{**food, "keeps_days": "not stated"} for food in values["foods"]]}

    assert plan.blend_keeps_days == 2
    assert read_document(CarePlan, values).blend_keeps_days == 2
    assert read_document(CarePlan, silent).blend_keeps_days is None
