"""A care plan read from TOML or JSON, and written again."""

import json
import re
import tomllib
from collections import Counter
from typing import Literal

from fillmark.core.plan.care_plan import FORMAT, FORMATS, CarePlan
from fillmark.core.values.document import read_document
from fillmark.core.values.errors import BadNumber, BadPlan
from fillmark.published.input_limits import (
    DOCUMENT_LIMIT_BYTES,
)


def plan_kind(name: str) -> Literal["toml", "json"]:
    """In which format a file with this name is written.

    Raises:
        BadPlan: in none that a care plan has.
    Source:
        arithmetic only
    """
    ending = name.lower().rpartition(".")[2]
    if ending == "toml":
        return "toml"
    if ending == "json":
        return "json"
    raise BadPlan(
        field="the file",
        got=f'"{name}"',
        allowed="a file that ends in .toml or .json",
        remedy="Name a care plan; two examples come with Fillmark.",
    )


def check_plan_size(size_bytes: int) -> None:
    """Refuse what is too large for a care plan.

    Raises:
        BadPlan: it is larger than one may be.
    Source:
        input.document_bytes
    """
    if size_bytes > DOCUMENT_LIMIT_BYTES.value:
        raise BadPlan(
            field="the document",
            got=f"A plan of {size_bytes:,} bytes",
            allowed=f"{DOCUMENT_LIMIT_BYTES.value:,.0f} bytes or less",
            remedy="Take out what does not belong to the plan.",
        )


def read_plan(text: bytes, *, kind: Literal["toml", "json"]) -> CarePlan:
    """The care plan in a file's bytes.

    Args:
        text: The whole file.
        kind: Which format it is in.
    Raises:
        FillmarkError: what is wrong with it first; nothing is guessed or repaired.
    """
    check_plan_size(len(text))
    try:
        characters = text.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise BadPlan(
            field="the document",
            got=f"A plan that is not in UTF-8 (byte {error.start + 1})",
            allowed="UTF-8 text",
            remedy="Save it again as UTF-8.",
        ) from None
    values = _read_toml(characters) if kind == "toml" else _read_json(characters)
    if not isinstance(values, dict):
        raise BadPlan(
            field="the document",
            got="A plan that is a list or a single value",
            allowed="parts such as household, animal and orders",
            remedy="Look at the example plans.",
        )
    found = values.get("format", "none")
    if found not in FORMATS:
        raise BadPlan(
            field="format",
            got=f'format: "{str(found)[:40]}"',
            allowed=" or ".join(f'"{known}"' for known in FORMATS),
            remedy=f'Write format = "{FORMAT}" at the top if this is a care plan.',
        )
    return read_document(CarePlan, values)


def write_plan(plan: CarePlan) -> str:
    """The plan as JSON text, from which `read_plan` reads an equal plan."""
    return json.dumps(plan.model_dump(mode="json", exclude_unset=True), ensure_ascii=False, indent=1)


def _read_toml(text: str) -> object:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise _not_readable(text, str(error), format_name="TOML") from None
    except RecursionError:
        raise _too_deep() from None


def _read_json(text: str) -> object:
    def no_twins(pairs: list[tuple[str, object]]) -> dict[str, object]:
        twice = [key for key, count in Counter(key for key, _ in pairs).items() if count > 1]
        if twice:
            raise BadPlan(
                field=twice[0][:40],
                got=f'The key "{twice[0][:40]}", more than once in one part',
                allowed="each key once",
                remedy="Keep the one that is meant.",
            )
        return dict(pairs)

    def no_constant(name: str) -> object:
        raise BadNumber(
            field="the document",
            got=f'"{name}" in place of a number',
            allowed="an ordinary number",
            remedy="Enter the number that was measured or printed.",
        )

    try:
        result: object = json.loads(text, object_pairs_hook=no_twins, parse_constant=no_constant)
    except json.JSONDecodeError as error:
        raise _not_readable(text, f"{error.msg} (at line {error.lineno})", format_name="JSON") from None
    except (RecursionError, ValueError):  # ValueError: a number of thousands of digits
        raise _too_deep() from None
    return result


def _too_deep() -> BadPlan:
    return BadPlan(
        field="the document",
        got="A plan with parts nested too deep, or with an endless number",
        allowed="the parts of a care plan",
        remedy="Look at the example plans.",
    )


def _not_readable(text: str, why: str, *, format_name: str) -> BadPlan | BadNumber:
    """What a parser said, as one message; a number without its leading zero is named as such."""
    place = why.partition("line ")[2].split(",")[0].strip(" )")
    lines = text.splitlines()
    line = lines[int(place) - 1] if place.isdigit() and 0 < int(place) <= len(lines) else ""
    lone_point = re.search(r"(?:^|[\s=:,\[{])(\.\d+)", line)
    if lone_point:
        return BadNumber(
            field="the document",
            got=f'"{lone_point[1][:20]}" on line {place}, with no zero before the point',
            allowed=f"0{lone_point[1][:20]}",
            remedy="A lone point is overlooked. Write the zero if that number is meant.",
        )
    shown = " ".join(line.split())
    return BadPlan(
        field="the document",
        got=f"A plan that is not {format_name}{f' on line {place}' if place.isdigit() else ''}"
        + (f': "{shown[:60]}"' if shown else ""),
        allowed=f"{format_name} text",
        remedy=f"The reader says: {why.partition(' (at')[0][:120]}. Mend that line.",
    )
