"""Who is asking, in which household, and when: what a screen begins with that is about no single animal."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from functools import wraps
from typing import Any, overload
from uuid import UUID
from zoneinfo import ZoneInfo

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache

from fillmark.core.values.errors import FillmarkError, NotAllowed
from fillmark.core.values.people import Capability, Caregiver, check_may, may
from fillmark.services import household
from fillmark.services.household import AnimalName, Home

Screen = Callable[..., HttpResponse]


@dataclass(frozen=True, kw_only=True, slots=True)
class AtHome:
    """One caregiver in their household, now."""

    caregiver: Caregiver
    home: Home
    animals: tuple[AnimalName, ...]
    now: datetime

    @property
    def zone(self) -> ZoneInfo:
        return ZoneInfo(self.home.time_zone)

    @property
    def today(self) -> date:
        return self.home.day_of(self.now)

    @property
    def calls_href(self) -> str:
        """The way to the call cards; none before there is an animal."""
        return reverse("calls", args=[self.animals[0].id]) if self.animals else ""

    def animal_of(self, request: HttpRequest) -> UUID | None:
        """The animal whose page somebody came from, so that they go back to the same one; else the first."""
        asked = request.GET.get("of", "")
        first = self.animals[0].id if self.animals else None
        return next((one.id for one in self.animals if str(one.id) == asked), first)

    def may(self, what: Capability) -> bool:
        """Whether to show a way in; the service checks again."""
        return may(self.caregiver, what=what, on=self.today)


def find_home(request: HttpRequest) -> AtHome:
    """The household of who is signed in.

    Raises:
        NotAllowed: they belong to none, or their pass does not hold today.
    """
    caregiver = household.find_caregiver_of_user(request.user.pk) if request.user.pk else None
    if caregiver is None:
        raise NotAllowed(
            field="by",
            got="A sign-in that belongs to no household",
            allowed="a caregiver of a household",
            remedy="Ask a lead of your household for a sign-in link.",
        )
    at = AtHome(
        caregiver=caregiver,
        home=household.find_household(household_id=caregiver.household_id),
        animals=household.find_animals(household_id=caregiver.household_id),
        now=timezone.now(),
    )
    check_may(caregiver, what=Capability.SEE_TODAY, on=at.today)
    return at


@overload
def at_home(screen: Screen) -> Screen: ...
@overload
def at_home(*, what: Capability = ...) -> Callable[[Screen], Screen]: ...
def at_home(
    screen: Screen | None = None, *, what: Capability = Capability.SEE_TODAY
) -> Screen | Callable[[Screen], Screen]:
    """Give a screen its `AtHome`, where this person may; what they can mend is shown as a page with what to do.

    Args:
        screen: The screen.
        what: What a person must be allowed to, to come here at all.
    """

    def guarded(screen: Screen) -> Screen:
        @login_required
        @never_cache
        @wraps(screen)
        def shown(request: HttpRequest, **kwargs: Any) -> HttpResponse:
            try:
                at = find_home(request)
                check_may(at.caregiver, what=what, on=at.today)
                return screen(request, at, **kwargs)
            except FillmarkError as error:
                return cannot(request, error)

        shown.needs = what  # type: ignore[attr-defined]  # asked by who shows a link to it
        return shown

    return guarded if screen is None else guarded(screen)


def cannot(request: HttpRequest, error: FillmarkError, **context: object) -> HttpResponse:
    """What came, what is allowed and what to do, as a page."""
    status = 403 if isinstance(error, NotAllowed) else 400
    return render(request, "shared/cannot.html", {**context, "error": error}, status=status)
