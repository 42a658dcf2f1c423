"""A plan taken apart into what a person types on each page, and put together again."""

import json
import random
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from scipy import constants

from fillmark.core.plan.answers import NEVER_ASKED, Typed, part_inside
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.draft import Draft, answer, faults_of, new_draft, next_spot, the_way, without_item
from fillmark.core.plan.from_sheet import typed_with
from fillmark.core.plan.pages import PAGES, page_called
from fillmark.core.plan.questions import asked_on, part_of
from fillmark.core.plan.reading import read_plan, write_plan
from fillmark.core.plan.spots import Spot, spot_called, spot_of
from fillmark.core.plan.units import OTHERS, in_our_unit
from fillmark.core.values.document import Part, read_document
from fillmark.examples import example_plan
from tests.support.random_plans import a_random_plan, written

Raw = dict[str, Any]
LISTS = ("foods", "syringes", "medicines", "tasks")


def every_spot(document: Raw) -> Iterator[Spot]:
    """Each page about each part that a document has."""

    def ats(holder: Any, steps: tuple[tuple[str, bool], ...]) -> Iterator[tuple[int, ...]]:
        if not steps:
            yield ()
            return
        (key, is_one), *rest = steps
        found = holder.get(key)
        if isinstance(found, list):
            for number, one in enumerate(found):
                yield from ((number, *at) for at in ats(one, tuple(rest)))
        elif isinstance(found, dict):
            yield from ats(found, tuple(rest))
        assert isinstance(found, list) == is_one or not isinstance(found, list | dict)

    for page in PAGES:
        yield from (Spot(page, at) for at in ats(document, page.steps))


def with_handles(document: Raw) -> Raw:
    """What the program writes by itself, and nothing that is asked."""
    people = [{"id": one["id"]} for one in document["household"]["people"]]
    several = {key: [{"id": one["id"]} for one in document[key]] for key in LISTS if key in document}
    return {"format": document["format"], "household": {"people": people}, **several}


def typed_anew(plan: CarePlan) -> CarePlan:
    """The plan that comes of typing every page of it."""
    document = json.loads(write_plan(plan))
    draft = Draft(document=with_handles(document))
    for spot in every_spot(document):
        draft, faults = answer(draft, spot, typed_with(document, None, spot))
        assert faults == {}, (spot.id, {name: str(fault) for name, fault in faults.items()})
    return read_document(CarePlan, draft.document)


def test_a_plan_typed_page_by_page_is_the_same_plan() -> None:
    """The two examples, which state most keys."""
    for name in ("juniper", "sorrel"):
        plan = read_plan(example_plan(name), kind="toml")
        assert typed_anew(plan) == plan


@pytest.mark.parametrize("count", [40, pytest.param(500, marks=pytest.mark.long)])
def test_random_plans_typed_page_by_page_are_the_same_plans(count: int) -> None:
    """With printed orders, made at random."""
    chance = random.Random(1313)
    for _ in range(count):
        plan = read_plan(written(a_random_plan(chance).document), kind="json")
        assert typed_anew(plan) == plan


def every_key(kind: type[Part] = CarePlan, place: str = "") -> Iterator[str]:
    """Each key of the document that holds a value, with its way."""
    for name in kind.model_fields:
        inside = part_inside(kind, name)
        here = f"{place}.{name}".strip(".")
        if inside:
            yield from every_key(inside[0], f"{here}[]" if inside[1] else here)
        elif name not in NEVER_ASKED:
            yield here


def test_every_key_of_a_plan_is_asked_on_one_page_and_has_its_words() -> None:
    """No key can be reached by a file alone; a page asks four things at most."""
    asked = [f"{page.place}.{name}" for page in PAGES for name in page.names]

    assert sorted(asked) == sorted(every_key())
    assert [page.key for page in PAGES if len(page.asks) > 4] == []
    assert [field.name for page in PAGES for field in asked_on(page) if not field.label] == []
    lists = {page.place for page in PAGES if page.is_list}
    assert {page.place for page in PAGES if page.one} == lists


def test_a_place_of_the_document_leads_to_its_page() -> None:
    """What a check finds is asked beside the answer that it is about."""
    for page in PAGES:
        at = (2,) * page.depth
        for name in page.names:
            assert spot_of(f"{Spot(page, at).path}.{name}") == Spot(page, at)
        assert spot_called(Spot(page, at).id) == Spot(page, at)
    whole = Spot(PAGES_BY_KEY["medicine"])
    assert whole.is_whole_list
    assert spot_called(whole.id) == whole
    assert [spot_called(text) for text in ("dose", "dose-1-2", "nothing", "animal-all", "x")] == [None] * 5


SCIPY = {
    ("kg", "g"): constants.gram,
    ("g", "kg"): 1 / constants.gram,
    ("g", "lb"): constants.pound / constants.gram,
    ("cm", "mm"): constants.milli / constants.centi,
    ("mm", "cm"): constants.centi / constants.milli,
    ("hours", "days"): constants.day / constants.hour,
    ("hours", "minutes"): constants.minute / constants.hour,
    ("days", "hours"): constants.hour / constants.day,
    ("mL/kg a day", "mL/lb a day"): 1 / constants.pound,
    ("mL/min", "mL/hour"): constants.minute / constants.hour,
    ("kg", "lb"): constants.pound,
    ("kg", "oz"): constants.ounce,
    ("g", "oz"): constants.ounce * 1000,
    ("cm", "in"): constants.inch * 100,
    ("mm", "in"): constants.inch * 1000,
    ("mL", "L"): constants.liter * 1e6,
    ("mL", "fl oz"): constants.fluid_ounce_US * 1e6,
    ("mL", "cups"): constants.gallon_US * 1e6 / 16,
    ("mL", "tablespoons"): constants.gallon_US * 1e6 / 256,
    ("mL", "teaspoons"): constants.gallon_US * 1e6 / 768,
    ("kcal a day", "kJ a day"): 1 / constants.calorie_th,
    ("kcal/kg", "kcal/lb"): 1 / constants.pound,
    ("mL/kg", "mL/lb"): 1 / constants.pound,
    ("minutes", "hours"): constants.hour / constants.minute,
    ("days", "weeks"): constants.week / constants.day,
}


def test_other_units_come_to_what_scipy_says() -> None:
    """scipy.constants, which has them from NIST and CODATA."""
    for (ours, other), factor in SCIPY.items():
        assert float(in_our_unit(Decimal(3), unit=other, ours=ours)) == pytest.approx(3 * factor, rel=1e-5)
    for fahrenheit in (Decimal("98.6"), Decimal(212), Decimal(-40)):
        celsius = constants.convert_temperature(float(fahrenheit), "F", "C")
        assert float(in_our_unit(fahrenheit, unit="°F", ours="°C")) == pytest.approx(celsius, rel=1e-5)
    known = {(ours, one.name) for ours, others in OTHERS.items() for one in others}
    assert known == {*SCIPY, ("°C", "°F")}


HOME: Raw = {
    "name": "Our home",
    "time_zone": "Europe/Dublin",
    "day_starts": "04:00",
    "people": [{"id": "a", "name": "A", "role": "lead"}],
}


def put(draft: Draft, spot_id: str, *, unsaid: bool = False, **texts: str) -> tuple[Draft, dict[str, str]]:
    """A page answered; the unit stands after a "|"."""
    spot = spot_called(spot_id)
    assert spot
    typed = {name: Typed((text.partition("|")[0],), text.partition("|")[2]) for name, text in texts.items()}
    after, faults = answer(draft, spot, typed, is_unsaid=unsaid)
    return after, {name: str(fault) for name, fault in faults.items()}


def test_what_is_typed_in_another_unit_is_kept_in_ours() -> None:
    """A tube told in inches."""
    draft = new_draft(household=HOME)
    draft, faults = put(draft, "tube", kind="esophagostomy", french="14", mark_at_skin_cm="4.5|in")

    assert faults == {}
    assert draft.document["animal"]["tube"]["mark_at_skin_cm"] == 11.43


def test_what_cannot_be_read_is_told_at_its_field_and_nothing_is_kept() -> None:
    """The others stand as they were typed; the draft is as it was."""
    draft = new_draft(household=HOME)
    after, faults = put(draft, "tube", kind="gastrostomy", french=".5", mark_at_skin_cm="6")

    assert set(faults) == {"french"}
    assert "0.5" in faults["french"]
    assert after == draft


def test_a_weight_of_pounds_read_as_kilograms_is_told_at_the_weight() -> None:
    """Also while nothing else is known of the animal."""
    draft, _ = put(new_draft(household=HOME), "weight-0", on="2026-11-04", kg="17.2")
    _, faults = put(draft, "weight-1", on="2026-11-18", kg="38.4")

    assert "pounds" in faults[""]


def test_what_the_sheet_does_not_say_is_not_stated() -> None:
    """In a value and in a whole part."""
    draft = new_draft(household=HOME)
    draft, _ = put(draft, "limits", unsaid=True, cap_ml_per_kg="20")
    draft, _ = put(draft, "energy", unsaid=True)

    assert draft.document["orders"]["cap_ml_per_kg"] == 20
    assert draft.document["orders"]["upright_minutes"] == "not stated"
    assert draft.document["orders"]["energy"] == "not stated"


@pytest.mark.parametrize("unsaid", [True, False])
def test_a_sheet_that_says_nothing_of_feeding_still_makes_orders(unsaid: bool) -> None:
    """All of them go on the list for the vet, and the plan is not without its orders."""
    draft = new_draft(household=HOME)
    for page in ("meals", "energy", "limits", "flushes", "water"):
        draft, faults = put(draft, page, unsaid=unsaid)
        assert faults == {}

    assert "orders" not in {one.field for one in faults_of(draft.document)}
    assert ("meals_per_day" in draft.document["orders"]) is unsaid


def test_the_way_leaves_out_what_earlier_answers_make_needless() -> None:
    """A liquid is not crushed; a medicine for when it is needed has no rhythm."""
    draft = new_draft(household=HOME)
    draft, _ = put(draft, "medicine-0", name="Ondansetron", form="liquid", strength="0.8 mg/mL")
    ids = [spot.id for spot in the_way(draft.document)]
    assert "crushing-0" not in ids
    assert {"how-often-0", "medicine-all"} <= set(ids)
    draft, faults = put(draft, "when-needed-0", reason="She retches", min_gap_hours="8", max_per_day="2")
    assert faults == {}
    assert "how-often-0" not in [spot.id for spot in the_way(draft.document)]


def test_one_that_is_taken_out_takes_its_answers_along() -> None:
    """What was answered about the next one moves up."""
    draft = new_draft(household=HOME)
    for number, name in enumerate(("First", "Second", "Third")):
        draft, _ = put(draft, f"medicine-{number}", name=name, form="liquid")
    draft, _ = put(draft, "dose-2", dose="1 mg", route="tube")
    draft = replace(draft, later=frozenset({"how-often-1", "how-often-2", "tube"}))
    after = without_item(draft, Spot(PAGES_BY_KEY["medicine"], (1,)))

    assert [one["name"] for one in after.document["medicines"]] == ["First", "Third"]
    assert {"medicine-0", "medicine-1", "dose-1"} <= after.answered
    assert "dose-2" not in after.answered
    assert after.later == {"how-often-1", "tube"}


PAGES_BY_KEY = {page.key: page for page in PAGES}


def test_a_draft_says_what_is_next_and_what_keeps_it_from_being_a_plan() -> None:
    """What was put off does not come again by itself."""
    draft = new_draft(household=HOME)
    first = next_spot(draft)
    assert first
    assert first.id == "animal"
    draft, _ = put(draft, "animal", name="Juniper", species="dog")
    following = next_spot(draft, after=first)
    assert following
    assert following.id == "weight-0"
    assert {one.field for one in faults_of(draft.document)} >= {"animal.weights", "animal.tube", "vet", "orders"}
    assert part_of(PAGES_BY_KEY["dose"]).__name__ == "Medicine"
    assert page_called("nothing") is None
