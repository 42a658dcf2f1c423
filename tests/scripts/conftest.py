"""The app's scripts as Node reads them."""

import shutil
from pathlib import Path

import pytest

HERE = Path(__file__).parent
SCREENS = HERE.parent.parent / "src" / "fillmark" / "web"


@pytest.fixture(scope="session")
def scripts(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The scripts in their folders as modules, with their tests beside them."""
    place = tmp_path_factory.mktemp("scripts")
    (place / "package.json").write_text('{"type": "module"}')
    for script in SCREENS.rglob("*.js"):
        copy = place / script.relative_to(SCREENS)
        copy.parent.mkdir(exist_ok=True)
        shutil.copy(script, copy)
    for test in HERE.glob("*.test.js"):
        shutil.copy(test, place)
    return place
