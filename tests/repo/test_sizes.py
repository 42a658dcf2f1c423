"""The code stays readable: a file answers one question, a function fits on a screen, a name has one meaning."""

import ast
from collections import Counter, defaultdict
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SOURCE = ROOT / "src" / "fillmark"
MOST_LINES_OF_A_FILE, MOST_LINES_OF_A_FUNCTION = 400, 60
WAITS = SOURCE / "core" / "watch"
"""Its screens are to come; until then nothing can call it."""
CORE = sorted((SOURCE / "core").rglob("*.py"))


def functions(path: Path) -> Iterator[ast.FunctionDef | ast.AsyncFunctionDef]:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield node


def place(path: Path, node: ast.FunctionDef | ast.AsyncFunctionDef) -> str:
    return f"{path.relative_to(SOURCE)}: {node.name}"


@pytest.mark.parametrize("path", CORE, ids=lambda path: str(path.relative_to(SOURCE)))
def test_a_file_of_the_core_answers_one_question(path: Path) -> None:
    """At most 400 lines; past that there are two questions in it."""
    assert len(path.read_text(encoding="utf-8").splitlines()) <= MOST_LINES_OF_A_FILE


def test_a_function_of_the_core_fits_on_a_screen() -> None:
    """At most 60 lines, its docstring counted."""
    long = [
        f"{place(path, node)}, {lines} lines"
        for path in CORE
        for node in functions(path)
        if (lines := (node.end_lineno or 0) - node.lineno + 1) > MOST_LINES_OF_A_FUNCTION
    ]
    assert long == []


def test_a_class_name_has_one_meaning() -> None:
    """No two public classes share a name; only a table is named as the thing it keeps."""
    places = defaultdict(list)
    for path in sorted(SOURCE.rglob("*.py")):
        if path == SOURCE / "records" / "models.py" or "migrations" in path.parts:
            continue
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                places[node.name].append(str(path.relative_to(SOURCE)))
    assert {name: where for name, where in places.items() if len(where) > 1} == {}


def test_every_public_function_of_the_core_is_called() -> None:
    """What nothing in the app or in the tools reaches is not built: it is wired or taken out."""
    texts = [path.read_text(encoding="utf-8") for folder in (SOURCE, ROOT / "tools") for path in folder.rglob("*.py")]
    used = Counter(
        node.id if isinstance(node, ast.Name) else node.attr
        for text in texts
        for node in ast.walk(ast.parse(text))
        if isinstance(node, ast.Name | ast.Attribute) and isinstance(node.ctx, ast.Load)
    )
    for text in texts:
        for node in ast.walk(ast.parse(text)):
            if isinstance(node, ast.alias) and node.asname:
                used[node.name] += used[node.asname]
    idle = [
        f"{path.relative_to(SOURCE)}: {node.name}"
        for path in CORE
        if path.parent != WAITS
        for node in ast.parse(path.read_text(encoding="utf-8")).body
        if isinstance(node, ast.FunctionDef) and not node.name.startswith("_") and not used[node.name]
    ]
    assert idle == []
