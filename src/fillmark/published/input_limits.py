"""Bounds on what a person can plausibly have meant: they catch slips, and say nothing about medicine."""

from fillmark.published.figure import Band, Figure
from fillmark.published.sources import OWN_CHOICE

WEIGHT_LIMITS_KG = Band(
    id="input.weight_kg",
    low=0.5,
    high=100.0,
    unit="kg",
    source=OWN_CHOICE,
    place="smallest kitten to largest dog fed at home",
    says="A weight outside this is a slip of the unit or the point.",
)
FRENCH_LIMITS = Band(
    id="input.tube_french",
    low=3.5,
    high=40.0,
    unit="Fr",
    source=OWN_CHOICE,
    place="thinnest to thickest feeding tube sold",
    says="A tube size outside this was read in another unit.",
)
WEIGHT_JUMP_FRACTION = Figure(
    id="input.weight_jump_fraction",
    value=0.10,
    unit="of the last weight",
    source=OWN_CHOICE,
    place="hazard of swapped kg and lb, or another scale",
    says="A jump of more than a tenth between two weighings is asked about before it is used.",
)
