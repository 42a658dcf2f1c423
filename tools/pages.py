"""The generated pages of docs/reference: `make docs` writes them, `make check` compares them."""

import argparse
import ast
import inspect
import json
import sys
import tomllib
from collections import defaultdict
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from fillmark.cli.figures import show_value
from fillmark.core.plan.answers import say_choice
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.pages import PAGES as QUESTION_PAGES
from fillmark.core.plan.questions import asked_on, part_of
from fillmark.core.values import errors
from fillmark.core.values.asked import asked_in
from fillmark.published import all_figures
from tests.support.plain_words import write_plainly
from tools.print_rows import checked_rows
from tools.questions import questions_of_a_plan, questions_of_an_act

ROOT = Path(__file__).parent.parent
CORE = ROOT / "src" / "fillmark" / "core"
REFERENCE = ROOT / "docs" / "reference"
NOTE = "<!-- Written by `make docs`; change what it is made from, not this page. -->\n"


def _cell(text: str) -> str:
    return " ".join(text.replace("|", "\\|").split())


def sources_page() -> str:
    """Every published number, by source, and every row of print that the tests check."""
    lines = [NOTE, "# Where the numbers come from\n"]
    lines.append(
        "No clinician has checked these numbers for this project. They are here so that anyone can check them.\n"
    )
    by_source = defaultdict(list)
    for printed in all_figures():
        by_source[printed.source].append(printed)
    for source in sorted(by_source, key=lambda source: (source.basis.value, source.id)):
        year = f", {source.year}" if source.year else ""
        lines.append(f"## {source.title}\n\n{source.issuer}{year}. {source.where}. Basis: {source.basis.value}.\n")
        lines.append("| number | value | what it says | place |\n|---|---|---|---|")
        lines += [
            f"| `{printed.id}` | {_cell(show_value(printed))} | {_cell(printed.says)} | {_cell(printed.place)} |"
            for printed in by_source[source]
        ]
        lines.append("")
    lines.append("## Rows of print, beside our result\n")
    lines.append("| row | print says | our result | gap | checked in |\n|---|---|---|---|---|")
    lines += [
        f"| {row.id} | {_cell(row.printed)} | {_cell(row.ours)} | {_cell(row.gap)} | `{row.test}` |"
        for row in checked_rows()
    ]
    return "\n".join(lines) + "\n"


def errors_page() -> str:
    """Each kind of refusal with its stable code and exit code."""
    lines = [NOTE, "# What can be refused, and why\n", "| code | meaning | exit code |\n|---|---|---|"]
    kinds = [
        kind for kind in vars(errors).values() if isinstance(kind, type) and issubclass(kind, errors.FillmarkError)
    ]
    lines += [
        f"| `{kind.code}` | {_cell(kind.__doc__ or '').split(' Args:')[0]} | {kind.exit_code} |" for kind in kinds
    ]
    return "\n".join(lines) + "\n"


@cache
def _trees() -> dict[str, ast.Module]:
    return {
        str(path.relative_to(ROOT)): ast.parse(path.read_text(encoding="utf-8"))
        for path in sorted((ROOT / "tests").rglob("test_*.py"))
    }


def _tests() -> Iterator[tuple[str, ast.FunctionDef | ast.ClassDef]]:
    for path, tree in _trees().items():
        for node in ast.walk(tree):
            if isinstance(node, ast.FunctionDef | ast.ClassDef) and node.name.lower().startswith("test"):
                yield path, node


@cache
def marked_tests(mark: str) -> dict[str, list[str]]:
    """Argument of the mark → the tests that carry it, from the test files' own text."""
    found: dict[str, list[str]] = defaultdict(list)
    for path, node in _tests():
        used = {one.id for part in node.decorator_list for one in ast.walk(part) if isinstance(one, ast.Name)}
        rows = [
            one
            for one in _trees()[path].body
            if isinstance(one, ast.Assign) and used & {getattr(target, "id", "") for target in one.targets}
        ]
        for argument in dict.fromkeys(
            str(value) for part in (*node.decorator_list, *rows) for value in _arguments(part, mark)
        ):
            found[argument].append(f"{path}::{node.name}")
    return found


def _arguments(part: ast.AST, mark: str) -> Iterator[object]:
    """What a mark is given, on a test or on a row of its cases."""
    for call in ast.walk(part):
        if isinstance(call, ast.Call) and isinstance(call.func, ast.Attribute) and call.func.attr == mark:
            yield from (argument.value for argument in call.args if isinstance(argument, ast.Constant))


def hazards() -> list[dict[str, str | int | bool]]:
    """The table of hazards, as data."""
    return list(tomllib.loads((REFERENCE / "hazards.toml").read_text(encoding="utf-8"))["hazard"])


def hazards_page() -> str:
    """What could hurt the animal, its guard, and the tests that hold the guard."""
    tests = marked_tests("hazard")
    lines = [NOTE, "# What could hurt, and what guards against it\n"]
    lines.append(
        "Severity and likelihood (before the guard) are our own estimates from 1 to 5; no vet has reviewed them yet. "
        "Guards: A by design, B a protective check, C information only.\n"
    )
    lines.append("| # | what happens | harm | S | P | guard | held by |\n|---|---|---|---|---|---|---|")
    for hazard in hazards():
        held = tests.get(str(hazard["id"]), [])
        shown = ", ".join(f"`{test.split('::')[-1]}`" for test in held[:4]) + (
            f" and {len(held) - 4} more" * (len(held) > 4)
        )
        lines.append(
            f"| {hazard['id']} | {_cell(str(hazard['what']))} | {_cell(str(hazard['harm']))} | {hazard['severity']} | "
            f"{hazard['likelihood']} | {_cell(str(hazard['guard']))} | {shown or '**not built yet**'} |"
        )
    return "\n".join(lines) + "\n"


def promises_page() -> str:
    """What the tests in tests/spec promise, in their own words."""
    lines = [NOTE, "# What this program promises\n", "Each line is a test that runs with every change.\n"]
    for path, node in _tests():
        if path.startswith("tests/spec/") and isinstance(node, ast.FunctionDef):
            name = write_plainly(node.name.removeprefix("test_").replace("_", " "))
            lines.append(f"- **{name[0].upper()}{name[1:]}.** {_cell(ast.get_docstring(node) or '')}")
    return "\n".join(lines) + "\n"


def questions_page() -> str:
    """Everything that the two gates can find, how much it weighs, and where it is asked."""
    lines = [NOTE, "# What is asked, and when\n"]
    lines.append(
        "Two gates find what speaks against a plan, and against something that is done. What is *refused* cannot hold, "
        "or is not written down. What *needs a word of the vet* waits for it, written down. What is *asked* waits "
        "until a person says that it is meant, and why. What is *to ask the vet* goes on the list for the vet and "
        "holds nothing up; what is *said* is only to be read. A version that takes the place of another is not asked "
        "the same once more. The words are those of an invented slip.\n"
    )
    for title, words, found in (
        ("The gate of a plan", "plan_gate", questions_of_a_plan()),
        ("The gate of an act", "act_gate", questions_of_an_act()),
    ):
        lines.append(f"## {title}\n\n`src/fillmark/core/gates/{words}.py`\n")
        lines.append("| check | weighs | says | asked at |\n|---|---|---|---|")
        lines += [f"| `{one.code}` | {', '.join(one.weights)} | {_cell(one.example)} | {one.asked} |" for one in found]
        lines.append("")
    return "\n".join(lines)


def _first_line(path: Path) -> str:
    """What a module says of itself, in one line."""
    text = ast.get_docstring(ast.parse(path.read_text(encoding="utf-8")))
    if not text:
        raise SystemExit(f"{path.relative_to(ROOT)} has no docstring: say in one line which question it answers")
    return _cell(text.partition("\n\n")[0])


def rooms() -> list[Path]:
    """The rooms of the core, each after all that it may use, in the order that import-linter holds."""
    contracts = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["importlinter"][
        "contracts"
    ]
    layers = next(one["layers"] for one in contracts if one.get("containers") == ["fillmark.core"])
    names = [name.strip(" ()") for layer in reversed(layers) for name in layer.split("|")]
    return [CORE / name for name in names if (CORE / name).is_dir()]


def rooms_page() -> str:
    """Each room of the core with its question, and what each of its files is about."""
    lines = [NOTE, "# The rooms of the core\n"]
    lines.append(
        "One folder of `src/fillmark/core` for each question. A room uses only rooms that stand before it here; the "
        "list of layers in `pyproject.toml` holds that. Why it is so: "
        "[decision 17](../decisions/0017-rooms-of-the-core.md).\n"
    )
    for room in rooms():
        lines.append(f"## {room.name}\n\n{_first_line(room / '__init__.py')}\n\n| file | what it is about |\n|---|---|")
        files = sorted(path for path in room.glob("*.py") if path.name != "__init__.py")
        lines += [f"| `{room.name}/{path.name}` | {_first_line(path)} |" for path in files]
        lines.append("")
    return "\n".join(lines)


def keys_page() -> str:
    """Every key of a care plan, beside the page that asks for it."""
    lines = [NOTE, "# Every key of a care plan\n"]
    lines.append(
        "Each value of a plan is asked for on one page, and stands under one key of its document. How long it may be, "
        "and between which limits, says the [schema](care-plan.schema.json).\n"
    )
    for page in QUESTION_PAGES:
        lines.append(f'## {page.title}\n\n| key | asked as | unit | may be "not stated" |\n|---|---|---|---|')
        for field in asked_on(page):
            units = ", ".join(field.units) if field.units else ", ".join(map(say_choice, field.choices[:9]))
            asked = _cell(f"{field.label}. {field.help}")
            unsaid = "yes" if field.may_be_unsaid else ""
            lines.append(f"| `{page.place}.{field.name}` | {asked} | {_cell(units)} | {unsaid} |")
        lines.append("")
    return "\n".join(lines)


def schema_page() -> str:
    """The JSON Schema of the care plan."""
    schema = CarePlan.model_json_schema(mode="validation")
    kinds = {kind.__name__: kind for kind in (CarePlan, *(part_of(page) for page in QUESTION_PAGES))}
    for name, part in ((CarePlan.__name__, schema), *schema["$defs"].items()):
        if name not in kinds:
            continue
        part["description"] = inspect.cleandoc(kinds[name].__doc__ or "").partition("\n\nAttributes:")[0]
        for key, asked in asked_in(kinds[name]).items():
            part["properties"][key] |= {"title": asked.label} | ({"description": asked.help} if asked.help else {})
    schema = {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema}
    return json.dumps(schema, ensure_ascii=False, indent=1, sort_keys=True) + "\n"


PAGES = {
    "sources.md": sources_page,
    "errors.md": errors_page,
    "hazards.md": hazards_page,
    "promises.md": promises_page,
    "rooms.md": rooms_page,
    "what-is-asked.md": questions_page,
    "care-plan.schema.json": schema_page,
    "care-plan-keys.md": keys_page,
}


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--check", action="store_true", help="change nothing; exit 1 when a page is out of date")
    options = parser.parse_args()
    stale = []
    for name, write in PAGES.items():
        path, text = REFERENCE / name, write()
        if path.exists() and path.read_text(encoding="utf-8") == text:
            continue
        stale.append(name)
        if not options.check:
            path.write_text(text, encoding="utf-8")
    if stale and options.check:
        print(f"out of date in docs/reference: {', '.join(stale)}; run `make docs`")
        return 1
    print(f"generated pages: {'wrote ' + ', '.join(stale) if stale else 'current'}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
