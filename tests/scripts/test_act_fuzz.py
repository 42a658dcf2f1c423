"""How many slips at the animal's side are caught, on the server and on a phone without a signal alike.

Run with -s, each prints its numbers. Whether an act is a slip is said by a model of its own, made from the words of the
orders (tests/support/ordered.py).
"""

import random
from collections import Counter, defaultdict
from pathlib import Path
from typing import Any

import pytest

from fillmark.core.gates.act_gate import check_act
from fillmark.core.record.entries import make_entry_id
from fillmark.core.values.finding import Weight
from tests.support.act_slips import KINDS
from tests.support.builders import an_entry
from tests.support.gated import ask_the_phone
from tests.support.ordered import Ordered, against
from tests.support.random_acts import Story, a_sheet, a_story

HOLDS_UP = (Weight.REFUSED, Weight.NEEDS_VET, Weight.ASKED)
NEVER_SILENT = {"H3", "H4", "H5", "H10", "H23"}
MOST_SILENT_FRACTION = 0.03
MANY = pytest.mark.parametrize(
    "many", [150, pytest.param(3000, marks=pytest.mark.long)], ids=["150 histories", "3,000 histories"]
)
SHEETS_EVERY = 40


def sheets(chance: random.Random, many: int) -> list[Ordered]:
    """One for so many histories: a day is worked out once for each."""
    return [a_sheet(chance) for _ in range(many // SHEETS_EVERY)]


def by_the_core(story: Story) -> list[tuple[str, Weight]]:
    """What the gate finds, each with its weight."""
    story.write_down()
    entry_id = make_entry_id(at=story.now, chance=bytes(10))
    entry = an_entry(story.payload, at=story.now, id=entry_id)
    return [(one.code, one.weight) for one in check_act(story.side, entry)]


def by_the_phone(scripts: Path, tmp_path: Path, stories: list[Story]) -> list[list[tuple[str, Weight]]]:
    """The same of a phone that has all of the record, and no signal."""
    facts: dict[str, Any] = {}
    cases = []
    for story in stories:
        which = story.stored.document
        if which not in facts:
            facts[which] = story.facts()
        cases.append({**story.case(story.payload), "which": which})
    answers = ask_the_phone(scripts, tmp_path, facts=facts, cases=cases)
    return [[(one["code"], Weight(one["weight"])) for one in answer["act"]] for answer in answers]


def level(found: list[tuple[str, Weight]], codes: tuple[str, ...]) -> str:
    """Whether a slip is caught, said, or passed in silence; by its own name, not by chance."""
    weights = [weight for code, weight in found if code in codes]
    if any(weight in HOLDS_UP for weight in weights):
        return "caught"
    return "said" if weights else "silent"


@MANY
def test_a_right_act_is_asked_about_nothing(scripts: Path, tmp_path: Path, many: int) -> None:
    """Of acts that the sheet asks for, at their time, at most one in a hundred is asked anything."""
    chance = random.Random(20261127)
    known = sheets(chance, many)
    stories = [
        a_story(chance.choice(known), chance, what=["start", "fill", "dose", "needed"][number % 4])
        for number in range(many)
    ]
    for story in stories:
        assert against(story.sheet, story.record, story.act) == set(), story.payload
    found = [by_the_core(story) for story in stories]
    assert by_the_phone(scripts, tmp_path, stories) == found
    asked = Counter(code for one in found for code, weight in one if weight in HOLDS_UP)
    said = Counter(code for one in found for code, weight in one if weight not in HOLDS_UP)
    wrong = sum(any(weight in HOLDS_UP for _, weight in one) for one in found)
    print(f"\n{wrong} of {many} right acts are asked about ({wrong / many:.1%}): {dict(asked)}; said: {dict(said)}")
    assert wrong / many <= 0.01


@pytest.mark.hazard("H1")
@pytest.mark.hazard("H3")
@pytest.mark.hazard("H5")
@pytest.mark.hazard("H10")
@pytest.mark.hazard("H37")
@MANY
def test_a_slip_in_an_act_is_caught(scripts: Path, tmp_path: Path, many: int) -> None:
    """One slip in each history: those that can kill are never passed in silence, of the others three in a hundred."""
    chance = random.Random(20261128)
    known, kinds = sheets(chance, many), list(KINDS)
    made: list[tuple[str, Story]] = []
    while len(made) < many:
        kind = kinds[len(made) % len(kinds)]
        pair = KINDS[kind].make(chance.choice(known), chance)
        if pair is None:
            continue
        right, wrong = pair
        assert kind not in against(right.sheet, right.record, right.act), (kind, right.payload)
        if kind in against(wrong.sheet, wrong.record, wrong.act):
            made.append((kind, wrong))
    found = [by_the_core(story) for _, story in made]
    heard = by_the_phone(scripts, tmp_path, [story for _, story in made])

    counts: dict[str, Counter[str]] = defaultdict(Counter)
    for (kind, _), core, phone in zip(made, found, heard, strict=True):
        codes = KINDS[kind].codes
        counts[kind][f"{level(core, codes)}"] += 1
        counts[kind]["phone otherwise"] += core != phone
    total: Counter[str] = sum(counts.values(), Counter())
    print(f"\n{many} histories with one slip each: {dict(total)}")
    for kind, told in counts.items():
        print(f"  {kind} ({', '.join(KINDS[kind].hazards)}): {dict(+told)}")
    assert not total["phone otherwise"]
    wrong_kinds = {}
    for kind, told in counts.items():
        most = 0 if NEVER_SILENT & set(KINDS[kind].hazards) else MOST_SILENT_FRACTION
        if told["silent"] > most * (told["caught"] + told["said"] + told["silent"]):
            wrong_kinds[kind] = told["silent"]
    assert not wrong_kinds
