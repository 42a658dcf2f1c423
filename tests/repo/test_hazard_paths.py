"""A hazard counts as held where a test with its mark goes the way of a person: a command, a page, a press, the door."""

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from tools.pages import hazards, marked_tests

ROOT = Path(__file__).parents[2]
PATHS = ("fillmark.services", "fillmark.cli", "django.test")
"""Where a person, a phone or a command comes in."""
OF_A_PERSON = ("tests/journeys/", "tests/scripts/")
"""Every test in there is a browser, or the phone's own script."""

Place = tuple[Path, str]
"""A module, and a function or a class of it."""


@cache
def names_of(path: Path) -> dict[str, ast.stmt]:
    """What stands at the top of a module, by its name."""
    found: dict[str, ast.stmt] = {}
    for node in ast.parse(path.read_text(encoding="utf-8")).body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            found[node.name] = node
        elif isinstance(node, ast.ImportFrom):
            found |= dict.fromkeys((alias.asname or alias.name for alias in node.names), node)
    return found


def used(node: ast.AST) -> set[str]:
    """The names that a function uses, its fixtures among them."""
    names = {one.id for one in ast.walk(node) if isinstance(one, ast.Name)}
    return names | {one.arg for one in ast.walk(node) if isinstance(one, ast.arg)}


def leads_to(place: Place) -> Iterator[Place | str]:
    """The functions of the tests that one uses, and the modules of the product."""
    path, name = place
    here = names_of(path)
    for other in used(here[name]):
        node = here.get(other)
        if isinstance(node, ast.ImportFrom):
            module = ROOT.joinpath(*(node.module or "").split(".")).with_suffix(".py")
            if (node.module or "").startswith("tests.") and other in (names_of(module) if module.exists() else ()):
                yield module, other
            else:
                yield f"{node.module}.{other}"
        elif node is not None:
            yield path, other
        else:
            conftest = path.parent / "conftest.py"
            if conftest.exists() and other in names_of(conftest):
                yield conftest, other


def goes_a_path(place: Place) -> bool:
    """Whether a test comes to a command, a page, a press or a service, through whatever lies between."""
    if str(place[0].relative_to(ROOT)).startswith(OF_A_PERSON):
        return True
    waiting: list[Place] = [place]
    seen: set[Place] = set()
    while waiting:
        one = waiting.pop()
        if one in seen:
            continue
        seen.add(one)
        for following in leads_to(one):
            if isinstance(following, tuple):
                waiting.append(following)
            elif following.startswith(PATHS):
                return True
    return False


def without_a_path(number: str) -> list[str]:
    """The tests with the mark of a hazard that go no path of a person."""
    return [
        test
        for test in marked_tests("hazard").get(number, [])
        for path, _, name in (test.partition("::"),)
        if name in names_of(ROOT / path) and not goes_a_path((ROOT / path, name))
    ]


@pytest.mark.parametrize("number", [str(one["id"]) for one in hazards() if not one.get("later")])
def test_a_hazard_is_held_on_the_way_of_a_person(number: str) -> None:
    """What only the functions behind a screen are tested for is not held yet."""
    tests = marked_tests("hazard").get(number, [])

    assert set(tests) - set(without_a_path(number)), f"{number}: none of {tests} goes a path"


@pytest.mark.parametrize(
    ("place", "is_path"),
    [
        (("tests/spec/test_plan_gate.py", "test_what_is_dangerous_is_asked_before_the_plan_holds"), True),
        (("tests/web/test_act_gate.py", "test_two_meals_in_27_minutes_are_asked_about_before_the_first_step"), True),
        (("tests/cli/test_orders.py", "test_the_handler_is_warned_by_any_name"), True),
        (("tests/spec/test_promises.py", "test_three_mixes_of_one_can"), False),
        (("tests/core/watch/test_vital_signs.py", "test_the_vets_own_limits_go_before_print"), False),
    ],
)
def test_the_way_of_a_test_is_seen(place: tuple[str, str], is_path: bool) -> None:
    """The check itself tells a command and a page from a function behind them."""
    assert goes_a_path((ROOT / place[0], place[1])) is is_path
