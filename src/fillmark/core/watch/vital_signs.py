"""Is this temperature or this breathing a reason to call? Every number can raise a call; none can rule one out."""

from collections.abc import Collection
from enum import StrEnum
from typing import Literal

from fillmark.core.food.energy import Species
from fillmark.core.values.errors import BadEntry, OutOfRange
from fillmark.core.values.explain import Explained
from fillmark.core.values.limits import check_finite, check_range
from fillmark.core.values.quantities import celsius_from, fahrenheit_from, write_number
from fillmark.published import Printed
from fillmark.published.vital_signs import (
    BLOAT,
    BREATHING_CALL_PER_MINUTE,
    BREATHING_NOW_PER_MINUTE,
    BREATHS_LIMITS_PER_MINUTE,
    NUMBERS_RULE_NOTHING_OUT,
    RECTAL_CELSIUS,
    TEMPERATURE_LIMITS_CELSIUS,
)


class Call(StrEnum):
    """What a sign asks for. There is no "nothing to worry about"."""

    NOW = "call now"
    TODAY = "call today"
    NOT_RAISED = "nothing raised by this alone"


class Temperature(StrEnum):
    """Where a temperature stands against the reference interval of print."""

    BELOW = "below the reference interval"
    INSIDE = "inside the reference interval"
    ABOVE = "above the reference interval"


_RULES_NOTHING_OUT = "A number inside print does not rule out pneumonia or anything else."


def temperature(
    *,
    species: Species,
    rectal_celsius: float,
    vet_low_celsius: float | None = None,
    vet_high_celsius: float | None = None,
) -> Explained[Temperature]:
    """Where a rectal temperature stands; the vet's own limits go before print.

    Args:
        species: Dog or cat.
        rectal_celsius: What the thermometer showed [°C].
        vet_low_celsius: The vet's lower limit [°C], where stated.
        vet_high_celsius: The vet's upper limit [°C], where stated.
    Raises:
        OutOfRange: no living animal shows this; where it would be one in °F, that is said.
    Source:
        the vet; vital_signs.temperature_*
    """
    check_finite(field="rectal_celsius", value=rectal_celsius, unit="°C")
    limits = TEMPERATURE_LIMITS_CELSIUS
    if not limits.holds(rectal_celsius):
        as_celsius = celsius_from(fahrenheit=rectal_celsius)
        raise OutOfRange(
            field="rectal_celsius",
            got=f"A temperature of {write_number(rectal_celsius)} °C",
            allowed=f"{write_number(limits.low)} to {write_number(limits.high)} °C",
            remedy=f"Was it °F? {write_number(rectal_celsius)} °F is {as_celsius:.1f} °C."
            if limits.holds(as_celsius)
            else "Measure again.",
        )
    band = RECTAL_CELSIUS[species.value]
    low = band.low if vet_low_celsius is None else vet_low_celsius
    high = band.high if vet_high_celsius is None else vet_high_celsius
    place = (
        Temperature.BELOW
        if rectal_celsius < low
        else Temperature.ABOVE
        if rectal_celsius > high
        else Temperature.INSIDE
    )
    figures: tuple[Printed, ...] = (band,) if None in (vet_low_celsius, vet_high_celsius) else ()
    return Explained(
        value=place,
        because=f"{write_number(rectal_celsius)} °C ({fahrenheit_from(celsius=rectal_celsius):.1f} °F) against "
        f"{write_number(low)} to {write_number(high)} °C",
        figures=(*figures, NUMBERS_RULE_NOTHING_OUT) if place is Temperature.INSIDE else figures,
        cautions=(_RULES_NOTHING_OUT,) if place is Temperature.INSIDE else ("Call the vet.",),
    )


def breathing(*, species: Species, per_minute: float, vet_call_over_per_minute: float | None = None) -> Explained[Call]:
    """What a breathing rate at rest asks for; the vet's own number goes before print.

    Args:
        species: Dog or cat.
        per_minute: The rate, asleep or at rest [breaths a minute].
        vet_call_over_per_minute: Over which rate the vet wants to hear of it [breaths a minute], where stated.
    Raises:
        OutOfRange: it can only be a slip.
    Source:
        the vet; vital_signs.breathing_*
    """
    check_range(field="per_minute", value=per_minute, limits=BREATHS_LIMITS_PER_MINUTE, remedy="Count again.")
    printed, urgent = BREATHING_CALL_PER_MINUTE[species.value], BREATHING_NOW_PER_MINUTE[species.value]
    over = printed.value if vet_call_over_per_minute is None else vet_call_over_per_minute
    rate = write_number(per_minute)
    if per_minute > urgent.value:
        return Explained(
            value=Call.NOW, because=f"{rate} a minute is over {write_number(urgent.value)}: urgent", figures=(urgent,)
        )
    whose = "the printed" if vet_call_over_per_minute is None else "the vet's"
    figures: tuple[Printed, ...] = (printed,) if vet_call_over_per_minute is None else ()
    asked = (
        ("This number comes from healthy animals and heart patients: ask the vet for this animal's own.",)
        if vet_call_over_per_minute is None
        else ()
    )
    if per_minute > over:
        return Explained(
            value=Call.TODAY,
            because=f"{rate} a minute is over {whose} {write_number(over)}: call the vet today",
            figures=figures,
            cautions=asked,
        )
    return Explained(
        value=Call.NOT_RAISED,
        because=f"{rate} a minute is not over {whose} {write_number(over)}",
        figures=(*figures, NUMBERS_RULE_NOTHING_OUT),
        cautions=(_RULES_NOTHING_OUT, *asked),
    )


BloatSign = Literal["retching with nothing coming up", "tight swollen belly", "drooling", "restless"]
_ENOUGH_ALONE: frozenset[BloatSign] = frozenset({"retching with nothing coming up", "tight swollen belly"})


def bloat(*, signs: Collection[BloatSign]) -> Explained[Call]:
    """What signs of bloat ask for: one of the two hard ones is an emergency, and so are the two soft ones together.

    Raises:
        BadEntry: no sign was named.
    Source:
        vital_signs.bloat; that two soft signs are enough is our own choice
    """
    if not signs:
        raise BadEntry(
            field="signs", got="Bloat without a sign", allowed="at least one sign", remedy="Name what is seen."
        )
    named = " and ".join(sorted(signs))
    emergency = bool(_ENOUGH_ALONE & set(signs)) or len(set(signs)) > 1
    return Explained(
        value=Call.NOW if emergency else Call.TODAY,
        because=f"{named}: {'an emergency, go to the vet now' if emergency else 'call the vet today'}",
        figures=(BLOAT,),
    )
