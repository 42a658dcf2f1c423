"""Which pages make a plan, in the order in which the answers lie on the table?"""

from functools import cache

from fillmark.core.plan.answers import Raw
from fillmark.core.plan.questions import Page


def _is_liquid(medicine: Raw) -> bool:
    return medicine.get("form") not in ("tablet", "capsule", "powder")


def _has_energy(food: Raw) -> bool:
    return isinstance(food.get("label"), dict)


def _is_when_needed(medicine: Raw) -> bool:
    return isinstance(medicine.get("when_needed"), dict)


PAGES = (
    Page(
        key="animal",
        place="animal",
        title="The animal",
        asks=("name", "species", "by_mouth", "starved"),
        more=("sex", "born_on", "target_weight_kg"),
    ),
    Page(
        key="weight",
        place="animal.weights[]",
        title="What it weighs",
        asks=("on", "kg", "lb", "scale"),
        more=("checked",),
        one="weight",
        is_mostly_one=True,
    ),
    Page(
        key="condition",
        place="animal.condition",
        title="How lean or round it is",
        asks=("score", "of"),
        is_aside=True,
    ),
    Page(
        key="tube",
        place="animal.tube",
        title="The tube",
        asks=("kind", "french", "mark_at_skin_cm"),
        more=("low_profile", "balloon_ml", "placed_on", "length_cm", "inner_diameter_mm"),
    ),
    Page(
        key="sheet",
        place="vet",
        title="The vet's sheet",
        asks=("name", "practice", "said_on", "words"),
        more=("recheck_on",),
    ),
    Page(
        key="meals",
        place="orders",
        title="Meals",
        asks=("meals_per_day", "meal_ml", "meal_gap_hours"),
        more=("missed_meal",),
    ),
    Page(
        key="energy",
        place="orders.energy",
        title="Energy a day",
        asks=("kcal_per_day", "factor", "kcal_per_kg", "weight"),
    ),
    Page(
        key="limits",
        place="orders",
        title="How much at once, and how fast",
        asks=("cap_ml_per_kg", "warn_ml_per_kg", "pace_ml_per_minute", "upright_minutes"),
    ),
    Page(
        key="flushes",
        place="orders",
        title="Flushes",
        asks=("flush_before_ml", "flush_between_ml", "flush_after_ml"),
    ),
    Page(key="water", place="orders.water_ml_per_kg_per_day", title="Water a day, in all", asks=("low", "high")),
    Page(
        key="thickness",
        place="orders",
        title="How thick the blend may be",
        asks=("flow_limit_level",),
        is_aside=True,
    ),
    Page(
        key="steps-up",
        place="orders.ladder",
        title="Stepping up to full meals",
        asks=("starts_on", "percent"),
        is_aside=True,
    ),
    Page(
        key="weaning",
        place="orders.weaning",
        title="Back to eating by mouth",
        asks=("by_mouth_kcal_per_day",),
        is_aside=True,
    ),
    Page(
        key="idle-tube",
        place="orders.idle_flush",
        title="A tube that nothing goes through",
        asks=("times_per_day", "ml"),
        is_aside=True,
    ),
    Page(
        key="residual",
        place="orders.residual",
        title="What is still in the stomach",
        asks=("skip_over_ml",),
        is_aside=True,
    ),
    Page(
        key="warmth",
        place="orders.food_temperature_c",
        title="How warm the food is",
        asks=("low", "high"),
        is_aside=True,
    ),
    Page(
        key="limits-to-call",
        place="vet.limits",
        title="From which number on to call",
        asks=("breaths_asleep_per_minute", "comes_back_times_a_day", "comes_back_ml"),
        is_aside=True,
    ),
    Page(
        key="temperature",
        place="vet.limits.temperature_c",
        title="From which temperature on to call",
        asks=("low", "high"),
        is_aside=True,
    ),
    Page(
        key="trouble",
        place="vet.troubles[]",
        title="What to do when something goes wrong",
        asks=("trouble", "words"),
        is_aside=True,
        one="instruction",
    ),
    Page(
        key="vet-answer",
        place="vet.answers[]",
        title="What the vet said about a finding",
        asks=("about", "up_to", "words", "said_on"),
        is_aside=True,
        one="answer",
    ),
    Page(
        key="food",
        place="foods[]",
        title="The can",
        asks=("name", "can_g", "can_ml", "complete"),
        more=("keeps_days", "cup_g", "energy_method"),
        one="food",
        is_mostly_one=True,
    ),
    Page(key="label", place="foods[].label", title="Energy on the label", asks=("energy", "unit", "per")),
    Page(
        key="analysis",
        place="foods[].analysis",
        title="Analysis on the label",
        asks=("protein_percent", "fat_percent", "fiber_percent", "moisture_percent"),
        more=("ash_percent", "carbohydrate_percent"),
        is_idle=_has_energy,
    ),
    Page(
        key="portion",
        place="foods[].portion",
        title="What an oil or a powder is measured with",
        asks=("name", "g", "ml"),
        is_aside=True,
    ),
    Page(
        key="nutrient",
        place="foods[].nutrients[]",
        title="Nutrients on the label",
        asks=("nutrient", "amount", "unit", "per"),
        is_aside=True,
        one="nutrient",
    ),
    Page(key="blend", place="blend", title="The blend as you make it", asks=("name", "water_ml")),
    Page(
        key="blend-food",
        place="blend.foods[]",
        title="What goes into the blend",
        asks=("food", "cans", "g", "ml"),
        one="food in the blend",
        is_mostly_one=True,
    ),
    Page(
        key="measured",
        place="blend.measured",
        title="How much blend came out",
        asks=("on", "ml"),
        more=("batch_g", "sample_ml", "sample_g"),
    ),
    Page(
        key="syringe",
        place="syringes[]",
        title="The syringes you own",
        asks=("size_ml", "step_ml", "numbered_every_ml", "tip"),
        more=("count",),
        one="kind of syringe",
    ),
    Page(
        key="medicine",
        place="medicines[]",
        title="A medicine bottle",
        asks=("name", "form", "strength"),
        more=("purpose", "counts_as"),
        one="medicine",
    ),
    Page(
        key="dose",
        place="medicines[]",
        title="The dose",
        asks=("dose", "dose_for_weight_kg", "route"),
        more=("ordered_by", "ordered_on", "words"),
    ),
    Page(
        key="when-needed",
        place="medicines[].when_needed",
        title="Only when needed",
        asks=("reason", "min_gap_hours", "max_per_day"),
        is_aside=True,
    ),
    Page(
        key="how-often",
        place="medicines[]",
        title="How often",
        asks=("every_hours", "times_per_day", "with_each_meal", "clocks"),
        more=("first_dose", "start_on", "stop_on"),
        is_idle=_is_when_needed,
    ),
    Page(
        key="with-food",
        place="medicines[].food",
        title="Food and this medicine",
        asks=("relation", "minutes", "after_minutes"),
    ),
    Page(
        key="crushing",
        place="medicines[]",
        title="Tablets",
        asks=("crush", "tablet_parts", "carrier_water_ml"),
        is_idle=_is_liquid,
    ),
    Page(
        key="apart",
        place="medicines[].apart_from[]",
        title="Apart from other medicines",
        asks=("medicine", "hours"),
        is_aside=True,
        one="medicine to keep apart",
    ),
    Page(
        key="later-dose",
        place="medicines[].steps[]",
        title="Doses of later days",
        asks=("from_on", "dose", "every_hours", "clocks"),
        is_aside=True,
        one="later dose",
    ),
    Page(
        key="not-given-if",
        place="medicines[]",
        title="Stopped, or not given",
        asks=("held", "hold_if", "second_check", "time_critical"),
        is_aside=True,
    ),
    Page(
        key="late-dose",
        place="medicines[]",
        title="Late, missed, too close",
        asks=("late_window_minutes", "missed_dose_words", "min_gap_hours", "max_per_day"),
        is_aside=True,
    ),
    Page(
        key="call",
        place="vet.call[]",
        title="Whom to call",
        asks=("who", "phone", "when", "always"),
        more=("for_poison",),
        one="number",
    ),
    Page(
        key="call-hours",
        place="vet.call[].hours[]",
        title="When this number answers",
        asks=("days", "opens", "closes"),
        is_aside=True,
        one="time",
    ),
    Page(key="night", place="vet", title="At night", asks=("nobody_at_night",), is_aside=True),
    Page(
        key="task",
        place="tasks[]",
        title="Other care",
        asks=("name", "clocks", "with_each_meal", "days"),
        more=("weighs", "minutes", "food", "food_minutes", "may", "how"),
        is_aside=True,
        one="task",
        beside="times",
    ),
    Page(key="times", place="timetable", title="When the meals are", asks=("meals",), more=("flushes",)),
    Page(
        key="ends",
        place="ends",
        title="Orders that end by themselves",
        asks=("last_on", "why"),
        is_aside=True,
        beside="meals",
    ),
    Page(key="home", place="household", title="Your home", asks=("name", "time_zone", "day_starts")),
    Page(key="person", place="household.people[]", title="Who helps", asks=("name", "role"), one="person"),
    Page(
        key="there",
        place="household.people[].there[]",
        title="When they are there",
        asks=("days", "comes", "goes"),
        is_aside=True,
        one="time",
    ),
    Page(
        key="away",
        place="household.people[].away[]",
        title="When they are away",
        asks=("from_on", "until_on"),
        is_aside=True,
        one="time away",
    ),
)


@cache
def page_called(key: str) -> Page | None:
    """The page with this short name."""
    return next((page for page in PAGES if page.key == key), None)
