"""The scripts that decide something, tried by Node without a browser; the app itself never runs Node."""

import subprocess
from pathlib import Path

import pytest

HERE = Path(__file__).parent


@pytest.mark.hazard("H4")
@pytest.mark.parametrize("name", sorted(path.name for path in HERE.glob("*.test.js")))
def test_a_script_decides_as_its_tests_say(scripts: Path, name: str) -> None:
    """Each test of the file holds, and there is at least one."""
    ran = subprocess.run(["node", "--test", name], cwd=scripts, capture_output=True, text=True, check=False)

    assert ran.returncode == 0, ran.stdout + ran.stderr
    assert "\n# fail 0\n" in ran.stdout.replace("ℹ", "#")
    assert "\n# pass 0\n" not in ran.stdout.replace("ℹ", "#")
