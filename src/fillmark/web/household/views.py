"""The household: who looks after its animals and how they sign in, what it is called, and its clock."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, time, timedelta
from functools import wraps
from zoneinfo import available_timezones

import segno
from django.contrib.auth import update_session_auth_hash
from django.http import HttpRequest, HttpResponse
from django.http.request import split_domain_port
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.safestring import SafeString, mark_safe
from django.views.decorators.http import require_GET, require_POST

from fillmark.core.values.errors import BadHousehold, FillmarkError, NotAllowed
from fillmark.core.values.people import Capability, Caregiver, Role
from fillmark.core.values.quantities import write_number
from fillmark.core.values.typed import read_day
from fillmark.core.values.words import say_date, say_day
from fillmark.published.record_rules import BACKUP_AFTER_DAYS
from fillmark.services import backup, sign_in
from fillmark.services import household as service
from fillmark.services.household import Member
from fillmark.services.passkeys import find_passkeys
from fillmark.services.visits import Happened
from fillmark.web.at_home import AtHome, Screen, at_home
from fillmark.web.chart.views import HERE_ONLY
from fillmark.web.words import say_clock

LINK_HOLDS = timedelta(days=7)
"""Long enough for somebody who reads it at the weekend."""
_ROLES = {
    Role.HELPER: "Helper: sessions, the record, bottles; changes no plan",
    Role.SITTER: "Sitter: today's sessions, between two days",
    Role.LEAD: "Lead: everything, also the plan and inviting people",
}


@dataclass(frozen=True, kw_only=True, slots=True)
class ShownMember:
    """One caregiver with the state of their sign-in in words."""

    caregiver: Caregiver
    role: str
    standing: str
    is_me: bool
    may_sign_in: bool
    is_sitter: bool


def _say_standing(member: Member, at: AtHome) -> str:
    until = member.link_until
    open_link = (
        f"a link is open until {say_day(until.astimezone(at.zone), has_weekday=True)}, {say_clock(until, at.zone)}"
        if until
        else ""
    )
    if not member.may_sign_in:
        return "ended: signs in no more"
    if not member.has_signed_in:
        return f"has not signed in yet; {open_link or 'no link is open'}"
    return f"signs in; {open_link}" if open_link else "signs in"


def _say_role(caregiver: Caregiver) -> str:
    if caregiver.from_on is None or caregiver.until_on is None:
        return caregiver.role.value
    return f"{caregiver.role.value} from {say_day(caregiver.from_on)} to {say_date(caregiver.until_on)}"


def _show_members(at: AtHome) -> list[ShownMember]:
    """Who signs in first, then those whose sign-in is ended."""
    found = service.find_members(household_id=at.home.id, by=at.caregiver.id, now=at.now)
    shown = [
        ShownMember(
            caregiver=one.caregiver,
            role=_say_role(one.caregiver),
            standing=_say_standing(one, at),
            is_me=one.caregiver.id == at.caregiver.id,
            may_sign_in=one.may_sign_in,
            is_sitter=one.caregiver.role is Role.SITTER,
        )
        for one in found
    ]
    return sorted(shown, key=lambda one: not one.may_sign_in)


def _page(request: HttpRequest, at: AtHome, *, error: FillmarkError | None = None) -> HttpResponse:
    may_invite = at.may(Capability.INVITE)
    context = {
        "home": at.home,
        "me": at.caregiver,
        "my_role": _say_role(at.caregiver),
        "calls_href": at.calls_href,
        "backup_after_days": write_number(BACKUP_AFTER_DAYS.value) if backup.is_backup_due(now=at.now) else "",
        "animal_id": at.animal_of(request),
        "hand": at.caregiver.name,
        "members": _show_members(at) if may_invite else (),
        "leads": [one.name for one in service.find_leads(household_id=at.home.id)],
        "may_invite": may_invite,
        "may_change_household": at.may(Capability.CHANGE_HOUSEHOLD),
        "may_change_clock": service.may_change_clock(household_id=at.home.id),
        "may_change_plan": at.may(Capability.CHANGE_PLAN),
        "may_settle": at.may(Capability.SETTLE),
        "roles": [(role.value, words, request.POST.get("role") == role.value) for role, words in _ROLES.items()],
        "zones": sorted(available_timezones()),
        "filled": {name: request.POST.get(name, "") for name in ("name", "from_on", "until_on")} if error else {},
        "today": at.today,
        "passkeys": find_passkeys(at.caregiver.id),
        "error": error,
    }
    return render(request, "household/household.html", context, status=400 if error else 200)


@require_GET
@at_home
def household(request: HttpRequest, at: AtHome) -> HttpResponse:
    """For a lead, everybody and everything; for others, their own name and another phone of theirs."""
    return _page(request, at)


_HAPPENED = {
    Happened.LINK: "signed in by a link",
    Happened.TYPED: "signed in by a password",
    Happened.REFUSED: "was refused: a wrong password",
    Happened.LINK_MADE: "got a new link",
    Happened.CHOSEN: "chose a password",
    Happened.PASSKEY: "signed in by a passkey",
    Happened.PASSKEY_MADE: "made a passkey",
    Happened.PASSKEY_ENDED: "ended a passkey",
    Happened.SIGNED_OUT: "was signed out everywhere",
    Happened.ENDED: "signs in no more",
    Happened.DAYS: "may come in",
}


@require_GET
@at_home(what=Capability.INVITE)
def sign_ins(request: HttpRequest, at: AtHome) -> HttpResponse:
    """Who signed in and how, and who let whom in: the last 90 days, the newest first."""
    found = service.find_sign_ins(household_id=at.home.id, by=at.caregiver.id, now=at.now)
    days: dict[str, list[dict[str, str]]] = {}
    for one in found:
        local = one.at.astimezone(at.zone)
        says = f"{one.person_name} {_HAPPENED[Happened(one.what)]}"
        told = ", ".join(part for part in (one.words, one.by_name and f"by {one.by_name}") if part)
        shown = {"clock": say_clock(one.at, at.zone), "says": says, "told": told}
        days.setdefault(say_day(local, has_weekday=True), []).append(shown)
    return render(request, "household/sign_ins.html", {"days": days.items(), "calls_href": at.calls_href})


def _change(screen: Screen) -> Callable[..., HttpResponse]:
    """A change of the household; what cannot be kept as it stands is told on its page, with what was typed."""

    @require_POST
    @at_home
    @wraps(screen)
    def changed(request: HttpRequest, at: AtHome) -> HttpResponse:
        try:
            return screen(request, at)
        except NotAllowed as error:
            if error.field == "by":
                raise
            return _page(request, at, error=error)
        except FillmarkError as error:
            return _page(request, at, error=error)

    return changed


@_change
def invite(request: HttpRequest, at: AtHome) -> HttpResponse:
    """One more caregiver, and the link that signs them in."""
    role = next((one for one in Role if one.value == request.POST.get("role")), None)
    if role is None:
        raise BadHousehold(
            field="role",
            got="An invitation that does not say what the person may do",
            allowed="lead, helper or sitter",
            remedy="Choose one of them.",
        )
    is_sitter = role is Role.SITTER
    added = service.add_person(
        household_id=at.home.id,
        by=at.caregiver.id,
        name=request.POST.get("name", ""),
        role=role,
        now=at.now,
        from_on=_read_day(request.POST, "from_on") if is_sitter else None,
        until_on=_read_day(request.POST, "until_on") if is_sitter else None,
    )
    return _show_link(request, at, added)


@_change
def link(request: HttpRequest, at: AtHome) -> HttpResponse:
    """A new link: for one more phone, or to let somebody in again."""
    return _show_link(request, at, _person(request, at))


@_change
def lost(request: HttpRequest, at: AtHome) -> HttpResponse:
    """A phone is lost: every phone of this person is signed out, and a new link is made."""
    person = _person(request, at)
    user = sign_in.sign_out_everywhere(household_id=at.home.id, by=at.caregiver.id, person_id=person.id, now=at.now)
    if person.id == at.caregiver.id:
        update_session_auth_hash(request, user)  # the phone in hand is not the lost one
    return _show_link(request, at, person)


@_change
def end(request: HttpRequest, at: AtHome) -> HttpResponse:
    """Somebody signs in no more."""
    sign_in.end_sign_in(household_id=at.home.id, by=at.caregiver.id, person_id=_person(request, at).id, now=at.now)
    return redirect("household")


@_change
def person(request: HttpRequest, at: AtHome) -> HttpResponse:
    """Another name, or other days of a sitter's pass."""
    form = request.POST
    service.change_person(
        household_id=at.home.id,
        by=at.caregiver.id,
        person_id=_person(request, at).id,
        name=form.get("name", ""),
        now=at.now,
        from_on=_read_day(form, "from_on") if form.get("from_on") else None,
        until_on=_read_day(form, "until_on") if form.get("until_on") else None,
    )
    return redirect("household")


@_change
def password(request: HttpRequest, at: AtHome) -> HttpResponse:
    """A name and a password of one's own, for when nobody is there to make a link."""
    sign_in.choose_password(
        household_id=at.home.id,
        now=at.now,
        person_id=at.caregiver.id,
        user_name=request.POST.get("user_name", "").strip(),
        password=request.POST.get("password", ""),
    )
    update_session_auth_hash(request, sign_in.user_of(at.caregiver.id))  # this phone stays, others sign in anew
    return redirect("household")


@_change
def settings(request: HttpRequest, at: AtHome) -> HttpResponse:
    """The household's name, and while nothing is counted by it, its clock."""
    form = request.POST
    service.change_household(
        household_id=at.home.id,
        by=at.caregiver.id,
        name=form.get("name", ""),
        time_zone=form.get("time_zone", at.home.time_zone),
        day_starts=_read_clock(form["day_starts"]) if "day_starts" in form else at.home.day_starts,
        now=at.now,
    )
    return redirect("household")


def _person(request: HttpRequest, at: AtHome) -> Caregiver:
    """The caregiver that the form names."""
    wanted = request.POST.get("person", "")
    found = next((one for one in service.find_people(household_id=at.home.id) if str(one.id) == wanted), None)
    if found is None:
        raise BadHousehold(
            field="person",
            got="A person who is not of this household",
            allowed="one of its caregivers",
            remedy="Go back to the household and choose again.",
        )
    return found


def _read_day(form: Mapping[str, str], field: str) -> date:
    found = read_day(form.get(field, ""))
    if found is None:
        raise BadHousehold(
            field=field,
            got=f'"{form.get(field, "")[:20]}" for a day of the stay',
            allowed="a day that exists, as year-month-day (2026-03-28)",
            remedy="Enter the first and the last day of the stay.",
        )
    return found


def _read_clock(text: str) -> time:
    try:
        return time.fromisoformat(text).replace(second=0, microsecond=0, tzinfo=None)
    except ValueError:
        raise BadHousehold(
            field="day_starts",
            got=f'"{text[:20]}" for the start of the day',
            allowed="00:00 to 23:59",
            remedy="Write the time as the clock on the wall shows it, such as 04:00.",
        ) from None


def _show_link(request: HttpRequest, at: AtHome, caregiver: Caregiver) -> HttpResponse:
    """The link in words and as a picture; it is shown once, because only its hash is kept."""
    token = sign_in.make_link(
        household_id=at.home.id, by=at.caregiver.id, person_id=caregiver.id, now=at.now, valid_for=LINK_HOLDS
    )
    address = request.build_absolute_uri(reverse("use_link", args=[token]))
    is_here_only = split_domain_port(request.get_host())[0] in HERE_ONLY
    context = {
        "home": at.home,
        "person": caregiver,
        "is_me": caregiver.id == at.caregiver.id,
        "role": _say_role(caregiver),
        "address": address,
        "code": "" if is_here_only else _draw_code(address),
        "until": (at.now + LINK_HOLDS).astimezone(at.zone),
        "is_here_only": is_here_only,
        "calls_href": at.calls_href,
    }
    return render(request, "household/link.html", context)


def _draw_code(address: str) -> SafeString:
    """The address as a square that a phone's camera reads, dark on light also by night."""
    drawn = segno.make(address, micro=False).svg_inline(
        scale=5, border=4, dark="#000", light="#fff", svgclass="qr", omitsize=True, title="The link as a square code"
    )
    return mark_safe(drawn)  # noqa: S308 - drawn from an address that this page made
