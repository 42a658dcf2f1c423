"""The page of what is asked names every check of the two gates, each in the words of a slip of the tests."""

import re
from pathlib import Path

import pytest

from tools.questions import codes_of_a_plan, codes_of_an_act

PAGE = Path(__file__).parents[2] / "docs" / "reference" / "what-is-asked.md"


def on_the_page(title: str) -> set[str]:
    """The codes that stand under a title."""
    part = PAGE.read_text(encoding="utf-8").partition(f"## {title}\n")[2].partition("\n## ")[0]
    return set(re.findall(r"(?m)^\| `([a-z-]+)` \|", part))


@pytest.mark.parametrize(
    ("title", "codes"),
    [("The gate of a plan", codes_of_a_plan()), ("The gate of an act", codes_of_an_act())],
    ids=["plan", "act"],
)
def test_every_check_in_the_source_stands_on_the_page(title: str, codes: set[str]) -> None:
    """The page is made of what the slips of the tests bring out: what stands on it is reached by one of them."""
    shown = on_the_page(title)

    assert len(codes) > 15
    assert [code for code in sorted(codes) if not any(re.fullmatch(code, one) for one in shown)] == []
    assert [one for one in sorted(shown) if not any(re.fullmatch(code, one) for code in codes)] == []
