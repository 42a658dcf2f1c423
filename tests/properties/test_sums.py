"""What stands together as parts and their sum adds up as it is shown, or says that it is rounded."""

import random
import re
from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from html import unescape
from pathlib import Path
from typing import Any

import pytest
from django.template.loader import render_to_string
from hypothesis import given
from hypothesis import strategies as st

from fillmark.cli.main import main
from fillmark.core.day.plan_day import plan_day
from fillmark.core.day.values import DayPlan
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.reading import read_plan, write_plan
from fillmark.core.record.amounts import Amount
from fillmark.core.values.document import read_document
from fillmark.core.values.errors import FillmarkError
from fillmark.core.values.quantities import write_sum
from fillmark.examples import example_plan
from fillmark.web.intake.views import say_water
from fillmark.web.plan.numbers import numbers_of

ON = date(2026, 11, 25)
PLANS = 500
NUMBER = r"[0-9][0-9,]*(?:\.[0-9]+)?"
ROUNDED = r"(?: \(rounded\))?"
SUMS = (
    rf"(?P<parts>food {NUMBER} \+ [^=]*?by mouth {NUMBER}) = (?P<total>{NUMBER}{ROUNDED}) mL",
    rf"(?P<parts>[^\n=]* kcal) = (?P<total>{NUMBER}{ROUNDED}) kcal, with",
    rf"marks of {NUMBER} mL: (?P<parts>[^=]*) = (?P<total>{NUMBER}{ROUNDED}) mL",
    rf"(?P<total>{NUMBER}{ROUNDED}) mL = (?P<parts>{NUMBER} × [^\n]*)",
    rf"predicted: (?P<parts>{NUMBER} mL food \+ {NUMBER} mL water) = (?P<total>{NUMBER}{ROUNDED}) mL",
    rf"Meals +(?P<parts>{NUMBER}(?: \+ {NUMBER})*) = (?P<total>{NUMBER}{ROUNDED}) mL",
)
LOAD = rf"(?P<total>{NUMBER}{ROUNDED}) mL, {NUMBER} mL/kg\s.*?\((?P<parts>{NUMBER} blend \+ {NUMBER} flush \+ {NUMBER})"
HEADLINES = (("Blend", SUMS[2]), ("Water", SUMS[0]))


def a_random_plan(chance: random.Random) -> CarePlan:
    """An example with another weight, other amounts and other syringes."""
    values = read_plan(example_plan(chance.choice(("juniper", "sorrel"))), kind="toml").model_dump(
        mode="json", exclude_unset=True
    )
    newest = max(values["animal"]["weights"], key=lambda one: one["on"])
    newest["kg"] = round(newest["kg"] * chance.uniform(0.93, 1.07), 2)
    orders: dict[str, Any] = values["orders"]
    orders["energy"] = {"kcal_per_day": round(chance.uniform(0.6, 1.3) * 50 * newest["kg"], chance.choice((0, 1)))}
    for name in ("flush_before_ml", "flush_between_ml", "flush_after_ml"):
        orders[name] = round(chance.uniform(1, 20), chance.choice((0, 1, 2)))
    values["blend"]["water_ml"] = round(chance.uniform(20, 250), chance.choice((0, 1)))
    if chance.random() < 0.5:
        values["blend"]["measured"] = {"on": "2026-11-24", "ml": round(chance.uniform(600, 1000), 1)}
    else:
        values["blend"].pop("measured", None)
    values["blend"]["foods"][0] = {"food": values["blend"]["foods"][0]["food"], "g": round(chance.uniform(300, 900), 1)}
    if len(values["foods"]) > 1:
        more = {"food": values["foods"][1]["id"], "g": round(chance.uniform(20, 300), 1)}
        values["blend"]["foods"] = [values["blend"]["foods"][0], more]
    feeding = next(one for one in values["syringes"] if one["id"] == "feeding")
    feeding["step_ml"] = chance.choice((0.5, 1, 2))
    return read_document(CarePlan, values)


def some_plans(count: int, seed: int) -> Iterator[tuple[CarePlan, DayPlan]]:
    """So many plans that a day can be worked out of."""
    chance, found = random.Random(seed), 0
    while found < count:
        try:
            plan = a_random_plan(chance)
            day = plan_day(plan, on=ON)
        except FillmarkError:
            continue
        found += 1
        yield plan, day


def _number(text: str) -> Decimal:
    return Decimal(text.replace(",", "").removesuffix(" (rounded)"))


def _adds_up(parts: str, total: str) -> bool:
    if "(rounded)" in total:
        return True
    shown = Decimal(0)
    for part in parts.split(" + "):
        factors = re.findall(NUMBER, part)
        shown += _number(factors[0]) * _number(factors[1]) if "×" in part else _number(factors[-1])
    return shown == _number(total)


def faults_of(text: str) -> list[str]:
    """Each sum of a text that does not add up as it is shown."""
    found = [match for pattern in (*SUMS, LOAD) for match in re.finditer(pattern, text, re.DOTALL)]
    assert found
    return [match.group() for match in found if not _adds_up(match["parts"], match["total"])]


def page_of(plan: CarePlan, day: DayPlan) -> str:
    """The numbers of a plan's page, as they are read: one line of working below another."""
    page = render_to_string("plan/numbers.html", {"numbers": list(numbers_of(day, plan.orders))})
    lines = re.sub(r"</(li|dt|p|summary|span)>", "\n", page)
    return re.sub(r"[ \t]+", " ", unescape(re.sub(r"<[^>]+>", "", lines)))


def test_the_sums_of_a_plans_page_add_up_as_they_are_shown() -> None:
    """500 plans, each with its whole page; and what stands at the top is the sum that its working shows."""
    wrong = []
    for plan, day in some_plans(PLANS, seed=20261125):
        text = page_of(plan, day)
        wrong += faults_of(text)[:1]
        for name, pattern in HEADLINES:
            top = re.search(rf"^ ?{name}\n(?P<amount>{NUMBER}{ROUNDED}) mL a day", text, re.MULTILINE)
            below = re.search(pattern, text)
            assert top
            assert below
            wrong += [] if top["amount"] == below["total"] else [f"{name}: {top['amount']}, and {below.group()}"]

    assert wrong == [], f"{len(wrong)} of {PLANS}"


def test_the_sums_of_the_command_add_up_as_they_are_shown(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """100 plans by `fillmark plan --why`."""
    path, wrong = tmp_path / "plan.json", []
    for plan, _ in some_plans(100, seed=20261126):
        path.write_text(write_plan(plan), encoding="utf-8")
        main(["plan", str(path), "--on", str(ON), "--why"])
        wrong += faults_of(re.sub(r"\n {4,}(?=\S)", " ", capsys.readouterr().out))[:1]

    assert wrong == []


@given(parts=st.lists(st.floats(0, 2000), min_size=1, max_size=6))
def test_a_sum_adds_up_or_says_that_it_is_rounded(parts: list[float]) -> None:
    """For any parts; whole numbers where they add up so."""
    for is_whole in (False, True):
        written = write_sum(parts, is_whole=is_whole)
        assert _adds_up(" + ".join(written.parts), written.total)


@given(ends=st.lists(st.tuples(st.floats(0, 900), st.floats(0, 50)), min_size=5, max_size=5))
def test_the_water_of_a_day_adds_up_at_both_its_ends(ends: list[tuple[float, float]]) -> None:
    """Least and most of each part, and of all of them."""
    names = ("in the food", "stirred in", "flushes", "with medicines", "by mouth")
    so_far, parts = say_water([(name, Amount(low, low + more)) for name, (low, more) in zip(names, ends, strict=True)])

    for end in (0, -1):
        shown = [re.findall(NUMBER, words)[end] for _, words in parts]
        totals = re.findall(rf"{NUMBER}{ROUNDED}", so_far)
        assert _adds_up(" + ".join(shown) or "0", totals[end])


@pytest.mark.parametrize(
    ("parts", "is_whole", "shown", "total"),
    [
        ((210.0, 30.0), True, ("210", "30"), "240"),
        ((0.4, 0.4), True, ("0.4", "0.4"), "0.8"),
        ((0.3, 0.3, 5.0), True, ("0.3", "0.3", "5"), "5.6"),
        ((1234.5, 0.5), False, ("1,234.5", "0.5"), "1,235"),
        ((1 / 3, 1 / 3, 1 / 3), True, ("0", "0", "0"), "1 (rounded)"),
        ((), True, (), "0"),
    ],
)
def test_the_digits_of_a_sum(parts: tuple[float, ...], is_whole: bool, shown: tuple[str, ...], total: str) -> None:
    """As many as it takes, and no more; three thirds cannot."""
    written = write_sum(parts, is_whole=is_whole)

    assert (written.parts, written.total) == (shown, total)
