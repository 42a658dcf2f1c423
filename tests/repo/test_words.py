"""No form that is misread in anything a person reads: templates, code, screens, papers, commands, documentation.

The forms are the rows of print held in tests/references/test_joint_commission.py, found by core/values/wording.py.
And nothing that Fillmark says calms ("safe", "fine").
"""

import ast
import re
from collections.abc import Iterator
from datetime import timedelta
from html import unescape
from pathlib import Path

import pytest
import time_machine
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from fillmark.cli.main import main
from fillmark.core.record.medicine_entries import BottleOpened
from fillmark.core.values.wording import find_forbidden
from fillmark.examples import example_plan
from fillmark.published.wording import MISREAD_FORMS
from fillmark.services import drafts, record
from fillmark.services.drafts import Who
from tests.support.medicine_week import NOW, a_medicine_week, keep
from tests.support.pdfs import words
from tests.support.sheet import PASTED
from tests.web.test_screens import a_phone

ROOT = Path(__file__).parent.parent.parent
SOURCE = ROOT / "src" / "fillmark"
TEMPLATES = sorted((SOURCE / "web").rglob("*.html"))
SCRIPTS = sorted((SOURCE / "web").rglob("*.js"))
PAGES = [ROOT / "README.md", ROOT / "CHANGELOG.md", *sorted((ROOT / "docs").rglob("*.md"))]
CODE = sorted(
    path
    for path in SOURCE.rglob("*.py")
    if path.name not in ("wording.py", "__init__.py") and "migrations" not in path.parts
)
CALMING = re.compile(
    r"(?<!Institute for )\b(?:safe|safely|fine|all is well|nothing to worry|no need to worry)\b", re.IGNORECASE
)
SVG_PATH = re.compile(r"[MmLlHhVvCcSsQqTtAaZz\d\s.,-]+")

ALLOWED = {
    "core/values/quantities.py": ("µg", "μg", "IU"),  # what a person typed, answered with what to write
    "core/food/nutrients.py": ("IU",),  # what a label says
    "core/values/document.py": (".12",),  # a place in a document: "animal.weights"
    # what a sheet says; the plan says it in words
    "core/plan/sheet_feeding.py": ("qid", "tid", "bid", "sid", "qd", "tds", "bd", "qds"),
    "core/plan/sheet_medicines.py": (
        *("sid", "bid", "tid", "qid", "bd", "tds", "qds", "qhs", "hs", "qam", "qpm", "qod", "eod", "qd", "od"),
    ),
    "web/phone/amounts.js": (
        *("µg", "μg"),  # the same, on the phone
        *("(?:^|[^A-Za-z])(?:units?|mEq|mmol|IU|iU|iu|U|u|meq|MEQ)[12]*$", "$1units"),  # what it is read by
    ),
}
"""Texts of the code in which a forbidden form must stand."""

QUOTED = {
    "CHANGELOG.md": ('was "1.160 kcal/g"',),
    "what-is-asked.md": ('"q.d.", which can be misread. "QD" is read as QID',),
    "hazards.md": ("('.5', '5.0', 10 for 1)", "'all fine'", "the tool never says fine"),
    "promises.md": ("The words safe and fine are never said", "never calls anything safe or fine"),
}
"""Sentences of the documentation that name a forbidden form in order to forbid it, or to say that it is gone."""


def faults(text: str) -> list[str]:
    """What can be misread in a text, and what calms, each with the words around it."""
    found = [
        f"{place.words!r}, write {place.instead!r}: …{around(text, place.start)}…" for place in find_forbidden(text)
    ]
    return found + [f"calms: …{around(text, match.start())}…" for match in CALMING.finditer(text)]


def around(text: str, start: int) -> str:
    return " ".join(text[max(0, start - 30) : start + 30].split())


def words_of_template(source: str) -> str:
    """What a template says; what it fills in stands as a number, so that "{{ ml }}mL" is found too."""
    source = re.sub(r"{#.*?#}|{%.*?%}", " ", source)
    source = re.sub(r"{{.*?}}", "12", source)
    spoken = " . ".join(re.findall(r'(?:aria-label|alt|title|placeholder|content)="([^"]*)"', source))
    return unescape(re.sub(r"<[^>]*>", " ", source)) + " . " + unescape(spoken)


def words_of_page(answer: str) -> str:
    return words_of_template(re.sub(r"(?s)<(script|style)\b.*?</\1>", " ", answer))


def texts_in_code(source: str) -> Iterator[str]:
    """Every text of a module that could reach a person; docstrings, patterns and drawings do not."""
    tree = ast.parse(source)
    quiet: set[int] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            quiet.add(id(node.value))  # a docstring
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and _is_pattern(node.func):
            quiet.update(id(part) for argument in node.args for part in ast.walk(argument))
        if isinstance(node, ast.JoinedStr):
            quiet.update(id(part) for part in node.values)
        if isinstance(node, ast.FormattedValue) and node.format_spec:
            quiet.update(id(part) for part in ast.walk(node.format_spec))
    for node in ast.walk(tree):
        if id(node) in quiet:
            continue
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and not SVG_PATH.fullmatch(node.value):
            yield node.value
        elif isinstance(node, ast.JoinedStr):
            yield "".join(_filled_in(part) for part in node.values)


def _filled_in(part: ast.expr) -> str:
    """A number in the place of what is filled in; with decimals always written, it will have zeros behind the point."""
    if isinstance(part, ast.Constant):
        return str(part.value)
    spec = part.format_spec if isinstance(part, ast.FormattedValue) else None
    return "1.0" if spec and re.search(r"\.[1-9]f$", "".join(map(_filled_in, spec.values))) else "12"


def texts_in_script(source: str) -> Iterator[str]:
    """Every text of a script, with a number for what is filled in."""
    source = re.sub(r"(?m)^\s*(//|\*|/\*\*).*$", " ", source)
    for match in re.finditer(r'"((?:[^"\\\n]|\\.)*)"|`((?:[^`\\]|\\.)*)`', source):
        text = re.sub(r"\$\{[^}]*\}", "12", match[1] or match[2] or "")
        if not SVG_PATH.fullmatch(text):
            yield text


def _is_pattern(function: ast.Attribute) -> bool:
    return isinstance(function.value, ast.Name) and function.value.id == "re"


@pytest.mark.hazard("H4")
@pytest.mark.parametrize("path", TEMPLATES, ids=lambda path: path.name)
def test_no_template_can_be_misread(path: Path) -> None:
    """Not even in what is only heard."""
    assert faults(words_of_template(path.read_text(encoding="utf-8"))) == []


@pytest.mark.hazard("H4")
@pytest.mark.parametrize("path", CODE, ids=lambda path: str(path.relative_to(SOURCE)))
def test_no_text_in_the_code_can_be_misread(path: Path) -> None:
    """Messages, labels, and the sentences that numbers are put into."""
    place = path.relative_to(SOURCE).as_posix()
    found = [
        fault
        for text in texts_in_code(path.read_text(encoding="utf-8"))
        for fault in faults(text)
        if text not in ALLOWED.get(place, ())
    ]
    assert found == []


@pytest.mark.hazard("H4")
@pytest.mark.parametrize("path", SCRIPTS, ids=lambda path: path.name)
def test_no_text_of_a_script_can_be_misread(path: Path) -> None:
    """What the page says by itself, also without a signal."""
    place = path.relative_to(SOURCE).as_posix()
    found = [
        fault
        for text in texts_in_script(path.read_text(encoding="utf-8"))
        for fault in faults(text)
        if text not in ALLOWED.get(place, ())
    ]
    assert found == []


def screens() -> Iterator[tuple[str, dict[str, str]]]:
    """The name of every address and what it needs."""

    def walk(patterns: list[URLPattern | URLResolver], needs: dict[str, str]) -> Iterator[tuple[str, dict[str, str]]]:
        for pattern in patterns:
            mine = {name: type(kind).__name__ for name, kind in pattern.pattern.converters.items()}
            if isinstance(pattern, URLResolver):
                yield from walk(pattern.url_patterns, {**needs, **mine})
            elif pattern.name:
                yield pattern.name, {**needs, **mine}

    yield from walk(get_resolver().url_patterns, {})


@pytest.fixture
def week(db: None):
    with time_machine.travel(NOW, tick=False):
        yield a_medicine_week()


@pytest.mark.hazard("H4")
@pytest.mark.hazard("H19")
def test_no_screen_of_a_household_with_data_can_be_misread(week) -> None:
    """Every address that can be looked at, filled with a week of medicines and meals."""
    client: Client = a_phone(week)
    entry = record.entries_since(household_id=week.id, seq=0)[0].entry.id
    opened = BottleOpened(medicine="omeprazole", strength="4 mg/mL", ml="100")
    fills = {
        "SessionConverter": "2026-11-26T14:30",
        "DayConverter": (NOW - timedelta(days=1)).date(),
        "IntConverter": 1,
        "animal_id": week.animal_id,
        "entry_id": entry,
        "aside_id": entry,
        "medicine": "omeprazole",
        "draft_id": drafts.begin(Who(household_id=week.id, by=week.noor, now=NOW), animal_id=week.animal_id),
        "spot": "dose-0",
        "group": "medicine-0",
        "bottle": keep(week, opened, at=NOW - timedelta(hours=1), by=week.noor),
    }
    (of_a_sheet,) = drafts.begin_from_sheet(Who(household_id=week.id, by=week.noor, now=NOW), text=PASTED)
    seen, found, unfilled = set(), [], set()
    for name, needs in screens():
        kwargs = {one: fills.get(one, fills.get(kind)) for one, kind in needs.items()}
        kwargs |= {"draft_id": of_a_sheet} if name in ("plan_from_sheet", "plan_check_sheet") else {}
        if None in kwargs.values():
            unfilled.add(name)
            continue
        answer = client.get(reverse(name, kwargs=kwargs))
        if answer.status_code == 200 and answer["Content-Type"].startswith("text/html"):
            seen.add(name)
            found += [f"{name}: {fault}" for fault in faults(words_of_page(answer.content.decode()))]
    assert found == []
    assert unfilled == {"use_link", "photo", "photo_small"}  # a link that works once, and pictures
    assert {
        "now",
        "walk",
        "day",
        "day_on",
        "plan",
        "chart",
        "chart_on",
        "chart_version",
        "timetable",
        "calls",
        "strength",
        "plan_draft",
        "plan_from_sheet",
        "plan_check_sheet",
        "plan_question",
    } <= seen


@pytest.mark.hazard("H4")
@pytest.mark.parametrize("path", ["2026-11-23/paper/", "2026-11-26/paper/"])
def test_no_paper_can_be_misread(week, path: str) -> None:
    """The week as recorded, and the week ahead."""
    printed = words(a_phone(week).get(f"/{week.animal_id}/chart/{path}").content)

    assert "Metoclopramide" in printed
    assert faults(printed) == []


@pytest.mark.hazard("H4")
@pytest.mark.parametrize(
    "arguments",
    [["plan", "{juniper}"], ["plan", "{juniper}", "--why"], ["plan", "{sorrel}", "--why", "--on", "2026-11-26"]],
    ids=" ".join,
)
def test_no_command_prints_what_can_be_misread(arguments: list[str], tmp_path: Path, capsys) -> None:
    """The day from a plan, with its working."""
    files = {}
    for name in ("juniper", "sorrel"):
        files[name] = tmp_path / f"{name}.toml"
        files[name].write_bytes(example_plan(name))
    assert main([argument.format(**files) for argument in arguments]) == 0
    printed = capsys.readouterr().out

    assert "mL" in printed
    assert faults(printed) == []


@pytest.mark.hazard("H4")
def test_the_list_of_figures_names_the_forms_and_uses_none(capsys) -> None:
    """Only the lines about wording say what is forbidden."""
    assert main(["figures"]) == 0
    lines = [line for line in capsys.readouterr().out.splitlines() if "wording." not in line]

    assert len(lines) > 100
    assert faults("\n".join(lines)) == []


@pytest.mark.parametrize("path", PAGES, ids=lambda path: path.name)
def test_no_page_of_the_documentation_can_be_misread(path: Path) -> None:
    """What explains must not teach the forms it warns of; what stands in code style is quoted."""
    text = re.sub(r"(?s)```.*?```|`[^`\n]*`", " ", path.read_text(encoding="utf-8"))
    for sentence in QUOTED.get(path.name, ()):
        assert sentence in text
        text = text.replace(sentence, " ")
    if path.name == "sources.md":  # the rows of the forms themselves
        text = "\n".join(line for line in text.splitlines() if not any(form.says in line for form in MISREAD_FORMS))
    assert faults(text) == []


PLANTED = [
    ("Give 5 cc.", "cc"),
    ("Give 5 ml.", "ml"),
    ("Give 50 µg.", "µg"),
    ("Give 100 IU.", "IU"),
    ("Give 10U.", "U"),
    ("5 mg QD", "QD"),
    ("5 mg QOD", "QOD"),
    ("5 mg BID", "BID"),
    ("5 mg TID", "TID"),
    ("5 mg x3d", "x3d"),
    ("Give .5 mg.", ".5"),
    ("Give 5.0 mg.", "5.0"),
    ("Give 2.50 mg.", "2.50"),
    ("Give 100000 units.", "100000"),
    ("Give 10mg.", "0"),
    ("Prednisolone300 mg", "Prednisolone"),
    ("5 mg per os", "per os"),
    ("at hs", "hs"),
    ("That is fine.", "calms"),
    ("This dose is safe.", "calms"),
]


@pytest.mark.hazard("H4")
@pytest.mark.parametrize(("text", "form"), PLANTED)
def test_what_is_planted_is_found(text: str, form: str) -> None:
    """In a template, in what it only says aloud, in a sentence of the code or of a script, and on a page."""
    for told in (
        words_of_template(f"<p>{text}</p>"),
        words_of_template(f'<svg aria-label="{text}"></svg>'),
        words_of_page(f"<main><p>{text}</p></main>"),
        *texts_in_code(f"say({text!r})"),
        *texts_in_script(f'say("{text}")'),
    ):
        found = faults(told)
        assert found
        assert any(form in one for one in found)


@pytest.mark.parametrize(
    ("source", "form"),
    [("<p>{{ ml }}mL</p>", "no space"), ("<p>{{ dose }} cc</p>", "cc"), ("<p>{% if x %}.5 mg{% endif %}</p>", ".5")],
    ids=["a filled-in number", "a filled-in dose", "inside a tag"],
)
def test_what_is_planted_around_a_filled_in_number_is_found(source: str, form: str) -> None:
    """Where only the unit stands in the template."""
    assert faults(words_of_template(source))


def test_a_filled_in_sentence_of_the_code_is_read_as_one() -> None:
    """The unit behind a number, and the point before one."""
    assert [bool(faults(text)) for text in texts_in_code('tell(f"Give {ml}mL")')] == [True]
    assert [bool(faults(text)) for text in texts_in_code('tell(f"Give {ml} mL")')] == [False]
    assert [bool(faults(text)) for text in texts_in_code('tell(f"{dose:.2f} mg")')] == [True]
    assert [bool(faults(text)) for text in texts_in_script("tell(`Give ${ml}mL`)")] == [True]
    assert list(texts_in_code('"""5 cc"""\nre.compile("5 cc")')) == []


def test_a_tube_mark_keeps_its_zero() -> None:
    """Print allows a trailing zero for the size of a tube: "7.0 cm" is no dose."""
    assert faults("The mark at the skin is 7.0 cm.") == []
