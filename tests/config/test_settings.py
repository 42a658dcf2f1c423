"""The settings: what protects the household, and where its data lie."""

import stat
import subprocess
import sys
from pathlib import Path

import pytest
from django.conf import settings
from django.db import connection
from django.test import Client

from fillmark.config.database import database_settings
from fillmark.services import home as machine
from tests.support.processes import Record


@pytest.mark.django_db
@pytest.mark.skipif("connection.vendor != 'sqlite'")
@pytest.mark.hazard("H27")
def test_sqlite_is_tuned_for_writers_at_once_and_for_a_power_cut() -> None:
    """Write-ahead log; each commit reaches the disk; foreign keys hold; writers wait."""
    with connection.cursor() as cursor:
        found = {}
        for name in ("journal_mode", "synchronous", "foreign_keys", "busy_timeout"):
            found[name] = cursor.execute(f"PRAGMA {name}").fetchone()[0]

    assert found == {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1, "busy_timeout": 20_000}


def test_postgresql_is_read_from_one_address() -> None:
    """A connection string and a URL mean the same."""
    for address in ("host=db user=noor dbname=record port=5433", "postgresql://noor@db:5433/record"):
        found = database_settings(address, home=Path("/nowhere"))
        assert found["ENGINE"] == "django.db.backends.postgresql"
        assert [found[key] for key in ("HOST", "USER", "NAME", "PORT")] == ["db", "noor", "record", "5433"]


def test_nothing_foreign_is_loaded_and_nothing_inline_runs(client: Client) -> None:
    """The policy that browsers enforce, on every answer."""
    policy = client.get("/entries").headers["Content-Security-Policy"]

    assert "default-src 'self'" in policy
    assert "frame-ancestors 'none'" in policy
    assert "unsafe" not in policy
    assert "http" not in policy


def test_a_worker_started_anew_answers_to_the_names_of_its_own_start(tmp_path: Path) -> None:
    """The process that it comes from read its settings when this machine had another address."""
    told = subprocess.run(
        [
            sys.executable,
            "-c",
            "import os, django; django.setup()\n"
            "os.environ['FILLMARK_HOSTS'] = 'localhost,192.168.1.21'\n"
            "import fillmark.config.wsgi; print(django.conf.settings.ALLOWED_HOSTS)",
        ],
        env={
            **Record(tmp_path).environment,
            "DJANGO_SETTINGS_MODULE": "fillmark.config.settings",
            "FILLMARK_HOSTS": "localhost,192.168.1.20",
        },
        capture_output=True,
        text=True,
    )

    assert (told.stdout, told.stderr) == ("['localhost', '192.168.1.21']\n", "")


def test_it_is_not_a_debug_server() -> None:
    """And passwords are kept by Argon2."""
    assert settings.DEBUG is False
    assert settings.PASSWORD_HASHERS == ["django.contrib.auth.hashers.Argon2PasswordHasher"]
    assert settings.SESSION_COOKIE_HTTPONLY


@pytest.mark.hazard("H34")
def test_the_key_is_made_once_and_only_its_owner_may_read_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Before that, a key that lives as long as the process, and nothing is written."""
    monkeypatch.setenv("FILLMARK_HOME", str(tmp_path / "data"))
    assert machine.secret_key() != machine.secret_key()
    assert not (tmp_path / "data").exists()

    home = machine.prepare_home()
    key = machine.secret_key()
    machine.prepare_home()

    assert machine.secret_key() == key
    assert len(key) > 60
    assert stat.S_IMODE(home.stat().st_mode) == 0o700
    assert stat.S_IMODE((home / "secret_key").stat().st_mode) == 0o600


@pytest.mark.parametrize(
    ("system", "environment", "place"),
    [
        ("linux", {}, ".local/share/fillmark"),
        ("linux", {"XDG_DATA_HOME": "{home}/x"}, "x/fillmark"),
        ("darwin", {}, "Library/Application Support/fillmark"),
        ("win32", {"LOCALAPPDATA": "{home}/AppData/Local"}, "AppData/Local/fillmark"),
        ("linux", {"FILLMARK_HOME": "{home}/here"}, "here"),
    ],
)
def test_the_data_lie_where_the_system_keeps_a_persons_data(
    system: str, environment: dict[str, str], place: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """By the rule of each system, or where FILLMARK_HOME says."""
    for name in ("FILLMARK_HOME", "XDG_DATA_HOME", "LOCALAPPDATA"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setattr("sys.platform", system)
    for name, value in environment.items():
        monkeypatch.setenv(name, value.format(home=tmp_path))

    assert machine.data_home() == tmp_path / place
