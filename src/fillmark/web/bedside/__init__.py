"""Who is asking, about which animal, and when: what every screen at the animal's side begins with."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import wraps
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.cache import never_cache

from fillmark.core.record.entries import KeptEntry, household_day
from fillmark.core.today.new_times import newest_times
from fillmark.core.values.errors import FillmarkError, NotAllowed
from fillmark.core.values.people import Caregiver
from fillmark.published.record_rules import KEPT_DAYS
from fillmark.services import plans
from fillmark.services.households import AnimalName, Home
from fillmark.web.at_home import AtHome, Screen, cannot, find_home
from fillmark.web.drawings.emblem import Emblem, choose_emblems


@dataclass(frozen=True, kw_only=True, slots=True)
class Bedside:
    """One caregiver at one animal's side, now.

    Attributes:
        replanned: The new times that the household gave sessions of the days a phone keeps, oldest first.
        moved: By session, when those come.
    """

    caregiver: Caregiver
    home: Home
    animal: AnimalName
    others: tuple[AnimalName, ...]
    emblems: Mapping[UUID, Emblem]
    now: datetime
    replanned: tuple[KeptEntry, ...]
    moved: Mapping[str, datetime]

    @property
    def emblem(self) -> Emblem:
        """How this animal is told apart."""
        return self.emblems[self.animal.id]

    @property
    def zone(self) -> ZoneInfo:
        return ZoneInfo(self.home.time_zone)

    @property
    def today(self) -> date:
        return household_day(at=self.now, time_zone=self.home.time_zone, day_starts=self.home.day_starts)

    @property
    def ids(self) -> dict[str, UUID]:
        """What the services ask for."""
        return {"household_id": self.home.id, "animal_id": self.animal.id}

    def href(self, name: str, **kwargs: object) -> str:
        """The address of a screen about this animal."""
        return reverse(name, kwargs={"animal_id": self.animal.id, **kwargs})


def at_the_bedside(screen: Screen) -> Screen:
    """Give a screen its `Bedside`; what a person can mend is shown as a page with what to do."""

    @login_required
    @never_cache
    @wraps(screen)
    def shown(request: HttpRequest, *, animal_id: UUID | None = None, **kwargs: Any) -> HttpResponse:
        context: dict[str, object] = {}
        try:
            at = find_home(request)
            if not at.animals:
                return redirect("welcome")
            bedside = _find(at, animal_id)
            context["calls_href"] = bedside.href("calls")
            return screen(request, bedside, **kwargs)
        except FillmarkError as error:
            return cannot(request, error, **context)

    return shown


def _find(at: AtHome, animal_id: UUID | None) -> Bedside:
    mine = next((animal for animal in at.animals if animal_id in (None, animal.id)), None)
    if mine is None:
        raise NotAllowed(
            field="animal",
            got="An animal that is not in this household",
            allowed="an animal of your own household",
            remedy="Go back to the first screen and choose again.",
        )
    first = at.today - timedelta(days=int(KEPT_DAYS.value))
    replanned = plans.replanned(household_id=at.home.id, animal_id=mine.id, first=first, last=at.today)
    return Bedside(
        caregiver=at.caregiver,
        home=at.home,
        animal=mine,
        others=tuple(animal for animal in at.animals if animal.id != mine.id),
        emblems=choose_emblems(at.animals),
        now=at.now,
        replanned=replanned,
        moved={session: word.at for session, word in newest_times(replanned).items()},
    )
