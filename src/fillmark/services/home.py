"""What this machine is: where it keeps the data, the key that signs its sessions, its time zone."""

import contextlib
import os
import secrets
import sys
from datetime import UTC, datetime
from pathlib import Path
from typing import BinaryIO

from fillmark.core.values.errors import CannotServe
from fillmark.core.values.typed import is_in_these_years, time_zones

_SHORTEST_KEY = 50
_LAST_BACKUP = "last_backup"
_UNDER_WAY = "backups_under_way"


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
    """The stated key, or the stored one; before `prepare_home` one for this process alone, and nothing is written.

    Raises:
        CannotServe: the stated one is too short to be no guess.
    """
    stated = os.environ.get("FILLMARK_SECRET_KEY", "")
    if stated and len(stated) < _SHORTEST_KEY:
        raise CannotServe(
            field="FILLMARK_SECRET_KEY",
            got=f"A FILLMARK_SECRET_KEY of {len(stated)} characters",
            allowed=f"{_SHORTEST_KEY} characters or more, made by chance",
            remedy="Take what stands in the file secret_key of the first server's data directory.",
        )
    if stated:
        return stated
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


def note_under_way(part: Path) -> None:
    """Remember where an archive is being written: what is left of one that was killed is removed later."""
    with contextlib.suppress(OSError):
        data_home().mkdir(mode=0o700, parents=True, exist_ok=True)
        with (data_home() / _UNDER_WAY).open("a", encoding="utf-8") as noted:
            noted.write(f"{part.absolute()}\n")


def sweep_backups() -> None:
    """Remove what archives that were killed have left; one that is still being written is let alone."""
    with contextlib.suppress(OSError, ValueError):
        noted = data_home() / _UNDER_WAY
        parts = [Path(line) for line in noted.read_text(encoding="utf-8").splitlines() if line]
        left = [part for part in parts if not _remove_part(part)]
        noted.write_text("".join(f"{part}\n" for part in left), encoding="utf-8")


def _remove_part(part: Path) -> bool:
    """Whether nothing of it is left."""
    if not part.is_absolute() or not part.name.startswith(".") or part.suffix != ".part":
        return True
    try:
        with part.open("rb") as opened:
            if not hold_alone(opened):
                return False
        part.unlink()
    except FileNotFoundError:
        return True
    except OSError:
        return False
    return True


def hold_alone(opened: BinaryIO) -> bool:
    """Whether no other process holds this open file; it is held until it is closed. Without locks, nobody holds one."""
    try:
        import fcntl
    except ImportError:  # Windows
        return True
    try:
        fcntl.flock(opened, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True


def last_backup_at() -> datetime | None:
    """When the newest archive of this home was made; none where none was, or nobody knows."""
    try:
        found = datetime.fromisoformat((data_home() / _LAST_BACKUP).read_text())
    except (OSError, ValueError):
        return None
    return found if found.tzinfo is not None and is_in_these_years(found) else None


def local_time_zone() -> str:
    """The name of this machine's time zone, as far as it tells; else UTC."""
    stated = os.environ.get("TZ", "").lstrip(":")
    linked = Path("/etc/localtime").resolve().parts
    found = "/".join(linked[linked.index("zoneinfo") + 1 :]) if "zoneinfo" in linked else ""
    return next((name for name in (stated, found) if name in time_zones()), "UTC")
