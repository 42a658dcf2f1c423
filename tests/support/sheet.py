"""An invented discharge sheet, a can, four medicines and two syringes, by the page of the plan that asks for each."""

SHEET: dict[str, dict[str, object]] = {
    "animal": {"name": "Bramble", "species": "cat", "sex": "male, neutered", "by_mouth": "nothing", "starved": "no"},
    "weight-0": {"on": "2026-11-25", "kg": "4.2", "scale": "kitchen scale"},
    "tube": {"kind": "esophagostomy", "french": "14", "mark_at_skin_cm": "4.5", "mark_at_skin_cm.unit": "in"},
    "sheet": {"name": "Dr. Hollis Wray", "said_on": "2026-11-24", "words": "Four meals a day by the neck tube."},
    "meals": {"meals_per_day": "4", "meal_gap_hours": "3"},
    "energy": {"kcal_per_day": "200"},
    "limits": {"cap_ml_per_kg": "15", "upright_minutes": "15", "pace_ml_per_minute": "5"},
    "flushes": {"flush_before_ml": "5", "flush_between_ml": "3", "flush_after_ml": "10"},
    "water": {"low": "50", "high": "70"},
    "food-0": {
        "name": "Recovery mousse (invented)",
        "complete": "yes",
        "can_g": "5.5",
        "can_g.unit": "oz",
        "can_ml": "150",
    },
    "label-0": {"energy": "1.2", "unit": "kcal", "per": "mL"},
    "blend": {"name": "Mousse and water", "water_ml": "2", "water_ml.unit": "tablespoons"},
    "blend-food-0": {"food": "recovery-mousse-invented", "cans": "1"},
    "measured": {"on": "2026-11-25", "ml": "178"},
    "syringe-0": {"size_ml": "60", "step_ml": "1", "numbered_every_ml": "10", "tip": "enteral"},
    "syringe-1": {"size_ml": "3", "step_ml": "0.1", "numbered_every_ml": "0.5", "tip": "enteral"},
    "medicine-0": {"name": "Mirtazapine", "form": "tablet", "strength": "7.5 mg/tablet"},
    "dose-0": {"dose": "1.88 mg", "route": "tube", "ordered_by": "Dr. Hollis Wray", "ordered_on": "2026-11-24"},
    "how-often-0": {"every_hours": "24", "clocks": "19:00"},
    "with-food-0": {"relation": "any"},
    "crushing-0": {"crush": "allowed", "tablet_parts": "4", "carrier_water_ml": "5"},
    "medicine-1": {"name": "Omeprazole", "form": "liquid", "strength": "2 mg/mL", "purpose": "less acid"},
    "dose-1": {"dose": "1 mg/kg", "dose_for_weight_kg": "4.2", "route": "tube", "ordered_by": "Dr. Hollis Wray"},
    "how-often-1": {"every_hours": "12", "clocks": "06:30 18:30"},
    "with-food-1": {"relation": "before", "minutes": "30"},
    "medicine-2": {"name": "Maropitant", "form": "tablet", "strength": "16 mg/tablet"},
    "dose-2": {"dose": "4 mg", "route": "tube", "ordered_by": "Dr. Hollis Wray", "ordered_on": "2026-11-24"},
    "how-often-2": {"every_hours": "24", "clocks": "09:00"},
    "with-food-2": {"relation": "any"},
    "crushing-2": {"crush": "allowed", "tablet_parts": "4", "carrier_water_ml": "5"},
    "medicine-3": {"name": "Ondansetron", "form": "liquid", "strength": "0.8 mg/mL"},
    "dose-3": {"dose": "0.5 mg/kg", "dose_for_weight_kg": "4.2", "route": "tube", "ordered_by": "Dr. Hollis Wray"},
    "when-needed-3": {
        "reason": "She licks her lips and turns from the food.",
        "min_gap_hours": "12",
        "max_per_day": "2",
    },
    "with-food-3": {"relation": "any"},
    "call-0": {"who": "Wray's practice", "phone": "+353 1 555 0199", "when": "day and night", "always": "yes"},
    "times": {"meals": "07:00, 12:00, 17:00, 22:00"},
    "home": {"name": "Our home", "time_zone": "Europe/Dublin", "day_starts": "04:00"},
    "person-0": {"name": "Lead", "role": "lead"},
}
"""What lies on the table, by the page that asks for it; invented."""
MORE = {"syringe": 2, "medicine": 4, "call": 1, "person": 1}
"""How many there are of what there may be several of."""

PASTED = """Wray's practice (invented)
Dr. Hollis Wray
Date: 2026-11-24
Patient: Bramble
Species: cat, male neutered
Weight: 4.2 kg
Esophagostomy tube, 14 Fr, mark at the skin 4.5 in
Nothing by mouth.

Feeding
200 kcal per day in 4 meals a day, at least 3 hours between meals.
Never more than 15 mL/kg at once, and no faster than 5 mL/min.
Flush 5 mL before, 3 mL between medicines, 10 mL after.
Keep upright for 15 minutes after each meal.
Water in all: 50-70 mL/kg/day

Medicines
1. Mirtazapine 7.5 mg tablets: give 1.88 mg by tube every 24 hours
2. Omeprazole 2 mg/mL: give 1 mg/kg (4.2 mg) by tube every 12 hours, 30 minutes before food
3. Maropitant 16 mg tablets: give 1/4 tablet by tube every 24 hours
4. Ondansetron 0.8 mg/mL: give 2.1 mg by tube as needed for lip licking, at least 12 hours apart,
   no more than twice a day

Call +353 1 555 0199, day and night.
"""
"""The same sheet as its vet would write it in an e-mail."""
