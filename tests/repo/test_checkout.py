"""The checkout itself: what must be there, and what must never be."""

import re
import subprocess
import tomllib
import zipfile
from collections import Counter
from importlib import import_module
from pathlib import Path

import pytest

from fillmark.published import Basis, Source, all_figures, sources
from tools.pages import PAGES, REFERENCE, hazards, marked_tests

ROOT = Path(__file__).parent.parent.parent
SOURCE = ROOT / "src" / "fillmark"


def tracked() -> list[Path]:
    listed = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, check=True).stdout.decode()
    return [ROOT / name for name in listed.split("\0") if name and (ROOT / name).is_file()]


def texts() -> list[tuple[Path, str]]:
    found = []
    for path in tracked():
        try:
            found.append((path, path.read_text(encoding="utf-8")))
        except UnicodeDecodeError:
            continue
    return found


def test_the_lock_names_no_address_and_hashes_everything():
    """Packages come from whatever registry a machine uses, checked by their hash."""
    lock = (ROOT / "requirements.lock").read_text(encoding="utf-8")
    assert "://" not in lock
    names = re.findall(r"^[a-z0-9][\w.-]*==", lock, re.MULTILINE)
    assert len(names) > 40
    assert all("--hash=sha256:" in block for block in re.split(r"\n(?=[a-z0-9])", lock))


def test_the_lock_holds_what_the_project_asks_for():
    """Every package named in pyproject.toml stands in the lock."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    wanted = project["project"]["dependencies"] + project["dependency-groups"]["dev"]
    lock = (ROOT / "requirements.lock").read_text(encoding="utf-8")
    for requirement in wanted:
        name = re.match(r"[A-Za-z0-9_.-]+", requirement).group().lower()
        assert re.search(rf"^{re.escape(name)}==", lock, re.MULTILINE), requirement


def test_the_makefile_has_the_promised_targets():
    """setup, run, test, test-long, check, bench."""
    makefile = (ROOT / "Makefile").read_text(encoding="utf-8")
    for target in ("setup", "run", "test", "test-long", "check", "bench"):
        assert re.search(rf"^{target}:", makefile, re.MULTILINE), target


def published_names() -> dict[str, object]:
    """Every name in published/ that stands for a number, or for a collection of numbers."""
    found: dict[str, object] = {}
    for path in sorted((SOURCE / "published").glob("*.py")):
        if path.stem in ("__init__", "figure", "sources"):
            continue
        for name, value in vars(import_module(f"fillmark.published.{path.stem}")).items():
            if name.isupper() and not isinstance(value, Source):
                found[name] = value
    return found


def test_every_figure_is_used_outside_its_catalog():
    """No number stands in published/ that nothing reads: its name appears in code or tests elsewhere."""
    words: Counter[str] = Counter()
    for folder in ("src/fillmark", "tests", "benchmarks"):
        for path in (ROOT / folder).rglob("*.py"):
            words.update(re.findall(r"\w+", path.read_text(encoding="utf-8")))
    assert [name for name in published_names() if words[name] < 2] == []


def test_every_published_source_is_checked_in_a_file_of_rows():
    """A source that is print has its file in tests/references, or is named in one that checks many."""
    folder = ROOT / "tests" / "references"
    rows = "\n".join(path.read_text(encoding="utf-8") for path in folder.glob("*.py"))
    printed = {figure.source.id for figure in all_figures() if figure.source.basis is Basis.PUBLISHED}
    unchecked = {
        source_id for source_id in printed if not list(folder.glob(f"test_{source_id}*.py")) and source_id not in rows
    }
    assert unchecked == set()


def test_every_source_is_used():
    """No publication stands in the list that neither a number nor a file of rows comes from."""
    used = {figure.source.id for figure in all_figures()}
    rows = {path.stem.removeprefix("test_") for path in (ROOT / "tests" / "references").glob("test_*.py")}
    listed = {value.id for value in vars(sources).values() if isinstance(value, Source)}
    assert listed - used - rows == set()


def test_every_hazard_has_a_test_or_is_listed_as_not_built():
    """A guard that is built is tested; the others are named, so that nobody trusts them yet."""
    tested = set(marked_tests("hazard"))
    known = {str(hazard["id"]) for hazard in hazards()}
    later = {str(hazard["id"]) for hazard in hazards() if hazard.get("later")}
    assert tested <= known
    assert known - tested == later


@pytest.mark.parametrize("name", [name for name in PAGES if name != "sources.md"])
def test_generated_pages_are_current(name):
    """`make docs` was run (sources.md runs the reference tests itself and is compared in `make check`)."""
    assert (REFERENCE / name).read_text(encoding="utf-8") == PAGES[name]()


def test_links_in_the_documents_lead_somewhere():
    """Every relative link of a Markdown page names a file of the checkout."""
    broken = []
    for path, text in texts():
        if path.suffix == ".md":
            for target in re.findall(r"\]\(([^)#]+)(?:#[^)]*)?\)", text):
                if "://" not in target and not (path.parent / target).exists():
                    broken.append(f"{path.relative_to(ROOT)} → {target}")
    assert broken == []


def test_no_third_party_or_built_file_is_tracked():
    """What others wrote is installed, never kept here."""
    bad = re.compile(r"(\.min\.js|node_modules|htmx.*\.js|vega.*\.js|uv\.lock|\.sqlite3?|\.pyc|\.woff2?|\.ttf)$")
    assert [path.name for path in tracked() if bad.search(str(path))] == []


def test_no_machine_or_registry_is_named():
    """No home folder, no registry host."""
    forbidden = re.compile(r"(/ro" + r"ot/|/ho" + r"me/\w+/|py" + r"pi\.org|python" + r"hosted|registry\.npm" + r"js)")
    assert [str(path) for path, text in texts() if forbidden.search(text)] == []


def test_the_wheel_holds_what_the_app_needs(tmp_path):
    """Templates, static files, example plans and migrations are inside the wheel."""
    subprocess.run(
        [str(ROOT / ".venv/bin/uv"), "build", "--wheel", "--no-build-isolation", "--out-dir", str(tmp_path), str(ROOT)],
        check=True,
        capture_output=True,
        env={"VIRTUAL_ENV": str(ROOT / ".venv"), "PATH": f"{ROOT / '.venv/bin'}:/usr/bin:/bin", "HOME": str(tmp_path)},
    )
    names = set(zipfile.ZipFile(next(tmp_path.glob("*.whl"))).namelist())
    wanted = [
        path.relative_to(ROOT / "src").as_posix()
        for path in SOURCE.rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    ]
    assert set(wanted) <= names
    assert any(name.endswith(".html") for name in names)
    assert any(name.endswith(".css") for name in names)


def test_no_line_of_a_template_is_too_long_to_read_in_a_change():
    """At most 160 characters: what a change does to a page can be seen beside it."""
    templates = [(path, text) for path, text in texts() if path.suffix == ".html"]
    long = [
        f"{path.relative_to(ROOT)}:{number}"
        for path, text in templates
        for number, line in enumerate(text.splitlines(), 1)
        if len(line) > 160
    ]
    assert len(templates) > 50
    assert long == []


def test_the_scripts_know_every_kind_of_entry():
    """The types that the scripts are checked by name the kinds that can be written, and no other."""
    told = (SOURCE / "web" / "phone" / "types.d.ts").read_text(encoding="utf-8")
    kinds = re.findall(r'"(\w+)"', re.search(r"type EntryKind =([^;]*);", told)[1])
    written = "\n".join(path.read_text(encoding="utf-8") for path in (SOURCE / "core" / "record").glob("*.py"))

    assert sorted(kinds) == sorted(set(re.findall(r'\bkind: Literal\["(\w+)"\]', written)))
