"""A day stands in words in every sentence: "4 December 2026", not as a file has it. One place writes it so."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

SOURCE = Path(__file__).parents[2] / "src" / "fillmark"
THE_ONE_PLACE = SOURCE / "core" / "values" / "words.py"
MODULES = [path for path in sorted(SOURCE.rglob("*.py")) if path != THE_ONE_PLACE and path.parent.name != "migrations"]
AS_A_FILE_HAS_IT = {
    ("web/walk/session_screens.py", "the value of a button"): "Batch for",
    ("services/certificates.py", "the name of a certificate, in order by its day"): "Fillmark at",
}
DAYS = {"date", "Day", "date | None", "Day | None", "Stated[Day]", "Explained[date]", "Explained[date] | None"}


def known_days(trees: list[ast.Module]) -> set[str]:
    """The names of fields, and of public functions, that hold or answer a day, in the whole of the source."""
    found = {"date"}
    for tree in trees:
        for node in ast.walk(tree):
            if isinstance(node, ast.ClassDef):
                fields = (one for one in node.body if isinstance(one, ast.AnnAssign))
                found |= {one.target.id for one in fields if isinstance(one.target, ast.Name) and _is_day(one)}
            elif isinstance(node, ast.FunctionDef) and node.returns and not node.name.startswith("_"):
                found |= {node.name} if ast.unparse(node.returns) in DAYS else set()
    return found


def _is_day(node: ast.AnnAssign | ast.arg) -> bool:
    return node.annotation is not None and ast.unparse(node.annotation) in DAYS


def holds_day(node: ast.expr, *, local: set[str], known: set[str]) -> bool:
    match node:
        case ast.Name(id=name):
            return name in local
        case ast.Attribute(value=inner, attr="value"):
            return holds_day(inner, local=local, known=known)
        case ast.Attribute(attr=name) | ast.Call(func=ast.Name(id=name) | ast.Attribute(attr=name)):
            return name in known
        case ast.BinOp(left=left):
            return holds_day(left, local=local, known=known)
        case ast.BoolOp(values=values):
            return any(holds_day(one, local=local, known=known) for one in values)
    return False


def local_days(function: ast.FunctionDef, *, known: set[str]) -> set[str]:
    """The names inside a function that hold a day: what it is given as one, and what it makes of one."""
    found = {one.arg for one in (*function.args.args, *function.args.kwonlyargs) if _is_day(one)}
    for node in ast.walk(function):
        if not isinstance(node, ast.Assign):
            continue
        for target in node.targets:
            pairs = (
                zip(target.elts, node.value.elts, strict=False)
                if isinstance(target, ast.Tuple) and isinstance(node.value, ast.Tuple)
                else [(target, node.value)]
            )
            found |= {
                name.id
                for name, value in pairs
                if isinstance(name, ast.Name) and holds_day(value, local=found, known=known)
            }
    return found


def faults(tree: ast.Module, *, known: set[str]) -> Iterator[str]:
    """Each sentence of a module in which a day stands as a file has it, or is put into words once more."""
    for function in ast.walk(tree):
        if not isinstance(function, ast.FunctionDef):
            continue
        local = local_days(function, known=known)
        for text in ast.walk(function):
            if isinstance(text, ast.JoinedStr) and any(_says(text, local=local, known=known)):
                yield ast.unparse(text)


def _says(text: ast.JoinedStr, *, local: set[str], known: set[str]) -> Iterator[bool]:
    words = "".join(str(one.value) for one in text.values if isinstance(one, ast.Constant))
    is_sentence = " " in words and any(letter.isalpha() for letter in words)
    before = ""
    for part in text.values:
        if isinstance(part, ast.FormattedValue):
            form = ast.unparse(part.format_spec) if part.format_spec else ""
            yield "%B" in form or "%b" in form
            yield is_sentence and "%Y-%m-%d" in form
            is_quoted = before.endswith('"')  # what came, as it came
            yield is_sentence and not form and not is_quoted and holds_day(part.value, local=local, known=known)
        before = str(part.value) if isinstance(part, ast.Constant) else ""


@pytest.fixture(scope="module")
def known() -> set[str]:
    return known_days([ast.parse(path.read_text(encoding="utf-8")) for path in SOURCE.rglob("*.py")])


def test_a_day_in_a_sentence_is_said_in_words(known: set[str]) -> None:
    """And each exception is still one."""
    found, excepted = set(), set()
    for path in MODULES:
        place = path.relative_to(SOURCE).as_posix()
        for text in faults(ast.parse(path.read_text(encoding="utf-8")), known=known):
            reasons = {key for key, words in AS_A_FILE_HAS_IT.items() if key[0] == place and words in text}
            excepted |= reasons
            found |= set() if reasons else {f"{place}: {text}"}
    assert sorted(found) == []
    assert excepted == set(AS_A_FILE_HAS_IT)


@pytest.mark.parametrize(
    "body",
    [
        'return f"used until {on}"',
        'first, last = on, on\n    return f"from {first} to {last}"',
        'until = on + timedelta(days=3)\n    return f"used until {until}"',
        'until = use_until(on)\n    return f"used until {until.value}"',
        "return f\"from {one.start_on or 'a day not stated'} on\"",
        'return f"{on.day} {on:%B}"',
        'return f"at {now:%Y-%m-%d %H:%M} o\'clock"',
        'return f"by {now.date()} or earlier"',
    ],
)
def test_what_is_planted_is_found(known: set[str], body: str) -> None:
    """However the day came into the sentence."""
    source = f"def planted(on: date, now: datetime, one: Order) -> str:\n    {body}\n"
    assert len(list(faults(ast.parse(source), known=known))) == 1
