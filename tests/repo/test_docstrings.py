"""A public function of the core says what its answer means, and each thing that it is given."""

import ast
import re
from collections.abc import Iterator, Sequence

import pytest

from tests.repo.test_sizes import CORE, place

_NOT_TOLD = ("self", "cls")
_AMOUNT = re.compile(
    r"(_|^)(kg|g|mg|ug|ml|kcal|mm|cm|french|minutes|hours|seconds|celsius|percent|fraction)$|_days$|_per_"
)


def public_functions(body: Sequence[ast.stmt]) -> Iterator[ast.FunctionDef]:
    """Those of a module, and the methods and properties of its public classes."""
    for node in body:
        if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
            yield node
        elif isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            yield from public_functions(node.body)


def parameters(node: ast.FunctionDef) -> list[str]:
    """What a caller gives, by name."""
    given = [*node.args.posonlyargs, *node.args.args, node.args.vararg, *node.args.kwonlyargs, node.args.kwarg]
    return [one.arg for one in given if one is not None and one.arg not in _NOT_TOLD]


def untold(node: ast.FunctionDef) -> list[str]:
    """The parameters that the section `Args:` leaves out, where there are two or more."""
    names = parameters(node)
    if len(names) < 2:
        return []
    told = (ast.get_docstring(node) or "").partition("Args:\n")[2]
    return [name for name in names if f"\n    {name}: " not in f"\n{told}"]


def without_unit(node: ast.FunctionDef) -> list[str]:
    """The amounts whose line under `Args:` has no unit in brackets."""
    lines = dict(re.findall(r"^    (\w+): (.*(?:\n {8}.*)*)", ast.get_docstring(node) or "", re.MULTILINE))
    return [name for name in parameters(node) if _AMOUNT.search(name) and "[" not in lines.get(name, "[")]


def test_every_public_function_of_the_core_says_what_its_answer_means() -> None:
    """One without a docstring has to be read to be used."""
    silent = [
        place(path, node)
        for path in CORE
        for node in public_functions(ast.parse(path.read_text(encoding="utf-8")).body)
        if not ast.get_docstring(node)
    ]
    assert silent == []


def test_every_public_function_of_the_core_says_what_it_is_given() -> None:
    """With two parameters or more, each has its line under `Args:`."""
    incomplete = [
        f"{place(path, node)}: {', '.join(left_out)}"
        for path in CORE
        for node in public_functions(ast.parse(path.read_text(encoding="utf-8")).body)
        if (left_out := untold(node))
    ]
    assert incomplete == []


def test_every_amount_that_a_function_is_given_has_its_unit() -> None:
    """In brackets, so that a mL is not read as a kcal."""
    bare = [
        f"{place(path, node)}: {', '.join(amounts)}"
        for path in CORE
        for node in public_functions(ast.parse(path.read_text(encoding="utf-8")).body)
        if (amounts := without_unit(node))
    ]
    assert bare == []


@pytest.mark.parametrize(
    ("docstring", "left_out"),
    [
        ('"""A sum."""', ["one", "other"]),
        ('"""A sum.\n\n    Args:\n        one: The one.\n    """', ["other"]),
        ('"""A sum.\n\n    Args:\n        one: The one.\n        other: The other.\n    """', []),
    ],
)
def test_a_parameter_without_a_line_is_found(docstring: str, left_out: list[str]) -> None:
    """The check itself finds a section that is missing, and one that names too little."""
    node = ast.parse(f"def add(one, *, other):\n    {docstring}\n").body[0]
    assert isinstance(node, ast.FunctionDef)
    assert untold(node) == left_out


def test_an_amount_without_its_unit_is_found() -> None:
    """The check itself finds a line that says how much and not of what."""
    node = ast.parse('def add(*, food_g):\n    """A sum.\n\n    Args:\n        food_g: How much.\n    """\n').body[0]
    assert isinstance(node, ast.FunctionDef)
    assert without_unit(node) == ["food_g"]
