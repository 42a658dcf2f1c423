"""No check stands beside the gates: each that the core has is on the way of a plan, or of something that is done."""

import ast
from pathlib import Path

CORE = Path("src/fillmark/core")
GATES = {"check_changeover", "check_plan", "hold_back", "read_plan", "check_act", "check_press"}
"""Where a plan and a press come in."""
OF_OTHER_WAYS = {
    # what is asked of an input by whoever takes it
    "check_finite", "check_range", "check_at_least", "check_aware", "check_plan_size",
    # what a person may do
    "check_may", "check_pass",
    # what the door of the record asks of an entry
    "check_clock_behind", "check_named", "check_session_day",
}  # fmt: skip
"""Checks of other questions than a plan and a press."""


def functions() -> dict[str, set[str]]:
    """Every function of the core by its name, with the names it uses."""
    found: dict[str, set[str]] = {}
    for path in CORE.rglob("*.py"):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        for node in ast.walk(tree):
            if isinstance(node, ast.FunctionDef):
                used = {one.id for one in ast.walk(node) if isinstance(one, ast.Name)}
                used |= {one.attr for one in ast.walk(node) if isinstance(one, ast.Attribute)}
                found.setdefault(node.name, set()).update(used)
            elif isinstance(node, ast.ImportFrom):
                for alias in node.names:
                    if alias.asname is not None:
                        found.setdefault(alias.asname, set()).add(alias.name)
            elif isinstance(node, ast.ClassDef):  # a document part is checked where it is read
                inner = {one.name for one in ast.walk(node) if isinstance(one, ast.FunctionDef)}
                found.setdefault(node.name, set()).update(inner)
                used = {one.id for one in ast.walk(node) if isinstance(one, ast.Name)}
                found[node.name] |= used
    return found


def reached(known: dict[str, set[str]]) -> set[str]:
    """Everything that can be come to from the gates."""
    done: set[str] = set()
    waiting = list(GATES)
    while waiting:
        name = waiting.pop()
        if name in done:
            continue
        done.add(name)
        waiting += [used for used in known.get(name, ()) if used in known]
    return done


def test_every_check_of_the_core_is_reached_from_a_gate() -> None:
    """By name, through whatever lies between."""
    known = functions()
    checks = {name for name in known if name.startswith("check_")}

    assert checks - reached(known) - OF_OTHER_WAYS == set()
