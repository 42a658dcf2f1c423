"""Who is asking, about which animal, and when: what every screen at the animal's side begins with."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import wraps
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache

from fillmark.core.entries import KeptEntry, household_day
from fillmark.core.errors import FillmarkError, NotAllowed
from fillmark.core.new_times import newest_times
from fillmark.core.people import Capability, Caregiver, check_may
from fillmark.published.record_rules import KEPT_DAYS
from fillmark.services import households, plans
from fillmark.services.households import AnimalName, Home
from fillmark.web.look.emblem import Emblem, choose_emblems


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


Screen = Callable[..., HttpResponse]


def at_the_bedside(screen: Screen) -> Screen:
    """Give a screen its `Bedside`; what a person can mend is shown as a page with what to do."""

    @login_required
    @never_cache
    @wraps(screen)
    def shown(request: HttpRequest, *, animal_id: UUID | None = None, **kwargs: Any) -> HttpResponse:
        context: dict[str, object] = {}
        try:
            bedside = _find(request, animal_id)
            context["wrong_href"] = bedside.href("wrong")
            return screen(request, bedside, **kwargs)
        except FillmarkError as error:
            status = 403 if isinstance(error, NotAllowed) else 400
            return render(request, "fillmark/cannot.html", {**context, "error": error}, status=status)

    return shown


def _find(request: HttpRequest, animal_id: UUID | None) -> Bedside:
    now = timezone.now()
    caregiver = households.find_caregiver_of_user(request.user.pk) if request.user.pk else None
    if caregiver is None:
        raise NotAllowed(
            field="by",
            got="A sign-in that belongs to no household",
            allowed="a caregiver of a household",
            remedy="Ask a lead of your household for a sign-in link.",
        )
    home = households.find_household(household_id=caregiver.household_id)
    animals = households.find_animals(household_id=home.id)
    if not animals:
        raise NotAllowed(
            field="animal",
            got=f"{home.name}, a household without an animal yet",
            allowed="a household with an animal and its plan",
            remedy="A lead adds the animal with the vet's orders first.",
        )
    mine = next((animal for animal in animals if animal_id in (None, animal.id)), None)
    if mine is None:
        raise NotAllowed(
            field="animal",
            got="An animal that is not in this household",
            allowed="an animal of your own household",
            remedy="Go back to the first screen and choose again.",
        )
    today = household_day(at=now, time_zone=home.time_zone, day_starts=home.day_starts)
    replanned = plans.replanned(
        household_id=home.id, animal_id=mine.id, first=today - timedelta(days=int(KEPT_DAYS.value)), last=today
    )
    bedside = Bedside(
        caregiver=caregiver,
        home=home,
        animal=mine,
        others=tuple(animal for animal in animals if animal.id != mine.id),
        emblems=choose_emblems(animals),
        now=now,
        replanned=replanned,
        moved={session: word.at for session, word in newest_times(replanned).items()},
    )
    check_may(caregiver, what=Capability.SEE_TODAY, on=bedside.today)
    return bedside
