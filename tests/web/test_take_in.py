"""An empty household, taking in a plan, its versions as files, and the household's people, without a browser."""

import re
from datetime import time, timedelta
from html import unescape

import pytest
import time_machine
import zxingcpp
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from PIL import Image

from fillmark.core.plan.reading import read_plan, write_plan
from fillmark.core.record.care_entries import Note
from fillmark.core.values.people import Role
from fillmark.examples import example_plan
from fillmark.services import household, plans, record, sign_in
from tests.core.plan.test_words import a_plan
from tests.journeys.household import Household
from tests.support.builders import EVENING, an_entry
from tests.web.test_screens import a_phone

JUNIPER = example_plan("juniper").decode()
LESS = JUNIPER.replace('dose = "12 mg"', 'dose = "10 mg"')


@pytest.fixture
def empty(db: None):
    """The only lead of a household that holds nothing yet."""
    with time_machine.travel(EVENING, tick=True):
        yield household.open_household(name="Our home", time_zone="Europe/Dublin", day_starts=time(4), lead_name="Lead")


def signed_in(person_id) -> Client:
    client = Client()
    client.force_login(sign_in.user_of(person_id), backend="django.contrib.auth.backends.ModelBackend")
    return client


def shown(answer, *, status: int = 200) -> str:
    assert answer.status_code == status, answer.content.decode()
    return " ".join(unescape(answer.content.decode()).split())


def hidden(answer) -> dict[str, str]:
    """What the form of confirmation carries unseen, as a browser reads it."""
    form = answer.content.decode().partition('id="confirm"')[2].partition("</form>")[0]
    return {name: unescape(value) for name, value in re.findall(r'type="hidden" name="(\w+)" value="([^"]*)"', form)}


def confirmed(client: Client, path: str, answer, **changed: object):
    values = {"vet_words": "As on the sheet.", "vet_said_on": "2026-11-24", "when": "now"}
    return client.post(path, {**hidden(answer), **values, **changed})


def a_file(text: str | bytes, name: str = "plan.toml") -> SimpleUploadedFile:
    return SimpleUploadedFile(name, text if isinstance(text, bytes) else text.encode())


def test_an_empty_household_is_told_what_comes_first(empty) -> None:
    """The lead gets the way to the first plan, and to the page for a file, which has two to begin with."""
    client = signed_in(empty.id)
    first = client.get("/")
    assert (first.status_code, first["Location"]) == (302, "/welcome/")
    page = shown(client.get("/welcome/"))

    assert 'href="/make-plan/"' in page
    assert 'href="/take-in/"' in page
    page = shown(client.get("/take-in/"))
    for path, name in (("/examples/dog.toml", "juniper"), ("/examples/cat.toml", "sorrel")):
        assert f'href="{path}"' in page
        assert client.get(path).content == example_plan(name)


@pytest.mark.hazard("H25")
def test_a_helper_of_an_empty_household_is_told_who_takes_in_the_plan(empty) -> None:
    """And gets no way in; the address itself is refused."""
    sam = household.add_person(household_id=empty.household_id, by=empty.id, name="Sam", role=Role.HELPER, now=EVENING)
    client = signed_in(sam.id)

    page = shown(client.get("/welcome/"))
    assert "A lead of this household takes in the care plan" in page
    assert "/take-in/" not in page
    assert "asking to change the plan" in shown(client.get("/take-in/"), status=403)


def test_who_has_an_animal_needs_no_welcome(quarry: Household) -> None:
    """An old bookmark leads to the first screen."""
    answer = a_phone(quarry).get("/welcome/")

    assert (answer.status_code, answer["Location"]) == (302, "/")


@pytest.mark.hazard("H28")
@pytest.mark.parametrize("way", ["file", "pasted", "JSON file", "pasted JSON"])
def test_a_plan_is_read_shown_whole_and_holds_only_after_the_confirmation(empty, way: str) -> None:
    """By a file or as text, as TOML or JSON; it ends on the plan page of the new animal."""
    client = signed_in(empty.id)
    as_json = write_plan(read_plan(JUNIPER.encode(), kind="toml"))
    form = {
        "file": {"file": a_file(JUNIPER)},
        "pasted": {"text": JUNIPER.replace("\n", "\r\n")},
        "JSON file": {"file": a_file(as_json, "plan.JSON")},
        "pasted JSON": {"text": as_json},
    }[way]
    answer = client.post("/take-in/", {"what": "read", **form})
    page = shown(answer)

    for words in (
        "Read, not in force",
        "17.4 kg (38.4 lb) on 18 November 2026",
        "895 kcal a day",
        "3 × 60 + 30 mL blend",
        "Metoclopramide 5.2 mL",
        "Wash and dry the site",
        "Do the mg of Metoclopramide count the hydrochloride or the base?",
        "less than 0.1 % apart",
        "<code>flush_after_ml = 20</code>",
        "Quarry Lane in the file, Our home here",
        "Keep on with four meals by tube",
    ):
        assert words in page, words
    assert household.find_animals(household_id=empty.household_id) == ()

    done = confirmed(client, "/take-in/", answer)
    (animal,) = household.find_animals(household_id=empty.household_id)
    assert (done.status_code, done["Location"]) == (302, f"/{animal.id}/plan/")
    assert "The plan, version 1" in shown(client.get(done["Location"]))
    stored = plans.current_plan(household_id=empty.household_id, animal_id=animal.id, at=EVENING + timedelta(hours=1))
    assert stored.plan.model_copy(update={"household": a_plan().household}) == a_plan()


FAULTS = {
    "nothing": ({}, "No file and no text. Allowed: a care plan file that ends in .toml or .json"),
    "another file": ({"file": a_file("x", "plan.docx")}, '"plan.docx". Allowed: a file that ends in .toml or .json.'),
    "not UTF-8": ({"file": a_file(b"\xff\xfe")}, "A plan that is not in UTF-8 (byte 1)"),
    "too large": ({"file": a_file(b"x" * 1_000_001)}, "A plan of 1,000,001 bytes. Allowed: 1,000,000 bytes or less."),
    "no plan": (
        {"text": "hello"},
        "A plan that is not TOML. Allowed: TOML text.",
    ),
    "a slip": ({"text": JUNIPER.replace("kg = 17.4,", "kg = 38.4,")}, "It looks like pounds read as kg"),
    "a lone point": ({"text": JUNIPER.replace("step_ml = 0.2", "step_ml = .2")}, "with no zero before the point"),
    "an unknown key": ({"file": a_file(JUNIPER + "\n[favorite]\n")}, "favorite: a key that is not known here"),
}


@pytest.mark.hazard("H4")
@pytest.mark.hazard("H5")
@pytest.mark.parametrize("name", FAULTS)
def test_a_fault_is_told_as_on_the_command_line_and_the_text_stays(empty, name: str) -> None:
    """What came, what is allowed, what to do; a text that can be read stands in the form again."""
    form, words = FAULTS[name]
    page = shown(signed_in(empty.id).post("/take-in/", {"what": "read", **form}), status=400)

    assert words in re.sub(r"</p>\s*<p[^>]*>", " ", page)
    assert "Read, not in force" not in page
    if name in ("a slip", "a lone point", "an unknown key"):
        assert 'name = "Quarry Lane"' in page.partition("<textarea")[2].partition("</textarea>")[0]


def test_a_text_that_is_larger_than_a_page_may_send_is_told_in_words(empty) -> None:
    """Not even read: what is in the form's place says what to do."""
    page = shown(signed_in(empty.id).post("/take-in/", {"text": "x" * 3_000_000}), status=400)

    assert "A care plan has 1,000,000 bytes or less." in page
    assert 'href="/"' in page


@pytest.mark.hazard("H28")
def test_a_missing_answer_makes_the_list_to_ask_the_vet(empty) -> None:
    """No day, no way to confirm; the text stays."""
    answer = signed_in(empty.id).post("/take-in/", {"text": JUNIPER.replace("energy = { factor = 1.5 }\n", "")})
    page = shown(answer, status=400)

    assert "How much energy a day: which factor of the resting energy, or how many kcal? <span" in page
    assert "(needed first)" in page
    assert 'id="confirm"' not in page
    assert 'name = "Quarry Lane"' in page


@pytest.mark.hazard("H10")
def test_what_needs_a_word_of_the_vet_holds_only_with_it_and_keeps_it(quarry: Household) -> None:
    """The whole day in one meal: nothing is in force without the vet's word for it; then it stands in the plan."""
    client, path = a_phone(quarry), f"/{quarry.animal_id}/take-in/"
    text = JUNIPER.replace("meals_per_day = 4", "meals_per_day = 1").replace(
        "meal_gap_hours = 3", "meal_gap_hours = 24"
    )
    answer = client.post(path, {"text": text.replace('["07:00", "11:30", "15:00", "20:00"]', '["07:00"]')})
    page = shown(answer)
    assert "Needs a word of the vet" in page
    lost = ["lost-its-meal: metoclopramide", "lost-its-meal: omeprazole"]
    assert re.findall(r'name="answer ([^"]*)"', page) == ["over-cap", *lost]

    meant = re.findall(r'name="meant" value="([^"]*)"', page)
    refused = shown(confirmed(client, path, answer, meant=meant), status=400)
    assert "A plan that needs a word of the vet first" in refused
    words = {"over-cap": "One meal, for two days.", **dict.fromkeys(lost, "It need not be before a meal.")}
    done = confirmed(client, path, answer, meant=meant, **{f"answer {about}": said for about, said in words.items()})
    assert done.status_code == 302
    stored = plans.all_versions(household_id=quarry.id, animal_id=quarry.animal_id)[-1]
    assert {one.about: one.words for one in stored.plan.vet.answers} == words
    assert "One meal, for two days." in shown(client.get(f"/{quarry.animal_id}/plan/"))


@pytest.mark.hazard("H23")
def test_steps_up_that_begin_tomorrow_are_asked_about_and_can_be_taken_in(quarry: Household) -> None:
    """Nothing is fed today, by the vet's word."""
    client, path = a_phone(quarry), f"/{quarry.animal_id}/take-in/"
    ladder = "energy = { factor = 1.5 }\nladder = { starts_on = 2026-11-26, percent = [50, 75, 100] }"
    answer = client.post(path, {"text": JUNIPER.replace("energy = { factor = 1.5 }", ladder)})
    assert "until then this plan feeds nothing" in shown(answer)
    assert confirmed(client, path, answer, meant=["ladder-to-come"]).status_code == 302


@pytest.mark.hazard("H28")
def test_a_changed_file_shows_old_beside_new_and_begins_when_it_is_said(quarry: Household) -> None:
    """Only what differs; the plan page says from when on it holds."""
    client, path = a_phone(quarry), f"/{quarry.animal_id}/take-in/"
    answer = client.post(path, {"file": a_file(LESS)})
    page = shown(answer)
    changes = page.partition('id="changes"')[2].partition("</section>")[0]

    assert "What changes against version 1" in changes
    assert '<span class="was">12 mg</span> → 10 mg' in changes
    assert changes.count("→") == 1
    assert "The next session, Wednesday at 20:00" in page
    assert "The next day, Thursday 26 November from 04:00 on" in page

    confirmed(client, path, answer, when="day")
    assert "Version 2 begins on Thursday 26 November at 04:00." in shown(client.get(f"/{quarry.animal_id}/plan/"))
    assert "Nothing: the file says what version 2 says." in shown(client.post(path, {"file": a_file(LESS)}))


@pytest.mark.hazard("H4")
@pytest.mark.hazard("H17")
def test_what_must_be_cleared_up_is_ticked_or_nothing_holds(quarry: Household) -> None:
    """Another animal's name and a tenth of a dose; what was typed and ticked stays."""
    client, path = a_phone(quarry), f"/{quarry.animal_id}/take-in/"
    text = JUNIPER.replace('dose = "12 mg"', 'dose = "1.2 mg"').replace('name = "Juniper"', 'name = "Junper"')
    answer = client.post(path, {"text": text})
    asked = ["other-name", "outside-print: omeprazole"]
    assert re.findall(r'name="meant" value="([^"]*)"', shown(answer)) == asked
    word = {"answer slip-from-last: omeprazole": "For a week."}

    refused = confirmed(client, path, answer, meant=asked[:1], vet_words="One point two.", **word)
    page = shown(refused, status=400)
    assert "nobody has said that it is meant: Omeprazole, 1.2 mg: outside what print says" in page
    assert re.search(r'value="other-name"[^>]* checked', page)
    assert not re.search(r'value="outside-print: omeprazole"[^>]* checked', page)
    assert "One point two.</textarea>" in page
    assert "For a week.</textarea>" in page
    assert re.search(r'value="now" required checked', page)

    done = confirmed(client, path, refused, meant=asked, **word)
    assert done.status_code == 302
    assert [one.name for one in household.find_animals(household_id=quarry.id)] == ["Juniper"]


@pytest.mark.hazard("H28")
def test_who_was_slower_sees_it_beside_the_newer_version(quarry: Household) -> None:
    """Two leads read two files; the second is asked to look again."""
    ada = household.add_person(household_id=quarry.id, by=quarry.noor, name="Ada", role=Role.LEAD, now=EVENING)
    path = f"/{quarry.animal_id}/take-in/"
    mine, theirs = a_phone(quarry), a_phone(quarry, ada.id)
    first = mine.post(path, {"text": LESS})
    second = theirs.post(path, {"text": JUNIPER.replace("upright_minutes = 20", "upright_minutes = 30")})
    confirmed(theirs, path, second)

    refused = confirmed(mine, path, first)
    page = shown(refused, status=400)
    assert "Ada put version 2 in force at 19:42" in page
    assert "What changes against version 2" in page
    assert '<span class="was">30 minutes</span> → 20 minutes' in page
    assert len(plans.all_versions(**quarry.ids)) == 2

    assert confirmed(mine, path, refused).status_code == 302
    assert len(plans.all_versions(**quarry.ids)) == 3


@pytest.mark.hazard("H28")
@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("document", "{}", 'format: "none"'),
        ("document", LESS, "A plan that is not JSON"),
        ("seen", "0" * 64, "no longer read as it was shown"),
        ("base", "", "compared with version -1"),
        ("vet_words", " ", "A plan without the vet's words"),
        ("vet_said_on", "soon", '"soon" for the day on which the vet said it'),
        ("when", "yesterday", "without a time from which on it holds"),
    ],
)
def test_a_confirmation_that_is_not_of_what_was_shown_is_refused(
    quarry: Household, field: str, value: str, words: str
) -> None:
    """Nothing is in force; the page says what came and what to do."""
    client, path = a_phone(quarry), f"/{quarry.animal_id}/take-in/"
    answer = client.post(path, {"text": LESS})

    page = shown(confirmed(client, path, answer, **{field: value}), status=400)

    assert words in page
    assert len(plans.all_versions(**quarry.ids)) == 1


@pytest.mark.hazard("H26")
def test_the_clock_is_chosen_on_the_page_before_anything_is_confirmed(empty) -> None:
    """A file by another time zone: no way to confirm until one of both is pressed."""
    client = signed_in(empty.id)
    text = JUNIPER.replace("Europe/Dublin", "America/Denver")
    asked = client.post("/take-in/", {"text": text})
    assert "By which clock does this household live?" in shown(asked)
    assert hidden(asked) == {}
    document = unescape(re.search(r'name="document" value="([^"]*)"', asked.content.decode())[1])

    taken = client.post("/take-in/", {"what": "read", "document": document, "clock": "file"})
    assert "when you confirm, this household takes over its name, time zone and start of the day" in shown(taken)
    assert household.find_household(household_id=empty.household_id).time_zone == "Europe/Dublin"

    confirmed(client, "/take-in/", taken)
    home = household.find_household(household_id=empty.household_id)
    assert (home.name, home.time_zone) == ("Quarry Lane", "America/Denver")


@pytest.mark.hazard("H26")
def test_a_plan_that_does_not_hold_by_the_households_clock_is_told_and_its_text_stays(quarry: Household) -> None:
    """The household's day starts at 04:00, the file's at midnight with a meal at three: here it is out of order."""
    night = JUNIPER.replace('day_starts = "04:00"', 'day_starts = "00:00"')
    night = night.replace('meals = ["07:00"', 'meals = ["03:00"')
    write_to = f"/{quarry.animal_id}/take-in/"
    keep_a_record(quarry)
    page = shown(a_phone(quarry).post(write_to, {"text": night}), status=400)

    assert "Meal times that are out of order or there twice" in page
    assert 'day_starts = "00:00"' in page


def keep_a_record(quarry: Household) -> None:
    entry = an_entry(Note(text="x"), animal_id=quarry.animal_id, at=EVENING)
    record.record_entry(household_id=quarry.id, by=quarry.sam, entry=entry, now=EVENING)


@pytest.mark.hazard("H27")
@pytest.mark.parametrize("kind", ["toml", "json"])
def test_a_version_is_taken_along_as_a_file_and_taken_in_again(quarry: Household, kind: str) -> None:
    """The list says from when on, who and the vet's words; the file reads as the same plan."""
    client = a_phone(quarry)
    page = shown(client.get(f"/{quarry.animal_id}/plan/versions/"))
    assert "Confirmed by Noor. Dr. Aoife Marsh said on 18 November 2026: “Keep on with four meals" in page
    assert '<span class="strong">in force</span>' in page

    answer = client.get(f"/{quarry.animal_id}/plan/versions/1.{kind}")
    assert answer["Content-Disposition"] == f'attachment; filename="juniper-plan-1.{kind}"'
    assert read_plan(answer.content, kind=kind) == a_plan()
    if kind == "toml":
        assert answer.content.decode().startswith(
            "# Juniper's care plan, version 1, from 23 November 2026, 19:42 on.\n# Confirmed by Noor. In force.\n"
        )
    again = client.post(f"/{quarry.animal_id}/take-in/", {"file": a_file(answer.content, f"plan.{kind}")})
    assert "Nothing: the file says what version 1 says." in shown(again)
    assert "Version 7 of Juniper's plan" in shown(client.get(f"/{quarry.animal_id}/plan/versions/7.{kind}"), status=400)


def test_each_version_says_whether_it_holds_held_or_will_hold(quarry: Household) -> None:
    """One that another took the place of before it began was never in force."""
    client, path = a_phone(quarry), f"/{quarry.animal_id}/take-in/"
    for text, when in ((LESS, "day"), (LESS.replace("upright_minutes = 20", "upright_minutes = 25"), "now")):
        confirmed(client, path, client.post(path, {"text": text}), when=when)

    page = shown(client.get(f"/{quarry.animal_id}/plan/versions/"))
    told = re.findall(r'Version (\d)</h2> <p>From .*? on: <span class="strong">(.*?)</span>', page)
    assert told == [
        ("3", "in force"),
        ("2", "never in force: another one took its place before"),
        ("1", "in force until 25 November 2026 at 19:42"),
    ]


@pytest.mark.hazard("H28")
def test_an_earlier_version_is_read_beside_the_newest_and_confirmed_like_any_other(quarry: Household) -> None:
    """A plan that was taken in by mistake is undone by a new version, never by taking one away."""
    client, path = a_phone(quarry), f"/{quarry.animal_id}/take-in/"
    confirmed(client, path, client.post(path, {"text": LESS}))
    assert f'href="{path}?version=1"' in shown(client.get(f"/{quarry.animal_id}/plan/versions/"))

    back = client.get(f"{path}?version=1")
    assert '<span class="was">10 mg</span> → 12 mg' in shown(back)
    confirmed(client, path, back)

    found = plans.all_versions(**quarry.ids)
    assert [one.number for one in found] == [1, 2, 3]
    assert found[2].document == found[0].document
    assert 'id="confirm"' not in shown(client.get(f"{path}?version=99"))


@pytest.mark.hazard("H25")
@pytest.mark.hazard("H34")
def test_a_sitter_takes_no_file_along_and_a_helper_changes_no_plan(quarry: Household) -> None:
    """By address too; a helper may keep the file."""
    who = {"household_id": quarry.id, "by": quarry.noor, "now": EVENING}
    today = EVENING.date()
    ilse = household.add_person(**who, name="Ilse", role=Role.SITTER, from_on=today, until_on=today)
    base = f"/{quarry.animal_id}/"
    for person, refused in (
        (ilse.id, ("plan/versions/", "plan/versions/1.toml", "take-in/")),
        (quarry.sam, ("take-in/",)),
    ):
        client = a_phone(quarry, person)
        for path in refused:
            assert client.get(base + path).status_code == 403
        assert client.post(base + "take-in/", {"text": LESS}).status_code == 403
        assert "take-in/" not in shown(client.get(f"{base}plan/"))
    assert a_phone(quarry, quarry.sam).get(f"{base}plan/versions/1.toml").status_code == 200


@pytest.mark.hazard("H25")
def test_a_form_from_elsewhere_is_refused(quarry: Household) -> None:
    """Every change carries the page's own token."""
    client = Client(enforce_csrf_checks=True)
    client.force_login(sign_in.user_of(quarry.noor), backend="django.contrib.auth.backends.ModelBackend")
    changes = ("invite", "link", "lost", "end", "person", "password", "settings")
    for path in ("/take-in/", f"/{quarry.animal_id}/take-in/", *(f"/household/{one}/" for one in changes)):
        assert client.post(path, {"text": LESS, "person": quarry.sam}).status_code == 403


def link_on(page: str) -> str:
    return re.search(r"http://[\w.:-]+(/sign-in/[\w-]{40,}/)", page)[1]


@pytest.mark.hazard("H34")
def test_a_lead_invites_by_a_link_and_a_square_that_a_camera_reads(quarry: Household) -> None:
    """The square says the link; it signs in once, and is in no page after this one (read by ZXing)."""
    client = a_phone(quarry)
    answer = client.post("/household/invite/", {"name": "Robin", "role": "helper"})
    page = shown(answer)
    path = link_on(page)

    assert "until Wednesday 2 December at 19:42" in page
    assert read_square(answer.content.decode()) == [f"http://testserver{path}"]
    assert "has not signed in yet; a link is open until" in shown(client.get("/household/"))

    theirs = Client()
    assert theirs.post(path).status_code == 302
    assert "Robin (you)" in shown(theirs.get("/household/"))
    assert theirs.post(path).status_code == 403


def read_square(page: str) -> list[str]:
    """What a camera reads from the square, drawn module by module from its path."""
    square = next(one for one in re.findall(r"(?s)<svg.*?</svg>", page) if 'class="qr"' in one)
    width, path = re.search(r'viewBox="0 0 (\d+)', square)[1], re.search(r'class="qrline"[^>]* d="([^"]+)"', square)[1]
    modules = int(width) // 5
    picture = Image.new("L", (modules, modules), 255)
    x = y = 0.0
    for move, *numbers in re.findall(r"([Mmh])(-?[\d.]+)(?: (-?[\d.]+))?", path):
        first, second = (float(one or 0) for one in numbers)
        if move == "M":
            x, y = first, second
        elif move == "m":
            x, y = x + first, y + second
        else:
            for column in range(round(x), round(x + first)):
                picture.putpixel((column, int(y)), 0)
            x += first
    large = picture.resize((modules * 6, modules * 6), Image.Resampling.NEAREST)
    return [found.text for found in zxingcpp.read_barcodes(large)]


def test_on_this_machine_alone_the_link_says_so_and_shows_no_square(quarry: Household) -> None:
    """A phone that photographed it would find nothing."""
    client = a_phone(quarry)
    page = shown(client.post("/household/link/", {"person": quarry.sam}, headers={"host": "localhost:8000"}))

    assert "This address opens on this machine only." in page
    assert 'class="qr"' not in page
    assert link_on(page)


@pytest.mark.hazard("H34")
def test_a_lost_phone_is_signed_out_and_the_one_in_hand_stays(quarry: Household) -> None:
    """Sam's phone by Noor; then Noor's other phone by herself."""
    noor, other, sam = a_phone(quarry), a_phone(quarry), a_phone(quarry, quarry.sam)
    assert sam.get("/").status_code == 200

    page = shown(noor.post("/household/lost/", {"person": quarry.sam}))
    assert sam.get("/").status_code == 302
    assert Client().post(link_on(page)).status_code == 302

    noor.post("/household/lost/", {"person": quarry.noor})
    assert noor.get("/").status_code == 200
    assert other.get("/").status_code == 302


def test_a_person_chooses_a_password_and_signs_in_by_it(quarry: Household) -> None:
    """This phone stays signed in; one that is easy to guess is refused in words."""
    sam, other = a_phone(quarry, quarry.sam), a_phone(quarry, quarry.sam)
    refused = sam.post("/household/password/", {"user_name": "sam", "password": "1234567890"})
    assert "A password that is easy to guess." in shown(refused, status=400)
    form = {"user_name": "sam", "password": "warm water first"}
    assert "No name to sign in with." in shown(sam.post("/household/password/", {**form, "user_name": " "}), status=400)
    assert sam.post("/household/password/", form).status_code == 302
    assert sam.get("/").status_code == 200
    assert other.get("/").status_code == 302

    anew = Client()
    assert anew.post("/sign-in/", {"name": "sam", "password": "warm water first"}).status_code == 302
    assert "Sam (you)" in shown(anew.get("/household/"))


@pytest.mark.hazard("H34")
def test_who_is_ended_is_out_at_once_and_comes_back_by_a_new_link(quarry: Household) -> None:
    """The household's page says so; the last lead cannot be ended."""
    noor, sam = a_phone(quarry), a_phone(quarry, quarry.sam)
    assert noor.post("/household/end/", {"person": quarry.sam}).status_code == 302
    assert sam.get("/").status_code == 302
    assert "ended: signs in no more" in shown(noor.get("/household/"))

    page = shown(noor.post("/household/end/", {"person": quarry.noor}), status=400)
    assert "A household in which no lead is left but Noor." in page

    link = link_on(shown(noor.post("/household/link/", {"person": quarry.sam})))
    sam = Client()
    sam.post(link)
    assert sam.get("/").status_code == 200


def test_what_is_wrong_with_an_invitation_is_told_and_what_was_typed_stays(quarry: Household) -> None:
    """No role, a name that is there, a sitter without days."""
    client = a_phone(quarry)
    for form, words in (
        ({"name": "Robin"}, "An invitation that does not say what the person may do."),
        ({"name": "sam", "role": "helper"}, 'The name "sam", which somebody here has.'),
        ({"name": "Robin", "role": "sitter"}, '"" for a day of the stay.'),
        (
            {"name": "Robin", "role": "sitter", "from_on": "2026-12-24", "until_on": "2026-12-20"},
            "A sitter's pass from 24 December 2026 until 20 December 2026.",
        ),
    ):
        page = shown(client.post("/household/invite/", form), status=400)
        assert words in page
        assert f'value="{form["name"]}"' in page
    assert len(household.find_people(household_id=quarry.id)) == 2


def test_a_person_is_called_otherwise_and_a_sitter_stays_longer(quarry: Household) -> None:
    """The record is signed with the new name."""
    client = a_phone(quarry)
    client.post(
        "/household/invite/", {"name": "Ilse", "role": "sitter", "from_on": "2026-12-20", "until_on": "2026-12-24"}
    )
    ilse = next(one for one in household.find_people(household_id=quarry.id) if one.name == "Ilse")
    form = {"person": ilse.id, "name": "Ilse K.", "from_on": "2026-12-20", "until_on": "2026-12-27"}
    assert client.post("/household/person/", form).status_code == 302

    assert "Sitter from 20 December to 27 December 2026" in shown(client.get("/household/"))
    assert "A person who is not of this household." in shown(
        client.post("/household/person/", {"person": "x", "name": "x"}), status=400
    )


@pytest.mark.hazard("H26")
def test_the_clock_can_be_changed_only_before_there_is_a_plan(quarry: Household, empty) -> None:
    """The page says what it does, and later why it stays; the name may change."""
    early = signed_in(empty.id)
    assert "the record's days are counted by it" in shown(early.get("/household/"))
    form = {"name": "Loft", "time_zone": "America/Denver", "day_starts": "05:00"}
    assert early.post("/household/settings/", form).status_code == 302
    assert household.find_household(household_id=empty.household_id).time_zone == "America/Denver"
    for bad, words in (
        ({"time_zone": "Denver"}, "for a time zone"),
        ({"day_starts": "4 am"}, "for the start of the day"),
    ):
        assert words in shown(early.post("/household/settings/", {**form, **bad}), status=400)

    late = a_phone(quarry)
    assert 'name="time_zone"' not in shown(late.get("/household/"))
    assert "Another clock (America/Denver, day from 05:00)" in shown(
        late.post("/household/settings/", form), status=400
    )
    assert late.post("/household/settings/", {"name": "Loft"}).status_code == 302
    assert household.find_household(household_id=quarry.id).name == "Loft"


@pytest.mark.hazard("H25")
def test_who_is_no_lead_sees_and_changes_only_themselves(quarry: Household) -> None:
    """Another phone, a lost phone, the own name; everything else is refused by its address."""
    client = a_phone(quarry, quarry.sam)
    page = shown(client.get("/household/"))
    assert "Sam (you)" in page
    assert "Noor leads this household." in page
    assert "Invite somebody" not in page

    other = {"person": quarry.noor, "name": "x", "role": "lead"}
    for path in ("invite", "link", "lost", "end", "person", "settings"):
        assert client.post(f"/household/{path}/", other).status_code == 403
    assert client.post("/household/end/", {"person": quarry.sam}).status_code == 403
    assert link_on(shown(client.post("/household/link/", {"person": quarry.sam})))
    assert client.post("/household/person/", {"person": quarry.sam, "name": "Sam B."}).status_code == 302
    assert {one.name for one in household.find_people(household_id=quarry.id)} == {"Noor", "Sam B."}


@pytest.mark.hazard("H4")
def test_what_was_not_checked_about_an_order_is_said_before_it_holds(empty) -> None:
    """Apart from what is to be asked."""
    page = shown(signed_in(empty.id).post("/take-in/", {"text": JUNIPER.replace('"Omeprazole"', '"Enalaprilat"')}))
    asked, _, said = page.partition("Said about the orders")

    assert "Enalaprilat is not in print here: nothing was checked about its dose." in said
    assert "does it hold xylitol" in asked
    assert "is not in print" not in asked


@pytest.mark.hazard("H3")
def test_a_dose_that_cannot_be_drawn_is_shown_with_what_was_found_about_it(empty) -> None:
    """The strength with the point moved is why."""
    text = JUNIPER.replace('"Omeprazole"', '"Furosemide"').replace('strength = "2 mg/mL"', 'strength = "100 mg/mL"')
    page = shown(signed_in(empty.id).post("/take-in/", {"text": text.replace('"12 mg"', '"34.8 mg"')}))

    assert "Furosemide: 100 mg/mL is ten times as strong as the 10 mg/mL in print" in page
    assert "Furosemide cannot be drawn: 0.348 mL" in page
    assert "5.2 mL" in page, "the other doses stay"
