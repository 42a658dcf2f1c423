"""What the pages of a draft show."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from django.urls import reverse

from fillmark.core.gates.plan_gate import PlanFindings
from fillmark.core.plan.answers import FieldKind, PlanField, Raw, Typed, say_choice
from fillmark.core.plan.draft import Draft, asides, the_way
from fillmark.core.plan.from_sheet import FromSheet, proposed_at, typed_with
from fillmark.core.plan.pages import PAGES
from fillmark.core.plan.questions import asked_on
from fillmark.core.plan.spots import Spot, items_at, name_of, part_at, spot_of
from fillmark.core.values.document import NOT_STATED
from fillmark.core.values.errors import FillmarkError
from fillmark.core.values.finding import Finding, Weight
from fillmark.core.values.quantities import write_number
from fillmark.core.values.typed import read_day
from fillmark.core.values.words import say_date
from fillmark.services.drafts import StoredDraft

_LISTS = {"food": "foods", "medicine": "medicines", "may": "people"}
"""Fields that choose among other parts of the same plan, by their handles."""


MOST_SAID = 60
"""Of a longer answer the overview shows so many characters."""


@dataclass(frozen=True, kw_only=True, slots=True)
class ShownChoice:
    """One of several values to choose from."""

    value: str
    words: str
    is_chosen: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class ShownField:
    """One field of a page.

    Attributes:
        control: How it is typed: "text", "words", "number", "choice", "choices", "tick", "date" or "time".
        error: What is wrong with what was typed; none where nothing is.
        before: What is in force, in words; empty in a draft of a new animal.
        read: What the sheet proposes here, with its words; none for nothing.
    """

    field: PlanField
    control: str
    text: str
    unit: str
    choices: tuple[ShownChoice, ...]
    is_ticked: bool
    error: FillmarkError | None
    before: str = ""
    read: FromSheet | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class ShownSpot:
    """One page of a draft on its overview.

    Attributes:
        said: What was answered, in short.
        is_open: Neither answered nor put off.
        is_later: Put off.
    """

    spot: Spot
    title: str
    href: str
    said: str
    is_open: bool
    is_later: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class ShownItem:
    """One of several, with the way to it."""

    name: str
    href: str
    spot: str


_CONTROLS = {
    FieldKind.WORDS: "words",
    FieldKind.NUMBER: "number",
    FieldKind.WHOLE: "number",
    FieldKind.TICK: "tick",
    FieldKind.CHOICE: "choice",
    FieldKind.CHOICES: "choices",
    FieldKind.DAY: "date",
    FieldKind.CLOCK: "time",
    FieldKind.MOMENT: "datetime-local",
}


def href_of(stored: StoredDraft, spot: Spot) -> str:
    """The address of a page of a draft."""
    return reverse("plan_question", args=[stored.id, spot.id])


def draft_name(draft: Draft) -> str:
    """What a draft is called: its animal's name, also while the sheet alone says it."""
    animal = draft.document.get("animal") or {}
    said = proposed_at(draft.sheet, Spot(PAGES[0]))
    return animal.get("name") or (said["name"].typed.text if "name" in said else "") or "A new animal"


def title_of(document: Raw, spot: Spot) -> str:
    """What a page is about, with the name of the one of several that it stands for."""
    if not spot.at or (spot.page.one and spot.page.depth == 1):
        return spot.page.title
    root = spot_of(spot.page.place.partition("[]")[0])
    holder = Spot(root.page, spot.at[:1]) if root else spot
    named = name_of(part_at(document, holder), holder.page)
    return f"{named}: {spot.page.title[0].lower()}{spot.page.title[1:]}"


def show_fields(
    draft: Draft,
    spot: Spot,
    typed: Mapping[str, Typed] | None,
    errors: Mapping[str, FillmarkError],
    *,
    before: Raw | None = None,
) -> list[ShownField]:
    """The fields of a page: as they came, where something is wrong with them, else as the draft has them.

    Args:
        draft: The draft.
        spot: Which page.
        typed: What came; none where the page is looked at.
        errors: What is wrong, by the name of the field.
        before: The part as it is in force; none where there is none.
    """
    said = proposed_at(draft.sheet, spot)
    stands = typed if typed is not None else typed_with(draft.document, draft.sheet, spot)
    return [
        replace(
            _show_field(draft.document, field, stands.get(field.name, Typed(())), errors.get(field.name)),
            before=_say_before(field, before or {}),
            read=said.get(field.name),
        )
        for field in asked_on(spot.page)
    ]


def _say_before(field: PlanField, part: Raw) -> str:
    value = part.get(field.name)
    return "" if value in (None, NOT_STATED, []) or field.kind is FieldKind.WORDS else say_value(field, value)


def _show_field(document: Raw, field: PlanField, typed: Typed, error: FillmarkError | None) -> ShownField:
    choices = _choices(document, field)
    control = _CONTROLS.get(field.kind, "text")
    if field.name in _LISTS and field.kind is FieldKind.TEXT:
        control = "choice"
    return ShownField(
        field=field,
        control=control,
        text=typed.text.replace(" ", "T") if field.kind is FieldKind.MOMENT else typed.text,
        unit=typed.unit or field.unit,
        choices=tuple(
            ShownChoice(value=value, words=words, is_chosen=value in typed.texts) for value, words in choices
        ),
        is_ticked=bool(typed.text),
        error=error,
    )


def _choices(document: Raw, field: PlanField) -> list[tuple[str, str]]:
    if field.name in _LISTS and not field.choices:
        holder = document.get("household", {}) if field.name == "may" else document
        several = holder.get(_LISTS[field.name]) or []
        return [(one["id"], str(one.get("name", one["id"]))) for one in several]
    return [(say_choice(one), say_choice(one)) for one in field.choices]


def say_answers(document: Raw, spot: Spot) -> str:
    """What was answered on a page, in one line; "not stated" is said."""
    part = part_at(document, spot)
    said = []
    for field in asked_on(spot.page):
        value = part.get(field.name)
        if value == NOT_STATED:
            said.append(f"{field.label.lower()}: {NOT_STATED}")
        elif value is True and field.kind is FieldKind.TICK:
            said.append(field.label.lower())
        elif value not in (None, False, []):
            said.append(say_value(field, value))
    return " · ".join(said)


def say_value(field: PlanField, value: object) -> str:
    """A value of the document with its unit, as a page says it."""
    match value:
        case list():
            return ", ".join(say_value(field, one) for one in value)
        case int() | float() if not isinstance(value, bool):
            return f"{write_number(value)} {field.unit}".strip()
        case str() if field.kind is FieldKind.DAY and (day := read_day(value)):
            return say_date(day)
        case str() if len(value) > MOST_SAID:
            return f"{value[: MOST_SAID - 1].rstrip()}…"
    return say_choice(value)


def show_way(stored: StoredDraft) -> list[ShownSpot]:
    """Every page of the way, with what was answered."""
    draft = stored.draft
    return [_show_spot(stored, draft, spot) for spot in the_way(draft.document)]


def _show_spot(stored: StoredDraft, draft: Draft, spot: Spot) -> ShownSpot:
    document = draft.document
    if spot.is_whole_list:
        count = len(items_at(document, spot))
        title, said = f"{spot.page.title}: all of them", f"{count} so far" if count else "none"
    else:
        title, said = title_of(document, spot), say_answers(document, spot)
    return ShownSpot(
        spot=spot,
        title=title,
        href=href_of(stored, spot),
        said=said,
        is_open=spot.id not in draft.answered and spot.id not in draft.later,
        is_later=spot.id in draft.later,
    )


def show_asides(stored: StoredDraft, spot: Spot) -> list[ShownSpot]:
    """What the sheet may say more about, from a page."""
    return [_show_spot(stored, stored.draft, one) for one in asides(spot)]


def show_items(stored: StoredDraft, spot: Spot) -> list[ShownItem]:
    """The several parts of a list, each with the way to its first page."""
    found = []
    for index, item in enumerate(items_at(stored.draft.document, spot)):
        one = Spot(spot.page, (*spot.at, index))
        found.append(ShownItem(name=name_of(item, spot.page), href=href_of(stored, one), spot=one.id))
    return found


def found_here(found: PlanFindings | None, spot: Spot) -> list[Finding]:
    """What the gate asks about the answers of a page: what is refused, needs a word of the vet, or is asked."""
    if found is None:
        return []
    weights = (Weight.REFUSED, Weight.NEEDS_VET, Weight.ASKED)
    return [one for one in found.findings if one.weight in weights and spot_of(one.field) == spot]
