"""What all tests share: a database of their own, and one PostgreSQL server for those that want it."""

import gc
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.core.management.commands import flush
from django.db import connections
from hypothesis import settings as hypothesis_settings

from fillmark.records.append_only import allow_changes, forbid_changes
from tests.support.builders import Home, a_home
from tests.support.postgres import running_postgres

# The ordinary suite tries the same cases each time: a change is judged by what it changed. The long one searches.
hypothesis_settings.register_profile("default", deadline=None, derandomize=True)
hypothesis_settings.register_profile("long", deadline=None, max_examples=2000)
hypothesis_settings.load_profile("default")

_sql_flush = flush.sql_flush


def _sql_flush_of_append_only_tables(style, connection, *args, **kwargs):
    """Emptying the test database lifts the guard that keeps entries from being deleted, and sets it up again."""
    statements = _sql_flush(style, connection, *args, **kwargs)
    return [*allow_changes(connection.vendor), *statements, *forbid_changes(connection.vendor)] if statements else []


flush.sql_flush = _sql_flush_of_append_only_tables


_LONGEST_FIRST = ("records/test_on_postgresql.py", "journeys", "faults", "cli")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """What runs a browser, servers or a second suite comes first: at the end short tests keep every worker busy."""
    tests = Path(__file__).parent

    def place(item: pytest.Item) -> tuple[bool, bool]:
        is_slow = any(item.path.is_relative_to(tests / first) for first in _LONGEST_FIRST)
        return item.get_closest_marker("long") is None, not is_slow

    items.sort(key=place)


def pytest_collection_finish() -> None:
    """What was loaded stays to the end: it is not looked through again each time memory is tidied."""
    gc.collect()
    gc.freeze()


@pytest.fixture(scope="session")
def django_db_modify_db_settings(tmp_path_factory: pytest.TempPathFactory, worker_suffix: str) -> None:
    """A file, as in use: what is tested is the write-ahead log and its locks, not a database in memory."""
    default = connections["default"]
    if default.vendor == "sqlite":
        default.settings_dict["TEST"]["NAME"] = str(tmp_path_factory.mktemp("database") / "test.sqlite3")
    else:
        default.settings_dict["TEST"]["NAME"] = f"test_fillmark{worker_suffix}"


@pytest.fixture(scope="session")
def worker_suffix(request: pytest.FixtureRequest) -> str:
    worker = getattr(request.config, "workerinput", None)
    return f"_{worker['workerid']}" if worker else ""


@pytest.fixture(scope="session", autouse=True)
def no_home_of_this_machine(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """No test sees, or leaves something in, the home of the person who runs it."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("FILLMARK_HOME", str(tmp_path_factory.mktemp("home") / "none"))
        yield


@pytest.fixture(scope="session")
def postgres() -> Iterator[str]:
    """The connection string of a running PostgreSQL server, without a database name."""
    with running_postgres() as server:
        yield server


@pytest.fixture
def home(db: None) -> Home:
    """A household in the test database."""
    return a_home()


@pytest.fixture
def repository() -> Path:
    return Path(__file__).parent.parent
