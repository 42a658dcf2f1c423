"""Until when may this be used, and for how many days does it last? The label of the pharmacy goes before all print."""

import re
from calendar import monthrange
from datetime import date, timedelta
from typing import Literal

from fillmark.core.values.errors import BadNumber
from fillmark.core.values.explain import Explained
from fillmark.core.values.limits import check_range
from fillmark.core.values.quantities import write_number
from fillmark.core.values.words import say_date
from fillmark.published import Printed
from fillmark.published.shelf_life import (
    BEYOND_USE_DAYS,
    DAY_OF_MAKING,
    FIRST_TO_EXPIRE,
    MONTH_AS_DATE,
    OPENED_ANTIBIOTIC_DAYS,
    OPENED_LIQUID_MONTHS,
    OPENED_WEEKLY_BOX_MONTHS,
    SHELF_LIFE_LIMITS_DAYS,
    SINGLE_DOSE,
    USE_BEFORE_MONTH,
)

Compounded = Literal["water, no preservative", "water, preserved", "oil", "dry"]
"""What a pharmacy made it with; "dry" stands for capsules, tablets and powders."""
OpenedAs = Literal["liquid", "antibiotic mixed up", "tablets in a weekly box", "single dose"]

MONTHS = (
    "january", "february", "march", "april", "may", "june", "july", "august", "september", "october", "november",
    "december",
)  # fmt: skip


def last_day_of_use(*, first_on: date, days: int) -> date:
    """The last of so many days, the first one being day 1.

    Args:
        first_on: The first day.
        days: How many it keeps [days].
    Source:
        shelf_life.day_of_making
    """
    check_range(field="days", value=days, limits=SHELF_LIFE_LIMITS_DAYS, remedy="Read the label again.")
    return first_on + timedelta(days=days - int(DAY_OF_MAKING.value))


def beyond_use_day(
    *, compounded: Compounded, made_on: date, ingredients_expire_on: date | None = None
) -> Explained[date]:
    """The last day on which a compounded medicine may be used, where its label is silent.

    Args:
        compounded: What it was made with.
        made_on: The day of making.
        ingredients_expire_on: The last day of the first ingredient to expire, where it is known.
    Source:
        shelf_life.* (USP <795>), shelf_life.day_of_making, shelf_life.first_to_expire
    """
    limit = BEYOND_USE_DAYS[compounded]
    by_kind = last_day_of_use(first_on=made_on, days=int(limit.value))
    because = f"{say_date(made_on)} is day 1 of {write_number(limit.value)} {limit.unit}: {say_date(by_kind)}"
    if ingredients_expire_on is not None and ingredients_expire_on < by_kind:
        return Explained(
            value=ingredients_expire_on,
            because=f"{because}; an ingredient ends on {say_date(ingredients_expire_on)}",
            figures=(limit, DAY_OF_MAKING, FIRST_TO_EXPIRE),
        )
    return Explained(value=by_kind, because=because, figures=(limit, DAY_OF_MAKING))


def opened_until(*, opened_as: OpenedAs, opened_on: date, label_days: int | None = None) -> Explained[date]:
    """The last day on which something opened may be used.

    Args:
        opened_as: What it is.
        opened_on: The day it was opened, mixed or put into a box.
        label_days: How long after opening its label lets it be used [days]; it goes before print.
    Source:
        the label; shelf_life.opened_*, shelf_life.weekly_box, shelf_life.single_dose
    """
    if opened_as == "single dose":
        return Explained(
            value=opened_on, because="one use, and the rest is thrown away on the same day", figures=(SINGLE_DOSE,)
        )
    if label_days is not None:
        until = last_day_of_use(first_on=opened_on, days=label_days)
        return Explained(
            value=until, because=f"opened on {say_date(opened_on)}, {label_days} days by its label: {say_date(until)}"
        )
    if opened_as == "antibiotic mixed up":
        until = last_day_of_use(first_on=opened_on, days=int(OPENED_ANTIBIOTIC_DAYS.low))
        low, high = write_number(OPENED_ANTIBIOTIC_DAYS.low), write_number(OPENED_ANTIBIOTIC_DAYS.high)
        return Explained(
            value=until,
            because=f"mixed on {say_date(opened_on)}, {low} or {high} days: {say_date(until)} until the label is read",
            figures=(OPENED_ANTIBIOTIC_DAYS, DAY_OF_MAKING),
            cautions=(f"Read the label: it keeps {low} or {high} days. The shorter is counted until it is known.",),
        )
    limit = OPENED_LIQUID_MONTHS if opened_as == "liquid" else OPENED_WEEKLY_BOX_MONTHS
    until = _months_later(opened_on, int(limit.value)) - timedelta(days=1)
    cautions = ("Its label or its maker may say less: ask the pharmacy.",)
    return Explained(
        value=until,
        because=f"{say_date(opened_on)} and {write_number(limit.value)} {limit.unit}: {say_date(until)}",
        figures=(limit,),
        cautions=cautions,
    )


def _months_later(day: date, months: int) -> date:
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    return date(year, month + 1, min(day.day, monthrange(year, month + 1)[1]))


def use_until(*, label_on: date | None, by_rule: Explained[date] | None) -> Explained[date] | None:
    """The last day of use: the label's own where there is one, else the one worked out; None where neither is known.

    A label that allows more than print does is kept, and asked about: a pharmacy can have tested what it made.

    Args:
        label_on: The last day on the pharmacy's or the maker's label.
        by_rule: What `beyond_use_day` or `opened_until` gave.
    Source:
        the label
    """
    if label_on is None:
        return by_rule
    if by_rule is None:
        return Explained(value=label_on, because=f"the label says {say_date(label_on)}")
    later = label_on > by_rule.value
    return Explained(
        value=label_on,
        because=f"the label says {say_date(label_on)}, and goes before {say_date(by_rule.value)} worked out from print",
        parts=(by_rule,),
        cautions=(f"The label allows more than print does ({say_date(by_rule.value)}): ask the pharmacy once.",)
        if later
        else (),
    )


_MONTH_WORDS = re.compile(
    r"\s*(?P<words>exp\.?|expiry(?:\s+date)?|expires|use\s+by|use\s+before)?\s*:?\s*(?P<end>(?:the\s+)?end(?:\s+of)?\s+)?"
    r"(?:(?P<name>[a-z]+)\s+(?P<year>[0-9]{4})|(?P<number>[0-9]{1,2})\s*/\s*(?P<year2>[0-9]{4}))\s*",
    re.IGNORECASE,
)


def last_day_printed(text: str) -> Explained[date]:
    """The last usable day that a label's words mean, such as "Use by March 2026" or "EXP 03/2026".

    Args:
        text: The words on the label, with a month and a year of four digits, or a day as 2026-03-31.
    Raises:
        BadNumber: they do not name a month or a day of the calendar.
    Source:
        shelf_life.month_as_date, shelf_life.use_before_month
    """
    day = re.fullmatch(r"[^0-9]*([0-9]{4})-([0-9]{2})-([0-9]{2})\s*", text)
    if day:
        try:
            found = date(int(day[1]), int(day[2]), int(day[3]))
        except ValueError:
            raise _no_date(text) from None
        if re.match(r"\s*use\s+before", text, re.IGNORECASE):
            found -= timedelta(days=1)
        return Explained(value=found, because=f'"{text.strip()}" ends with {say_date(found)}')
    match = _MONTH_WORDS.fullmatch(text)
    if match is None:
        raise _no_date(text)
    month, year = _month(match, text), int(match["year"] or match["year2"])
    try:
        end = date(year, month, monthrange(year, month)[1])
        before = date(year, month, 1) - timedelta(days=1)
    except (ValueError, OverflowError):
        raise _no_date(text) from None
    words = " ".join((match["words"] or "").lower().split())
    shown = f'"{" ".join(text.split())}"'
    if words == "use before" and not match["end"]:
        return Explained(value=before, because=f"{shown} ends with {say_date(before)}", figures=(USE_BEFORE_MONTH,))
    figures: tuple[Printed, ...] = (MONTH_AS_DATE,)
    cautions: tuple[str, ...] = ()
    if words == "use by" and not match["end"]:
        figures = (MONTH_AS_DATE, USE_BEFORE_MONTH)
        cautions = (f"Some pharmacies mean {say_date(before)} by {shown}: ask yours.",)
    return Explained(value=end, because=f"{shown} ends with {say_date(end)}", figures=figures, cautions=cautions)


def _month(match: re.Match[str], text: str) -> int:
    if match["number"]:
        return int(match["number"])
    name = match["name"].lower()
    found = [number for number, month in enumerate(MONTHS, start=1) if len(name) >= 3 and month.startswith(name)]
    if len(found) != 1:
        raise _no_date(text)
    return found[0]


def _no_date(text: str) -> BadNumber:
    shown = " ".join(text.split())[:40]
    return BadNumber(
        field="expiry",
        got=f'"{shown}" as an expiry',
        allowed="a month with its year (March 2026 or 03/2026), or a day as 2026-03-31",
        remedy="Copy it from the label; where it cannot be read, ask the pharmacy.",
    )
