"""One entry of the record: what it says, what became of it, and how it is put right without erasing anything."""

import json
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from fillmark.core.record.care_entries import PhotoTaken
from fillmark.core.record.corrections import ShownEntry, missing_right
from fillmark.core.record.day_entries import Withdrawn
from fillmark.core.record.entries import KeptEntry
from fillmark.core.values.errors import BadEntry, NotAllowed
from fillmark.core.values.typed import read_day_and_clock
from fillmark.core.values.words import say_date
from fillmark.services import photos, record
from fillmark.web.bedside import Bedside, at_the_bedside
from fillmark.web.bedside.todays_plan import planned_on
from fillmark.web.entry.changes import changeable, changed
from fillmark.web.entry_form import EntryForm, words
from fillmark.web.words import Names, say_entry, say_no_right
from fillmark.web.writing import device_of, form_id, write_fact

_LOCAL = "%Y-%m-%dT%H:%M"


@dataclass(frozen=True, kw_only=True, slots=True)
class EntryVersion:
    """One version of the entry."""

    id: UUID
    words: str
    when: str
    by: str
    written: str
    device: str
    is_replaced: bool
    no_right: str


@dataclass(frozen=True, kw_only=True, slots=True)
class ShownPhoto:
    """A photo that belongs to the entry."""

    id: UUID
    entry_id: UUID
    words: str
    when: str
    by: str


def _history(bedside: Bedside, entry_id: UUID) -> tuple[ShownEntry, ...]:
    """The entry with its corrections; refused where it is not this animal's, or not for this person's eyes."""
    shown = record.entry_history(household_id=bedside.home.id, entry_id=entry_id)
    mine = [one for one in shown if one.kept.entry.animal_id == bedside.animal.id]
    if not mine:
        raise NotAllowed(
            field="entry",
            got="An entry that the record of this animal does not hold",
            allowed="an entry of this animal",
            remedy="Go back to the day and choose it there.",
        )
    bedside.check_shows(mine[0].kept.day, ahead=True)
    return tuple(mine)


def _counting(shown: tuple[ShownEntry, ...]) -> KeptEntry | None:
    return next((one.kept for one in shown if one.counts), None)


def _when(at: datetime, bedside: Bedside) -> str:
    local = at.astimezone(bedside.zone)
    return f"{local:%H:%M}" if local.date() == bedside.today else f"{say_date(local)}, {local:%H:%M}"


def _tell(one: ShownEntry, *, names: Names, bedside: Bedside) -> EntryVersion:
    entry = one.kept.entry
    return EntryVersion(
        id=entry.id,
        words=say_entry(one.kept, names=names),
        when=_when(entry.at, bedside),
        by=one.kept.by_name,
        written=_when(one.kept.recorded_at, bedside),
        device=entry.device,
        is_replaced=one.replaced_by is not None,
        no_right=say_no_right(one),
    )


def _may_change(bedside: Bedside, kept: KeptEntry) -> bool:
    """Whether this person may put it right: their own, or as one who may correct others; a lock only as who clears."""
    person = bedside.caregiver
    return missing_right(kept.entry.payload, by=person.id, role=person.role, corrected=kept) is None


@require_GET
@at_the_bedside
def entry(request: HttpRequest, bedside: Bedside, *, entry_id: UUID) -> HttpResponse:
    shown = _history(bedside, entry_id)
    counting = _counting(shown)
    newest = counting or shown[-1].kept
    names = planned_on(bedside, newest.day).names
    about = record.entries_about(**bedside.ids, entry_ids={one.kept.entry.id for one in shown})
    own_photo = newest.entry.payload if isinstance(newest.entry.payload, PhotoTaken) and counting else None
    context = {
        "bedside": bedside,
        "under": "One entry of the record",
        "calls_href": bedside.href("calls"),
        "told": [_tell(one, names=names, bedside=bedside) for one in shown],
        "now": _tell(next(one for one in shown if one.kept is newest), names=names, bedside=bedside),
        "counting": counting,
        "is_taken_back": isinstance(shown[-1].kept.entry.payload, Withdrawn) and counting is None,
        "fields": changeable(newest.entry.payload) if counting else (),
        "at": newest.entry.at.astimezone(bedside.zone).strftime(_LOCAL),
        "may_change": counting is not None and _may_change(bedside, newest),
        "photos": [
            ShownPhoto(
                id=one.entry.payload.photo,
                entry_id=one.entry.id,
                words=one.entry.payload.words or "",
                when=_when(one.entry.at, bedside),
                by=one.by_name,
            )
            for one in about
            if isinstance(one.entry.payload, PhotoTaken)
        ],
        "own_photo": own_photo,
        "photo": photo_fact(counting.entry.id) if counting else "",
        "take_back": _TAKE_BACK,
        "here": bedside.href("entry", entry_id=entry_id),
        "entry_id": record.new_entry_id(now=bedside.now),
        "day_href": bedside.href("day_on", on=newest.day) if newest.day != bedside.today else bedside.href("day"),
    }
    return render(request, "entry/entry.html", context)


def _to_change(bedside: Bedside, entry_id: UUID) -> KeptEntry:
    """What counts of this entry; refused where nothing does any more."""
    counting = _counting(_history(bedside, entry_id))
    if counting is None:
        raise BadEntry(
            field="entry",
            got="A change of an entry that was taken back",
            allowed="a change of one that counts",
            remedy="If it happened after all, write it down anew.",
        )
    return counting


@require_POST
@at_the_bedside
def change(request: HttpRequest, bedside: Bedside, *, entry_id: UUID) -> HttpResponse:
    """A new entry takes its place; the old one stays in sight."""
    kept = _to_change(bedside, entry_id)
    fact = changed(kept.entry.payload, form=request.POST.dict())
    new = write_fact(
        request, bedside, fact, at=_read_time(request.POST.get("at", ""), kept, bedside), corrects=kept.entry.id
    )
    return redirect(bedside.href("entry", entry_id=new.id))


def _read_time(text: str, kept: KeptEntry, bedside: Bedside) -> datetime:
    """When it happened, by the household's clock; unchanged where the minute is the same."""
    was = kept.entry.at
    if text in ("", was.astimezone(bedside.zone).strftime(_LOCAL)):
        return was
    found = read_day_and_clock(text)
    if found is None:
        raise BadEntry(
            field="at",
            got=f'"{text[:40]}" for a time',
            allowed="a day and a time of day",
            remedy="Choose the day and the time when it happened.",
        )
    return found.replace(tzinfo=bedside.zone)


_TAKE_BACK = EntryForm(
    {
        "kind": "withdrawn",
        "reason": words(
            "reason",
            needed=BadEntry(
                field="reason", got="An entry taken back without a reason", allowed="a few words", remedy="Say why."
            ),
        ),
    }
)


@require_POST
@at_the_bedside
def take_back(request: HttpRequest, bedside: Bedside, *, entry_id: UUID) -> HttpResponse:
    """It did not happen, and why it was written; it stays in sight, struck through."""
    kept = _to_change(bedside, entry_id)
    write_fact(request, bedside, _TAKE_BACK.read(request.POST), corrects=kept.entry.id)
    return redirect(bedside.href("entry", entry_id=kept.entry.id))


@require_POST
@at_the_bedside
def add_photo(request: HttpRequest, bedside: Bedside, *, entry_id: UUID) -> HttpResponse:
    _history(bedside, entry_id)
    _keep_photo(request, bedside, about=entry_id)
    return redirect(bedside.href("entry", entry_id=entry_id))


_NOTE = EntryForm(
    {
        "kind": "note",
        "text": words(
            "text",
            needed=BadEntry(
                field="text",
                got="A note without words",
                allowed="words, or a photo",
                remedy="Write what you saw or did.",
            ),
        ),
    }
)


def photo_fact(about: UUID | None = None) -> str:
    """What a phone records with a photo, under the entry's own id; without `about`, beside what is written with it."""
    fact = {"kind": "photo_taken", **({"about": str(about)} if about else {}), "words": words("words", most=300)}
    return json.dumps(fact, separators=(",", ":"))


def _keep_photo(request: HttpRequest, bedside: Bedside, *, about: UUID | None, field: str = "entry_id") -> None:
    file = request.FILES.get("photo")
    if file is None or isinstance(file, list):
        raise BadEntry(field="photo", got="No photo", allowed="one photo", remedy="Choose or take a photo first.")
    photos.record_photo(
        **bedside.ids,
        by=bedside.caregiver.id,
        data=file.read(),
        entry_id=form_id(request, field),
        about=about,
        words=request.POST.get("words", "").strip() or None,
        device=device_of(request),
        now=bedside.now,
    )


@require_http_methods(["GET", "POST"])
@at_the_bedside
def note(request: HttpRequest, bedside: Bedside) -> HttpResponse:
    """Anything worth writing down, with a photo where there is one."""
    if request.method == "POST":
        is_photo_only = request.FILES and not request.POST.get("text", "").strip()
        about = None if is_photo_only else write_fact(request, bedside, _NOTE.read(request.POST))
        if request.FILES:
            _keep_photo(request, bedside, about=about.id if about else None, field="photo_entry_id")
        return redirect(bedside.href("entry", entry_id=about.id) if about else bedside.href("day"))
    context = {
        "bedside": bedside,
        "under": "A note",
        "calls_href": bedside.href("calls"),
        "entry_id": record.new_entry_id(now=bedside.now),
        "photo_entry_id": record.new_entry_id(now=bedside.now),
        "form": _NOTE,
        "photo": photo_fact(),
        "day_href": bedside.href("day"),
    }
    return render(request, "entry/note.html", context)
