"""What the two gates can find: every code in their source, and an example of each from the slips of the tests."""

import ast
import os
import random
import re
import tempfile
from collections.abc import Iterator
from contextlib import redirect_stderr
from dataclasses import dataclass, replace
from datetime import date, timedelta
from io import StringIO
from pathlib import Path
from typing import Any

import django
import pytest

from fillmark.cli import plan as plan_command
from fillmark.core.gates.act_gate import check_act, look_ahead
from fillmark.core.gates.plan_gate import PlanFindings, check_plan
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.reading import write_plan
from fillmark.core.record.entries import make_entry_id
from fillmark.core.values import errors
from fillmark.core.values.finding import Finding, Weight
from tests.core.gates import test_plan_gate as changes_of_plans
from tests.spec.test_each_check_counts import rows
from tests.support.builders import an_entry

CORE = Path(__file__).parent.parent / "src" / "fillmark" / "core"
OF_A_PLAN = (
    *sorted((CORE / "gates").glob("about_*.py")),
    CORE / "gates" / "plan_gate.py",
    *sorted((CORE / "orders").glob("*_checks.py")),
)
OF_AN_ACT = (CORE / "gates" / "act_gate.py",)
OBJECTIONS = (CORE / "chart" / "objections.py", CORE / "doses" / "may_give.py")
REFUSALS = tuple(CORE / "record" / f"{name}.py" for name in ("locks", "claims", "batches"))
EVERYWHERE, BESIDE_THE_LAST, TAKEN_IN = "plan command, take-in, each proposal", "take-in, each proposal", "take-in"
HISTORIES = 900


@dataclass(frozen=True, kw_only=True)
class Question:
    """One thing that a gate can find.

    Attributes:
        code: Stable name of the check.
        weights: What it can weigh, the heaviest first.
        example: What it says of an invented slip, where it weighs the most.
        asked: Where it is asked.
    """

    code: str
    weights: tuple[Weight, ...]
    example: str
    asked: str


def codes_of_a_plan() -> set[str]:
    """Every code in the source of the gate of a plan; a pattern where a part of it is filled in."""
    return {code for path in OF_A_PLAN for code in _written_codes(_tree(path))}


def codes_of_an_act() -> set[str]:
    """Every code in the source of the gate of an act: its own, what objects to a dose, and what is refused."""
    found = {code for path in OF_AN_ACT for code in _written_codes(_tree(path))}
    for path in (*OF_AN_ACT, *REFUSALS):
        # the gate's other refusals are those of the door, made of what was found
        checks = [one for one in _functions(_tree(path)) if path in REFUSALS or "_check_" in one.name]
        for raised in (node.exc for check in checks for node in ast.walk(check) if isinstance(node, ast.Raise)):
            if isinstance(raised, ast.Call) and isinstance(raised.func, ast.Name):
                found.add(getattr(errors, raised.func.id).code)
    for path, names in ((OBJECTIONS[0], None), (OBJECTIONS[1], {"why_stopped"})):
        for function in _functions(_tree(path)):
            if names is None or function.name in names:
                found |= {
                    node.attr.lower().replace("_", "-")
                    for node in ast.walk(function)
                    if isinstance(node, ast.Attribute) and getattr(node.value, "id", "") == "Verdict"
                }
    return found


def _tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def _functions(tree: ast.Module) -> Iterator[ast.FunctionDef]:
    yield from (node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef))


def _written_codes(tree: ast.Module) -> Iterator[str]:
    for node in ast.walk(tree):
        if not isinstance(node, ast.Call):
            continue
        given = [one.value for one in node.keywords if one.arg == "code"]
        given += node.args[:1] if getattr(node.func, "id", "") == "_asked" else []
        for code in given:
            if isinstance(code, ast.Constant):
                yield str(code.value)
            elif isinstance(code, ast.JoinedStr):
                yield "".join(str(part.value) if isinstance(part, ast.Constant) else "[a-z-]+" for part in code.values)
            elif isinstance(code, ast.Name) and code.id == "code":  # one of those that the file names beforehand
                texts = (one.value for one in ast.walk(tree) if isinstance(one, ast.Constant))
                yield from (text for text in texts if re.fullmatch(r"[a-z]+(-[a-z]+)+", str(text)))


class _Notes:
    """What was found, by code, until the questions are made of it."""

    def __init__(self) -> None:
        self.weights: dict[str, set[Weight]] = {}
        self.heaviest: dict[str, Finding] = {}
        self.asked: dict[str, dict[str, None]] = {}

    def note(self, finding: Finding, *, asked: str) -> None:
        """Keep one finding, and where it was found."""
        weights = list(Weight)
        known = self.heaviest.get(finding.code)
        if known is None or weights.index(finding.weight) < weights.index(known.weight):
            self.heaviest[finding.code] = finding
        self.weights.setdefault(finding.code, set()).add(finding.weight)
        self.asked.setdefault(finding.code, {})[asked] = None

    def questions(self, order: tuple[str, ...]) -> list[Question]:
        """One for each code, the heaviest first."""
        found = [
            Question(
                code=code,
                weights=tuple(one for one in Weight if one in self.weights[code]),
                example=finding.text,
                asked=", ".join(place for place in order if place in self.asked[code]),
            )
            for code, finding in self.heaviest.items()
        ]
        return sorted(found, key=lambda one: (list(Weight).index(one.weights[0]), one.code))


def questions_of_a_plan() -> list[Question]:
    """What the gate of a plan finds in the slips of the tests; where it is asked follows from what it needs to know."""
    notes, names_of = _Notes(), {}

    def check(plan: CarePlan, *, on: date, old: CarePlan | None = None, **names: Any) -> PlanFindings:
        found = check_plan(plan, on=on, old=old, **names)
        alone = {one.code for one in (check_plan(plan, on=on) if old or names else found).findings}
        beside = {one.code for one in check_plan(plan, on=on, old=old).findings} if old else alone
        for one in found.findings:
            names_of.setdefault(one.code, set()).add(
                EVERYWHERE if one.code in alone else BESIDE_THE_LAST if one.code in beside else TAKEN_IN
            )
            notes.note(one, asked=EVERYWHERE)
        return found

    with pytest.MonkeyPatch.context() as patch, tempfile.TemporaryDirectory() as folder:
        patch.setattr(plan_command, "check_plan", check)
        patch.setattr(changes_of_plans, "check_plan", check)
        with redirect_stderr(StringIO()):
            for _, run in rows():
                run(Path(folder))
    return [
        replace(
            one, asked=next(place for place in (EVERYWHERE, BESIDE_THE_LAST, TAKEN_IN) if place in names_of[one.code])
        )
        for one in notes.questions((EVERYWHERE,))
    ]


PLACES = {
    "session_started": "start",
    "fill_given": "fill",
    "medicine_given": "dose",
    "meal_ended": "written afterwards",
    "came_back": "food came back",
}
"""When an act is asked about."""


def questions_of_an_act() -> list[Question]:
    """What the gate of an act finds in histories of a household, as chance writes them; it is asked before the act."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "fillmark.config.settings")
    django.setup()
    from tests.scripts.test_gate import PLANS, History

    notes, chance = _Notes(), random.Random(20261125)
    for number in range(HISTORIES):
        history = History(list(PLANS)[number % len(PLANS)], chance)
        if number % 20 == 19:
            _move_courses(history, start_on=history.now.date() + timedelta(days=7), stop_on=None)
        if number % 20 == 9:
            _move_courses(history, start_on=None, stop_on=history.now.date() - timedelta(days=3))
        history.fill_up()
        act, side = history.act(), history.side
        entry = an_entry(act, at=side.now, id=make_entry_id(at=side.now, chance=chance.randbytes(10)))
        place = PLACES[act.kind]
        for one in check_act(side, entry):
            notes.note(one, asked=place)
        for one in look_ahead(side, act.session) if act.session else ():
            notes.note(one, asked="start")
    return notes.questions(tuple(PLACES.values()))


def _move_courses(history: Any, *, start_on: date | None, stop_on: date | None) -> None:
    """Every course that is counted by the clock begins, or ends, on another day."""
    begins = {"start_on": start_on, "stop_on": stop_on, "steps": ()}
    medicines = tuple(
        one if one.first_dose is not None else one.model_copy(update=begins) for one in history.plan.medicines
    )
    history.plan = history.plan.model_copy(update={"medicines": medicines})
    history.stored = replace(history.stored, document=write_plan(history.plan))
