"""Syringes: what a mark can be trusted for, and how far a dose may be rounded to reach one."""

from fillmark.published.figure import Band, Fact, Figure, Source
from fillmark.published.sources import (
    ARENAS_LOPEZ_2017,
    COMMON_PRACTICE,
    DOSE_ROUNDING_2020,
    FROM_MEMORY,
    ISO_7886_1,
    ISO_80369_3,
    OWN_CHOICE,
)

SYRINGE_SIZE_LIMITS_ML = Band(
    id="syringe.size_limits",
    low=0.3,
    high=140.0,
    unit="mL",
    source=OWN_CHOICE,
    place="the smallest to the largest syringe sold",
    says="No syringe for this work is smaller or larger; another number is a slip.",
)
SYRINGE_STEP_LIMITS_ML = Band(
    id="syringe.step_limits",
    low=0.01,
    high=10.0,
    unit="mL",
    source=OWN_CHOICE,
    place="the finest to the coarsest graduation sold",
    says="Marks are never closer or further apart; another number is a slip.",
)
NUMBER_DISTANCE_LIMITS_ML = Band(
    id="syringe.number_distance_limits",
    low=0.01,
    high=140.0,
    unit="mL",
    source=OWN_CHOICE,
    place="every line numbered to only the last",
    says="Numbers on a scale are never closer or further apart; another number is a slip.",
)
SILENT_ERROR_FRACTION = Figure(
    id="syringe.silent_error",
    value=0.05,
    unit="of the dose",
    source=OWN_CHOICE,
    place="half of what the rounding study counts as a concern",
    says="A dose rounded by no more than this is drawn without a word.",
)
REFUSED_ERROR_FRACTION = Figure(
    id="syringe.refused_error",
    value=0.10,
    unit="of the dose",
    source=DOSE_ROUNDING_2020,
    place="the limit above which a rounded dose was counted as a concern",
    says="A dose rounded by more than this is not the dose that was ordered.",
)
ENTERAL_TIP_DISPLACED_ML = Figure(
    id="syringe.enteral_tip_displaced",
    value=0.148,
    unit="mL",
    source=ISO_80369_3,
    place="Annex A, mean",
    says="Joining a standard enteral tip pushes in about this much that the marks do not show.",
)
ENTERAL_TIP_WARN_BELOW_ML = Figure(
    id="syringe.enteral_tip_warn_below",
    value=1.5,
    unit="mL",
    source=OWN_CHOICE,
    place="where 0.148 mL is a tenth of the dose",
    says="Under this, what the standard enteral tip displaces is more than a tenth of the dose.",
)
ONE_ML_UNRELIABLE_ML = Figure(
    id="syringe.one_ml_unreliable",
    value=0.1,
    unit="mL",
    source=ARENAS_LOPEZ_2017,
    place="abstract: two brands of 1 mL oral syringes, aim within 10 %",
    says="A 1 mL syringe missed its aim at this volume and under.",
)
TOLERANCE_OF_SIZE = Figure(
    id="syringe.tolerance_of_size",
    value=0.015,
    unit="of the syringe's size",
    source=ISO_7886_1,
    place="Table 1, less than half full",
    says="Less than half full, the tolerance holds this share of the syringe's size.",
)
TOLERANCE_OF_VOLUME_SMALL = Figure(
    id="syringe.tolerance_of_volume_small",
    value=0.02,
    unit="of the volume",
    source=ISO_7886_1,
    place="Table 1, under 5 mL, less than half full (the row from 2 mL is from memory)",
    says="In a syringe under 5 mL this share of the volume is added.",
)
TOLERANCE_OF_VOLUME_LARGE = Figure(
    id="syringe.tolerance_of_volume_large",
    value=0.01,
    unit="of the volume",
    source=ISO_7886_1,
    place="Table 1, 5 mL and over, less than half full",
    says="In a syringe of 5 mL and over this share of the volume is added.",
)
TOLERANCE_FULL_SMALL = Figure(
    id="syringe.tolerance_full_small",
    value=0.05,
    unit="of the volume",
    source=ISO_7886_1,
    place="Table 1, under 5 mL, half full and more",
    says="From half full on, a syringe under 5 mL may be off by this share.",
)
TOLERANCE_FULL_LARGE = Figure(
    id="syringe.tolerance_full_large",
    value=0.04,
    unit="of the volume",
    source=FROM_MEMORY,
    place="ISO 7886-1 Table 1, 5 mL and over, half full and more",
    says="From half full on, a syringe of 5 mL and over may be off by this share.",
)
TOLERANCE_LARGE_FROM_ML = Figure(
    id="syringe.tolerance_large_from",
    value=5.0,
    unit="mL",
    source=ISO_7886_1,
    place="Table 1, rows",
    says="The larger syringes, with the smaller tolerance, begin at this size.",
)


def _dead_space(from_ml: float, most_ml: float, *, source: Source = FROM_MEMORY) -> Figure:
    return Figure(
        id=f"syringe.dead_space_from_{from_ml:g}_ml",
        value=most_ml,
        unit="mL",
        source=source,
        place=f"{'' if source is ISO_7886_1 else 'ISO 7886-1, '}table of dead space, sizes from {from_ml:g} mL on",
        says=f"With its plunger down, a syringe of {from_ml:g} mL or more may keep {most_ml:g} mL.",
    )


DEAD_SPACE_ML = {
    0.0: _dead_space(0, 0.07),
    5.0: _dead_space(5, 0.075, source=ISO_7886_1),
    10.0: _dead_space(10, 0.1, source=ISO_7886_1),
    20.0: _dead_space(20, 0.15),
    30.0: _dead_space(30, 0.17),
    50.0: _dead_space(50, 0.2),
}
"""The most a syringe may keep in its tip, by the size from which the row holds [mL]."""
NO_NEEDLE = Fact(
    id="syringe.misfit_needle",
    subject="injection and a tip without a needle",
    source=COMMON_PRACTICE,
    place="what takes a needle",
    says="No needle fits this tip: only a syringe made for injections goes under the skin.",
)
NOT_FOR_INJECTION = Fact(
    id="syringe.misfit_luer",
    subject="a syringe for injections and what is swallowed",
    source=COMMON_PRACTICE,
    place="syringes that are kept apart",
    says="A syringe for injections is kept for injections: food or a medicine for the tube must never get into one.",
)
TIP_MISFITS = {
    **{(tip, "under the skin"): NO_NEEDLE for tip in ("enteral", "low-dose enteral", "catheter", "oral")},
    **{("luer", route): NOT_FOR_INJECTION for route in ("tube", "mouth")},
    ("oral", "tube"): Fact(
        id="syringe.misfit_oral_tube",
        subject="oral tip and tube",
        source=COMMON_PRACTICE,
        place="what joins a tube",
        says="An oral tip does not lock onto a feeding tube, and can slip off and spill the dose.",
    ),
    ("catheter", "mouth"): Fact(
        id="syringe.misfit_catheter_mouth",
        subject="catheter tip and mouth",
        source=COMMON_PRACTICE,
        place="what goes into a mouth",
        says="A catheter tip is long and stiff, and can hurt a mouth.",
    ),
    ("enteral", "mouth"): Fact(
        id="syringe.misfit_enteral_mouth",
        subject="standard enteral tip and mouth",
        source=COMMON_PRACTICE,
        place="what goes into a mouth",
        says="A standard enteral tip keeps medicine in its rim, which an animal may lick off or lose.",
    ),
}
"""Tip and route that do not go together: a low-dose enteral tip is for the tube, an oral syringe for the mouth."""
