"""Where each medicine stands, what a new bottle changes, and its confirmation."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db import transaction

from fillmark.core.bedside.side import Doses, Side, first_dose_day
from fillmark.core.bedside.versions import StoredPlan
from fillmark.core.chart.dose_questions import DoseQuestion, find_questions
from fillmark.core.chart.medicine_states import MedicineState, read_medicines
from fillmark.core.doses.bottle_in_use import (
    Bottle,
    newest_bottles,
    strength_lock,
    strength_number,
    strength_of,
    with_strength,
)
from fillmark.core.doses.bottles import Stock, read_stock
from fillmark.core.orders.medicine import Medicine
from fillmark.core.orders.slips import find_slip
from fillmark.core.orders.strength_change import StrengthChange, strength_change
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record.corrections import counting_entries
from fillmark.core.record.entries import Entry
from fillmark.core.record.medicine_entries import StrengthConfirmed
from fillmark.core.record.standing import BOTTLE_KINDS
from fillmark.core.values.errors import BadPlan, FillmarkError
from fillmark.services import bedside, plans, record
from fillmark.services.plans import Confirmation

__all__ = ["StoredPlan"]


def verdicts(side: Side) -> tuple[MedicineState, ...]:
    """Where each medicine of the plan stands now, in the plan's order; none before the first plan.

    Answers "did I give that today?", "may I give it now?", "when next?", and what a person must answer first.
    """
    doses = side.doses(at=side.now)
    if doses is None:
        return ()
    return read_medicines(doses.plan, orders=doses.orders, entries=doses.entries, now=side.now)


def find_locks(side: Side) -> dict[str, str]:
    """Why nothing is drawn of a medicine of the plan in force, by its id: the bottle in use has another strength.

    Args:
        side: The animal's side, with the bottles whenever they were opened.
    """
    bottles = newest_bottles(counting_entries(side.of_kinds(BOTTLE_KINDS)))
    medicines = side.stored.plan.medicines if side.stored else ()
    locks = {one.id: strength_lock(one, bottle=bottles.get(one.id)) for one in medicines}
    return {medicine: lock for medicine, lock in locks.items() if lock is not None}


def open_questions(side: Side, *, first: date, last: date) -> tuple[DoseQuestion, ...]:
    """The open questions about doses on these days: too close together, or too many."""
    doses = _reaching_back(side, _back_to(side.now, first))
    if doses is None:
        return ()
    questions = find_questions(
        counting_entries(doses.entries), orders=doses.orders, time_zone=doses.plan.household.time_zone
    )
    return tuple(question for question in questions if any(first <= one.kept.day <= last for one in question.givings))


def questions_since(now: datetime, first: date) -> date:
    """From which day on entries bear on the questions of a day and later ones."""
    return first_dose_day(now, _back_to(now, first))


def _back_to(now: datetime, first: date) -> timedelta:
    return timedelta(days=max(0, (now.date() - first).days + 2))


def _reaching_back(side: Side, back: timedelta) -> Doses | None:
    since = first_dose_day(side.now, back)
    return bedside.widen(side, kinds_since=since).doses(at=side.now, back=back)


def stock(side: Side) -> tuple[Stock, ...]:
    """The bottle in use of each medicine, in the plan's order; none before the first plan.

    What was drawn is read back to the opening of the oldest bottle in use, however long ago that was.
    """
    bottles = newest_bottles(counting_entries(side.of_kinds(BOTTLE_KINDS)))
    ordered = {medicine.id for medicine in side.stored.plan.medicines} if side.stored else set()
    in_use = [bottle.opened_at for bottle in bottles.values() if bottle.medicine_id in ordered]
    oldest = min(in_use, default=side.now)
    doses = _reaching_back(side, side.now - oldest)
    if doses is None:
        return ()
    counting = counting_entries(doses.entries)
    questions = find_questions(counting, orders=doses.orders, time_zone=doses.plan.household.time_zone)
    return read_stock(
        doses.plan,
        entries=counting,
        order_at=lambda medicine_id, at: doses.orders.find(medicine_id=medicine_id, at=at),
        doubtful=frozenset(one.id for question in questions for one in question.givings[1:]),
        now=side.now,
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class StrengthToConfirm:
    """What a bottle of another strength changes, to be read before it is confirmed.

    Attributes:
        medicine: The order in force.
        changed: The same order from the new bottle.
        lock: Why the medicine is locked; none where it is not.
        change: Old and new amount for the hand; none where one of them cannot be drawn.
        problem: Why it cannot be drawn.
        slip: Which slip of a pen would turn one strength into the other, in words.
        plan: The plan with the changed order.
    """

    medicine: Medicine
    changed: Medicine
    bottle: Bottle
    lock: str | None
    change: StrengthChange | None
    problem: str | None
    slip: str | None
    plan: CarePlan


def strength_to_confirm(side: Side, *, bottle: UUID) -> StrengthToConfirm:
    """What this bottle changes for the hand.

    Raises:
        BadPlan: it is not the bottle in use of a medicine of the plan.
    """
    doses = side.doses(at=side.now)
    if doses is not None:
        bottles = newest_bottles(counting_entries(doses.entries))
        for medicine in doses.plan.medicines:
            if medicine.id in bottles and bottles[medicine.id].id == bottle:
                today = side.now.astimezone(ZoneInfo(doses.plan.household.time_zone)).date()
                return _compare(medicine, bottles[medicine.id], doses.plan, today=today)
    raise BadPlan(
        field="bottle",
        got="A bottle that is not in use",
        allowed="the bottle that was opened last for a medicine of the plan",
        remedy="Go back to the bottles and choose again.",
    )


def _compare(medicine: Medicine, bottle: Bottle, plan: CarePlan, *, today: date) -> StrengthToConfirm:
    changed = with_strength(medicine, strength=bottle.strength)
    weight_kg = plan.animal.weight.weight_kg
    change, problem = None, None
    try:
        change = strength_change(
            old=medicine, new=changed, weight_kg=weight_kg, syringes=plan.medicine_syringes, on=today
        )
    except FillmarkError as error:
        problem = str(error)
    old, new = strength_number(strength_of(medicine)), strength_number(strength_of(changed))
    medicines = tuple(changed if one.id == medicine.id else one for one in plan.medicines)
    return StrengthToConfirm(
        medicine=medicine,
        changed=changed,
        bottle=bottle,
        lock=strength_lock(medicine, bottle=bottle),
        change=change,
        problem=problem,
        slip=find_slip(value=new, reference=old) if old and new else None,
        plan=plan.model_copy(update={"medicines": medicines}),
    )


@transaction.atomic
def confirm_strength(
    confirmed: Confirmation, *, animal_id: UUID, bottle: UUID, typed: str, entry_id: UUID, device: str
) -> StoredPlan:
    """Take the strength of the bottle in use into the plan; the medicine is locked no more.

    Args:
        confirmed: The lead who read the label, and what the vet or the pharmacist said about it.
        animal_id: Of which animal.
        bottle: The entry of the bottle.
        typed: The strength, typed once more from the label.
        entry_id: The id of the press; pressed twice, it is still one confirmation.
        device: Which device wrote it.
    Raises:
        BadPlan: the bottle is not in use, or what is typed is not what was written down for it.
        CannotDraw: the dose cannot be drawn from it; the plan stays as it is.
        NotAllowed: this person may not change the plan.
    """
    plans.check_may_change(confirmed)
    household_id, by, now = confirmed.household_id, confirmed.by, confirmed.now
    side = bedside.load_by_ids(household_id=household_id, by=by, animal_id=animal_id, now=now)
    current = side.stored
    if current is not None and record.is_recorded(household_id=household_id, entry_id=entry_id):
        return current
    found = strength_to_confirm(side, bottle=bottle)
    _check_typed(typed.strip(), found)
    stored = plans.adopt_plan(confirmed, animal_id=animal_id, document=found.plan, effective_from=now)
    payload = StrengthConfirmed(
        medicine=found.medicine.id, bottle=bottle, old=found.medicine.strength, new=found.bottle.strength
    )
    entry = Entry(
        id=entry_id,
        animal_id=animal_id,
        at=now,
        zone=found.plan.household.time_zone,
        device=device,
        payload=payload,
    )
    record.record_entry(household_id=household_id, by=by, entry=entry, now=now, is_fresh=True)
    return stored


def _check_typed(typed: str, found: StrengthToConfirm) -> None:
    read = strength_of(with_strength(found.medicine, strength=typed))
    if read is None or read != strength_of(found.changed):
        raise BadPlan(
            field="typed",
            got=f'"{typed[:40]}" read from the label, when the bottle was written down with {found.bottle.strength}',
            allowed=found.bottle.strength,
            remedy="Read the label with a second person. If the bottle was written down wrongly, correct that entry "
            "first.",
        )
