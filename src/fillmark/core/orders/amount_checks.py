"""What the hand and the clock make of an order: so many tablets, so many mL, rounded up, at these times."""

from collections.abc import Iterator, Sequence

from fillmark.core.orders.dose_text import Pieces, bare_amount, number_of, unit_of
from fillmark.core.orders.dosing_days import amount_on
from fillmark.core.orders.drawing import draw
from fillmark.core.orders.medicine import Medicine, interval_hours, read_strength
from fillmark.core.orders.slips import LAST_DIGITS
from fillmark.core.orders.stages import OrderStage
from fillmark.core.orders.tablets import TabletParts
from fillmark.core.tube.syringe import Syringe
from fillmark.core.values.errors import FillmarkError
from fillmark.core.values.finding import Finding, Weight
from fillmark.core.values.other_amounts import OtherAmount
from fillmark.core.values.quantities import Mass, write_number
from fillmark.published.medicine import (
    CLOCKS_CLOSER_FRACTION,
    LITTLE_LIQUID_ML,
    MANY_PIECES,
    MUCH_LIQUID_ML_PER_KG,
    ROLLING_DAY_HOURS,
)

_DAY_MINUTES = 1440


def given_amount(
    medicine: Medicine, dose: Mass | OtherAmount, *, weight_kg: float, syringes: Sequence[Syringe]
) -> Mass | OtherAmount:
    """What the line on the syringe, or the parts of tablets, come to; what was ordered where that cannot be said.

    Args:
        medicine: The order.
        dose: What was ordered for one giving.
        weight_kg: The newest weight [kg].
        syringes: What medicines are drawn with in this household.
    Source:
        the figures of the mark
    """
    strength = read_strength(medicine)
    try:
        found = draw(medicine, weight_kg=weight_kg, syringes=syringes).value
    except FillmarkError:
        return dose
    if isinstance(found, TabletParts):
        return found.given or dose
    assert strength is not None  # noqa: S101  # nothing is drawn from a bottle of unknown strength
    held = found.drawn.ml * number_of(strength)
    return Mass(held) if isinstance(dose, Mass) else OtherAmount(held, dose.unit)


def about_amount(
    stage: OrderStage, dose: Mass | OtherAmount, *, given: Mass | OtherAmount, weight_kg: float
) -> Iterator[Finding]:
    """How many pieces or mL one dose is, and by how much it is rounded up.

    Args:
        stage: The stage of an order.
        dose: What was ordered for one giving.
        given: What the syringe or the tablets come to.
        weight_kg: The newest weight [kg].
    Source:
        medicine.many_pieces, medicine.much_liquid, medicine.little_liquid
    """
    strength = read_strength(stage.medicine)
    if strength is not None and unit_of(strength) == unit_of(dose):
        number = bare_amount(dose) / number_of(strength)
        if isinstance(strength, Mass | OtherAmount):
            yield from about_count(stage, float(number))
        elif float(number) > MUCH_LIQUID_ML_PER_KG.value * weight_kg:
            yield Finding(
                code="much-liquid",
                weight=Weight.ASKED,
                field=stage.field("dose"),
                text=f"{stage.label}: one dose is {write_number(number)} mL, for {write_number(weight_kg)} kg. "
                "Read the dose and the label again, and ask the vet whether that much is meant.",
                figures=(MUCH_LIQUID_ML_PER_KG,),
            )
        elif float(number) < LITTLE_LIQUID_ML.value:
            yield Finding(
                code="little-liquid",
                weight=Weight.ASKED,
                field=stage.field("dose"),
                text=f"{stage.label}: one dose is {write_number(number, digits=2)} mL. Read the dose and the label "
                "again, and ask the vet whether so little is meant.",
                figures=(LITTLE_LIQUID_ML,),
            )
    more = float(bare_amount(given) / bare_amount(dose) - 1)
    if more > LAST_DIGITS:
        yield Finding(
            code="rounded-up",
            weight=Weight.SAID,
            field=stage.field("dose"),
            text=f"{stage.label}: {dose} is rounded up to {given}, {more:.1%} more than ordered.",
        )


def about_count(stage: OrderStage, pieces: float) -> Iterator[Finding]:
    """A count of tablets, capsules, sachets or vials that few doses come to; drops are many by nature.

    Args:
        stage: The stage of an order.
        pieces: How many for one dose.
    Source:
        medicine.many_pieces
    """
    if stage.medicine.form == "drops" or pieces <= MANY_PIECES.value:
        return
    yield Finding(
        code="many-pieces",
        weight=Weight.ASKED,
        field=stage.field("dose"),
        text=f"{stage.label}: one dose is {write_number(pieces, digits=3)} of them. Read the dose and the label again, "
        "and ask the vet whether that many are meant.",
        figures=(MANY_PIECES,),
    )


def about_pieces(stage: OrderStage) -> Iterator[Finding]:
    """A dose that is ordered as a count.

    Args:
        stage: The stage of an order.
    Source:
        medicine.many_pieces
    """
    dose = amount_on(stage.medicine)
    if isinstance(dose, Pieces):
        yield from about_count(stage, float(dose.count))


def about_clocks(stage: OrderStage) -> Iterator[Finding]:
    """Times of day that do not keep the order's own rhythm.

    Args:
        stage: The stage of an order.
    Source:
        medicine.clocks_closer
    """
    medicine, hours = stage.medicine, interval_hours(stage.medicine)
    day = ROLLING_DAY_HOURS.value
    if not medicine.clocks or hours is None or hours > day:
        return
    doses = day / hours
    times = "once a day" if len(medicine.clocks) == 1 else f"{len(medicine.clocks)} times a day"
    if doses != int(doses):
        yield Finding(
            code="clocks-against-interval",
            weight=Weight.ASKED,
            field=stage.field("clocks"),
            text=f"{stage.label}: every {write_number(hours)} hours is {write_number(doses, digits=3)} doses a day, "
            f"and its times give it {times}. Ask the vet which is meant.",
        )
        return
    minutes = sorted(clock.hour * 60 + clock.minute for clock in medicine.clocks)
    gaps = [
        (later - earlier) % _DAY_MINUTES or _DAY_MINUTES
        for earlier, later in zip(minutes, [*minutes[1:], minutes[0]], strict=True)
    ]
    least = medicine.min_gap_hours or hours * CLOCKS_CLOSER_FRACTION.value
    if min(gaps) < least * 60:
        yield Finding(
            code="clocks-against-interval",
            weight=Weight.ASKED,
            field=stage.field("clocks"),
            text=f"{stage.label}: two of its times stand {write_number(min(gaps) / 60, digits=3)} hours apart, when "
            f"it is ordered every {write_number(hours, digits=3)} hours. Move a time, or ask the vet.",
            figures=() if medicine.min_gap_hours else (CLOCKS_CLOSER_FRACTION,),
        )
