"""What this machine is: where it keeps the data, the key that signs its sessions, its time zone."""

import contextlib
import os
import secrets
import sys
from datetime import UTC, datetime
from pathlib import Path
from zoneinfo import available_timezones

_LAST_BACKUP = "last_backup"


def data_home() -> Path:
    """The data directory: FILLMARK_HOME, or where this system keeps a person's application data."""
    stated = os.environ.get("FILLMARK_HOME")
    if stated:
        return Path(stated).expanduser()
    if sys.platform == "win32":
        return Path(os.environ.get("LOCALAPPDATA", Path.home() / "AppData" / "Local")) / "fillmark"
    if sys.platform == "darwin":
        return Path.home() / "Library" / "Application Support" / "fillmark"
    return Path(os.environ.get("XDG_DATA_HOME") or Path.home() / ".local" / "share") / "fillmark"


def prepare_home() -> Path:
    """Make the data directory and its key, once; only this user may read them."""
    home = data_home()
    home.mkdir(mode=0o700, parents=True, exist_ok=True)
    try:
        descriptor = os.open(home / "secret_key", os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError:
        return home
    with os.fdopen(descriptor, "w") as file:
        file.write(secrets.token_urlsafe(64))
    return home


def secret_key() -> str:
    """The stored key; before `prepare_home`, one that lives as long as this process, and nothing is written."""
    try:
        return (data_home() / "secret_key").read_text() or secrets.token_urlsafe(64)
    except OSError:
        return secrets.token_urlsafe(64)


def home_made_at() -> datetime | None:
    """When this home was made; none where there is none yet."""
    try:
        return datetime.fromtimestamp((data_home() / "secret_key").stat().st_mtime, tz=UTC)
    except OSError:
        return None


def note_backup(at: datetime) -> None:
    """Remember when the newest archive of this home was made; where nothing can be noted, the reminder stays."""
    with contextlib.suppress(OSError):
        data_home().mkdir(mode=0o700, parents=True, exist_ok=True)
        (data_home() / _LAST_BACKUP).write_text(at.isoformat())


def last_backup_at() -> datetime | None:
    """When the newest archive of this home was made; none where none was, or nobody knows."""
    try:
        return datetime.fromisoformat((data_home() / _LAST_BACKUP).read_text())
    except (OSError, ValueError):
        return None


def local_time_zone() -> str:
    """The name of this machine's time zone, as far as it tells; else UTC."""
    stated = os.environ.get("TZ", "").lstrip(":")
    linked = Path("/etc/localtime").resolve().parts
    found = "/".join(linked[linked.index("zoneinfo") + 1 :]) if "zoneinfo" in linked else ""
    return next((name for name in (stated, found) if name in available_timezones()), "UTC")
