"""Who is asking, about which animal, and when: what every screen at the animal's side begins with."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import wraps
from typing import Any, overload
from uuid import UUID
from zoneinfo import ZoneInfo

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.cache import never_cache

from fillmark.core.bedside.side import Side
from fillmark.core.record.entries import KeptEntry, session_day
from fillmark.core.today.replanned import newest_times
from fillmark.core.values.errors import FillmarkError, NotAllowed
from fillmark.core.values.people import Capability, Caregiver, check_may
from fillmark.published.record_rules import KEPT_DAYS
from fillmark.services.bedside import load, widen
from fillmark.services.household import AnimalName, Home
from fillmark.web import places
from fillmark.web.at_home import AtHome, Screen, cannot, find_home
from fillmark.web.drawings.emblem import Emblem, choose_emblems
from fillmark.web.places import PlaceName, Way


@dataclass(frozen=True, kw_only=True, slots=True)
class Bedside:
    """One caregiver at one animal's side, now.

    Attributes:
        side: The animal's side: its plan, and what was written.
        replanned: The new times that the household gave sessions of the days a phone keeps, oldest first.
        moved: By session, when those come.
    """

    caregiver: Caregiver
    home: Home
    animal: AnimalName
    others: tuple[AnimalName, ...]
    emblems: Mapping[UUID, Emblem]
    now: datetime
    side: Side
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
        return self.home.day_of(self.now)

    @property
    def ids(self) -> dict[str, UUID]:
        """What the services ask for."""
        return {"household_id": self.home.id, "animal_id": self.animal.id}

    def side_now(self) -> Side:
        """The animal's side once more, where something was written since the page began."""
        return load(person=self.caregiver, home=self.home, animal_id=self.animal.id, now=self.now)

    def side_on(self, session: str) -> Side:
        """The animal's side with the whole day of a session, however long ago that was."""
        return widen(self.side, days=[session_day(session, day_starts=self.home.day_starts)])

    def check_shows(self, day: date | None, *, behind: int = 1, ahead: bool = False) -> None:
        """Refuse to show a day that is only for those who may see the whole record.

        Raises:
            NotAllowed: it is, and this person may not.
        """
        shown = day or self.today
        if shown < self.today - timedelta(days=behind) or (shown > self.today and not ahead):
            check_may(self.caregiver, what=Capability.SEE_RECORD, on=self.today)

    def may_see(self, day: date, *, behind: int = 1) -> bool:
        """Whether `check_shows` lets this person see a day."""
        try:
            self.check_shows(day, behind=behind)
        except NotAllowed:
            return False
        return True

    def may_open(self, name: str, **kwargs: object) -> bool:
        """Whether a page about this animal is for this person, by what it asks itself; its day is asked apart."""
        return places.may_open(self.caregiver, self.href(name, **kwargs), on=self.today)

    def ways_in(self, place: PlaceName) -> list[Way]:
        """What stands in a place, of that what this person may open; nothing of a plan before there is one."""
        return list(places.ways_in(place, self.caregiver, animal_id=self.animal.id, on=self.today))

    @property
    def bottles_href(self) -> str:
        """Where the bottles stand; for a sitter, who may not open that page, what is next."""
        return self.href("bottles" if self.may_open("bottles") else "now_of")

    def href(self, name: str, **kwargs: object) -> str:
        """The address of a screen about this animal."""
        return reverse(name, kwargs={"animal_id": self.animal.id, **kwargs})


def day_on(_request: HttpRequest, _bedside: Bedside, on: date | None = None) -> date | None:
    """The day in an address that may name one."""
    return on


@overload
def at_the_bedside(screen: Screen) -> Screen: ...
@overload
def at_the_bedside(
    *, what: Capability = ..., day: Callable[..., date | None] | None = ..., behind: int = ..., ahead: bool = ...
) -> Callable[[Screen], Screen]: ...
def at_the_bedside(
    screen: Screen | None = None,
    *,
    what: Capability = Capability.SEE_TODAY,
    day: Callable[..., date | None] | None = None,
    behind: int = 1,
    ahead: bool = False,
) -> Screen | Callable[[Screen], Screen]:
    """Give a screen its `Bedside`, where this person may; what they can mend is shown as a page with what to do.

    Args:
        screen: The screen.
        what: What a person must be allowed to, to come here at all.
        day: Which day it shows, from its request and address; none for what everybody at the animal's side sees.
        behind: So many days before today are shown to a person who may not see the whole record [days].
        ahead: Whether days to come are shown to them too.
    """

    def guarded(screen: Screen) -> Screen:
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
                check_may(bedside.caregiver, what=what, on=bedside.today)
                if day is not None:
                    bedside.check_shows(day(request, bedside, **kwargs), behind=behind, ahead=ahead)
                return screen(request, bedside, **kwargs)
            except FillmarkError as error:
                return cannot(request, error, **context)

        shown.needs = what  # type: ignore[attr-defined]  # asked by who shows a link to it
        return shown

    return guarded if screen is None else guarded(screen)


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
    side = load(person=at.caregiver, home=at.home, animal_id=mine.id, now=at.now)
    replanned = side.replanned(first=first, last=at.today)
    return Bedside(
        caregiver=at.caregiver,
        home=at.home,
        animal=mine,
        others=tuple(animal for animal in at.animals if animal.id != mine.id),
        emblems=choose_emblems(at.animals),
        now=at.now,
        side=side,
        replanned=replanned,
        moved={session: word.at for session, word in newest_times(replanned).items()},
    )
