"""Bringing up what the app's own commands need: the settings of this home, and its tables."""

import os
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from fillmark.core.values.errors import CannotServe
from fillmark.services.home import data_home, hold_alone, prepare_home

SETTINGS = "fillmark.config.settings"
_PREPARES = 7_105_110_308
"""The number under which servers of one PostgreSQL database take turns; any, as long as it stays the same."""
_PREPARES_SECONDS = 120.0


def choose_demo() -> None:
    """From here on, this home is the one of the invented household."""
    os.environ["FILLMARK_HOME"] = str(data_home() / "demo")
    os.environ.pop("FILLMARK_DATABASE", None)


def read_settings() -> None:
    """Let the settings take over what the environment says; nothing is made on the disk."""
    os.environ["DJANGO_SETTINGS_MODULE"] = SETTINGS
    import django  # only now: it reads the environment

    django.setup()


def prepare_tables() -> Path:
    """Make this home and its tables where they are missing; where they lie.

    Raises:
        CannotServe: the database does not answer.
    """
    home = prepare_home()
    from django.core.management import call_command
    from django.db import OperationalError, connection

    if connection.vendor == "sqlite":
        file = Path(connection.settings_dict["NAME"])
        file.touch(mode=0o600)
        for one in file.parent.glob(f"{file.name}*"):  # what will stand beside it takes its mode over
            one.chmod(0o600)
    try:
        with alone(), _at_once():
            call_command("migrate", verbosity=0)
    except OperationalError as error:
        raise CannotServe(
            field="FILLMARK_DATABASE",
            got=f"A database that cannot be used ({' '.join(str(error).split())})",
            allowed="one that answers, with space on its disk",
            remedy="Check FILLMARK_HOME or FILLMARK_DATABASE, and start again. Nothing was changed.",
        ) from None
    return home


@contextmanager
def _at_once() -> Iterator[None]:
    """All changes of the tables or none: killed between a change and the note of it, a home would never start again."""
    from django.db import connection, transaction

    if connection.vendor == "postgresql":
        with transaction.atomic(), connection.cursor() as cursor:
            cursor.execute("SET CONSTRAINTS ALL IMMEDIATE")  # a table with a check still to come cannot be changed
            yield
        return
    connection.disable_constraint_checking()  # which SQLite does only outside of a transaction
    try:
        with transaction.atomic():
            yield
    finally:
        connection.enable_constraint_checking()


@contextmanager
def alone() -> Iterator[None]:
    """Until the end of this, no other process makes tables or opens a first household here; it waits for its turn.

    Raises:
        CannotServe: another one has not come to an end.
    """
    from django.db import connection

    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("SELECT pg_advisory_lock(%s)", [_PREPARES])
        try:
            yield
        finally:
            with connection.cursor() as cursor:
                cursor.execute("SELECT pg_advisory_unlock(%s)", [_PREPARES])
        return
    with (data_home() / "preparing").open("ab") as held:
        deadline = time.monotonic() + _PREPARES_SECONDS
        while not hold_alone(held):
            if time.monotonic() > deadline:
                raise CannotServe(
                    field="FILLMARK_HOME",
                    got=f"Another fillmark that has been preparing {data_home()} for {_PREPARES_SECONDS:g} seconds",
                    allowed="one at a time",
                    remedy="Wait until it is done, or end it, and start again.",
                )
            time.sleep(0.05)
        yield
