"""No row of print is lost: each has exactly one test, no more and no less."""

import ast
from pathlib import Path

from tests.references.feeding_row_ids import ROW_IDS


def named_row_ids(start):
    """Ids of the rows that test files of this folder name, each as often as it is named."""
    found = []
    for path in Path(__file__).parent.glob("test_*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "row":
                row_id = ast.literal_eval(node.args[0])
                if row_id.startswith(start):
                    found.append(row_id)
    return found


def test_every_feeding_row_is_tested_once():
    """183 rows: none missing, none tested twice."""
    everything = [row_id for ids in ROW_IDS.values() for row_id in ids.split()]

    assert len(set(everything)) == 183
    assert sorted(named_row_ids("N")) == sorted(everything)
