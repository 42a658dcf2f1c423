"""The whole record as plain values, table by table, for an archive; and from there into an empty record.

What is read and written follows the tables themselves: a new table or column is part of an archive from its first day
on. Values are those of JSON; pictures go apart, as bytes.
"""

import json
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from functools import lru_cache, partial
from itertools import islice
from math import inf
from typing import Any
from uuid import UUID

from django.apps import apps
from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.core.management.color import no_style
from django.db import connection, models, transaction
from django.db.migrations.loader import MigrationLoader
from django.db.models.functions import Cast

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
        needed: Those that every archive has; another may be lacking in one from before a change of the tables.
        pictures: The columns that hold JPEG pictures.
        refers_to: The columns that name a row of another table, and of which.
    """

    name: str
    key: str
    columns: tuple[str, ...]
    needed: frozenset[str]
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
        needed=frozenset(
            field.attname for field in plain if field.primary_key or not (field.null or field.has_default())
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
    fits = _columns(table.name)
    for column, value in row.items():
        if column not in fits or column in table.pictures:
            return f"a column {column[:40]}, which its table does not have"
        may_be_empty, fit = fits[column]
        if value is None and may_be_empty:
            continue
        if isinstance(value, dict | list) or not fit(value):
            return f"{json.dumps(value)[:40]} for {column}"
    return None


_Fits = Callable[[object], bool]
_REMEMBERED = 1024


@lru_cache
def _columns(name: str) -> dict[str, tuple[bool, _Fits]]:
    """Of each column of a table, whether it may be empty, and what it takes."""
    return {field.attname: (field.null, _fits(field)) for field in _model(name)._meta.concrete_fields}


def _fits(field: "models.Field[Any, Any]") -> _Fits:
    target = field.target_field if isinstance(field, models.ForeignKey) else field
    if isinstance(target, models.BooleanField):
        return lambda value: isinstance(value, bool)
    if isinstance(target, models.IntegerField):
        low, high = connection.ops.integer_field_range(target.get_internal_type())
        least, most = (-inf if low is None else low), (inf if high is None else high)
        return lambda value: isinstance(value, int) and not isinstance(value, bool) and least <= value <= most
    return lru_cache(_REMEMBERED)(partial(_reads, target))  # a home, a person, a zone stand in row after row


def _reads(field: "models.Field[Any, Any]", text: object) -> bool:
    if not isinstance(text, str) or "\0" in text:
        return False
    if isinstance(field, models.CharField) and field.max_length is not None and len(text) > field.max_length:
        return False
    try:
        text.encode()
        made = field.to_python(text)
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
    model = _model(table.name)
    order = ("household_id", "seq") if "seq" in table.columns else (table.key,)
    bare = {
        field.attname
        for field in model._meta.concrete_fields
        if connection.vendor == "sqlite" and isinstance(getattr(field, "target_field", field), models.UUIDField)
    }
    asked = [Cast(column, models.CharField()) if column in bare else column for column in table.columns]
    plain = [_dashed if column in bare else _plain for column in table.columns]
    found = model._default_manager.order_by(*order).values_list(*asked)
    for values in found.iterator(chunk_size=_AT_ONCE):
        yield {column: make(value) for column, make, value in zip(table.columns, plain, values, strict=True)}


def _dashed(digits: str | None) -> str | None:
    """An id as every other place writes it; SQLite keeps its 32 digits, and most of an archive are ids."""
    return digits and f"{digits[:8]}-{digits[8:12]}-{digits[12:16]}-{digits[16:20]}-{digits[20:]}"


def _plain(value: Any) -> Plain:
    if type(value) in _AS_THEY_ARE:
        return value
    match value:
        case UUID():
            return _text_of(value)
        case datetime() | date() | time():
            return value.isoformat()
    raise TypeError(f"no plain form for {type(value).__name__}")


_AS_THEY_ARE = frozenset((type(None), bool, int, float, str))
_text_of = lru_cache(_REMEMBERED)(str)


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
