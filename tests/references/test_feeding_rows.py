"""No row of print is lost: each has exactly one test, or stands in the list of what is not computed yet."""

import ast
from collections import Counter
from pathlib import Path

from tests.references.feeding_row_ids import ROW_IDS
from tests.references.not_yet import NOT_YET


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


def test_every_feeding_row_is_tested_once_or_listed_as_not_yet():
    """226 rows: none missing, none tested twice, none both tested and waiting."""
    tested = Counter(named_row_ids("N"))
    waiting = {row_id for topic in NOT_YET for row_id in ROW_IDS[topic].split()}
    everything = [row_id for ids in ROW_IDS.values() for row_id in ids.split()]

    assert len(everything) == len(set(everything)) == 226
    assert [row_id for row_id, times in tested.items() if times > 1] == []
    assert waiting & set(tested) == set()
    assert waiting | set(tested) == set(everything)
