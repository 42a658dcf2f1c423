"""The walk: one step on the screen, one big button, and nothing remembered but what was recorded."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any
from urllib.parse import urlencode
from uuid import UUID

from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_POST

from fillmark.core.bedside.next_session import NextAndLast, next_and_last, session_state
from fillmark.core.bedside.side import BatchFacts
from fillmark.core.chart.medicine_states import MedicineState
from fillmark.core.day.steps import WASH, Step, StepKind
from fillmark.core.day.values import PlannedDose
from fillmark.core.gates.act_gate import ActFinding, act_now, check_act, look_ahead, say_over_cap
from fillmark.core.gates.last_giving import say_last_dose, say_last_meal
from fillmark.core.gates.open_doses import OpenDose, find_open_doses
from fillmark.core.gates.stomach import find_feed_rules
from fillmark.core.record.batches import Batches, Fault
from fillmark.core.record.corrections import ShownEntry, counting_entries, may_undo
from fillmark.core.record.entries import read_entry, read_payload, session_day
from fillmark.core.record.fields import NOT_KNOWN
from fillmark.core.record.session_entries import StepDone
from fillmark.core.record.sessions import CAME_BACK, Standing
from fillmark.core.values.errors import (
    AlreadyRecorded,
    BadEntry,
    BatchNotToBeGiven,
    HeldByAnother,
    NeedsReason,
    NeedsVet,
)
from fillmark.core.values.finding import Weight
from fillmark.core.values.people import Capability, may
from fillmark.core.values.trouble import Trouble
from fillmark.services import batches, medicines, record
from fillmark.services.bedside import keep_together
from fillmark.web.bedside import Bedside, at_the_bedside
from fillmark.web.bedside.day_line import clock_of, line_of_day, session_at
from fillmark.web.bedside.todays_plan import PlannedDay, planned_for
from fillmark.web.phone.facts import gate_facts, phone_facts
from fillmark.web.walk.buttons import pause_press
from fillmark.web.walk.open_dose_screens import asked_flag
from fillmark.web.walk.presses import afterwards_payloads, open_payloads, session_payload, step_payload
from fillmark.web.walk.progress import Walk
from fillmark.web.walk.screens import Maker, shown_screen
from fillmark.web.walk.session_screens import holds_of
from fillmark.web.words import say_clock, say_entry, say_faults, say_held, say_session
from fillmark.web.writing import device_of

_STEP_PRESSES = ("step", "less", "out", "dose")


def _day_of(_request: HttpRequest, bedside: Bedside, session: str) -> date:
    return session_day(session, day_starts=bedside.home.day_starts)


def _walk_of(bedside: Bedside, session: str, planned: PlannedDay) -> Walk:
    """The walk as it stands."""
    state = session_state(bedside.side_on(session), session)
    found = planned.find(session)
    return Walk(steps=found.steps if found else (), record=state)


def _entries_of(bedside: Bedside, session: str) -> tuple[ShownEntry, ...]:
    day = session_day(session, day_starts=bedside.home.day_starts)
    shown = record.day_entries(bedside.side, day=day)
    return tuple(one for one in shown if one.kept.entry.session == session or one.kept.entry.corrects)


def _last_counting(shown: tuple[ShownEntry, ...], session: str) -> ShownEntry | None:
    return next((one for one in reversed(shown) if one.counts and one.kept.entry.session == session), None)


@dataclass(frozen=True, kw_only=True, slots=True)
class _Session:
    """One session as its page is made of it: planned, recorded, and what else bears on it now."""

    bedside: Bedside
    key: str
    planned: PlannedDay
    walk: Walk
    state: NextAndLast
    batch_facts: BatchFacts
    batches: Batches
    medicines: tuple[MedicineState, ...]
    open: tuple[OpenDose, ...]

    @property
    def doses(self) -> tuple[PlannedDose, ...]:
        found = self.planned.find(self.key)
        return found.medicines if found else ()

    @property
    def meal_ml(self) -> float:
        """Blend of its meal [mL], 0 where it has none."""
        found = self.planned.find(self.key)
        return found.meal_ml if found else 0.0

    @property
    def day(self) -> date:
        return session_day(self.key, day_starts=self.bedside.home.day_starts)

    @property
    def locked(self) -> dict[str, str]:
        """By medicine whose bottle has another strength, where that is confirmed."""
        return {
            state.medicine.id: self.bedside.href("strength", bottle=state.bottle.id)
            for state in self.medicines
            if state.is_locked and state.bottle is not None
        }

    def maker(self, finds: Mapping[str, Sequence[ActFinding]]) -> Maker:
        bedside = self.bedside
        return Maker(
            session=self.key,
            clock=clock_of(bedside, self.key),
            planned_at=session_at(bedside, self.key),
            steps=self.walk.steps,
            meal_ml=self.meal_ml,
            doses=self.planned.doses(self.key),
            names=self.planned.names,
            checks={
                dose.medicine.id: bedside.href("second_check", session=self.key, medicine=dose.medicine.id)
                for dose in self.doses
                if dose.medicine.second_check
            },
            by_mouth=[dose.medicine.id for dose in self.doses if dose.medicine.route != "tube"],
            locked=self.locked,
            bottles_href=bedside.bottles_href,
            weigh_href=f"{bedside.href('weigh')}?session={self.key}"
            if may(bedside.caregiver, what=Capability.RECORD_ANYTHING, on=bedside.today)
            else "",
            batches=self.batches if self.meal_ml else None,
            made_on=self.day,
            may_overrule=may(bedside.caregiver, what=Capability.OVERRULE_BATCH, on=bedside.today),
            test_again=_test_again(bedside, self.batches),
            lasts={
                "meal": say_last_meal(bedside.side, session=self.key),
                **{one.medicine.id: say_last_dose(bedside.side, one.medicine, last=one.last) for one in self.medicines},
            },
            too_much=self.too_much,
            back_words=self.back_words,
            finds=finds,
            people=self.people,
        )

    @property
    def back_words(self) -> str:
        """What the vet said about food that comes back up; empty where nothing is stated."""
        stored = self.bedside.side.stored
        vet = stored.plan.vet if stored else None
        said = vet.words_for(Trouble.VOMITING) if vet else None
        return f"{vet.name} said: {said}" if vet and said else ""

    @property
    def people(self) -> tuple[str, ...]:
        """Who may have given something: the plan's people, and who asks."""
        stored = self.bedside.side.stored
        named = [one.name for one in stored.plan.household.people] if stored else []
        return tuple(dict.fromkeys([*named, self.bedside.caregiver.name]))

    @property
    def too_much(self) -> str:
        """Why its meal is not offered; empty where it is."""
        stored, found = self.bedside.side.stored, self.planned.find(self.key)
        over = say_over_cap(find_feed_rules(stored.plan, found), found) if stored else None
        return over.text if over is not None and over.weight is Weight.NEEDS_VET else ""

    def finds(self, shown: str) -> dict[str, list[ActFinding]]:
        """What the gate says, by the screen that is about to do it; what cannot be has a screen of its own."""
        side, found = self.bedside.side_on(self.key), {}
        for step in self.walk.steps:
            if step.kind in (StepKind.FILL, StepKind.MEDICINE) and step.hold is None:
                for name in {f"step-{step.id}"} & {shown} | self.open_names(step):
                    found[name] = check_act(side, act_now(side, read_payload(self.step_fact("step", step, {}))))
        if shown == "is-no-entry":
            found[shown] = look_ahead(side, self.key)
        return {name: [one for one in ones if one.weight is not Weight.REFUSED] for name, ones in found.items()}

    def open_names(self, step: Step) -> set[str]:
        """The screen of a dose that stayed open when its session was over."""
        is_open = any((one.session, one.step) == (self.key, step.id) for one in self.open)
        return {f"open-{step.id}"} if is_open else set()

    def step_fact(self, what: str, step: Step, form: Mapping[str, str]) -> dict[str, Any]:
        """What a press about one of its steps writes."""
        dose = self.planned.doses(self.key).get(step.medicine_id or "", {})
        return step_payload(what, step=step, session=self.key, dose=dose, form=form)

    def flags(self, shown: str, finds: Mapping[str, Sequence[ActFinding]]) -> dict[str, bool]:
        state, faults = self.state, self.batches.faults
        weights = {one.weight for one in finds.get(shown, ())}
        doses = [step for step in self.walk.steps if step.kind is StepKind.MEDICINE]
        asked = {Weight.ASKED, Weight.NEEDS_VET}
        return {
            **{asked_flag(one): any(f.weight in asked for f in finds.get(f"open-{one.id}", ())) for one in doses},
            "read": self.has_read,
            "asked": bool(weights & asked),
            "vet": Weight.NEEDS_VET in weights,
            "batch": bool(faults),
            "old": Fault.PAST_ITS_DAY in faults,
            "past": session_at(self.bedside, self.key) < self.bedside.now,
            "next": state.next is not None and state.next.session == self.key,
            "last": state.last is not None and state.last.session == self.key,
            "stopped": state.stopped_before is not None,
            "planned": bool(self.walk.steps),
            "back": self.walk.record.reason == CAME_BACK,
            "clear": may(self.bedside.caregiver, what=Capability.RECORD_ANYTHING, on=self.bedside.today),
        }

    @property
    def has_read(self) -> bool:
        """Whether this person has read the rule for the mouth today, of the plan that is in force."""
        side, me = self.bedside.side, self.bedside.caregiver.id
        return any(
            isinstance(one.entry.payload, StepDone) and one.entry.payload.step == WASH and one.by == me
            for one in counting_entries(side.of_days(side.today, side.today))
            if side.stored is not None and one.entry.at >= side.stored.effective_from
        )

    def undo(self) -> dict[str, object] | None:
        """The last press, to be taken back; none before the first, or where one tap may not take it back."""
        last = _last_counting(_entries_of(self.bedside, self.key), self.key)
        if last is None or not may_undo(last.kept, by=self.bedside.caregiver.id):
            return None
        words = f"{say_entry(last.kept, names=self.planned.names)}, {say_clock(last.kept.entry.at, self.bedside.zone)}"
        return {"id": last.kept.entry.id, "words": words}

    def phone(self) -> dict[str, Any]:
        return phone_facts(
            self.bedside,
            self.state,
            lock=self.bedside.side.lock,
            medicines=self.medicines,
            drawn={dose.medicine.id: dose for dose in self.doses},
            here=self.key,
            steps=self.walk.steps,
            meal_ml=self.meal_ml,
            batches=self.batch_facts,
        ) | gate_facts(self.bedside, self.state)


def _session_of(bedside: Bedside, session: str) -> _Session:
    planned, batch_facts = planned_for(bedside, session), bedside.side.batch_facts
    state = next_and_last(bedside.side)
    return _Session(
        bedside=bedside,
        key=session,
        planned=planned,
        walk=_walk_of(bedside, session, planned),
        state=state,
        open=find_open_doses(bedside.side, state),
        batch_facts=batch_facts,
        batches=batch_facts.read(),
        medicines=medicines.verdicts(bedside.side),
    )


@require_GET
@at_the_bedside(day=_day_of, ahead=True)
def walk(request: HttpRequest, bedside: Bedside, *, session: str) -> HttpResponse:
    """Every screen of the session, with the one shown that fits what is recorded."""
    return _page(request, _session_of(bedside, session))


def _page(request: HttpRequest, seen: _Session, *, needs: NeedsReason | None = None) -> HttpResponse:
    """The page of a session; with what must be answered where a press was held back."""
    bedside, session = seen.bedside, seen.key
    here, known, lock = seen.walk, seen.batches, bedside.side.lock
    shown = shown_screen(
        here,
        is_mine=here.record.held_by == bedside.caregiver.id,
        is_locked=lock is not None,
        is_batch_bad=bool(known.faults),
        locked=seen.locked,
    )
    step = here.current if shown.startswith(("step-", "locked-")) else None
    today = [view.record for view in seen.state.sessions]
    finds = seen.finds(shown)
    context = {
        "bedside": bedside,
        "session": session,
        "clock": clock_of(bedside, session),
        "walk": here,
        "screens": list(seen.maker(finds).screens()),
        "shown": shown,
        "is_step": step is not None,
        "pause": pause_press(session, names=seen.planned.names),
        "flags": seen.flags(shown, finds),
        "needs": needs,
        "pressed": [(name, value) for name, value in request.POST.items() if name not in _OF_EACH_PRESS],
        "planned": seen.planned,
        "meal_ml": seen.meal_ml,
        "so_far": say_session(here.record, planned_ml=seen.meal_ml, zone=bedside.zone),
        "went_in": here.record.blend.low_ml if here.record.blend else 0,
        "under": f"Step {here.place} of {len(here.steps)}" if step else f"The {session[11:]} session",
        "lock": lock,
        "batch": known.in_use,
        "held": _held(bedside),
        "ends": bedside.side.plan.ends if bedside.side.stored else None,
        "batch_faults": say_faults(known.faults),
        "held_by": here.record.held_by_name,
        "stopped_before": seen.state.stopped_before,
        "undo": seen.undo(),
        "unwritten": here.find(request.GET.get("unwritten", "")),
        "line": line_of_day(bedside, day=seen.day, records=today if seen.day == bedside.today else [here.record]),
        "day_href": bedside.href("day"),
        "calls_href": f"{bedside.href('calls')}?in={session}",
        "press_href": bedside.href("press", session=session),
        "entry_id": record.new_entry_id(now=bedside.now),
        "phone": seen.phone(),
    }
    return render(request, "walk/walk.html", context, status=400 if needs else 200)


_OF_EACH_PRESS = ("csrfmiddlewaretoken", "entry_id", "shown", "zone", "why")
"""Fields that each press has of its own."""


def _held(bedside: Bedside) -> str:
    """How the batch in use differs from the plan's mix; empty where it does not, or is not known."""
    found = batches.held(bedside.side)
    if found is None or not found.percent:
        return ""
    return f"{say_held(found.percent)} The mark stays as the plan has it."


def _test_again(bedside: Bedside, known: Batches) -> str:
    """Where the batch in use is tested once more; empty for who may not write that down."""
    batch = known.in_use
    if batch is None or not may(bedside.caregiver, what=Capability.RECORD_ANYTHING, on=bedside.today):
        return ""
    return f"{bedside.href('flow_test')}?{urlencode({'batch': batch.label, 'made_on': batch.made_on})}"


_QUIET = timedelta(milliseconds=500)
"""Nobody reads a step and presses within this time of its being shown: it is the rest of a double tap."""


def _is_rest_of_a_tap(form: QueryDict, *, now: datetime) -> bool:
    """Whether a press comes so soon after its page was made that it was meant for the page before."""
    shown = form.get("shown")
    if not shown:
        return False
    shown_millis = _read_id(shown).int >> 80
    return timedelta(0) <= timedelta(milliseconds=now.timestamp() * 1000 - shown_millis) < _QUIET


@require_POST
@at_the_bedside(day=_day_of, ahead=True)
def press(request: HttpRequest, bedside: Bedside, *, session: str) -> HttpResponse:
    """Record what a press says, from a browser without JavaScript, and go on from what the record then holds."""
    form = request.POST
    what = form.get("what", "")
    entry_id = _read_id(form.get("entry_id", ""))
    to_walk = redirect("walk", animal_id=bedside.animal.id, session=session)
    if _is_rest_of_a_tap(form, now=bedside.now):
        return to_walk
    seen = _session_of(bedside, session)
    if record.is_recorded(household_id=bedside.home.id, entry_id=entry_id) or _is_overtaken(seen, form):
        return to_walk
    step = seen.walk.find(form.get("step", ""))
    payloads = _payloads_of(seen, form)
    if why := form.get("why", "").strip()[:2000]:
        payloads[0] |= {"reason": why} | _despite(seen, payloads[0])
    entries = [
        read_entry(
            {
                "id": str(UUID(int=(entry_id.int + place) % (1 << 128))),
                "animal_id": str(bedside.animal.id),
                "at": _dated(seen, form).isoformat(),
                "zone": form.get("zone") or bedside.home.time_zone,
                "device": device_of(request),
                "payload": payload,
                "corrects": form["undo"] if what == "undo" else None,
            }
        )
        for place, payload in enumerate(payloads)
    ]
    try:
        keep_together(
            household_id=bedside.home.id,
            by=bedside.caregiver.id,
            entries=entries,
            now=bedside.now,
            fresh=() if "again" in form else {entry_id},
        )
    except AlreadyRecorded:
        return redirect(f"{to_walk.url}?{urlencode({'unwritten': step.id})}") if step else to_walk
    except (HeldByAnother, BatchNotToBeGiven, NeedsVet):
        return to_walk
    except NeedsReason as needs:
        return _page(request, seen, needs=needs)
    except BadEntry:  # a second tap is the same press with a later date: it changes nothing
        if not record.is_recorded(household_id=bedside.home.id, entry_id=entry_id):
            raise
    if what in ("end", "leave", "afterwards", "open"):
        return redirect("now_of", animal_id=bedside.animal.id)
    return to_walk


def _dated(seen: _Session, form: QueryDict) -> datetime:
    """When it happened: now, at the session's time, or when somebody says that a dose was given."""
    is_unknown = form.get("what") == "open" and form.get("outcome") == NOT_KNOWN
    if form.get("what") == "afterwards" or is_unknown:
        return session_at(seen.bedside, seen.key)
    dated = form.get("dated", "")
    if form.get("what") != "open" or not dated:
        return seen.bedside.now
    try:
        at = datetime.fromisoformat(dated)
    except ValueError:
        at = None
    if at is None or at.tzinfo is None or at > seen.bedside.now:
        raise BadEntry(
            field="dated",
            got=f'"{dated[:40]}" for when it was given',
            allowed="a time that is behind",
            remedy="Choose the time again.",
        )
    return at


def _is_overtaken(seen: _Session, form: QueryDict) -> bool:
    """Whether its screen is not shown: an end with steps open, an undo of what is not one's own last press."""
    here, what = seen.walk, form.get("what", "")
    if what == "undo":
        last = _last_counting(_entries_of(seen.bedside, seen.key), seen.key)
        if last is None or last.kept.entry.id != _read_id(form.get("undo", "")):
            return True
        return not may_undo(last.kept, by=seen.bedside.caregiver.id)
    is_open = here.record.standing is Standing.IN_HAND and (here.current is not None or not here.steps)
    return what == "end" and is_open


def _payloads_of(seen: _Session, form: QueryDict) -> list[dict[str, Any]]:
    """What a press writes.

    Raises:
        BadEntry: it is none of this session.
    """
    what, step_id = form.get("what", ""), form.get("step", "")
    if what == "undo":
        return [{"kind": "withdrawn", "reason": "Pressed by mistake"}]
    if what == "afterwards":
        found = seen.planned.find(seen.key)
        return afterwards_payloads(
            session=seen.key,
            doses=seen.planned.doses(seen.key),
            held=holds_of(found.steps) if found else {},
            meal_ml=seen.meal_ml,
            form=form,
        )
    if what not in (*_STEP_PRESSES, "open"):
        return [session_payload(what, session=seen.key, form=form)]
    step = seen.walk.find(step_id)
    if step is None:
        raise BadEntry(
            field="step",
            got=f'The step "{step_id[:40]}", which this session does not have now',
            allowed="a step of the plan in force",
            remedy="Go back to the session; the plan may have changed meanwhile.",
        )
    if what == "open":
        dose = seen.planned.doses(seen.key).get(step.medicine_id or "", {})
        return open_payloads(step=step, session=seen.key, dose=dose, form=form)
    return [seen.step_fact(what, step, form)]


def _despite(seen: _Session, payload: dict[str, Any]) -> dict[str, Any]:
    """The doses that one given with a reason stands too close to."""
    if payload["kind"] != "medicine_given":
        return {}
    side = seen.bedside.side_on(seen.key)
    found = check_act(side, act_now(side, read_payload(payload)))
    close = dict.fromkeys(str(dose) for one in found for dose in one.despite)
    return {"despite": list(close)} if close else {}


def _read_id(text: str) -> UUID:
    try:
        return UUID(text)
    except ValueError:
        raise BadEntry(
            field="entry_id",
            got="A press without its id",
            allowed="the id that the page made",
            remedy="Go back, load the page anew and press again.",
        ) from None
