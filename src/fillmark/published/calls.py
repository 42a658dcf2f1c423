"""What a person does first when something is wrong: each line of a call card, with where it comes from.

A line begins with its verb. Most is what people who do this work say, and stands as such; nothing here was checked by a
vet for this project, and the vet's own words go before all of it. No line tells anyone to wait.
"""

from fillmark.published.figure import Band, Fact, Figure, Source
from fillmark.published.sources import (
    BREHENY_2019,
    COMMON_PRACTICE,
    FOODSAFETY_POWER,
    MSD_EMERGENCY,
    RECOVER_2012,
    SITUATIONS_CANNOT_WAIT,
    TASTENSEN_2024,
)


def _line(name: str, says: str, *, source: Source = COMMON_PRACTICE, place: str = "what is told by telephone") -> Fact:
    return Fact(
        id=f"first_aid.{name}", subject=says.partition(" ")[0].strip("."), source=source, place=place, says=says
    )


# Stop
STOP_PUSHING = _line("stop_pushing", "Stop. Push nothing more into the tube.")
STOP_GIVING = _line("stop_giving", "Stop. Give no more of it, food or medicine.")
CLOSE_TUBE = _line("close_tube", "Close the tube with its clamp or cap.")

# Go and call
GO_NOW = _line("go_now", "Go to the nearest animal emergency clinic now; someone else calls on the way.")
CALL_AHEAD = _line(
    "call_ahead",
    "Call ahead: the clinic says what to do on the way and makes ready.",
    source=MSD_EMERGENCY,
    place="opening paragraph",
)
TROUBLE_BREATHING = _line(
    "trouble_breathing",
    "Trouble breathing needs a vet at once.",
    source=MSD_EMERGENCY,
    place="list of emergencies",
)
CALL_NOW = _line("call_now", "Call now, day or night.")
GO_IF = _line(
    "go_if",
    "Go at once, with no call back, if breathing gets hard, gums turn pale, white, blue or gray, it collapses or the "
    "belly swells.",
)

# Breathing and collapse
LET_IT_SIT = _line("let_it_sit", "Let it sit or lie as it breathes best, in cool fresh air.")
NOT_ON_ITS_BACK = _line("not_on_its_back", "Do not hold it down or lay it on its back.")
NOTHING_IN = _line("nothing_in", "Do not give food, water or medicine, by tube or by mouth, until the vet has said so.")
LAY_ON_SIDE = _line(
    "lay_on_side",
    "Lay it on its side. Both hands where the chest is widest; one hand around that of a cat. A gasp is no breath.",
)
KEEP_PRESSING = _line(
    "keep_pressing",
    "Keep on without a pause, in turns, until it breathes or a vet takes over. Alone: telephone on loud, beside you.",
)
COMPRESSIONS_PER_MINUTE = Band(
    id="first_aid.compressions",
    low=100,
    high=120,
    unit="compressions a minute",
    source=MSD_EMERGENCY,
    place="unconsciousness",
    says="The chest of an animal that does not breathe is pressed 100 to 120 times a minute.",
)
COMPRESSION_DEPTH = Fact(
    id="first_aid.compression_depth",
    subject="depth",
    source=RECOVER_2012,
    place="abstract, recommendations",
    says="The chest is pressed by a third to a half of its width, with as few pauses as can be.",
)
COMPRESSIONS_BEFORE_BREATHS = Figure(
    id="first_aid.compressions_before_breaths",
    value=30,
    unit="presses, then 2 breaths",
    source=RECOVER_2012,
    place="abstract, recommendations; an animal without a tube in its windpipe",
    says="30 presses are followed by 2 breaths.",
)
GO_BREATHING = _line(
    "go_breathing",
    "Go to the nearest animal emergency clinic now, if it breathes; someone else calls on the way.",
)
COVER_WARM = _line("cover_warm", "Cover it with a blanket and carry it flat, on a board or a second blanket.")
HANDS_OFF_MOUTH = _line("hands_off_mouth", "Do not put a hand into its mouth: an animal in a fit bites.")

# Belly
BLOAT_CANNOT_WAIT = _line(
    "bloat_cannot_wait",
    "Retching, vomiting with nothing coming up or a swollen belly needs a vet at once.",
    source=SITUATIONS_CANNOT_WAIT,
    place="gastric dilatation-volvulus",
)
NOT_PASS = _line("not_pass", "Do not wait to see whether it passes.")
NOT_VENT = _line("not_vent", "Do not open the tube to let air out unless the vet tells you to.")

# Cough
LET_IT_COUGH = _line("let_it_cough", "Let it cough: do not hold it tight, and do not hold its mouth shut.")
ASK_HOW_TO_HOLD = _line("ask_how_to_hold", "Ask how to hold it: the plan does not say.")
SAY_HOW_MUCH = _line("say_how_much", "Say how much had gone in. The card has it below.")
NOT_SLOWER = _line("not_slower", "Do not go on with the meal, not even slower.")
NO_FLUSH = _line("no_flush", "Do not flush: water takes the same way.")
NO_FLUSH_HERE = _line("no_flush_here", "Do not flush.")

# The tube
HOLD_TUBE = _line("hold_tube", "Hold the tube where it is and tape it to the skin or the wrap.")
NOT_BACK_IN = _line("not_back_in", "Do not push it in or pull it out, not by a finger's width.")
TUBE_OUT_CARE = _line("tube_out_care", "Cover the hole, keep the tube, and feed nothing.")
LOOK_IN_MOUTH = _line(
    "look_in_mouth", "Look whether the tube's end hangs from the mouth, or its mark has moved. Do not pull it."
)
DISLODGED_FRACTION = Figure(
    id="first_aid.dislodged",
    value=0.145,
    unit="of cats with a tube in the neck",
    source=BREHENY_2019,
    place="abstract; 248 cats",
    says="A tube that moved or came out was the commonest trouble: 14.5 in 100 cats.",
)

# Vomiting
LET_FINISH = _line("let_finish", "Let it finish, and wipe the mouth.")
CALL_ON_SIGNS = _line(
    "call_on_signs",
    "Call now, day or night, if it coughs, breathes fast or hard, is dull or has a fever.",
)
ASK_WHEN_TO_CALL = _line("ask_when_to_call", "Ask when to call about food that comes back: the plan does not say.")
KEEP_A_PHOTO = _line("keep_a_photo", "Keep what came up, or a photo of it, for the vet.")
NOT_AGAIN = _line("not_again", "Do not give the meal or the dose again to make up for it.")

# Too much, given twice, the wrong one
KEEP_UPRIGHT = _line("keep_upright", "Keep it upright and quiet.")
NOT_DRAW_BACK = _line("not_draw_back", "Do not draw anything back out unless the vet tells you to.")
TAKE_PACKAGES = _line("take_packages", "Take the packages in your hand: name, strength, how much, at which time.")
READ_WHAT_IS_IN = {
    "dog": _line("read_what_is_in_dog", "Read out what else is in the liquid: xylitol above all."),
    "cat": _line(
        "read_what_is_in_cat",
        "Read out what else is in the liquid: propylene glycol, alcohol and pain medicines for people above all.",
    ),
    "": _line(
        "read_what_is_in",
        "Read out what else is in the liquid: for a dog xylitol above all, for a cat propylene glycol, alcohol and "
        "pain medicines for people.",
    ),
}
ASK_POISON_LINE = _line("ask_poison_line", "Ask for the number of a poison line for animals: the plan states none.")
NOT_VOMIT = _line("not_vomit", "Do not make it vomit.")
ASK_NEXT_DOSE = _line("ask_next_dose", "Ask which dose comes next, and when.")
BOTH_ANIMALS = _line(
    "both_animals", "Tell the vet about both animals: one had too much, the other has not had its own."
)

# Hot food
SAY_HOW_HOT = _line("say_how_hot", "Say how hot it was, how much went in, and when.")
NOT_COOL = _line("not_cool", "Do not send cold water after it unless the vet tells you to.")
STIR_AND_TEST = _line("stir_and_test", "Stir the rest and test it on your wrist: no warmer than your skin, ever.")

# Clog
STOP_FORCING = _line("stop_forcing", "Stop. Do not press harder.")
OPEN_CLAMP = _line("open_clamp", "Look first whether a clamp is shut or the tube is bent.")
ASK_WATER = _line(
    "ask_water", "Call and ask whether to try plain warm water: the plan names no steps for a blocked tube."
)
USE_WATER = _line("use_water", "Use plain warm water first, gently back and forth with a large syringe.")
NOT_SMALL = _line(
    "not_small", "Do not force it, and never with a small syringe: the smaller it is, the more it can split the tube."
)
NO_WIRE = _line("no_wire", "Do not use a wire or anything else that is stiff.")
NO_OTHER_LIQUID = _line("no_other_liquid", "Do not put in anything that the vet has not named.")

# A fit
FIT_MOST_MINUTES = Figure(
    id="first_aid.fit_most",
    value=5,
    unit="minutes",
    source=TASTENSEN_2024,
    place="definition of status epilepticus, second-hand",
    says="A fit of more than 5 minutes, or a second one before it is awake, is an emergency of its own.",
)
FITS_WITHIN_HOURS = Figure(
    id="first_aid.fits_within",
    value=24,
    unit="hours",
    source=TASTENSEN_2024,
    place="definition of cluster seizures, second-hand",
    says="Two fits or more within 24 hours are a cluster.",
)
TIME_THE_FIT = _line("time_the_fit", "Look at the clock, and write down when it began and ended.")
CLEAR_THE_FLOOR = _line("clear_the_floor", "Clear the floor around it, dim the light, and keep other animals away.")
ASK_FIT_MEDICINE = _line("ask_fit_medicine", "Ask when its next medicine against fits is given, if it has one.")
NOT_HOLD_DOWN = _line("not_hold_down", "Do not hold it down.")

# Gums, fever
LOOK_AT_GUMS = _line(
    "look_at_gums",
    "Look at the gums above a tooth, in white light; where they are black, look inside the lower eyelid.",
)
SAY_WHICH_COLOR = _line("say_which_color", "Say which color: pale, white, blue, gray, yellow or deep red.")
MEASURE_IN_BOTTOM = _line(
    "measure_in_bottom", "Measure it in the bottom, with a thermometer of its own, if it lets you."
)
GO_HOT_CELSIUS = Figure(
    id="first_aid.go_hot",
    value=41,
    unit="°C",
    source=COMMON_PRACTICE,
    place="pages of clinics for owners, which print 41 °C or 106 °F",
    says="Clinics tell owners to come at once above 41 °C.",
)
SAY_WHY_HOT = _line(
    "say_why_hot", "Say whether it was in the heat or had a fit: then they tell you how to cool it on the way."
)
ASK_BEFORE_MEAL = _line("ask_before_meal", "Ask before the next meal: fever can come from food in the lungs.")
NO_FEVER_MEDICINE = _line(
    "no_fever_medicine",
    "Do not give a medicine against fever that the vet has not ordered: acetaminophen (paracetamol) kills cats, "
    "ibuprofen harms both.",
)

# Leak, site, blood, diarrhea, a chewed tube
SAY_THE_MARK = _line("say_the_mark", "Read the mark at the skin, and say it: what it is, and what it was.")
DRY_THE_SKIN = _line("dry_the_skin", "Wipe the skin dry, and lay clean gauze around the tube.")
NOT_TIGHTEN = _line("not_tighten", "Do not tighten the disk or fill the balloon unless the vet tells you to.")
CALL_TODAY_SITE = _line(
    "call_today_site", "Call today. Call now if it smells, pus runs, the belly is hard, or it has a fever."
)
LOOK_FOR_LEAK = _line("look_for_leak", "Look whether food or fluid comes out beside the tube: then that card holds.")
PHOTO_OF_SITE = _line("photo_of_site", "Take a photo beside a coin, and clean and dry the skin as the plan says.")
NO_CREAM = _line("no_cream", "Do not put on a cream or a powder that the vet has not named.")
SAY_WHERE_BLOOD = _line(
    "say_where_blood", "Say where it comes from, how much it is, and its color: bright, dark, or like coffee grounds."
)
PRESS_ON_BLEEDING = _line("press_on_bleeding", "Press a clean cloth on a place that bleeds, and hold it.")
GO_BLEEDING = _line("go_bleeding", "Go at once if it runs or does not stop.")
CALL_TODAY_DIARRHEA = _line(
    "call_today_diarrhea",
    "Call today. Call now if there is blood, it is like water, it vomits too, or it is dull.",
)
COUNT_STOOLS = _line("count_stools", "Write down each time and what it looked like, and take a photo.")
ASK_MEALS = _line("ask_meals", "Ask whether the meals go on as planned.")
NO_STOPPING_MEDICINE = _line(
    "no_stopping_medicine", "Do not give a medicine against diarrhea that the vet has not ordered."
)
NOT_CHANGE_BLEND = _line("not_change_blend", "Do not change the blend, its amount or its pace on your own.")
FOLD_AND_TAPE = _line("fold_and_tape", "Fold what is left of the tube over, and tape it shut, close to the skin.")
KEEP_PIECES = _line("keep_pieces", "Keep every piece, and say whether one is missing: it may be swallowed.")

# Power cut
KEEP_SHUT = _line("keep_shut", "Keep the refrigerator shut, and write down since when the power is off.")
KEEPS_COLD_HOURS = Figure(
    id="first_aid.keeps_cold",
    value=4,
    unit="hours without power, door shut",
    source=FOODSAFETY_POWER,
    place="refrigerated food and power outages",
    says="Food in a shut refrigerator keeps for no more than 4 hours without power.",
)
TOO_WARM_HOURS = Figure(
    id="first_aid.too_warm_hours",
    value=2,
    unit="hours above 40 °F (4 °C)",
    source=FOODSAFETY_POWER,
    place="refrigerated food and power outages",
    says="Meat, fish, eggs and leftovers that were above 40 °F for more than 2 hours are thrown away.",
)
FRESH_CAN = _line(
    "fresh_can", "Use an unopened can. Without the blender it may be too thick: ask the vet before it goes in."
)
ASK_COLD_MEDICINES = _line("ask_cold_medicines", "Ask the pharmacist about each medicine that must stay cold.")
NOT_TASTE = _line(
    "not_taste",
    "Do not judge it by its smell or taste.",
    source=FOODSAFETY_POWER,
    place="refrigerated food and power outages",
)
PAPER_SHEET = _line("paper_sheet", "Take the printed sheet and write on it; enter it when the telephone is back.")

# A sitter alone
CALL_THE_VET = _line("call_the_vet", "Call the vet with any question: the vet knows the plan, and decides.")
ONLY_THE_PLAN = _line("only_the_plan", "Give only what the plan says, in its amounts, at its times.")
LEAVE_OUT = _line("leave_out", "Leave out what you are not sure of, and write down why.")
NOT_CHANGE = _line("not_change", "Do not change an amount, and do not make up for a missed one.")
