"""Runs the reference tests and notes, for every row of print, what we got beside it."""

import sys
from collections.abc import Generator
from contextlib import redirect_stdout
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from fillmark.core.values.quantities import write_number

ROOT = Path(__file__).parent.parent


@dataclass(frozen=True, kw_only=True, slots=True)
class CheckedRow:
    """One row of print: what it says, what we work out, and the gap."""

    id: str
    printed: str
    ours: str
    gap: str
    test: str


class _Recorder:
    """A pytest plugin that watches `pytest.approx`, through which the reference tests compare."""

    def __init__(self) -> None:
        self.rows: list[CheckedRow] = []
        self.compared: list[tuple[Any, Any]] = []

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_call(self) -> Generator[None, Any, Any]:
        self.compared = []
        approx, compared = pytest.approx, self.compared

        class Watched:
            def __init__(self, expected: Any, *args: Any, **kwargs: Any) -> None:
                self.expected, self.inner = expected, approx(expected, *args, **kwargs)

            def __eq__(self, actual: object) -> bool:
                compared.append((self.expected, actual))
                return bool(self.inner == actual)

            __hash__ = None  # type: ignore[assignment]

        pytest.approx = Watched  # type: ignore[assignment, misc]
        try:
            return (yield)
        finally:
            pytest.approx = approx  # type: ignore[misc]

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.when != "call" or not report.passed:
            return
        for row_id in [value for key, value in report.user_properties if key == "reference"]:
            printed, ours, gap = "as in the test", "agrees", "none"
            if self.compared and all(isinstance(value, int | float) for value in self.compared[0]):
                expected, actual = self.compared[0]
                printed, ours, gap = (
                    write_number(expected),
                    write_number(actual),
                    write_number(round(actual - expected, 9), digits=2),
                )
            test = report.nodeid.split("[")[0].removeprefix("tests/references/")
            self.rows.append(CheckedRow(id=str(row_id), printed=printed, ours=ours, gap=gap, test=test))

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtest_setup(self, item: pytest.Item) -> None:
        for mark in item.iter_markers("reference"):
            item.user_properties += [("reference", row_id) for row_id in mark.args]


def checked_rows() -> list[CheckedRow]:
    """Every row of print that a reference test checks, by id; the tests are run for it.

    Raises:
        SystemExit: a reference test fails.
    """
    recorder = _Recorder()
    with redirect_stdout(sys.stderr):
        code = pytest.main(
            ["-q", "--no-header", "-p", "no:cacheprovider", "-p", "no:xdist", str(ROOT / "tests" / "references")],
            plugins=[recorder],
        )
    if code != 0:
        raise SystemExit("the reference tests fail; see above")
    return sorted(recorder.rows, key=lambda row: (row.id, row.test))
