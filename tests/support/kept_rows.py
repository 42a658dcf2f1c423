"""A household that many tests begin with is made once; each further test gets its rows again."""

from collections.abc import Callable, Hashable
from typing import TypeVar, cast

from django.apps import apps
from django.db import connection, transaction

Made = TypeVar("Made")
_kept: dict[Hashable, tuple[object, dict[str, str]]] = {}


def made_once(key: Hashable, make: Callable[[], Made]) -> Made:
    """What `make` returns, with the rows that it leaves in an empty database; there it is called once for each key.

    Args:
        key: What the rows depend on.
        make: Makes them through the services.
    """
    # PostgreSQL counts its numbers apart from the rows: there, and beside another household, they are always made.
    if connection.vendor != "sqlite" or _rows():
        return make()
    if key not in _kept:
        _kept[key] = make(), _rows()
        return cast(Made, _kept[key][0])
    made, kept = _kept[key]
    with transaction.atomic(), connection.cursor() as cursor:
        for table, rows in kept.items():
            cursor.connection.execute(f'INSERT INTO "{table}" VALUES {rows}')
    return cast(Made, made)


def _rows() -> dict[str, str]:
    """The rows of every table of the household's that has any, as SQL writes them."""
    found = {}
    with connection.cursor() as cursor:
        for model in (*apps.get_app_config("records").get_models(), apps.get_model("auth", "User")):
            table = model._meta.db_table
            columns = [column for _, column, *_ in cursor.connection.execute(f'PRAGMA table_info("{table}")')]
            values = " || ',' || ".join(f'quote("{column}")' for column in columns)
            if rows := cursor.connection.execute(f"SELECT '(' || {values} || ')' FROM \"{table}\"").fetchall():
                found[table] = ", ".join(row for (row,) in rows)
    return found
