"""The database: one SQLite file in the data directory, or PostgreSQL where FILLMARK_DATABASE names one."""

from pathlib import Path
from typing import Any

from django.db.backends.base.base import BaseDatabaseWrapper
from psycopg.conninfo import conninfo_to_dict

_SQLITE_TUNING = "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA foreign_keys=ON;"

_LOCK_SECONDS = 2
"""The second who waits for a row waits for the first one too: twice as long, and still less than a phone does (8 s)."""
_STATEMENT_SECONDS = 10
_LOST_AFTER = {"connect_timeout": "3", "tcp_user_timeout": "5000", "keepalives_idle": "10", "keepalives_interval": "5"}
"""A database machine that is gone without a word is noticed before a phone's patience ends (8 s)."""


def database_settings(address: str | None, *, home: Path) -> dict[str, Any]:
    """Django's settings for the database.

    Args:
        address: A PostgreSQL connection string or URL; none for SQLite.
        home: The data directory.
    """
    if not address:
        return {
            "ENGINE": "django.db.backends.sqlite3",
            "NAME": home / "fillmark.sqlite3",
            # A writer waits its turn from the start of its transaction; what is acknowledged is on the disk.
            "OPTIONS": {"timeout": 20, "transaction_mode": "IMMEDIATE", "init_command": _SQLITE_TUNING},
        }
    parts = conninfo_to_dict(address)
    return {
        "ENGINE": "django.db.backends.postgresql",
        "NAME": parts.pop("dbname", "fillmark"),
        "USER": parts.pop("user", ""),
        "PASSWORD": parts.pop("password", ""),
        "HOST": parts.pop("host", ""),
        "PORT": parts.pop("port", ""),
        "CONN_MAX_AGE": 600,
        "CONN_HEALTH_CHECKS": True,
        "OPTIONS": _LOST_AFTER | parts,
    }


def limit_waits(connection: BaseDatabaseWrapper, **_: object) -> None:
    """How long a worker that answers a person waits: for a lock, and for a statement. Other commands may take longer.

    Args:
        connection: A new one.
    """
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute(f"PRAGMA busy_timeout = {3 * _LOCK_SECONDS * 1000}")
            return
        limits = {
            "lock_timeout": _LOCK_SECONDS,
            "statement_timeout": _STATEMENT_SECONDS,
            "idle_in_transaction_session_timeout": _STATEMENT_SECONDS,
        }
        cursor.execute("; ".join(f"SET {name} = '{seconds}s'" for name, seconds in limits.items()))
