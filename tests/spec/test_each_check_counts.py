"""Each check of a plan is held by a row: with the check taken out, a row that stands for a household's plan fails."""

import ast
import importlib
import inspect
import itertools
import sys
import tempfile
from collections import defaultdict
from collections.abc import Callable, Iterator
from functools import cache, partial
from pathlib import Path
from typing import Any

import pytest

from tests.cli import test_orders
from tests.core.gates import test_plan_gate as words_of_the_gate
from tests.spec import test_plan_gate

CORE = Path(__file__).parents[2] / "src" / "fillmark" / "core"
FILES = sorted([*(CORE / "gates").glob("about_*.py"), *(CORE / "orders").glob("*_checks.py")])
YIELDS = {"Iterator[Finding]", "list[Finding]", "tuple[Finding, ...]"}

Check = tuple[str, str]
"""The module and the name of a check."""


def checks() -> list[Check]:
    """Every function of those files that finds something, the small ones and those that gather them."""
    return [
        (f"fillmark.core.{path.parent.name}.{path.stem}", node.name)
        for path in FILES
        for node in ast.parse(path.read_text(encoding="utf-8")).body
        if isinstance(node, ast.FunctionDef) and node.returns is not None and ast.unparse(node.returns) in YIELDS
    ]


def in_place_of(check: Check, other: Callable[..., Any], patch: pytest.MonkeyPatch) -> None:
    """Put another function wherever a check is called by its name."""
    module, name = check
    was = getattr(importlib.import_module(module), name)
    for known in list(sys.modules.values()):
        if getattr(known, "__name__", "").startswith("fillmark.core.") and vars(known).get(name) is was:
            patch.setattr(known, name, other)


def rows() -> Iterator[tuple[str, Callable[[Path], None]]]:
    """Each row by its name, as what fails where it does not hold."""
    for row in test_plan_gate.SLIPS:
        run = test_plan_gate.test_what_is_dangerous_is_asked_before_the_plan_holds
        yield str(row.id), partial(_of_a_slip, run, row.values)
    for module in (test_orders, words_of_the_gate):
        for name, test in vars(module).items():
            if not name.startswith("test_"):
                continue
            needs = set(inspect.signature(test).parameters)
            marks = [mark.args for mark in getattr(test, "pytestmark", ()) if mark.name == "parametrize"]
            for given in itertools.product(*([_named(names, values) for values in cases] for names, cases in marks)):
                named = dict(itertools.chain.from_iterable(one.items() for one in given))
                if needs - {"page"} == set(named):
                    yield f"{name} {named}", partial(_of_a_test, test, named, needs)


def _named(names: Any, values: Any) -> dict[str, Any]:
    keys = names.split(", ") if isinstance(names, str) else names
    return dict(zip(keys, values if len(keys) > 1 else [values], strict=True))


def _of_a_slip(run: Callable[..., None], values: Any, folder: Path) -> None:
    run(*values, folder)


def _of_a_test(test: Callable[..., None], named: dict[str, Any], needs: set[str], folder: Path) -> None:
    test(**named, **({"page": partial(test_orders.show, folder)} if "page" in needs else {}))


@cache
def finders() -> dict[Check, list[str]]:
    """For each check the rows in which it finds something: no other row can miss it."""
    found: dict[Check, list[str]] = defaultdict(list)
    with tempfile.TemporaryDirectory() as folder, pytest.MonkeyPatch.context() as patch:
        running = [""]

        def watch(check: Check) -> None:
            was = getattr(importlib.import_module(check[0]), check[1])

            def watched(*args: Any, **kwargs: Any) -> Any:
                findings = list(was(*args, **kwargs))
                if findings and running[0] not in found[check]:
                    found[check].append(running[0])
                return findings

            in_place_of(check, watched, patch)

        for check in checks():
            watch(check)
        for name, run in rows():
            running[0] = name
            run(Path(folder))
    return found


@pytest.mark.parametrize("check", checks(), ids=lambda check: ".".join((check[0].rpartition(".")[2], check[1])))
def test_a_plan_that_passes_without_a_check_is_noticed(
    check: Check, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whichever check finds nothing any more, some row of a plan, an order or a change fails."""
    names = set(finders()[check])
    in_place_of(check, lambda *args, **kwargs: [], monkeypatch)
    for name, run in rows():
        if name in names:
            try:
                run(tmp_path)
            except (AssertionError, KeyError, ValueError):
                return
    pytest.fail(f"without {check[1]} no row fails; those that it finds something in: {sorted(names)}")
