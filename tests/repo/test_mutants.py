"""Mutation tests make the changes that they say, and every answer in tests/mutation is about one of them."""

import ast

import pytest

from tools.mutate import ANSWERS, CORE, find_mutants, read_answers

SOURCE = '''
LIMIT = 3

def grow(size: int, *, by: float = 0.5) -> float:
    """Not mutated: texts, types, assertions."""
    assert size > 0
    check(size)
    if not size:
        raise ValueError
    for part in sorted(range(size)):
        if part == LIMIT:
            break
    total = max(part + by, 1)
    total *= 2
    return done(f"{total / 2} mL", cautions=("told",)) if total < 9 and by else -total
'''


def test_every_kind_of_change_is_made_once():
    """Each line before and after, in the order of the text."""
    found = [(mutant.was, mutant.now) for mutant in find_mutants(ast.parse(SOURCE), SOURCE)]
    last = 'return done(f"{total / 2} mL", cautions=("told",)) if total < 9 and by else -total'

    assert found[:15] == [
        ("LIMIT = 3", "LIMIT = 4"),
        ("def grow(size: int, *, by: float = 0.5) -> float:", "def grow(size: int, *, by: float = 1.5) -> float:"),
        ("check(size)", "pass"),
        ("if not size:", "if size:"),
        ("raise ValueError", "pass"),
        ("if part == LIMIT:", "if part != LIMIT:"),
        ("break", "continue"),
        ("total = max(part + by, 1)", "total = min(part + by, 1)"),
        ("total = max(part + by, 1)", "total = max(part - by, 1)"),
        ("total = max(part + by, 1)", "total = max(part + by, 2)"),
        ("total *= 2", "total /= 2"),
        ("total *= 2", "total = 2"),
        ("total *= 2", "total *= 3"),
        (last, "return None"),
        (last, "return (done(f'{total / 2} mL', cautions=('told',)) if not (total < 9 and by) else -total)"),
    ]
    assert {now for was, now in found[15:] if was == last} == {
        last.replace("total < 9 and by", "(total < 9 or by)"),
        last.replace("< 9", "<= 9"),
        last.replace("< 9", "< 10"),
        last.replace("-total", "total"),
        last.replace('cautions=("told",)', "cautions=()"),
    }
    assert [now for was, now in found if was == "f'{total / 2} mL'"] == ["f'{total * 2} mL'", "f'{total / 3} mL'"]


@pytest.mark.parametrize("name", sorted(path.stem for path in ANSWERS.glob("*.toml")))
def test_every_answer_is_about_a_mutant_that_there_is(name):
    """A line that was changed since needs another answer, or a test."""
    source = CORE.joinpath(*name.split(".")).with_suffix(".py").read_text(encoding="utf-8")
    mutants = {mutant.key for mutant in find_mutants(ast.parse(source), source)}

    assert set(read_answers(name)) <= mutants
    assert all(why.strip() for why in read_answers(name).values())
