"""What is in the stomach: which meals began too short a time ago, and how much went in since then and stayed?"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from fillmark.core.day.values import PlannedSession
from fillmark.core.doses.giving import NOT_TAKEN
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.vet import VetAnswer
from fillmark.core.record.corrections import counting_entries
from fillmark.core.record.entries import KeptEntry
from fillmark.core.record.fields import NOT_KNOWN
from fillmark.core.record.medicine_entries import MedicineGiven
from fillmark.core.record.session_entries import CameBack, FillGiven, FlushGiven, MealEnded
from fillmark.core.record.sessions import read_one_session
from fillmark.core.timetable.clock import write_duration
from fillmark.core.today.duties import shortest_meal_gap
from fillmark.published.medicine import ROLLING_DAY_HOURS


@dataclass(frozen=True, kw_only=True, slots=True)
class FeedRules:
    """What a plan says about food in the stomach.

    Attributes:
        gap: From the start of one meal to the start of the next, at least.
        gap_words: The same as a clause, with whose word it is.
        gap_ask: What to ask the vet, where the vet stated none; empty otherwise.
        most_ml: The most at once, by the vet's cap or a larger amount the vet allowed for this [mL]; none without one.
        cap_ml_per_kg: The vet's cap [mL/kg]; none where none is stated.
        vet_word: What the vet said about a session over the cap, where that covers it.
        water_ml: By medicine that reaches the stomach: the water it is given in, where its mL are not recorded [mL].
        before_food: By medicine, how long before food it belongs [minutes].
        meals_a_day: How many meals a day has; 0 where nobody has said.
        day: The span in which they are counted: a day, less so much as a meal may come early [the gap].
    """

    gap: timedelta
    gap_words: str
    gap_ask: str
    weight_kg: float
    most_ml: float | None
    cap_ml_per_kg: float | None
    vet_word: VetAnswer | None
    water_ml: Mapping[str, float]
    before_food: Mapping[str, float]
    meals_a_day: int
    day: timedelta


def find_feed_rules(plan: CarePlan, planned: PlannedSession | None) -> FeedRules:
    """What holds of food in one session.

    Args:
        plan: The plan in force.
        planned: The session as it is to come; none where the plan has none of its name.
    Source:
        the vet's orders; timetable.meal_gap where the vet stated no gap; medicine.rolling_day
    """
    gap, weight_kg, cap = shortest_meal_gap(plan), plan.animal.weight.weight_kg, plan.orders.cap_ml_per_kg
    least = write_duration(gap.value)
    # rounded as it was put to the vet
    amount = round(planned.load.value.ml_per_kg, 1) if planned else 0.0
    word = plan.vet.answer_to("over-cap", amount=amount)
    allowed = cap if word is None or cap is None else max(cap, amount)
    return FeedRules(
        gap=timedelta(minutes=gap.value),
        gap_words=f"at least {least} lie between two meals by the vet's order"
        if plan.orders.meal_gap_hours is not None
        else f"{least} is used as the least time between two meals",
        gap_ask=""
        if plan.orders.meal_gap_hours is not None
        else " The vet stated no shortest time between two meals: ask the vet.",
        weight_kg=weight_kg,
        most_ml=None if allowed is None else allowed * weight_kg,
        cap_ml_per_kg=cap,
        vet_word=word,
        water_ml={
            one.id: 0.0 if one.is_drawn else one.carrier_water_ml or 0.0
            for one in plan.medicines
            if one.route in ("tube", "mouth")
        },
        before_food={
            one.id: one.food.minutes
            for one in plan.medicines
            if one.food.relation in ("before", "empty stomach") and one.food.minutes is not None
        },
        meals_a_day=plan.meals_a_day,
        day=timedelta(hours=ROLLING_DAY_HOURS.value, minutes=-gap.value),
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class MealBegan:
    """A meal that went in, or may have: when it began, and who wrote that."""

    session: str
    began_at: datetime
    by_name: str


@dataclass(frozen=True, kw_only=True, slots=True)
class InStomach:
    """What went in before an act, as far as it bears on it.

    Attributes:
        meals: The meals of other sessions that began within the gap, oldest first.
        day_meals: Those that began within the day before, oldest first.
        before_ml: What went in since the gap began, outside of this session, and stayed; at the most [mL].
        own_ml: What went in in this session and stayed; at the most [mL].
        newest_at: When the newest of what is counted in `before_ml` went in; none where nothing did.
        free_at: From when on none of it counts any more; none where nothing does.
    """

    meals: tuple[MealBegan, ...]
    day_meals: tuple[MealBegan, ...]
    before_ml: float
    own_ml: float
    newest_at: datetime | None
    free_at: datetime | None


_GOES_IN = (FillGiven, FlushGiven, MealEnded, MedicineGiven)


def find_meals(counting: Iterable[KeptEntry]) -> tuple[MealBegan, ...]:
    """Every meal that went in or may have, oldest first.

    Args:
        counting: Entries that count, in the order they happened.
    """
    found: dict[str, MealBegan] = {}
    for one in counting:
        payload = one.entry.payload
        if not isinstance(payload, FillGiven | MealEnded) or payload.session in found:
            continue
        ml = payload.ml if isinstance(payload, FillGiven) else payload.total_ml
        if ml == NOT_KNOWN or ml > 0:  # type: ignore[operator]
            found[payload.session] = MealBegan(
                session=payload.session, began_at=one.entry.at.astimezone(UTC), by_name=one.by_name
            )
    return tuple(found.values())


def read_stomach(
    entries: Iterable[KeptEntry], *, rules: FeedRules, session: str, at: datetime, now: datetime
) -> InStomach:
    """What went in before an act and still counts; nobody's guess: the most that the record allows.

    Args:
        entries: All of the last day at least, with everything that corrects them.
        rules: What the plan says about food.
        session: The session of the act.
        at: When it is done.
        now: The present instant.
    Source:
        the record, the vet's orders
    """
    counting, instant = counting_entries(entries), at.astimezone(UTC)
    by_session: dict[str, list[KeptEntry]] = defaultdict(list)
    for one in counting:
        by_session[one.entry.session or ""].append(one)
    inside: list[tuple[datetime, datetime, float]] = []
    for name, mine in by_session.items():
        if name == session or not name:
            continue
        went_in = [one.entry.at.astimezone(UTC) for one in mine if _goes_in(one, rules)]
        if went_in and went_in[0] > instant - rules.gap:
            inside.append((went_in[0], went_in[-1], _kept_ml(name, mine, rules=rules, now=now)))
    loose = [one for one in by_session.get("", ()) if one.entry.at.astimezone(UTC) > instant - rules.gap]
    inside += [
        (at_, at_, _dose_ml(one, rules))
        for one in loose
        if _goes_in(one, rules)
        for at_ in [one.entry.at.astimezone(UTC)]
    ]
    back = sum(
        one.entry.payload.ml
        for one in loose
        if isinstance(one.entry.payload, CameBack) and not isinstance(one.entry.payload.ml, str)
    )
    counted = [one for one in inside if one[2] > 0]
    others = [meal for meal in find_meals(counting) if meal.session != session]
    return InStomach(
        meals=tuple(meal for meal in others if abs(instant - meal.began_at) < rules.gap),
        day_meals=tuple(meal for meal in others if timedelta(0) <= instant - meal.began_at < rules.day),
        before_ml=max(0.0, sum(ml for _, _, ml in inside) - back),
        own_ml=_kept_ml(session, by_session.get(session, ()), rules=rules, now=now),
        newest_at=max((last for _, last, _ in counted), default=None),
        free_at=max((first for first, _, _ in counted), default=instant - rules.gap) + rules.gap if counted else None,
    )


def _goes_in(one: KeptEntry, rules: FeedRules) -> bool:
    payload = one.entry.payload
    if isinstance(payload, MedicineGiven):
        return payload.medicine in rules.water_ml and payload.outcome not in NOT_TAKEN
    return isinstance(payload, _GOES_IN)


def _dose_ml(one: KeptEntry, rules: FeedRules) -> float:
    payload = one.entry.payload
    if not isinstance(payload, MedicineGiven) or not _goes_in(one, rules):
        return 0.0
    return float(payload.ml) if payload.ml is not None else rules.water_ml[payload.medicine]


def _kept_ml(session: str, mine: Sequence[KeptEntry], *, rules: FeedRules, now: datetime) -> float:
    """Blend, water and medicines of a session, less what surely came back [mL]."""
    record = read_one_session(session, mine, now)
    went_in = (record.blend.high_ml if record.blend else 0.0) + (record.flush.high_ml if record.flush else 0.0)
    back = record.back.low_ml if record.back else 0.0
    return max(0.0, went_in + sum(_dose_ml(one, rules) for one in mine) - back)
