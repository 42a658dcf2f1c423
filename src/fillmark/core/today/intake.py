"""What went in, came back and stayed of one day's meals and water, in mL and kcal, beside what was planned."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from math import fsum

from fillmark.core.day.values import DayPlan, PlannedSession
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record.amounts import NOTHING, Amount, add_up
from fillmark.core.record.care_entries import Drank
from fillmark.core.record.entries import KeptEntry
from fillmark.core.record.ledger import DayLedger
from fillmark.core.record.medicine_entries import Outcome
from fillmark.core.record.sessions import Dose, SessionRecord, Standing
from fillmark.core.tube.water import WaterBand, WaterIn, WaterLedger, metabolic_water_from_energy, water_ledger
from fillmark.core.values.explain import Explained

_MAY_BE_IN = (Outcome.PARTIAL, Outcome.CAME_BACK, Outcome.SPILLED, Outcome.NOT_KNOWN)
_OPEN = (Standing.IN_HAND, Standing.PAUSED)


@dataclass(frozen=True, kw_only=True, slots=True)
class MealIntake:
    """One meal. `None` for an amount means that nothing was recorded: it is never 0.

    Attributes:
        planned_ml: Blend planned for it [mL]; none where the plan does not know it.
        is_to_come: Its time has not come, and nobody has begun.
    """

    session: str
    planned_ml: float | None
    went_in: Amount | None
    back: Amount | None
    kept: Amount | None
    standing: Standing
    is_to_come: bool

    @property
    def is_silent(self) -> bool:
        """Its time is past and nobody wrote anything about its blend."""
        return self.went_in is None and not self.is_to_come and self.standing not in (Standing.SKIPPED, *_OPEN)


@dataclass(frozen=True, kw_only=True, slots=True)
class Drunk:
    """Water by mouth in one day, as far as it was written down.

    Attributes:
        ml: What was measured, together [mL].
        unmeasured: How often it drank and nobody knows how much.
    """

    ml: float = 0.0
    unmeasured: int = 0


NOTHING_DRUNK = Drunk()


def water_drunk(entries: Iterable[KeptEntry], *, day: date) -> Drunk:
    """What the animal drank in one day.

    Args:
        entries: Those that count, in any order.
        day: The household's day.
    Source:
        the record
    """
    amounts = [one.entry.payload.ml for one in entries if one.day == day and isinstance(one.entry.payload, Drank)]
    measured = [ml for ml in amounts if not isinstance(ml, str)]
    return Drunk(ml=fsum(measured), unmeasured=len(amounts) - len(measured))


@dataclass(frozen=True, kw_only=True, slots=True)
class DayIntake:
    """One day: its meals, its energy, its water.

    Attributes:
        meals: In the order of the day.
        kcal_per_ml: Energy of this day's blend.
        goal_kcal: The vet's energy goal of the day [kcal].
        kept: What went in, less what came back [mL]; none where nothing was recorded.
        kcal_per_ml_of: Energy of what a meal was fed from, by its session, where its batch was made otherwise.
        to_come_ml: Blend of the meals still to come, or begun, as planned [mL].
        silent: How many sessions nobody wrote anything about.
        water_so_far: The day's water by the record, least and most [mL].
        water_parts: The same by where it came from.
        water_by_the_end: The day's water if all that is still to come goes in as planned, least and most.
        metabolic_ml: What the body makes from the energy kept, low and high of print [mL]. It counts in no band.
    """

    meals: tuple[MealIntake, ...]
    kcal_per_ml: float
    goal_kcal: float
    planned_ml: float
    went_in: Amount | None
    back: Amount | None
    kept: Amount | None
    kcal_per_ml_of: Mapping[str, float]
    to_come_ml: float
    silent: int
    water_so_far: Amount
    water_parts: tuple[tuple[str, Amount], ...]
    water_by_the_end: tuple[Explained[WaterLedger], Explained[WaterLedger]]
    metabolic_ml: Explained[tuple[float, float]]

    def kcal(self, amount: Amount) -> tuple[float, float]:
        """The energy in this much of the day's blend, least and most [kcal]."""
        return amount.low_ml * self.kcal_per_ml, amount.high_ml * self.kcal_per_ml

    @property
    def kcal_went_in(self) -> tuple[float, float]:
        """The energy of what went in, each meal by the batch it was fed from, least and most [kcal]."""
        return self._by_batch(self.went_in, [(one.session, one.went_in) for one in self.meals])

    @property
    def kcal_back(self) -> tuple[float, float]:
        """The energy of what came back, least and most [kcal]."""
        return self._by_batch(self.back, [(one.session, one.back) for one in self.meals])

    @property
    def kcal_kept(self) -> tuple[float, float]:
        """The energy of what stayed in, least and most [kcal]."""
        return self._by_batch(self.kept, [(one.session, one.kept) for one in self.meals])

    def _by_batch(self, total: Amount | None, parts: Iterable[tuple[str, Amount | None]]) -> tuple[float, float]:
        low, high = self.kcal(total or NOTHING)
        for session, amount in parts:
            if amount is not None and session in self.kcal_per_ml_of:
                apart = self.kcal_per_ml_of[session] - self.kcal_per_ml
                low, high = low + apart * amount.low_ml, high + apart * amount.high_ml
        return low, high


def read_intake(
    ledger: DayLedger,
    *,
    plan: CarePlan,
    day: DayPlan,
    now: datetime,
    drunk: Drunk = NOTHING_DRUNK,
    kcal_per_ml_of: Mapping[str, float] | None = None,
) -> DayIntake:
    """What one day's record comes to in blend, energy and water.

    What came back is taken off, and its water with it. A session without an entry counts as nothing, and is counted as
    silent.

    Args:
        ledger: What the record of the day adds up to.
        plan: The plan in force.
        day: The day as that plan has it.
        now: The present instant; after it, sessions are still to come.
        drunk: What the animal drank by itself.
        kcal_per_ml_of: Energy of what a meal was fed from, where that was written down [kcal/mL].
    Source:
        the record, and the vet's band or water.*
    """
    planned = {session.key: session for session in day.sessions}
    records = {line.record.session: line.record for line in ledger.lines}
    to_come = [_still_due(session, records.get(key), now) for key, session in planned.items()]
    low, high, ends = _water(ledger, plan=plan, day=day, to_come=to_come, drunk=drunk)
    return DayIntake(
        meals=_meals(ledger, planned, now),
        kcal_per_ml=day.kcal_per_ml.value,
        goal_kcal=day.energy.value,
        planned_ml=ledger.planned_ml or 0.0,
        went_in=ledger.blend,
        back=ledger.back,
        kept=ledger.kept,
        kcal_per_ml_of=kcal_per_ml_of or {},
        to_come_ml=sum(due.blend_ml for due in to_come),
        silent=_silent(ledger, planned, now),
        water_so_far=Amount(low.total_ml, high.total_ml),
        water_parts=(
            ("in the food", Amount(low.food_ml, high.food_ml)),
            ("stirred into the blend", Amount(low.added_ml, high.added_ml)),
            ("flushes", Amount(low.flush_ml, high.flush_ml)),
            ("with medicines", Amount(low.carrier_ml, high.carrier_ml)),
            ("by mouth", Amount(low.by_mouth_ml, high.by_mouth_ml)),
        ),
        water_by_the_end=ends,
        metabolic_ml=metabolic_water_from_energy(kcal=(ledger.kept or NOTHING).low_ml * day.kcal_per_ml.value),
    )


def _meals(ledger: DayLedger, planned: Mapping[str, PlannedSession], now: datetime) -> tuple[MealIntake, ...]:
    return tuple(
        MealIntake(
            session=line.record.session,
            planned_ml=line.planned_ml,
            went_in=line.record.blend,
            back=line.record.back,
            kept=line.record.kept,
            standing=line.record.standing,
            is_to_come=_is_to_come(planned.get(line.record.session), line.record, now),
        )
        for line in ledger.lines
        if line.planned_ml or line.record.blend is not None
    )


def _silent(ledger: DayLedger, planned: Mapping[str, PlannedSession], now: datetime) -> int:
    """How many sessions whose time is past have no entry."""
    return sum(
        line.record.standing is Standing.NO_ENTRY
        and not _is_to_come(planned.get(line.record.session), line.record, now)
        for line in ledger.lines
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class _Due:
    """What one session would still bring as planned [mL]."""

    blend_ml: float = 0.0
    flush_ml: float = 0.0
    carrier_ml: float = 0.0


def _water(
    ledger: DayLedger, *, plan: CarePlan, day: DayPlan, to_come: Sequence[_Due], drunk: Drunk
) -> tuple[WaterIn, WaterIn, tuple[Explained[WaterLedger], Explained[WaterLedger]]]:
    """The day's water so far, least and most, and each with all that is still to come."""
    batch_kcal, batch_water_ml = day.batch.value
    batch_ml = batch_kcal / day.kcal_per_ml.value
    added_fraction = plan.blend.water_ml / batch_ml
    food_fraction = batch_water_ml / batch_ml - added_fraction
    kept, flush = ledger.kept or NOTHING, ledger.flush or NOTHING
    carriers = add_up(_carriers(ledger, {session.key: session for session in day.sessions}))
    weight_kg, band = plan.animal.weight.weight_kg, plan.orders.water_ml_per_kg_per_day
    vets_band = WaterBand(low_ml=band.low * weight_kg, high_ml=band.high * weight_kg) if band else None

    def water(ml: float, flush_ml: float, carrier_ml: float) -> WaterIn:
        return WaterIn(
            food_ml=ml * food_fraction,
            added_ml=ml * added_fraction,
            flush_ml=flush_ml,
            carrier_ml=carrier_ml,
            by_mouth_ml=drunk.ml,
        )

    def at_the_end(so_far: WaterIn) -> Explained[WaterLedger]:
        blend_ml = sum(due.blend_ml for due in to_come)
        return water_ledger(
            WaterIn(
                food_ml=so_far.food_ml + blend_ml * food_fraction,
                added_ml=so_far.added_ml + blend_ml * added_fraction,
                flush_ml=so_far.flush_ml + sum(due.flush_ml for due in to_come),
                carrier_ml=so_far.carrier_ml + sum(due.carrier_ml for due in to_come),
                by_mouth_ml=so_far.by_mouth_ml,
            ),
            species=plan.animal.species,
            weight_kg=weight_kg,
            vets_band=vets_band,
            kcal_per_day=day.energy.value,
        )

    low = water(kept.low_ml, flush.low_ml, carriers.low_ml)
    high = water(kept.high_ml, flush.high_ml, carriers.high_ml)
    return low, high, (at_the_end(low), at_the_end(high))


def _is_to_come(session: PlannedSession | None, record: SessionRecord | None, now: datetime) -> bool:
    nobody_began = record is None or record.standing is Standing.NO_ENTRY
    return session is not None and nobody_began and session.at > now


def _still_due(session: PlannedSession, record: SessionRecord | None, now: datetime) -> _Due:
    """All of a session still to come; of one in hand, what is not in yet; of any other, nothing."""
    carrier_ml = sum(dose.water_ml for dose in session.medicines)
    if _is_to_come(session, record, now):
        return _Due(blend_ml=session.meal_ml, flush_ml=session.flush_ml, carrier_ml=carrier_ml)
    if record is None or record.standing not in _OPEN:
        return _Due()
    given = {dose.medicine for dose in record.doses}
    return _Due(
        blend_ml=max(0.0, session.meal_ml - (record.blend or NOTHING).low_ml),
        flush_ml=max(0.0, session.flush_ml - (record.flush or NOTHING).low_ml),
        carrier_ml=sum(dose.water_ml for dose in session.medicines if dose.medicine.id not in given),
    )


def _carriers(ledger: DayLedger, planned: dict[str, PlannedSession]) -> Iterator[Amount]:
    """The water of each recorded dose, as the plan draws it up; of one that went in in part, from nothing to all."""
    for line in ledger.lines:
        session = planned.get(line.record.session)
        water_of = {dose.medicine.id: dose.water_ml for dose in session.medicines} if session else {}
        for dose in line.record.doses:
            yield _carrier(dose, water_of.get(dose.medicine, 0.0))


def _carrier(dose: Dose, water_ml: float) -> Amount:
    if dose.outcome is Outcome.GIVEN:
        return Amount(water_ml, water_ml * dose.times)
    return Amount(0.0, water_ml * dose.times) if dose.outcome in _MAY_BE_IN else NOTHING
