"""A plan begun with the vet's sheet pasted: read, checked beside its words, and no answer before that."""

import re
from html import unescape

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from fillmark.core.values.people import Caregiver
from fillmark.services import drafts
from fillmark.services.drafts import Who
from tests.support.builders import EVENING
from tests.support.pdfs import a_pdf_of
from tests.support.sheet import PASTED
from tests.web.test_take_in import empty, shown, signed_in

__all__ = ["empty"]
MOST_PAGES = 15


def pasted(client: Client, text: str = PASTED) -> str:
    """Where the first draft of a pasted sheet is."""
    answer = client.post(reverse("make_plan"), {"what": "sheet", "text": text})
    assert answer.status_code == 302, shown(answer, status=answer.status_code)
    return answer["Location"]


def draft_of(empty: Caregiver):
    who = Who(household_id=empty.household_id, by=empty.id, now=EVENING)
    return drafts.all_drafts(who)[0].draft


def check_all(client: Client, start: str) -> list[str]:
    """Every page of checking, with every tick set, as the big button leads."""
    page = shown(client.get(start))
    path = re.search(r'class="button big" href="([^"]+)"', page)[1]
    went = []
    while "/from-sheet/" in path and len(went) < 40:
        went.append(path)
        page = shown(client.get(path))
        ticks = [unescape(one) for one in re.findall(r'name="right" value="([^"]+)"', page)]
        answer = client.post(path, {"right": ticks})
        if answer.status_code == 400:  # something cannot be kept yet: it stays open
            path = re.search(r'<a href="([^"]+)">Not now', shown(answer, status=400))[1]
            continue
        path = answer["Location"]
    return went


@pytest.mark.hazard("H28")
def test_nothing_that_was_read_is_an_answer_before_it_is_confirmed(empty: Caregiver) -> None:
    """The draft's pages are open, its document holds no value, and the overview says what waits."""
    client = signed_in(empty.id)
    start = pasted(client)
    draft = draft_of(empty)

    assert draft.sheet is not None
    assert len(draft.sheet.proposed) > 40
    assert draft.document["medicines"] == [{}, {}, {}, {}]
    assert "orders" not in draft.document
    assert not {"meals", "dose-0", "tube"} & draft.answered
    overview = shown(client.get(start.removesuffix("from-sheet/")))
    assert "read from the sheet" in overview
    assert "Read it as a whole" not in overview


@pytest.mark.hazard("H28")
def test_each_value_stands_beside_its_words_and_a_dose_has_no_tick_yet(empty: Caregiver) -> None:
    """On the list, and on the page of the draft."""
    client = signed_in(empty.id)
    start = pasted(client)
    page = shown(client.get(f"{start}medicine-1/"))

    assert "“1 mg/kg (4.2 mg)”" in page or "“4.2 mg”" in page
    assert re.search(r'value="dose-1.route" checked', page)
    assert 'value="dose-1.dose">' in page
    question = shown(client.get(f"{start.removesuffix('from-sheet/')}tube/"))
    assert 'value="14"' in question
    assert "Read from the sheet, line" in question


def test_the_pasted_sheet_with_four_medicines_is_checked_on_few_pages(empty: Caregiver) -> None:
    """At most 15, and then its values are answers."""
    client = signed_in(empty.id)
    start = pasted(client)
    went = check_all(client, start)
    document = draft_of(empty).document

    assert 4 < len(went) <= MOST_PAGES, went
    assert document["animal"]["name"] == "Bramble"
    assert [one["name"] for one in document["medicines"]] == ["Mirtazapine", "Omeprazole", "Maropitant", "Ondansetron"]
    assert document["medicines"][1]["dose"] == "4.2 mg"
    assert document["orders"]["meals_per_day"] == 4
    overview = shown(client.get(start.removesuffix("from-sheet/")))
    assert "not confirmed" not in re.sub(r"\s+", " ", overview), re.findall(r"\d+ values? read", overview)


def test_what_is_not_ticked_stays_open(empty: Caregiver) -> None:
    """It is on its page, with its words, and no answer."""
    client = signed_in(empty.id)
    start = pasted(client)
    page = shown(client.get(f"{start}medicine-0/"))
    ticks = [one for one in re.findall(r'name="right" value="([^"]+)"', page) if not one.endswith(".dose")]
    client.post(f"{start}medicine-0/", {"right": ticks})
    draft = draft_of(empty)

    assert draft.document["medicines"][0]["form"] == "tablet"
    assert "dose" not in draft.document["medicines"][0]
    assert "dose-0" not in draft.answered


@pytest.mark.hazard("H28")
def test_a_weight_without_its_tick_waits_in_plain_words_and_the_rest_is_kept(empty: Caregiver) -> None:
    """The page leads on; the weight stays on the list, and its own page says what to do."""
    client = signed_in(empty.id)
    start = pasted(client)
    page = shown(client.get(f"{start}animal/"))
    assert "not ticked yet" not in page
    ticks = [unescape(one) for one in re.findall(r'name="right" value="([^"]+)" checked', page)]
    answer = client.post(f"{start}animal/", {"right": ticks})

    assert answer.status_code == 302
    assert answer["Location"] != f"{start}animal/"
    document = draft_of(empty).document
    assert document["animal"]["name"] == "Bramble"
    assert document["animal"]["tube"]["french"] == 14
    assert not any("kg" in one for one in document["animal"]["weights"])
    again = shown(client.get(f"{start}animal/"))
    assert "Weight: not ticked yet. Tick it when you have read the number, or type it instead." in again
    assert "neither" not in again
    assert re.search(r"The animal and its tube[^0-9]*[12]\b", re.sub(r"<[^>]+>", " ", shown(client.get(start))))


@pytest.mark.hazard("H28")
def test_what_is_kept_apart_and_a_medicine_that_was_perhaps_missed_are_asked(empty: Caregiver) -> None:
    """On the medicine's page of checking, and on the overview."""
    client = signed_in(empty.id)
    text = (
        "Patient: Fig, cat\n\nMedicines\nSucralfate 1 g tablets: half a tablet by tube tid, 2 hours apart from others\n"
    )
    start = pasted(client, text + "\nCall us.\n\nWe gave 25 mg twice daily before\n")

    page = shown(client.get(f"{start}medicine-0/"))
    assert "From which medicines, and by how many hours?" in page
    for href in re.findall(r'href="([^"]+)">Type it instead', page):
        shown(client.get(href))
    assert re.search(r"Perhaps a medicine that was not understood\. Line \d+: “[^”]*25 mg", shown(client.get(start)))


def test_what_was_not_understood_is_marked_in_the_text(empty: Caregiver) -> None:
    """And an order that is a range says so on its page."""
    client = signed_in(empty.id)
    start = pasted(client, PASTED + "\nHer cousin once swallowed 3 marbles.\nTramadol 50 mg tablets: 25 mg q8-12h\n")
    page = shown(client.get(start))

    assert re.search(r"<mark>[^<]*3 marbles", page)
    assert "is a range" in shown(client.get(f"{start}medicine-4/"))


def test_a_sheet_of_two_animals_makes_a_draft_for_each(empty: Caregiver) -> None:
    """Each called by its name in the list."""
    client = signed_in(empty.id)
    pasted(
        client,
        "Patient: Fig\nCat, 4 kg\nFeed 40 mL 4 times a day\n\nPatient: Plum\nDog, 9 kg\nFeed 70 mL 4 times a day",
    )
    page = shown(client.get(reverse("make_plan")))

    assert "Fig: a new plan" in page
    assert "Plum: a new plan" in page


def test_a_file_is_read_like_a_pasted_text(empty: Caregiver) -> None:
    """Text, and a PDF with text; what is neither is refused, and says what to do."""
    client = signed_in(empty.id)
    for name, content in (("sheet.txt", PASTED.encode()), ("sheet.pdf", a_pdf_of(PASTED))):
        answer = client.post(reverse("make_plan"), {"what": "sheet", "file": SimpleUploadedFile(name, content)})
        assert answer.status_code == 302, name
        assert draft_of(empty).sheet is not None
    for content in (b"\x00\x01\x02", b"%PDF-1.7 nothing", b"", b"x" * 2_100_000):
        answer = client.post(reverse("make_plan"), {"what": "sheet", "file": SimpleUploadedFile("a.pdf", content)})
        page = shown(answer, status=400)
        assert "Copy the text" in page


def test_one_medicine_taken_out_leaves_the_others_with_their_words(empty: Caregiver) -> None:
    """What the sheet says moves up with them."""
    client = signed_in(empty.id)
    start = pasted(client).removesuffix("from-sheet/")
    page = shown(client.get(f"{start}medicine-0/"))
    client.post(f"{start}medicine-0/", {"what": "take out", "seen": re.search(r'name="seen" value="(\w+)"', page)[1]})

    assert 'value="Omeprazole"' in shown(client.get(f"{start}medicine-0/"))
    assert draft_of(empty).document["medicines"] == [{}, {}, {}]


def test_a_draft_without_a_sheet_has_no_pages_of_checking(empty: Caregiver) -> None:
    """And a page of checking that is not there is not found."""
    client = signed_in(empty.id)
    start = client.post(reverse("make_plan"))["Location"]
    assert client.get(f"{start}from-sheet/").status_code == 404
    assert client.get(f"{start}from-sheet/animal/").status_code == 404
    assert client.get(f"{pasted(client)}medicine-9/").status_code == 404
