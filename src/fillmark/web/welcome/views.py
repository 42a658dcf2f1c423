"""What comes first: a household without an animal is told its next step, and gets a plan to begin with."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET

from fillmark.core.values.people import Capability
from fillmark.examples import example_plan
from fillmark.web.at_home import AtHome, at_home


@require_GET
@at_home
def welcome(request: HttpRequest, at: AtHome) -> HttpResponse:
    """For a lead, the way to the first plan; for others, who takes it in."""
    if at.animals:
        return redirect("now")
    context = {"home": at.home, "caregiver": at.caregiver, "may_change": at.may(Capability.CHANGE_PLAN)}
    return render(request, "welcome/welcome.html", context)


def _example(name: str) -> HttpResponse:
    answer = HttpResponse(example_plan(name), content_type="application/toml; charset=utf-8")
    answer["Content-Disposition"] = f'attachment; filename="example-{name}.toml"'
    return answer


@require_GET
@at_home
def example_dog(_request: HttpRequest, _at: AtHome) -> HttpResponse:
    """The plan of an invented dog with a gastrostomy tube."""
    return _example("juniper")


@require_GET
@at_home
def example_cat(_request: HttpRequest, _at: AtHome) -> HttpResponse:
    """The plan of an invented cat with a neck tube."""
    return _example("sorrel")
