"""Whom to call, at which hours, and the words the vet left for when something is wrong."""

from datetime import datetime
from typing import Annotated

from pydantic import Field

from fillmark.core.plan.household import WEEKDAYS, Weekday
from fillmark.core.values.document import Clock, Day, Name, Number, Part, Stated, Words
from fillmark.core.values.trouble import Trouble


class OpenHours(Part):
    """When somebody answers, by the household's clock. Hours that close before they open run past midnight."""

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
    """Whom to call, and when that number answers: in words, and as hours where they are stated."""

    who: Name
    phone: Annotated[str, Field(pattern=r"^\+?[0-9][0-9 ()/-]{2,30}$")]
    when: Name
    hours: tuple[OpenHours, ...] = Field(default=(), max_length=14)

    def answers(self, local: datetime) -> bool | None:
        """Whether somebody answers at this local time; not known where no hours are stated."""
        return any(hours.hold(local) for hours in self.hours) if self.hours else None


class TroubleWords(Part):
    """What the vet said to do when this goes wrong, in the vet's own words."""

    trouble: Trouble = Field(strict=False)
    words: Words


class VetAnswer(Part):
    """What the vet said about one thing that a check found in this plan.

    Attributes:
        about: The key of what was found, as the check names it ("over-cap", "species-warning: azathioprine").
        up_to: The amount that was put to the vet, in the unit of that check: a larger one is asked anew.
    """

    about: Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9: -]{0,119}$")]
    up_to: Annotated[Number, Field(ge=0)] | None = None
    words: Words
    said_on: Day


class Vet(Part):
    """Who ordered this, when, and in which words."""

    name: Name
    practice: Stated[Name] = None
    said_on: Day
    words: Stated[Words] = None
    call: tuple[CallNumber, ...] = Field(default=(), max_length=8)
    troubles: tuple[TroubleWords, ...] = Field(default=(), max_length=len(Trouble))
    answers: tuple[VetAnswer, ...] = Field(default=(), max_length=200)

    def words_for(self, trouble: Trouble) -> str | None:
        """What the vet said to do in this trouble; none where it is not stated."""
        return next((one.words for one in self.troubles if one.trouble is trouble), None)

    def answer_to(self, about: str, *, amount: float | None = None) -> VetAnswer | None:
        """What the vet said about something that a check found; none where the vet did not, or not of so much.

        Args:
            about: The key of what was found.
            amount: How far it goes, in the unit of that check; none where it has none.
        """
        return next(
            (
                one
                for one in self.answers
                if one.about == about and (one.up_to is None or amount is None or amount <= one.up_to)
            ),
            None,
        )
