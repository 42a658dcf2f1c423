"""The record's tests once more, on PostgreSQL."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.support.postgres import new_database


@pytest.mark.skipif("FILLMARK_DATABASE" in os.environ, reason="these tests are running on a chosen database already")
def test_all_tests_of_the_record_hold_on_postgresql_too(postgres: str, repository: Path) -> None:
    """The same code, the same tests, the other database."""
    environment = {**os.environ, "FILLMARK_DATABASE": new_database(postgres, "suite")}
    command = [sys.executable, "-m", "pytest", "tests/records", "tests/services", "-q", "-p", "no:cacheprovider"]

    done = subprocess.run(command, cwd=repository, env=environment, capture_output=True, text=True, timeout=1200)

    assert done.returncode == 0, done.stdout[-5000:]
    assert " passed" in done.stdout
