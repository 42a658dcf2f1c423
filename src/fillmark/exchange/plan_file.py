"""A care plan as a file that people read, change and take in again."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

import tomlkit
from tomlkit.items import Item

from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.values.document import NOT_STATED

_TABLES = ("household", "animal", "tube", "vet", "orders", "blend", "timetable")
"""Parts that stand under a heading of their own; every other part stands on one line."""


def plan_as_toml(plan: CarePlan, *, remarks: Sequence[str] = ()) -> str:
    """The plan as TOML text, from which `read_plan` reads an equal plan.

    Args:
        plan: The plan.
        remarks: Lines for its top, such as which version it is.
    """
    document = tomlkit.document()
    for remark in remarks:
        document.add(tomlkit.comment(remark))
    values = _without_nothing(plan.model_dump(mode="json", exclude_unset=True))
    simple = {key: value for key, value in values.items() if not isinstance(value, Mapping | list)}
    for key, value in simple.items():
        document.add(key, _item(key, value))
    for key, value in values.items():
        if key in simple:
            continue
        document.add(tomlkit.nl())
        document.add(key, _part(key, value))
    return tomlkit.dumps(document)


def _part(key: str, value: Any) -> Item:
    """A part of the plan: a table, a list of tables, or a list of small parts with one on each line."""
    if isinstance(value, Mapping):
        table = tomlkit.table()
        inner = [name for name in value if name in _TABLES]
        for name, item in value.items():
            if name not in inner:
                table.add(name, _item(name, item))
        for name in inner:
            table.add(name, _part(name, value[name]))
        return table
    if value and all(isinstance(one, Mapping) and "id" in one for one in value):
        tables = tomlkit.aot()
        for one in value:
            tables.append(_part(key, one))
        return tables
    return _item(key, value)


def _item(key: str, value: Any) -> Item:
    if isinstance(value, Mapping):
        inline = tomlkit.inline_table()
        for name, item in value.items():
            inline.add(name, _item(name, item))
        return inline
    if isinstance(value, list):
        listed = tomlkit.array()
        for one in value:
            listed.append(_item(key, one))
        return listed.multiline(any(isinstance(one, Mapping) for one in value))
    if isinstance(value, float) and value.is_integer():
        return tomlkit.item(int(value))
    is_day = (key == "on" or key.endswith("_on")) and value != NOT_STATED
    return tomlkit.item(date.fromisoformat(value) if is_day else value)


def _without_nothing(value: Any) -> Any:
    """The same values without those that JSON has as null: TOML leaves them out."""
    if isinstance(value, Mapping):
        return {key: _without_nothing(item) for key, item in value.items() if item is not None}
    return [_without_nothing(item) for item in value] if isinstance(value, list) else value
