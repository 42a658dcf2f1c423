"""The record's tests once more, on PostgreSQL."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.support.postgres import new_database


@pytest.mark.skipif("FILLMARK_DATABASE" in os.environ, reason="these tests are running on a chosen database already")
@pytest.mark.parametrize(
    "tests",
    [
        pytest.param(("tests/records",), id="records"),
        pytest.param(("tests/services",), id="services"),
        pytest.param(
            ("tests/properties/test_off_line_protocol.py", "tests/properties/test_hostile_rows.py"),
            id="the phones' protocol, and hostile rows",
            marks=pytest.mark.long,
        ),
    ],
)
def test_the_same_tests_hold_on_postgresql_too(postgres: str, repository: Path, tests: tuple[str, ...]) -> None:
    """The same code, the same tests, the other database."""
    environment = {**os.environ, "FILLMARK_DATABASE": new_database(postgres, f"suite-{Path(tests[0]).stem}")}
    command = [sys.executable, "-m", "pytest", *tests, "-q", "-p", "no:cacheprovider"]

    done = subprocess.run(command, cwd=repository, env=environment, capture_output=True, text=True, timeout=1200)

    assert done.returncode == 0, done.stdout[-5000:]
    assert " passed" in done.stdout
