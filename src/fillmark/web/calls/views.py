"""The call cards: one tap from everywhere. They work without a plan, without a session and without waiting."""

import json
import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from fillmark.core.bedside.next_session import NextAndLast, next_and_last, session_state
from fillmark.core.calls.calls import CallTo, who_is_silent, whom_to_call
from fillmark.core.calls.cards import CallCard, call_cards
from fillmark.core.calls.tell_vet import show_to_vet
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record.entries import KeptEntry
from fillmark.core.record.locks import LOCK_KINDS, Lock
from fillmark.core.record.sessions import SessionRecord, Standing
from fillmark.core.values.errors import BadEntry
from fillmark.core.values.people import Capability, may
from fillmark.core.values.quantities import read_number, write_number
from fillmark.core.values.trouble import Trouble
from fillmark.core.values.typed import read_day_and_clock
from fillmark.published import Printed
from fillmark.services import record
from fillmark.web.bedside import Bedside, at_the_bedside
from fillmark.web.bedside.todays_plan import PlannedDay, planned_for
from fillmark.web.entry_form import EntryForm, open_locks, words
from fillmark.web.phone.facts import form_facts, phone_facts
from fillmark.web.words import say_clock
from fillmark.web.writing import write_fact

_IN_HAND = (Standing.IN_HAND, Standing.PAUSED, Standing.NOT_KNOWN)


@dataclass(frozen=True, kw_only=True, slots=True)
class ShownCard:
    """One card on the page, with the fact that its button writes."""

    card: CallCard
    facts: str
    sources: tuple[str, ...]


def _plan(bedside: Bedside) -> CarePlan | None:
    """The plan in force; its day is not worked out, so that a card shows whatever is wrong with it."""
    stored = bedside.side.stored
    return stored.plan if stored else None


def _in_hand(state: NextAndLast, asked: str) -> SessionRecord | None:
    """The session that the trouble belongs to: the one the page was opened from, else the one somebody has in hand."""
    open_ones = [view.record for view in state.sessions if view.record.standing in _IN_HAND]
    if asked:
        return next((one for one in open_ones if one.session == asked), None)
    return next((one for one in reversed(open_ones) if one.standing is not Standing.NOT_KNOWN), None)


def _fact(trouble: Trouble, session: str | None) -> dict[str, Any]:
    kind = "feeding_locked" if trouble.locks_feeding else "trouble_seen"
    return {"kind": kind, "trouble": trouble.value, **({"session": session} if session else {})}


def _sources(card: CallCard) -> tuple[str, ...]:
    """Where the card comes from, in one line for each publication; what is practice says so in one line."""
    printed: dict[str, Printed] = {one.id: one for one in (*card.facts, *(line.printed for line in card.lines))}
    practice = [one for one in printed.values() if one.source.id == "common_practice" and one not in card.facts]
    others = [one for one in printed.values() if one not in practice]
    said: dict[str, list[str]] = {}
    for one in others:
        said.setdefault(f"{one.source.title}; {one.source.basis}", []).append(one.says)
    told = [f"{' '.join(says)} ({where})" for where, says in said.items()]
    if practice:
        told.append("All other lines are common practice, no source. What your vet says comes first.")
    return tuple(told)


def _hours(call: CallTo) -> str:
    """When somebody answers, for the phone's own clock: a kept page must not ring a shut practice at night."""
    return json.dumps([[hours.days, f"{hours.opens:%H:%M}", f"{hours.closes:%H:%M}"] for hours in call.hours])


def _chosen(request: HttpRequest) -> Trouble | None:
    try:
        return Trouble(request.GET.get("what", ""))
    except ValueError:
        return None


@require_GET
@at_the_bedside
def calls(request: HttpRequest, bedside: Bedside) -> HttpResponse:
    """Every card on one page, so that a phone keeps them all: the list of troubles, or the one that was chosen."""
    asked = request.GET.get("in", "")
    plan = _plan(bedside)
    state = next_and_last(bedside.side)
    in_hand = _in_hand(state, asked)
    at = in_hand.session if in_hand else None
    records = [view.record for view in state.sessions]
    called = whom_to_call(plan=plan, local=bedside.now.astimezone(bedside.zone))
    numbers = [{"call": call, "tel": re.sub(r"[^+\d]", "", call.phone), "hours": _hours(call)} for call in called]
    clinic = next((one for one in called if not one.is_poison_line), None)
    chosen, held = _chosen(request), bedside.side.lock
    context = {
        "bedside": bedside,
        "cards": [
            ShownCard(card=card, facts=json.dumps([_fact(card.trouble, at)]), sources=_sources(card))
            for card in call_cards(plan=plan, on=bedside.today)
        ],
        "chosen": chosen,
        "calls": numbers,
        "clinic": clinic,
        "nobody_now": clinic is not None and clinic.answers is False,
        "silent": who_is_silent(plan=plan),
        "show": show_to_vet(
            name=bedside.animal.name,
            plan=plan,
            entries=_told_entries(bedside),
            now=bedside.now,
            zone=bedside.zone,
        ),
        "session": at,
        "told_at": say_clock(bedside.now, bedside.zone),
        "lock": held,
        "part": _part(bedside, held if held and held.trouble is chosen else None, records),
        "entry_id": record.new_entry_id(now=bedside.now),
        "asked": asked,
        "calls_path": request.path,
        "press_href": bedside.href("write_trouble"),
        "back_href": bedside.href("walk", session=asked) if in_hand and asked else bedside.href("now_of"),
        "phone": phone_facts(bedside, state, lock=held),
    }
    return render(request, "calls/calls.html", context)


@require_GET
def anyones_cards(request: HttpRequest) -> HttpResponse:
    """What holds for every tube-fed animal, for whoever comes: nothing of any household."""
    today = timezone.localdate()  # without a plan no line of a card hangs on the day
    cards = [ShownCard(card=one, facts="", sources=_sources(one)) for one in call_cards(plan=None, on=today)]
    return render(request, "calls/anyone.html", {"cards": cards})


def _told_entries(bedside: Bedside) -> tuple[KeptEntry, ...]:
    """What the vet is told of: everything since yesterday, and every lock."""
    side = bedside.side
    since = side.of_days(side.today - timedelta(days=1), side.today + timedelta(days=1))
    return tuple({one.entry.id: one for one in (*side.of_kinds(LOCK_KINDS), *since)}.values())


def _part(bedside: Bedside, lock: Lock | None, records: list[SessionRecord]) -> dict[str, object] | None:
    """The fill that was going in when feeding was locked: what of it went in is still to be written down."""
    if lock is None or lock.session is None:
        return None
    stopped = next((one for one in records if one.session == lock.session and one.standing is Standing.STOPPED), None)
    found = _find_fill(planned_for(bedside, lock.session), stopped) if stopped else None
    return found and {"session": lock.session, "fill": found[0], "ml": found[1]}


def _find_fill(planned: PlannedDay, stopped: SessionRecord) -> tuple[int, float] | None:
    session = planned.find(stopped.session)
    fills = session.fills if session else ()
    number = stopped.next_fill
    return (number, float(fills[number - 1].drawn.ml)) if number <= len(fills) else None


@require_POST
@at_the_bedside
def write_trouble(request: HttpRequest, bedside: Bedside) -> HttpResponse:
    """One tap on a card: that it happened, and when. What locks feeding locks it from here on."""
    try:
        trouble = Trouble(request.POST.get("trouble", ""))
    except ValueError:
        raise BadEntry(
            field="trouble",
            got=f'"{request.POST.get("trouble", "")[:40]}"',
            allowed="a trouble of the list",
            remedy="Go back and choose it again.",
        ) from None
    write_fact(request, bedside, _fact(trouble, request.POST.get("session") or None))
    return redirect(f"{bedside.href('calls')}?what={trouble.value}#{trouble.value}")


def _session(text: str) -> str:
    """The session that the form names.

    Raises:
        BadEntry: it names none.
    """
    if read_day_and_clock(text) is None or text[10] != "T":
        raise BadEntry(
            field="session",
            got=f'"{text[:20]}" for a session',
            allowed="the session that the page was opened in",
            remedy="Go back to the session, and open the card from there.",
        )
    return text


@require_POST
@at_the_bedside
def write_part(request: HttpRequest, bedside: Bedside) -> HttpResponse:
    """What of the running fill had gone in before it was stopped."""
    session = _session(request.POST.get("session", ""))
    state = session_state(bedside.side_on(session), session)
    found = _find_fill(planned_for(bedside, session), state)
    if found is None:
        raise BadEntry(
            field="fill",
            got="A part of a fill that the record has already",
            allowed="the fill that was going in",
            remedy="Look at the day's record, and correct the entry there.",
        )
    number, most_ml = found
    ml = read_number(request.POST.get("ml", ""), field="mL")
    if not 0 <= ml <= most_ml:
        raise BadEntry(
            field="ml",
            got=f"{write_number(ml)} mL of a fill",
            allowed=f"0 to {write_number(most_ml)} mL",
            remedy="Read the syringe again: what it held, less what is left.",
        )
    write_fact(request, bedside, {"kind": "fill_given", "session": session, "fill": number, "ml": float(ml)})
    return redirect(bedside.href("lock"))


def _clearing(locks: Sequence[str]) -> EntryForm:
    """The vet's words that clear these locks."""
    missing = {"allowed": "who said it, and what they said", "remedy": "Write it as it was said."}
    return EntryForm(
        {
            "kind": "feeding_cleared",
            "locks": open_locks(locks),
            "who": words("who", most=80, needed=BadEntry(field="who", got="A clearing without a name", **missing)),
            "vet_words": words(
                "vet_words", needed=BadEntry(field="vet_words", got="A clearing without the vet's words", **missing)
            ),
        }
    )


@require_http_methods(["GET", "POST"])
@at_the_bedside
def lock(request: HttpRequest, bedside: Bedside) -> HttpResponse:
    """What locks feeding, since when, and how a lead clears it with the vet's words."""
    found = bedside.side.lock
    if request.method == "POST":
        # the locks that stood on the page when it was read, not one that came since
        write_fact(request, bedside, _clearing(request.POST.getlist("lock")).read(request.POST))
        return redirect(bedside.href("lock"))
    plan = _plan(bedside)
    context = {
        "bedside": bedside,
        "lock": found,
        "flags": {"locked": found is not None},
        "form": _clearing([str(one) for one in found.entry_ids] if found else []),
        "phone": form_facts(bedside, lock=found),
        "since": say_clock(found.at, bedside.zone) if found else "",
        "card_href": f"{bedside.href('calls')}?what={found.trouble.value}#{found.trouble.value}"
        if found
        else bedside.href("calls"),
        "may_clear": may(bedside.caregiver, what=Capability.CLEAR_LOCK, on=bedside.today),
        "vet": plan.vet.name if plan else "",
        "calls_href": bedside.href("calls"),
        "entry_id": record.new_entry_id(now=bedside.now),
        "under": "Feeding is locked" if found else "Feeding is not locked",
    }
    return render(request, "calls/lock.html", context)
