"""A plan made on pages, from an empty household to the plan in force, and changed the same way; without a browser."""

import re
from html import unescape

import pytest
from django.test import Client
from django.urls import reverse

from fillmark.core.plan.spots import spot_called
from fillmark.core.values.people import Caregiver, Role
from fillmark.services import drafts, household, plans
from fillmark.services.drafts import Who
from tests.journeys.household import Household
from tests.support.builders import EVENING
from tests.support.sheet import MORE, SHEET
from tests.web.test_screens import a_phone
from tests.web.test_take_in import confirmed, empty, shown, signed_in

__all__ = ["empty"]


def seen_in(page: str) -> str:
    return re.search(r'name="seen" value="(\w+)"', page)[1]


def put(client: Client, path: str, values: dict[str, object], what: str = "next", **changed: object):
    """A page answered as a browser posts it."""
    page = shown(client.get(path))
    keys = re.findall(r'name="shown" value="([^"]+)"', page)
    return client.post(path, {"seen": seen_in(page), "shown": keys, "what": what, **values, **changed})


def go_through(client: Client, start: str, sheet: dict[str, dict[str, object]]) -> list[str]:
    """Every page from the overview on, as the big button leads; the pages in their order."""
    overview = shown(client.get(start))
    path = re.search(r'class="button big" href="([^"]+)"', overview)[1]
    went = []
    for _ in range(80):
        spot = spot_called(path.partition("?")[0].rstrip("/").rpartition("/")[2])
        went.append(spot.id)
        if spot.is_whole_list:
            count = shown(client.get(path)).count('<li><a class="inline"')
            if count < MORE.get(spot.page.key, 0):
                path = f"{start}{spot.page.key}-{count}/"
                continue
            answer = client.post(path)
        else:
            if spot.page.key == "how-often" and f"when-needed-{spot.at[0]}" in sheet:
                aside = f"{start}when-needed-{spot.at[0]}/?from={spot.id}"
                answer = put(client, aside, sheet[f"when-needed-{spot.at[0]}"], **{"from": spot.id})
                path = answer["Location"]
                continue
            answer = put(client, path, sheet.get(spot.id, {}), "next" if sheet.get(spot.id) else "unsaid")
            if answer.status_code == 200:  # something is asked once
                answer = put(client, path, sheet.get(spot.id, {}))
        assert answer.status_code == 302, (spot.id, shown(answer, status=answer.status_code))
        if answer["Location"] == start:
            return went
        path = answer["Location"]
    raise AssertionError(went)


def document_of(answer) -> str:
    """The whole plan, as the big button sends it to be read."""
    return unescape(re.search(r'name="document" value="([^"]+)"', answer.content.decode())[1])


def begun(client: Client) -> str:
    return client.post(reverse("make_plan"))["Location"]


def test_an_empty_home_comes_to_a_plan_in_force_without_a_file(empty: Caregiver) -> None:
    """From the first screen, by the big button of each page, with one medicine."""
    client = signed_in(empty.id)
    assert 'href="/make-plan/"' in shown(client.get("/welcome/"))
    start = begun(client)
    went = go_through(client, start, SHEET)
    assert len(went) <= 45, went

    overview = shown(client.get(start))
    assert "The day, as it stands now" in overview
    sent = {"what": "read", "document": document_of(client.get(start)), "draft": start.split("/")[2]}
    read = client.post("/take-in/", sent)
    page = shown(read)
    assert "Read, not in force" in page
    keys = re.findall(r'name="meant" value="([^"]+)"', read.content.decode())
    answers = dict.fromkeys(re.findall(r'name="(answer[^"]+)"', read.content.decode()), "Said by telephone.")
    put_in_force = confirmed(client, "/take-in/", read, meant=[unescape(key) for key in keys], **answers)
    assert put_in_force.status_code == 302, shown(put_in_force, status=put_in_force.status_code)

    animal = household.find_animals(household_id=empty.household_id)[0]
    kept = plans.all_versions(household_id=empty.household_id, animal_id=animal.id)[0].plan
    assert (animal.name, kept.animal.tube.mark_at_skin_cm, kept.blend.water_ml) == ("Bramble", 11.43, 29.5735)
    assert kept.medicines[0].dose == "1.88 mg"
    assert start not in shown(client.get(reverse("make_plan")))  # it holds now
    assert kept.foods[0].can_g == pytest.approx(155.922)


def test_a_field_that_cannot_be_read_keeps_what_was_typed_everywhere(empty: Caregiver) -> None:
    """The message stands beside it; the draft is as it was."""
    client = signed_in(empty.id)
    start = begun(client)
    answer = put(client, f"{start}tube/", {"kind": "gastrostomy", "french": ".5", "mark_at_skin_cm": "6.5"})
    page = shown(answer, status=400)

    assert 'value=".5"' in page
    assert 'value="6.5"' in page
    assert 'value="gastrostomy" checked' in page
    assert "A lone point is overlooked" in page
    assert "6.5 cm" not in shown(client.get(start))


def test_what_is_put_off_is_listed_and_the_way_goes_on(empty: Caregiver) -> None:
    """And the big button leads to the next page."""
    client = signed_in(empty.id)
    start = begun(client)
    answer = put(client, f"{start}animal/", {}, "later")

    assert answer["Location"].startswith(f"{start}weight-0/")
    assert "to look up later" in shown(client.get(start))


def test_two_people_in_one_draft_do_not_overwrite_each_other(empty: Caregiver) -> None:
    """What one answered otherwise meanwhile is shown; the same page sent once more holds."""
    client, other = signed_in(empty.id), signed_in(empty.id)
    start = begun(client)
    path = f"{start}animal/"
    old = seen_in(shown(other.get(path)))
    put(client, path, {"name": "Bramble", "species": "cat"})
    put(client, f"{start}tube/", {"kind": "esophagostomy", "french": "14"})
    late = other.post(path, {"seen": old, "what": "next", "name": "Bramley", "species": "cat"})

    page = shown(late, status=400)
    assert "has answered otherwise meanwhile" in page
    assert 'value="Bramley"' in page
    assert "Bramble" in shown(client.get(start))
    assert (
        other.post(path, {"seen": seen_in(page), "what": "next", "name": "Bramley", "species": "cat"}).status_code
        == 302
    )
    assert "esophagostomy" in shown(client.get(start))


def test_a_dose_against_print_is_asked_right_after_the_dose(quarry: Household) -> None:
    """A tenfold slip in a change: it is kept, asked on the next page with the way back, and nothing is in force."""
    client = a_phone(quarry)
    start = client.post(reverse("change_plan", args=[quarry.animal_id]))["Location"]
    answer = put(client, f"{start}dose-0/", {"dose": "3 mg/kg", "dose_for_weight_kg": "17.4", "route": "tube"})

    page = shown(client.get(answer["Location"]))
    assert "Is this meant?" in page
    assert "10 times as much" in page
    assert f'href="{start}dose-0/"' in page
    assert len(plans.all_versions(**quarry.ids)) == 1


def test_nothing_changed_makes_no_new_version(quarry: Household) -> None:
    """Every page opened and kept as it is."""
    client = a_phone(quarry)
    start = client.post(reverse("change_plan", args=[quarry.animal_id]))["Location"]
    overview = client.get(start).content.decode()
    for path in sorted(set(re.findall(rf'href="({start}[a-z0-9-]+/)"', overview))):
        page = client.get(path).content.decode()
        if 'name="seen"' not in page:
            continue
        values = as_a_browser_posts(page)
        answer = client.post(
            path, {**values, "what": "next", "shown": re.findall(r'name="shown" value="([^"]+)"', page)}
        )
        if answer.status_code == 200:
            keys = re.findall(r'name="shown" value="([^"]+)"', answer.content.decode())
            answer = client.post(path, {**values, "what": "next", "shown": [unescape(key) for key in keys]})
        is_unsaid = 'value="unsaid"' in page
        assert answer.status_code == 302 or is_unsaid or path.endswith("-0/"), path
    assert "Changed so far" not in shown(client.get(start)), re.findall(
        r"Changed so far.*?</section>", shown(client.get(start))
    )


def as_a_browser_posts(page: str) -> dict[str, list[str]]:
    """The values of a page's form as they stand in it."""
    form = page.partition('id="question"')[2].partition("</form>")[0]
    found: dict[str, list[str]] = {}
    for tag in re.findall(r"<input[^>]*>", form):
        name, value = re.search(r'name="([^"]+)"', tag), re.search(r'value="([^"]*)"', tag)
        if name and (("radio" not in tag and "checkbox" not in tag) or " checked" in tag):
            found.setdefault(unescape(name[1]), []).append(unescape(value[1]) if value else "")
    for name, text in re.findall(r'<textarea[^>]*name="([^"]+)"[^>]*>(.*?)</textarea>', form, re.DOTALL):
        found[name] = [unescape(text)]
    for name, options in re.findall(r'<select name="([^"]+)"[^>]*>(.*?)</select>', form, re.DOTALL):
        chosen = re.search(r"<option selected>([^<]+)", options)
        found[name] = [unescape(chosen[1])] if chosen else []
    return found


def test_a_changed_dose_is_shown_beside_the_old_one_and_becomes_version_2(quarry: Household) -> None:
    """The vet says 10 mg in place of 12."""
    client = a_phone(quarry)
    assert "Something has changed" in shown(client.get(f"/{quarry.animal_id}/plan/"))
    began = client.post(reverse("change_plan", args=[quarry.animal_id]))["Location"]
    assert "Ask the vet" not in shown(client.get(began))  # what can change comes first, until something has
    start = client.post(reverse("change_plan", args=[quarry.animal_id]))["Location"]
    page = client.get(f"{start}dose-1/").content.decode()
    answer = client.post(f"{start}dose-1/", {**as_a_browser_posts(page), "dose": "10 mg", "what": "next"})
    assert answer["Location"].startswith(start)
    overview = shown(client.get(start))
    assert '<span class="was">12 mg</span> → 10 mg' in re.sub(r"\s+", " ", overview)
    path = reverse("take_in", args=[quarry.animal_id])
    read = client.post(path, {"what": "read", "document": document_of(client.get(start))})
    done = confirmed(client, path, read)

    assert done.status_code == 302, re.findall(r"role=.alert.>.*?</section>", shown(done, status=400))
    assert plans.all_versions(**quarry.ids)[-1].plan.medicines[1].dose == "10 mg"


def test_a_helper_prepares_and_a_lead_puts_in_force(quarry: Household) -> None:
    """A sitter does neither."""
    helper = a_phone(quarry, quarry.sam)
    start = helper.post(reverse("change_plan", args=[quarry.animal_id]))["Location"]
    page = shown(helper.get(start))
    assert "Read it as a whole" not in page
    sitter = household.add_person(
        household_id=quarry.id,
        by=quarry.noor,
        now=EVENING,
        name="Ilse",
        role=Role.SITTER,
        from_on=EVENING.date(),
        until_on=EVENING.date(),
    )
    assert a_phone(quarry, sitter.id).get(start).status_code == 403


def test_a_draft_that_is_thrown_away_is_gone(empty: Caregiver) -> None:
    """And of another household's nothing is seen."""
    client = signed_in(empty.id)
    start = begun(client)
    assert start in shown(client.get(reverse("make_plan")))
    client.post(start)
    assert start not in shown(client.get(reverse("make_plan")))
    assert client.get(start).status_code == 403
    who = Who(household_id=empty.household_id, by=empty.id, now=EVENING)
    assert drafts.all_drafts(who) == ()
