"""Running the record from other processes, on either database."""

import json
import os
import subprocess
import sys
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parent.parent.parent


@dataclass(frozen=True)
class Record:
    """A record that other processes open: a data directory, a database where it is not SQLite, and what is set."""

    home: Path
    database: str | None = None
    settings: Mapping[str, str] = field(default_factory=dict)

    @property
    def environment(self) -> dict[str, str]:
        chosen = {"FILLMARK_DATABASE": self.database} if self.database else {}
        ours = {key: value for key, value in os.environ.items() if not key.startswith("FILLMARK_")}
        return {**ours, "FILLMARK_HOME": str(self.home), **chosen, **self.settings}

    def start(self, task: str, **values: Any) -> subprocess.Popen[str]:
        """Begin a task of `tests.support.other_process`."""
        command = [sys.executable, "-m", "tests.support.other_process", task, json.dumps(values)]
        return subprocess.Popen(
            command, cwd=ROOT, env=self.environment, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
        )

    def run(self, *words: str) -> subprocess.CompletedProcess[str]:
        """Run a `fillmark` command to its end."""
        command = [sys.executable, "-m", "fillmark.cli.main", *words]
        return subprocess.run(command, env=self.environment, capture_output=True, text=True, timeout=300)

    def do(self, task: str, **values: Any) -> Any:
        """Do a task and give back its answer."""
        return answer(self.start(task, **values))


def answer(process: subprocess.Popen[str]) -> Any:
    """What a finished task printed; its own error, if it had one."""
    out, err = process.communicate(timeout=300)
    assert process.returncode == 0, err
    return json.loads(out)
