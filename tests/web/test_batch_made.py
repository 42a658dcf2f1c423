"""A batch as it was made: what counts as energy in changes at once, the mark only through the gate, for it alone."""

import re
from datetime import timedelta
from html import unescape

import pytest
import time_machine
from django.test import Client
from django.urls import reverse

from fillmark.core.record.care_entries import BatchMade, MadeFood
from fillmark.core.record.session_entries import FillGiven, SessionStarted
from fillmark.core.values.people import Role
from fillmark.services import household, plans, record
from tests.journeys.household import Household
from tests.support.builders import EVENING
from tests.web.test_make_plan import as_a_browser_posts, document_of
from tests.web.test_screens import TONIGHT, a_phone
from tests.web.test_take_in import confirmed, shown

# by hand: 2 cans of 498 kcal in 1,062.5 mL are 0.9374 kcal/mL; the plan's 935 mL hold 1.0652: 12 % less
THIN = {"food_0": "2", "water": "290", "jug": "1062.5", "made_on": "2026-11-25"}


def make(client: Client, quarry: Household, **typed: str):
    """The form as a browser without JavaScript posts it."""
    entry_id = typed.pop("entry_id", str(record.new_entry_id(now=EVENING)))
    empty = dict.fromkeys(("jug", "batch_g", "sample_ml", "sample_g", "batch"), "")
    path = reverse("batch_made", args=[quarry.animal_id])
    return client.post(path, {"entry_id": entry_id, "zone": "Europe/Dublin", **empty, **typed})


def batches(quarry: Household) -> list[BatchMade]:
    return [one.payload for one in quarry.entries(now=EVENING) if isinstance(one.payload, BatchMade)]


def accept(client: Client, quarry: Household):
    """The proposal for the batch, through a draft and the gate, confirmed with the vet's words."""
    draft = client.post(reverse("mark_for_batch", args=[quarry.animal_id]))["Location"]
    take_in = reverse("take_in", args=[quarry.animal_id])
    sent = {"what": "read", "document": document_of(client.get(draft)), "draft": draft.split("/")[2]}
    read = client.post(take_in, sent)
    keys = [unescape(key) for key in re.findall(r'name="meant" value="([^"]+)"', read.content.decode())]
    answers = dict.fromkeys(re.findall(r'name="(answer[^"]+)"', read.content.decode()), "Said by telephone.")
    return confirmed(client, take_in, read, meant=keys, **answers)


def test_a_thinner_batch_is_written_and_says_so_while_the_mark_stays(quarry: Household) -> None:
    """On its page, on the first screen and at the fill; sent twice it is one entry."""
    client = a_phone(quarry)
    assert reverse("batch_made", args=[quarry.animal_id]) in shown(client.get(f"/{quarry.animal_id}/food/"))
    sent = THIN | {"batch": "B8", "entry_id": str(record.new_entry_id(now=EVENING))}
    assert make(client, quarry, **sent).status_code == 302
    assert make(client, quarry, **sent).status_code == 302
    assert len(batches(quarry)) == 1
    page = shown(client.get(reverse("batch_made", args=[quarry.animal_id])))
    assert "0.937 kcal/mL" in page
    assert "This batch holds 12 % less." in page
    assert "This batch holds 12 % less. The mark stays" in shown(client.get(f"/{quarry.animal_id}/"))
    sitter = household.add_person(
        household_id=quarry.id,
        by=quarry.noor,
        now=EVENING,
        name="Ilse",
        role=Role.SITTER,
        from_on=EVENING.date(),
        until_on=EVENING.date(),
    )
    page = shown(a_phone(quarry, sitter.id).get(f"/{quarry.animal_id}/"))
    assert "12 % less" in page
    assert "/batch/" not in page  # a page that they may not open
    walk = shown(client.get(f"/{quarry.animal_id}/{TONIGHT}/"))
    assert "This batch holds 12 % less. The mark stays as the plan has it." in walk
    assert "60 mL" in walk


def test_what_goes_in_counts_by_the_batch_it_was_fed_from(quarry: Household) -> None:
    """The meals before it count by the plan's mix; those after it by its own."""
    client = a_phone(quarry)
    path = reverse("intake", args=[quarry.animal_id])
    # three meals of 210 mL at 1.0652 kcal/mL
    assert "Went in</dt><dd>630 mL · 671 kcal" in re.sub(r"\s+", " ", shown(client.get(path)))
    made = BatchMade(foods=(MadeFood(food="stew", cans=2.0),), water_ml=290.0, ml=1062.5, made_on=EVENING.date())
    quarry.write(made, at=EVENING)
    assert "Went in</dt><dd>630 mL · 671 kcal" in shown(client.get(path))
    quarry.write(SessionStarted(session=TONIGHT), at=EVENING + timedelta(minutes=1))
    quarry.write(FillGiven(session=TONIGHT, fill=1, ml=60.0), at=EVENING + timedelta(minutes=2))
    with time_machine.travel(EVENING + timedelta(minutes=3), tick=True):
        page = shown(client.get(path))
        day = shown(client.get(reverse("day", args=[quarry.animal_id])))
    # and 60 mL at 0.9374: 56.2, where the plan's mix would have held 63.9
    assert "Went in</dt><dd>690 mL · 727 kcal" in page
    assert "727 kcal" in day


def test_the_mark_moves_only_when_a_lead_accepts_and_for_this_batch_only(quarry: Household) -> None:
    """The plan of before holds again from the day after its last one; stew keeps two days, the first included."""
    client = a_phone(quarry)
    make(client, quarry, **THIN)
    assert accept(client, quarry).status_code == 302
    first, for_batch, after = plans.all_versions(**quarry.ids)
    assert for_batch.plan.blend.measured.ml == 1062.5
    assert for_batch.plan.ends.last_on.isoformat() == "2026-11-26"
    assert (after.document, after.effective_from.isoformat()) == (first.document, "2026-11-27T04:00:00+00:00")
    days = [EVENING.date() + timedelta(days=offset) for offset in (0, 1, 2)]
    meals = [max(one.meal_ml for one in plans.planned_sessions(**quarry.ids, day=day)) for day in days]
    # 895 kcal in four meals: 895 / 0.9374 / 4 = 238.7 mL, three of 239 and the last of 238; 210 by the plan's mix
    assert meals == [238, 239, 210]
    page = shown(client.get(f"/{quarry.animal_id}/"))
    assert "hold until the end of Thursday 26 November: the batch of 25 November" in page
    assert "12 % less" not in page


def test_another_change_meanwhile_is_told_that_the_orders_for_the_batch_end(quarry: Household) -> None:
    """It begins from the plan that holds afterwards, and says so beside the moment it would hold from."""
    client = a_phone(quarry)
    make(client, quarry, **THIN)
    accept(client, quarry)
    start = client.post(reverse("change_plan", args=[quarry.animal_id]))["Location"]
    page = client.get(f"{start}dose-1/").content.decode()
    client.post(f"{start}dose-1/", {**as_a_browser_posts(page), "dose": "10 mg", "what": "next"})
    path = reverse("take_in", args=[quarry.animal_id])
    read = shown(client.post(path, {"what": "read", "document": document_of(client.get(start))}))
    assert "The orders until 26 November 2026 (the batch of 25 November) end with this version." in read


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"jug": "1000", "batch_g": "900", "sample_ml": "60", "sample_g": "62"}, "Both jug and batch g"),
        ({"batch_g": "900"}, "Only one of batch g and sample ml"),
        ({"water": ".5"}, "A lone point is overlooked"),
        ({"food_0": "0"}, "0 cans of food"),
    ],
)
def test_what_does_not_go_together_is_refused_and_kept_in_the_fields(
    quarry: Household, typed: dict[str, str], said: str
) -> None:
    """Nothing is written."""
    sent = THIN | {"jug": "", "batch": "B8"} | typed
    page = shown(make(a_phone(quarry), quarry, **sent), status=400)
    assert said in page
    assert 'value="B8"' in page
    assert batches(quarry) == []


def test_a_weighed_batch_counts_by_its_sample(quarry: Household) -> None:
    """1,100 g, of which 60 mL weigh 62 g: 1,064.5 mL, 0.936 kcal/mL."""
    client = a_phone(quarry)
    weighed = {"jug": "", "batch_g": "1100", "sample_ml": "60", "sample_g": "62"}
    assert make(client, quarry, **(THIN | weighed)).status_code == 302
    assert "0.936 kcal/mL" in shown(client.get(reverse("batch_made", args=[quarry.animal_id])))


def test_a_food_that_no_plan_names_is_refused(quarry: Household) -> None:
    """What a phone sends beside the form is asked the same."""
    made = BatchMade(foods=(MadeFood(food="nothing-like-it", cans=1.0),), water_ml=0.0, made_on=EVENING.date())
    with pytest.raises(Exception, match="nothing-like-it"):
        quarry.write(made, at=EVENING)
