"""The database: one SQLite file in the data directory, or PostgreSQL where FILLMARK_DATABASE names one."""

from pathlib import Path
from typing import Any

from psycopg.conninfo import conninfo_to_dict

_SQLITE_TUNING = "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA foreign_keys=ON;"


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
        "OPTIONS": parts,
    }
