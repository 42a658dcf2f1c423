"""Statements in SQL itself, for what every press and page asks: values in and out as Django's models have them."""

from collections.abc import Iterable
from datetime import UTC, date, datetime, time
from typing import Any
from uuid import UUID

from django.db import connection

from fillmark.core.values.people import Role

_ROLES = {role.value: role for role in Role}


def ask(statement: str, values: Iterable[object]) -> list[tuple[Any, ...]]:
    """The rows that a statement gives back."""
    with connection.cursor() as cursor:
        cursor.execute(statement, [to_database(value) for value in values])
        return list(cursor.fetchall())


def marks(count: int) -> str:
    """So many places for values."""
    return ", ".join(["%s"] * count)


def among(column: str, select: str) -> str:
    """The condition that a column has one of the values that a statement selects: few, and looked up one by one.

    PostgreSQL would take a plain list for thousands, and read the whole table to find them.

    Args:
        column: Of which table.
        select: A statement of one column.
    """
    return f"{column} = ANY(ARRAY({select}))" if connection.vendor == "postgresql" else f"{column} IN ({select})"


def to_database(value: object) -> Any:
    """A value as this database takes it."""
    if connection.vendor != "sqlite":
        return value
    match value:
        case UUID():
            return value.hex
        case datetime():
            return str(value.astimezone(UTC).replace(tzinfo=None))
        case date() | time():
            return str(value)
    return value


def uuid_of(value: Any) -> UUID:
    return value if isinstance(value, UUID) else UUID(value)


def day_of(value: Any) -> date:
    return date.fromisoformat(value) if isinstance(value, str) else value


def instant_of(value: Any) -> datetime:
    found: datetime = datetime.fromisoformat(value) if isinstance(value, str) else value
    return found if found.tzinfo else found.replace(tzinfo=UTC)


def role_of(text: str) -> Role:
    """The role; one that is not known here may do no more than a sitter between their days."""
    return _ROLES.get(text, Role.SITTER)


def clock_of(value: Any) -> time:
    return time.fromisoformat(value) if isinstance(value, str) else value
