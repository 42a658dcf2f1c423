"""The plan in force: each number with its working in place; and every version of it, as a file to keep or change."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.text import slugify
from django.views.decorators.http import require_GET

from fillmark.core.gates.plan_gate import check_plan
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.values.errors import BadPlan
from fillmark.core.values.people import Capability, may
from fillmark.core.values.words import say_date
from fillmark.exchange.plan_file import plan_as_toml
from fillmark.services import household, plans, record
from fillmark.services.medicines import find_locks
from fillmark.services.plans import StoredPlan
from fillmark.web.bedside import Bedside, at_the_bedside
from fillmark.web.bedside.day_line import line_of_day
from fillmark.web.bedside.page_context import page_context
from fillmark.web.bedside.todays_plan import planned_on
from fillmark.web.places import PlaceName
from fillmark.web.plan.numbers import numbers_of
from fillmark.web.vets_word import findings_to_answer
from fillmark.web.ways.numbers import say_limits


@require_GET
@at_the_bedside
def plan(request: HttpRequest, bedside: Bedside) -> HttpResponse:
    planned, coming = planned_on(bedside, bedside.today), _coming(bedside)
    ledger = record.day_ledger(bedside.side, day=bedside.today)
    context = {
        "bedside": bedside,
        "line": line_of_day(bedside, day=bedside.today, records=[line.record for line in ledger.lines]),
        "day_href": bedside.href("day"),
        "calls_href": bedside.href("calls"),
        "under": f"The plan, version {planned.version}" if planned.version else "No plan yet",
        "planned": planned,
        "vet": planned.plan.vet if planned.plan else None,
        "numbers": list(numbers_of(planned.day, planned.plan.orders, locks=find_locks(bedside.side)))
        if planned.day and planned.plan
        else [],
        "limits": say_limits(
            warn_ml_per_kg=planned.plan.orders.warn_ml_per_kg, cap_ml_per_kg=planned.plan.orders.cap_ml_per_kg
        )
        if planned.plan
        else "",
        "ways": bedside.ways_in(PlaceName.PLAN),
        "may_change": may(bedside.caregiver, what=Capability.CHANGE_PLAN, on=bedside.today),
        "may_prepare": may(bedside.caregiver, what=Capability.PREPARE_PLAN, on=bedside.today),
        "findings": _findings(request, bedside, planned.plan),
        "coming": coming,
        "begins": coming.effective_from.astimezone(bedside.zone) if coming else None,
    }
    return render(request, "plan/plan.html", context)


def _findings(request: HttpRequest, bedside: Bedside, plan: CarePlan | None) -> dict[str, object] | None:
    """What speaks against the plan as it is, to be shown and not to be answered here."""
    return findings_to_answer(check_plan(plan, on=bedside.today), request) if plan is not None else None


@dataclass(frozen=True, kw_only=True, slots=True)
class ShownVersion:
    """One version of the plan with who stands behind it.

    Attributes:
        standing: Whether it holds now, will hold, or held until when.
    """

    stored: StoredPlan
    since: datetime
    by: str
    standing: str


def _coming(bedside: Bedside) -> StoredPlan | None:
    """The newest version, where it does not hold yet."""
    found = plans.all_versions(**bedside.ids)
    return found[-1] if found and found[-1].effective_from > bedside.now else None


def _show_versions(bedside: Bedside) -> list[ShownVersion]:
    """Newest first. A version that another replaced before it began was never in force."""
    names: dict[UUID, str] = {one.id: one.name for one in household.find_people(household_id=bedside.home.id)}
    shown: list[ShownVersion] = []
    until: datetime | None = None
    for stored in reversed(plans.all_versions(**bedside.ids)):
        since = stored.effective_from.astimezone(bedside.zone)
        if until is not None and since >= until:
            standing = "never in force: another one took its place before"
        elif since > bedside.now:
            standing = "not in force yet"
        elif until is None or until > bedside.now:
            standing = "in force"
        else:
            standing = f"in force until {say_date(until)} at {until:%H:%M}"
        until = since if until is None else min(until, since)
        shown.append(ShownVersion(stored=stored, since=since, by=names[stored.confirmed_by], standing=standing))
    return shown


@require_GET
@at_the_bedside(what=Capability.SEE_RECORD)
def versions(request: HttpRequest, bedside: Bedside) -> HttpResponse:
    """Every version with from when on it holds, who confirmed it, and the vet's words."""
    context = page_context(bedside, under="Every version of the plan") | {
        "versions": _show_versions(bedside),
        "may_change": may(bedside.caregiver, what=Capability.CHANGE_PLAN, on=bedside.today),
    }
    return render(request, "plan/versions.html", context)


def _find_version(bedside: Bedside, number: int) -> ShownVersion:
    found = next((one for one in _show_versions(bedside) if one.stored.number == number), None)
    if found is None:
        raise BadPlan(
            field="number",
            got=f"Version {number} of {bedside.animal.name}'s plan",
            allowed="a version that there is",
            remedy="Go back to the list of versions.",
        )
    return found


def _file(bedside: Bedside, version: ShownVersion, text: str, *, kind: str) -> HttpResponse:
    name = f"{slugify(bedside.animal.name) or 'animal'}-plan-{version.stored.number}.{kind}"
    answer = HttpResponse(text, content_type=f"application/{kind}; charset=utf-8")
    answer["Content-Disposition"] = f'attachment; filename="{name}"'
    return answer


@require_GET
@at_the_bedside(what=Capability.SEE_RECORD)
def version_as_toml(_request: HttpRequest, bedside: Bedside, number: int) -> HttpResponse:
    """A version to read, to change, and to take in again."""
    version = _find_version(bedside, number)
    stored = version.stored
    text = plan_as_toml(
        stored.plan,
        remarks=[
            f"{bedside.animal.name}'s care plan, version {number}, "
            f"from {say_date(version.since)}, {version.since:%H:%M} on.",
            f"Confirmed by {version.by}. {version.standing.capitalize()}.",
            f"The vet said on {say_date(stored.vet_said_on)}: {' '.join(stored.vet_words.split())}",
        ],
    )
    return _file(bedside, version, text, kind="toml")


@require_GET
@at_the_bedside(what=Capability.SEE_RECORD)
def version_as_json(_request: HttpRequest, bedside: Bedside, number: int) -> HttpResponse:
    """A version as it is kept."""
    version = _find_version(bedside, number)
    return _file(bedside, version, version.stored.document, kind="json")
