"""An address that the app had before leads on: a phone, a link on paper and a page that is still open go on working."""

import json
import re
from pathlib import Path

import pytest
from django.conf import settings
from django.contrib.staticfiles import finders
from django.test import Client
from django.urls import resolve

from fillmark.services import record
from fillmark.web.old_addresses import OLD_FILES, OLD_PAGES
from tests.journeys.household import Household
from tests.web.test_screens import EVENING, a_phone

PAGES = {
    "wrong/": "calls/",
    "wrong/?what=cough": "calls/?what=cough",
    "wrong/write/": "calls/write/",
    "wrong/part/": "calls/part/",
    "needed/retching/": "when-needed/retching/",
    "blend/": "ways/",
    "blend/what-if/?meals=3": "ways/what-if/?meals=3",
    "feeding/": "intake/",
    "feeding/2026-11-24/": "intake/2026-11-24/",
    "feeding/drank/": "intake/drank/",
    "feeding/ladder/": "ladder/",
    "feeding/ladder/ate/": "ladder/ate/",
    "timetable/today/?until=13:00": "new-times/?until=13:00",
    "timetable/today/back/": "new-times/back/",
    "plan/take-in/": "take-in/",
}


@pytest.mark.parametrize(("old", "new"), PAGES.items(), ids=PAGES)
def test_an_old_address_leads_to_the_new_one(quarry: Household, old: str, new: str) -> None:
    """For good, with all that was asked; what is sent is sent again as it was."""
    client = a_phone(quarry)
    for answer, status in (
        (client.get(f"/{quarry.animal_id}/{old}"), 301),
        (client.post(f"/{quarry.animal_id}/{old}"), 308),
    ):
        assert (answer.status_code, answer["Location"]) == (status, f"/{quarry.animal_id}/{new}")
    assert resolve(f"/{quarry.animal_id}/{new.partition('?')[0]}").url_name


def test_every_old_address_is_tried() -> None:
    """The table and the addresses above name the same places."""
    assert set(OLD_PAGES) == {next(one for one in OLD_PAGES if old.startswith(one)) for old in PAGES}


def test_a_form_of_an_old_page_writes_its_entry(quarry: Household) -> None:
    """Nothing that a person pressed is lost on the way."""
    form = {"trouble": "cough", "entry_id": str(record.new_entry_id(now=EVENING)), "zone": "Europe/Dublin"}
    before = len(quarry.all_ids())
    answer = a_phone(quarry).post(f"/{quarry.animal_id}/wrong/write/", form, follow=True)

    assert answer.status_code == 200
    assert len(quarry.all_ids()) == before + 1


@pytest.mark.parametrize("name", sorted(OLD_FILES))
def test_a_file_under_its_old_name_is_the_one_of_today(name: str) -> None:
    """A script leads to today's, so that a page that names both runs it once."""
    answer = Client().get(f"/static/fillmark/{name}")
    today = f"/static/{OLD_FILES[name]}"

    assert finders.find(OLD_FILES[name])
    if name.endswith(".js"):
        assert answer.content.decode() == f'export * from "{today}";\n'
        assert answer["Content-Type"] == "text/javascript"
    else:
        assert (answer.status_code, answer["Location"]) == (301, today)


def test_nothing_else_stood_there() -> None:
    """An address that never was is not there now."""
    assert Client().get("/static/fillmark/other.js").status_code == 404


def test_the_worker_knows_the_old_names() -> None:
    """A phone without a signal holds pages of the version before."""
    source = Client().get("/worker.js").content.decode()
    told = {name: json.loads(value) for name, value in re.findall(r"^const (\w+) = (.*);$", source, re.MULTILINE)[:4]}

    assert told["OLD_PAGES"] == [list(one) for one in OLD_PAGES.items()]
    assert told["OLD_FILES"] == {f"/static/fillmark/{name}": f"/static/{path}" for name, path in OLD_FILES.items()}
    assert set(told["OLD_FILES"].values()) <= set(told["PARTS"])


def test_the_worker_keeps_every_style_script_and_picture_but_itself() -> None:
    """Each is there to be fetched, and nothing else of the screens' folders is served."""
    source = Client().get("/worker.js").content.decode()
    parts = json.loads(re.search(r"^const PARTS = (.*);$", source, re.MULTILINE)[1])
    screens = Path(settings.SCREENS)
    kinds = {".css", ".js", ".png", ".svg"}
    there = {f"/static/{path.relative_to(screens).as_posix()}" for path in screens.rglob("*") if path.suffix in kinds}

    assert set(parts) == there - {"/static/phone/worker.js"} | {
        "/no-signal",
        "/something-is-wrong/",
        "/manifest.webmanifest",
    }
    for path in ("walk/views.py", "walk/walk.html", "shared/base.html", "urls.py"):
        assert finders.find(path) is None
