"""Whom to call, at which hours, and the words the vet left for when something is wrong."""

from collections.abc import Iterable, Iterator
from datetime import date, datetime, time, timedelta
from typing import Annotated, Self

from pydantic import Field, model_validator

from fillmark.core.plan.household import WEEKDAYS, Weekday
from fillmark.core.values.document import Clock, Day, Name, Number, Part, Stated, Words, refuse, within
from fillmark.core.values.errors import BadPlan
from fillmark.core.values.quantities import write_number
from fillmark.core.values.trouble import Trouble
from fillmark.published.blend import VOLUME_LIMITS_ML
from fillmark.published.vital_signs import BREATHS_LIMITS_PER_MINUTE


class OpenHours(Part):
    """When somebody answers, by the household's clock. Hours that close before they open run past midnight.

    Attributes:
        days: On these days.
        opens: Answers from.
        closes: Until. Before the hour of opening means the next morning.
    """

    days: tuple[Weekday, ...] = Field(min_length=1, max_length=7)
    opens: Clock
    closes: Clock

    def hold(self, local: datetime) -> bool:
        """Whether somebody answers at this local time."""
        today, clock = WEEKDAYS[local.weekday()], local.time()
        if self.opens < self.closes:
            return today in self.days and self.opens <= clock < self.closes
        yesterday = WEEKDAYS[local.weekday() - 1]
        return (today in self.days and clock >= self.opens) or (yesterday in self.days and clock < self.closes)


class CallNumber(Part):
    """Whom to call, and when that number answers: in words, and as hours where they are stated.

    Attributes:
        who: Who answers.
        phone: Telephone.
        when: When, in words. As on the sheet: weekdays 8 to 18.
        hours: When, in hours. So that the right number rings at night.
        always: Answers day and night.
        for_poison: For poisons only.
    """

    who: Name
    phone: Annotated[str, Field(pattern=r"^\+?[0-9][0-9 ()/-]{2,30}$")]
    when: Name
    hours: tuple[OpenHours, ...] = Field(default=(), max_length=14)
    always: bool = False
    for_poison: bool = False

    def answers(self, local: datetime) -> bool | None:
        """Whether somebody answers at this local time; not known where no hours are stated."""
        if self.always:
            return True
        return any(hours.hold(local) for hours in self.hours) if self.hours else None

    @property
    def is_poison_line(self) -> bool:
        """Whether it is called about poisons alone, by its name or the words beside it; never in a clinic's place."""
        return self.for_poison or "poison" in f"{self.who} {self.when}".lower()


class TroubleWords(Part):
    """What the vet said to do when this goes wrong, in the vet's own words.

    Attributes:
        trouble: When this happens.
        words: What the vet said to do. In the vet's own words.
    """

    trouble: Trouble = Field(strict=False)
    words: Words


class VetAnswer(Part):
    """What the vet said about one thing that a check found in this plan.

    Attributes:
        about: About. What was asked, as the check names it.
        up_to: Up to. The amount that was put to the vet; a larger one is asked anew.
        words: What the vet said.
        said_on: Said on.
    """

    about: Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9: -]{0,119}$")]
    up_to: Annotated[Number, Field(ge=0)] | None = None
    words: Words
    said_on: Day


class Span(Part):
    """A lower and an upper limit.

    Attributes:
        low: Lowest.
        high: Highest.
    """

    low: Number
    high: Number

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if self.low > self.high:
            raise refuse(
                BadPlan(
                    field="",
                    got=f"Limits from {write_number(self.low)} to {write_number(self.high)}",
                    allowed="the lower number first",
                    remedy="Read both numbers again.",
                )
            )
        return self


class VetLimits(Part):
    """From which number on the vet wants to be called.

    Attributes:
        breaths_asleep_per_minute: Breaths a minute, asleep. Call at so many, or more.
        temperature_c: Temperature. Call below the one or above the other.
        comes_back_times_a_day: Food comes back, times a day. Call at so often, or more often.
        comes_back_ml: Food comes back, at once. Call at so much, or more.
    """

    breaths_asleep_per_minute: Annotated[Number, within(BREATHS_LIMITS_PER_MINUTE)] | None = None
    temperature_c: Span | None = None
    comes_back_times_a_day: Annotated[int, Field(ge=1, le=50)] | None = None
    comes_back_ml: Annotated[Number, within(VOLUME_LIMITS_ML)] | None = None

    def words_for(self, trouble: Trouble) -> str | None:
        """The limit that goes with a trouble, as the vet's order in a sentence; none where there is none."""
        if trouble is Trouble.VOMITING:
            often, much = self.comes_back_times_a_day, self.comes_back_ml
            parts = [f"{often} times a day" if often and often > 1 else "the first time" if often else ""]
            parts.append(f"{write_number(much)} mL at once" if much else "")
            from_when = " or ".join(filter(None, parts))
            return f"Call from {from_when} on." if from_when else None
        if trouble is Trouble.BREATHING and self.breaths_asleep_per_minute:
            return f"Call from {write_number(self.breaths_asleep_per_minute)} breaths a minute asleep on."
        if trouble is Trouble.FEVER and self.temperature_c:
            low, high = (write_number(celsius) for celsius in (self.temperature_c.low, self.temperature_c.high))
            return f"Call below {low} °C or above {high} °C."
        return None


class Vet(Part):
    """Who ordered this, when, and in which words.

    Attributes:
        name: Vet. Who gave these orders.
        practice: Practice.
        said_on: Said on. The day of the sheet or the call.
        words: In the vet's words. The line of the sheet that says it all, or what was said on the telephone.
        call: Whom to call.
        troubles: What to do when.
        answers: What the vet said about findings. Written where a check asked.
        limits: Call the vet from these numbers on.
        nobody_at_night: Nobody answers at night. Tick it once you have asked.
        recheck_on: Seen again on.
    """

    name: Name
    practice: Stated[Name] = None
    said_on: Day
    words: Stated[Words] = None
    call: tuple[CallNumber, ...] = Field(default=(), max_length=8)
    troubles: tuple[TroubleWords, ...] = Field(default=(), max_length=len(Trouble))
    answers: tuple[VetAnswer, ...] = Field(default=(), max_length=200)
    limits: Stated[VetLimits] = None
    nobody_at_night: bool = False
    recheck_on: Stated[Day] = None

    def words_for(self, trouble: Trouble) -> str | None:
        """What the vet said to do in this trouble, and from which number on; none where neither is stated."""
        said = [one.words for one in self.troubles if one.trouble is trouble]
        limit = self.limits.words_for(trouble) if self.limits else None
        return " ".join([*said, *([limit] if limit else [])]) or None

    @property
    def clinics(self) -> tuple[CallNumber, ...]:
        """Whom to call about anything: every number but a poison line."""
        return tuple(number for number in self.call if not number.is_poison_line)

    def answer_to(self, about: str, *, amount: float | None = None) -> VetAnswer | None:
        """What the vet said about something that a check found; none where the vet did not, or not of so much.

        Args:
            about: The key of what was found.
            amount: How far it goes, in the unit of that check; none where it has none.
        """
        return find_answer(self.answers, about, amount=amount)

    def silent_at(self, *, is_known: bool = True) -> datetime | None:
        """A moment of the week at which nobody answers, 3 in the night first; none where somebody always does.

        Args:
            is_known: Only where every number is known to be shut; otherwise also where one has no hours.
        """
        wanted = (False,) if is_known else (False, None)
        for moment in self._turns():
            if all(number.answers(moment) in wanted for number in self.clinics):
                return moment if self.clinics else None
        return None

    def _turns(self) -> Iterator[datetime]:
        """3 in each night of a week, and each moment at which a number opens or shuts."""
        clocks = [*(clock for number in self.clinics for one in number.hours for clock in (one.opens, one.closes))]
        for clock in (NIGHT, *sorted(set(clocks))):
            yield from (datetime.combine(_A_MONDAY + timedelta(days=day), clock) for day in range(len(WEEKDAYS)))


NIGHT = time(3)
"""The hour at which a household that has nobody to call is worst off."""
_A_MONDAY = date(2026, 11, 30)


def say_moment(moment: datetime) -> str:
    """A moment of the week in words: "at night", "on Sunday at 12:00"."""
    return "at night" if moment.time() == NIGHT else f"on {moment:%A} at {moment:%H:%M}"


def find_answer(answers: Iterable[VetAnswer], about: str, *, amount: float | None) -> VetAnswer | None:
    """The vet's answer about something that a check found; none where there is none, or not of so much.

    Args:
        answers: What the vet said.
        about: The key of what was found.
        amount: How far it goes, in the unit of that check; none where it has none.
    """
    for one in answers:
        if one.about == about and (one.up_to is None or amount is None or amount <= one.up_to):
            return one
    return None
