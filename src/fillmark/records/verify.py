"""The whole record as plain values, table by table, for an archive; and from there into an empty record.

What is read and written follows the tables themselves: a new table or column is part of an archive from its first day
on. Values are those of JSON; pictures go apart, as bytes.
"""

import json
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from functools import lru_cache
from itertools import islice
from typing import Any
from uuid import UUID

from django.apps import apps
from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.core.management.color import no_style
from django.db import connection, models, transaction
from django.db.migrations.loader import MigrationLoader

from fillmark.records.models import DayRollup, Passkey, SignInEvent, SignInLink, Standing, Tries

Plain = str | int | float | bool | None
Row = dict[str, Plain]

LEFT_OUT: dict[type[models.Model], str] = {
    SignInLink: "each works once, within a day",
    SignInEvent: "who came in on another machine; a restored home begins its own list",
    Passkey: "each belongs to the name of its server; on another one a device makes a new one",
    Tries: "they wait no longer than a day",
    DayRollup: "worked out of the entries again",
    Standing: "worked out of the entries again",
}
_AT_ONCE = 500
_PICTURES_AT_ONCE = 20


@dataclass(frozen=True, kw_only=True, slots=True)
class Table:
    """What one table holds.

    Attributes:
        name: Of what, in one word.
        key: The column that tells its rows apart.
        columns: The columns whose values are those of JSON, in order.
        optional: Those that an archive from before a change of the tables may lack.
        pictures: The columns that hold JPEG pictures.
        refers_to: The columns that name a row of another table, and of which.
    """

    name: str
    key: str
    columns: tuple[str, ...]
    optional: frozenset[str]
    pictures: tuple[str, ...]
    refers_to: dict[str, str]


@lru_cache(maxsize=1)
def tables() -> tuple[Table, ...]:
    """Every table that an archive holds."""
    return tuple(_table(model) for model in _models())


@lru_cache(maxsize=1)
def _models() -> tuple[type[models.Model], ...]:
    ours = [model for model in apps.get_app_config("records").get_models() if model not in LEFT_OUT]
    return (User, *ours)


def _model(name: str) -> type[models.Model]:
    return next(model for model in _models() if model._meta.model_name == name)


def _table(model: type[models.Model]) -> Table:
    fields = model._meta.concrete_fields
    pictures = [field for field in fields if isinstance(field, models.BinaryField)]
    plain = [field for field in fields if field not in pictures]
    return Table(
        name=str(model._meta.model_name),
        key=str(model._meta.pk.attname),
        columns=tuple(field.attname for field in plain),
        optional=frozenset(
            field.attname for field in plain if not field.primary_key and (field.null or field.has_default())
        ),
        pictures=tuple(field.attname for field in pictures),
        refers_to={
            field.attname: str(field.related_model._meta.model_name)
            for field in plain
            if isinstance(field, models.ForeignKey) and field.related_model in _models()
        },
    )


def fault_in_columns(table: Table, row: Mapping[str, object]) -> str | None:
    """What is wrong with the values of a row as its columns take them, as words behind its name; none where nothing is.

    Args:
        table: Which one.
        row: Its values, as JSON has them.
    """
    fields = {field.attname: field for field in _model(table.name)._meta.concrete_fields}
    for column, value in row.items():
        field = fields.get(column)
        if field is None or column in table.pictures:
            return f"a column {column[:40]}, which its table does not have"
        if value is None and field.null:
            continue
        if not _fits(field, value):
            return f"{json.dumps(value)[:40]} for {column}"
    return None


def _fits(field: "models.Field[Any, Any]", value: object) -> bool:
    target = field.target_field if isinstance(field, models.ForeignKey) else field
    if isinstance(target, models.BooleanField):
        return isinstance(value, bool)
    if isinstance(target, models.IntegerField):
        low, high = connection.ops.integer_field_range(target.get_internal_type())
        is_whole = isinstance(value, int) and not isinstance(value, bool)
        return is_whole and (low is None or low <= value) and (high is None or value <= high)  # type: ignore[operator]
    if not isinstance(value, str) or "\0" in value:
        return False
    if isinstance(target, models.CharField) and target.max_length is not None and len(value) > target.max_length:
        return False
    try:
        value.encode()
        made = target.to_python(value)
        if isinstance(made, datetime):
            return made.tzinfo is not None and bool(made.astimezone(UTC))
    except (ValidationError, ValueError, OverflowError):
        return False
    return made is not None


def schema() -> str:
    """The newest change of the tables that this version knows."""
    return max(known_schemas())


@lru_cache(maxsize=1)
def known_schemas() -> frozenset[str]:
    """All changes of the tables up to this version."""
    return frozenset(name for app, name in MigrationLoader(None).disk_migrations if app == "records")


def is_up_to_date() -> bool:
    """Whether the database has the tables of this version."""
    return {name for app, name in MigrationLoader(connection).applied_migrations if app == "records"} >= known_schemas()


@contextmanager
def snapshot() -> Iterator[None]:
    """The record as it is at one moment, while others go on writing: nobody waits for a reader."""
    if connection.in_atomic_block:  # the caller's own transaction is the moment
        yield
    elif connection.vendor == "sqlite":
        # Not `atomic`, which takes the lock of a writer from the start.
        with connection.cursor() as cursor:
            cursor.execute("BEGIN DEFERRED")
        try:
            yield
        finally:
            with connection.cursor() as cursor:
                cursor.execute("ROLLBACK")
    else:
        with transaction.atomic():
            with connection.cursor() as cursor:
                cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
            yield


def rows(table: Table) -> Iterator[Row]:
    """The rows of a table without its pictures; entries in sequence, others by their key."""
    order = ("household_id", "seq") if "seq" in table.columns else (table.key,)
    found = _model(table.name)._default_manager.order_by(*order).values_list(*table.columns)
    for values in found.iterator(chunk_size=_AT_ONCE):
        yield {column: _plain(value) for column, value in zip(table.columns, values, strict=True)}


def _plain(value: object) -> Plain:
    match value:
        case None | bool() | int() | float() | str():
            return value
        case UUID():
            return str(value)
        case datetime() | date() | time():
            return value.isoformat()
    raise TypeError(f"no plain form for {type(value).__name__}")


def pictures(table: Table) -> Iterator[tuple[str, str, bytes]]:
    """Every picture of a table: its row's key, its column, its bytes."""
    if not table.pictures:
        return
    found = _model(table.name)._default_manager.order_by(table.key).values_list(table.key, *table.pictures)
    for key, *values in found.iterator(chunk_size=_PICTURES_AT_ONCE):
        for column, value in zip(table.pictures, values, strict=True):
            yield str(key), column, bytes(value)


def picture(table: Table, key: str, column: str) -> bytes | None:
    """One picture; none where it is missing."""
    found = _model(table.name)._default_manager.filter(pk=key).values_list(column, flat=True).first()
    return None if found is None else bytes(found)


def storage_faults() -> tuple[str, ...]:
    """What the database itself finds wrong with its file."""
    if connection.vendor != "sqlite":
        return ()
    with connection.cursor() as cursor:
        found = [str(row[0]) for row in cursor.execute("PRAGMA integrity_check").fetchall()]
    return tuple(f"the database file: {fault}" for fault in found if fault != "ok")


def lock_all() -> None:
    """Nobody else fills this record until this transaction ends."""
    if connection.vendor == "postgresql":  # on SQLite the transaction itself is this lock
        with connection.cursor() as cursor:
            cursor.execute("LOCK TABLE records_household IN EXCLUSIVE MODE")


def count(table: Table) -> int:
    """How many rows a table holds."""
    return _model(table.name)._default_manager.count()


def is_empty() -> bool:
    """Whether no table holds anything."""
    return not any(model._default_manager.exists() for model in _models())


def insert(table: Table, found: Iterable[Row], *, picture: Callable[[str, str], bytes]) -> None:
    """Write rows into an empty table.

    Args:
        table: Which one.
        found: Its rows; columns that they lack take their default.
        picture: The picture of a row's key and a column.
    Raises:
        ValidationError, DatabaseError: a value does not fit its column.
    """
    model = _model(table.name)
    fields = {field.attname: field for field in model._meta.concrete_fields}
    made = (
        model(
            **{column: fields[column].to_python(value) for column, value in row.items()},
            **{column: picture(str(row[table.key]), column) for column in table.pictures},
        )
        for row in found
    )
    while some := list(islice(made, _PICTURES_AT_ONCE if table.pictures else _AT_ONCE)):
        model._default_manager.bulk_create(some)


def end_insert() -> None:
    """Check every reference, and let new rows be numbered behind those that were written.

    Raises:
        IntegrityError: a row names another one that is not there.
    """
    connection.check_constraints()
    with connection.cursor() as cursor:
        for statement in connection.ops.sequence_reset_sql(no_style(), list(_models())):
            cursor.execute(statement)
