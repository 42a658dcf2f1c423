"""What each call card says of itself, before the plan and the moment are asked."""

from enum import StrEnum

from fillmark.core.values.trouble import Trouble
from fillmark.published import Fact, Printed
from fillmark.published import calls as aid
from fillmark.published.vital_signs import BLOAT, NUMBERS_RULE_NOTHING_OUT


class Urgency(StrEnum):
    """What the telephone is for."""

    START = "Start at once; someone else calls"
    GO = "Go now, and call on the way"
    CALL = "Call now"
    TODAY = "Call today"
    HERE = "Do this first"


_STOP = (aid.STOP_PUSHING, aid.CLOSE_TUBE)

_Written = tuple[Urgency, tuple[Fact, ...], tuple[Fact, ...], tuple[Fact, ...], tuple[Printed, ...]]
WRITTEN: dict[Trouble, _Written] = {
    Trouble.BREATHING: (
        Urgency.GO,
        _STOP,
        (aid.GO_NOW, aid.CALL_AHEAD, aid.LET_IT_SIT),
        (aid.NOT_ON_ITS_BACK, aid.NOTHING_IN),
        (aid.TROUBLE_BREATHING,),
    ),
    Trouble.COLLAPSE: (
        Urgency.START,
        (aid.STOP_PUSHING,),
        (aid.LAY_ON_SIDE, aid.GO_BREATHING, aid.COVER_WARM),
        (aid.NOTHING_IN, aid.HANDS_OFF_MOUTH),
        (aid.COMPRESSION_DEPTH,),
    ),
    Trouble.BLOAT: (
        Urgency.GO,
        _STOP,
        (aid.GO_NOW, aid.CALL_AHEAD),
        (aid.NOT_PASS, aid.NOTHING_IN, aid.NOT_VENT),
        (BLOAT, aid.BLOAT_CANNOT_WAIT),
    ),
    Trouble.FIT: (
        Urgency.CALL,
        _STOP,
        (aid.TIME_THE_FIT, aid.CLEAR_THE_FLOOR, aid.CALL_NOW, aid.ASK_FIT_MEDICINE, aid.GO_IF),
        (aid.HANDS_OFF_MOUTH, aid.NOT_HOLD_DOWN, aid.NOTHING_IN),
        (aid.FITS_WITHIN_HOURS,),
    ),
    Trouble.GUMS: (
        Urgency.GO,
        _STOP,
        (aid.GO_NOW, aid.CALL_AHEAD, aid.SAY_WHICH_COLOR, aid.LOOK_AT_GUMS),
        (aid.NOT_PASS, aid.NOTHING_IN),
        (),
    ),
    Trouble.COUGH: (
        Urgency.CALL,
        _STOP,
        (aid.LET_IT_COUGH, aid.CALL_NOW, aid.ASK_HOW_TO_HOLD, aid.SAY_HOW_MUCH, aid.GO_IF),
        (aid.NOT_SLOWER, aid.NO_FLUSH, aid.NOTHING_IN),
        (NUMBERS_RULE_NOTHING_OUT,),
    ),
    Trouble.TUBE_OUT: (Urgency.GO, (), (), (), ()),
    Trouble.TUBE_CHECK: (
        Urgency.CALL,
        _STOP,
        (aid.HOLD_TUBE, aid.CALL_NOW, aid.GO_IF),
        (aid.NOT_BACK_IN, aid.NO_FLUSH, aid.NOTHING_IN),
        (aid.DISLODGED_FRACTION,),
    ),
    Trouble.CHEWED: (
        Urgency.CALL,
        (aid.STOP_PUSHING,),
        (aid.FOLD_AND_TAPE, aid.CALL_NOW, aid.KEEP_PIECES, aid.GO_IF),
        (aid.NOT_BACK_IN, aid.NO_FLUSH_HERE, aid.NOTHING_IN),
        (),
    ),
    Trouble.LEAK: (
        Urgency.CALL,
        _STOP,
        (aid.CALL_NOW, aid.SAY_THE_MARK, aid.DRY_THE_SKIN, aid.GO_IF),
        (aid.NOT_BACK_IN, aid.NOT_TIGHTEN, aid.NO_FLUSH_HERE, aid.NOTHING_IN),
        (),
    ),
    Trouble.VOMITING: (
        Urgency.CALL,
        _STOP,
        (
            aid.LET_FINISH,
            aid.CALL_ON_SIGNS,
            aid.ASK_WHEN_TO_CALL,
            aid.ASK_HOW_TO_HOLD,
            aid.KEEP_A_PHOTO,
            aid.GO_IF,
        ),
        (aid.NOT_AGAIN, aid.NOTHING_IN),
        (NUMBERS_RULE_NOTHING_OUT,),
    ),
    Trouble.BLOOD: (
        Urgency.CALL,
        _STOP,
        (aid.CALL_NOW, aid.PRESS_ON_BLEEDING, aid.SAY_WHERE_BLOOD, aid.KEEP_A_PHOTO, aid.GO_BLEEDING, aid.GO_IF),
        (aid.NO_FLUSH_HERE, aid.NOTHING_IN),
        (),
    ),
    Trouble.TOO_MUCH: (
        Urgency.CALL,
        _STOP,
        (aid.KEEP_UPRIGHT, aid.CALL_NOW, aid.SAY_HOW_MUCH, aid.GO_IF),
        (aid.NOT_DRAW_BACK, aid.NOTHING_IN),
        (),
    ),
    Trouble.TWICE: (
        Urgency.CALL,
        (aid.STOP_GIVING,),
        (aid.CALL_NOW, aid.TAKE_PACKAGES, aid.ASK_NEXT_DOSE, aid.GO_IF),
        (aid.NOT_VOMIT, aid.NOTHING_IN),
        (),
    ),
    Trouble.WRONG: (
        Urgency.CALL,
        (aid.STOP_GIVING,),
        (aid.CALL_NOW, aid.TAKE_PACKAGES, aid.BOTH_ANIMALS, aid.ASK_NEXT_DOSE, aid.GO_IF),
        (aid.NOT_VOMIT, aid.NOTHING_IN),
        (),
    ),
    Trouble.HOT: (
        Urgency.CALL,
        _STOP,
        (aid.CALL_NOW, aid.SAY_HOW_HOT, aid.STIR_AND_TEST, aid.GO_IF),
        (aid.NOT_COOL, aid.NOTHING_IN),
        (),
    ),
    Trouble.FEVER: (
        Urgency.CALL,
        (),
        (aid.MEASURE_IN_BOTTOM, aid.ASK_BEFORE_MEAL, aid.SAY_WHY_HOT, aid.GO_IF),
        (aid.NO_FEVER_MEDICINE,),
        (NUMBERS_RULE_NOTHING_OUT,),
    ),
    Trouble.CLOG: (
        Urgency.CALL,
        (aid.STOP_FORCING,),
        (aid.OPEN_CLAMP, aid.ASK_WATER),
        (aid.NOT_SMALL, aid.NO_OTHER_LIQUID, aid.NO_WIRE),
        (),
    ),
    Trouble.SITE: (
        Urgency.TODAY,
        (),
        (aid.CALL_TODAY_SITE, aid.LOOK_FOR_LEAK, aid.PHOTO_OF_SITE),
        (aid.NO_CREAM, aid.NOT_BACK_IN),
        (),
    ),
    Trouble.DIARRHEA: (
        Urgency.TODAY,
        (),
        (aid.CALL_TODAY_DIARRHEA, aid.COUNT_STOOLS, aid.ASK_MEALS),
        (aid.NOT_CHANGE_BLEND, aid.NO_STOPPING_MEDICINE),
        (),
    ),
    Trouble.POWER_CUT: (
        Urgency.HERE,
        (),
        (aid.KEEP_SHUT, aid.FRESH_CAN, aid.ASK_COLD_MEDICINES, aid.PAPER_SHEET),
        (aid.NOT_TASTE,),
        (aid.KEEPS_COLD_HOURS, aid.TOO_WARM_HOURS),
    ),
    Trouble.UNREACHABLE: (
        Urgency.HERE,
        (),
        (aid.CALL_THE_VET, aid.ONLY_THE_PLAN, aid.LEAVE_OUT),
        (aid.NOT_CHANGE,),
        (),
    ),
}
"""By trouble: what the telephone is for; what to stop, to do, and not to do; print that is no line of it."""
