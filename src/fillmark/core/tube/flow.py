"""How blends flow: levels, bores, pressure and force."""

from fillmark.core.values.errors import NotStated, OutOfRange
from fillmark.core.values.explain import Explained
from fillmark.core.values.limits import check_at_least, check_range
from fillmark.core.values.quantities import write_number
from fillmark.published import Band
from fillmark.published.flow import (
    FLOW_LEVEL_STARTS_ML,
    FLOW_TEST_SECONDS,
    FLOW_TEST_SYRINGE_ML,
    MM_PER_FRENCH,
)
from fillmark.published.input_limits import FRENCH_LIMITS
from fillmark.published.sources import OWN_CHOICE

LEFT_LIMITS_ML = Band(
    id="flow.left_limits",
    low=0.0,
    high=FLOW_TEST_SYRINGE_ML.value,
    unit="mL",
    source=OWN_CHOICE,
    place="the test's syringe",
    says="The test starts with 10 mL.",
)


def iddsi_level(*, left_ml: float, has_flowed: bool = True) -> Explained[int]:
    """Level of a blend from what is left in the 10 mL syringe after 10 seconds, 0 to 3.

    Args:
        left_ml: What is left [mL].
        has_flowed: Whether anything came out at all.
    Raises:
        OutOfRange: nothing flowed, or the number is none the syringe can show.
    Source:
        flow.level_1_from, flow.level_2_from (from memory), flow.level_3_from (from memory)
    """
    check_range(field="left_ml", value=left_ml, limits=LEFT_LIMITS_ML, remedy="Read the mark on the syringe again.")
    if not has_flowed:
        raise OutOfRange(
            field="has_flowed",
            got="A blend of which nothing flowed out",
            allowed="a blend that flows (levels 0 to 3)",
            remedy="It is too thick for the test and for the tube: add water, sieve it and test again.",
        )
    # the last level starts above its figure, the others at theirs
    level_1, level_2, level_3 = (figure.value for figure in FLOW_LEVEL_STARTS_ML)
    level = (left_ml >= level_1) + (left_ml >= level_2) + (left_ml > level_3)
    return Explained(
        value=level,
        because=f"{write_number(left_ml)} mL left after {FLOW_TEST_SECONDS.value:g} s: level {level}",
        figures=FLOW_LEVEL_STARTS_ML,
    )


def outer_diameter(*, french: float) -> Explained[float]:
    """Outer diameter of a tube [mm]. French says nothing about the bore.

    Source:
        flow.mm_per_french
    """
    check_range(field="french", value=french, limits=FRENCH_LIMITS)
    mm = french * MM_PER_FRENCH.value
    return Explained(
        value=mm,
        because=f"{write_number(french)} Fr ÷ 3 = {write_number(mm, digits=3)} mm outside",
        figures=(MM_PER_FRENCH,),
    )


def bore(*, french: float, inner_mm: float | None) -> Explained[float]:
    """Inner diameter of a tube, as its maker states it [mm].

    Args:
        french: Outer size [Fr].
        inner_mm: Inner diameter by the maker [mm]; None where not stated.
    Raises:
        NotStated: the maker's figure is missing; it is not worked out from French.
        OutOfRange: the bore is not smaller than the outside.
    Source:
        the maker; flow.mm_per_french
    """
    outside = outer_diameter(french=french)
    if inner_mm is None:
        raise NotStated(
            field="tube.inner_mm",
            got=f"A tube of {write_number(french)} Fr without its inner diameter",
            allowed="the maker's inner diameter in mm",
            remedy="French is the outside only. Look on the package or ask the clinic.",
        )
    check_at_least(field="tube.inner_mm", value=inner_mm, least=0.3, unit="mm", remedy="Read the package again.")
    if inner_mm >= outside.value:
        raise OutOfRange(
            field="tube.inner_mm",
            got=f"An inner diameter of {write_number(inner_mm)} mm in a tube of {write_number(french)} Fr",
            allowed=f"less than {write_number(outside.value, digits=3)} mm",
            remedy="Check that the inner diameter is in mm, and that French was not entered for it.",
        )
    return Explained(value=inner_mm, because=f"the maker states {write_number(inner_mm)} mm inside", parts=(outside,))


def _check_pipe(*, length_m: float, flow_m3_per_s: float, radius_m: float) -> None:
    check_at_least(field="length", value=length_m, least=1e-3, unit="m", remedy="Enter the length in meters.")
    check_at_least(field="flow", value=flow_m3_per_s, least=0, unit="m³/s", remedy="Check the pace.")
    check_at_least(field="radius", value=radius_m, least=1e-4, unit="m", remedy="Enter the radius in meters.")


def push_compared(*, inner_mm: float, than_mm: float, flow_index: float = 1.0) -> Explained[float]:
    """How many times harder the same blend at the same pace pushes through one bore than through another.

    Args:
        inner_mm: The bore in question [mm].
        than_mm: The bore it is compared with [mm].
        flow_index: How the blend thins when pushed: 1 for water, less for a thick blend.
    Source:
        Darby, equation 6-44
    """
    check_at_least(field="inner_mm", value=inner_mm, least=0.3, unit="mm", remedy="Check the inner diameter.")
    check_at_least(field="than_mm", value=than_mm, least=0.3, unit="mm", remedy="Check the inner diameter.")
    check_at_least(field="flow_index", value=flow_index, least=0.05, unit="", remedy="Check the flow index.")
    times = (than_mm / inner_mm) ** (3 * flow_index + 1)
    return Explained(
        value=times,
        because=f"({write_number(than_mm)} ÷ {write_number(inner_mm)})^{write_number(3 * flow_index + 1)} = "
        f"{write_number(times, digits=3)} times the pressure",
        cautions=("A comparison only: never a pressure to push with.",),
    )
