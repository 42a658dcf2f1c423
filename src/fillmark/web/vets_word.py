"""The vet's word, as a form tells it."""

from datetime import date
from typing import Any

from django.http import HttpRequest

from fillmark.core.values.errors import BadPlan
from fillmark.core.values.words import say_date
from fillmark.web.bedside import Bedside


def read_said_on(text: str, *, about: str, today: date) -> date:
    """The day on which the vet said it.

    Args:
        text: What came.
        about: What was asked of the vet ("the new times").
        today: The household's day.
    Raises:
        BadPlan: there is no such day.
    """
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise BadPlan(
            field="vet_said_on",
            got=f'"{text[:20]}" for the day on which the vet said it',
            allowed=f"a day, {say_date(today)} or earlier",
            remedy=f"Ask the vet about {about}, then enter the day.",
        ) from None


def read_confirmation(request: HttpRequest, bedside: Bedside, *, about: str) -> dict[str, Any]:
    """Who confirms a change for which animal, when, and what the vet said about it and on which day.

    Raises:
        BadPlan: there is no such day.
    """
    said_on = read_said_on(request.POST.get("vet_said_on", ""), about=about, today=bedside.today)
    return {
        **bedside.ids,
        "by": bedside.caregiver.id,
        "vet_words": request.POST.get("vet_words", ""),
        "vet_said_on": said_on,
        "now": bedside.now,
    }
