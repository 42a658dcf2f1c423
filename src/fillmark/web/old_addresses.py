"""Addresses that the app had before: pages lead on to where they stand now, scripts of a kept page to today's."""

from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse, HttpResponsePermanentRedirect
from django.templatetags.static import static
from django.urls import path
from django.views.decorators.cache import cache_control

OLD_PAGES = {
    "feeding/ladder/": "ladder/",
    "feeding/": "intake/",
    "wrong/": "calls/",
    "needed/": "when-needed/",
    "blend/": "ways/",
    "timetable/today/": "new-times/",
    "plan/take-in/": "take-in/",
}
"""The beginnings of addresses under one animal, as they were and as they are; the longer one first."""

OLD_FILES = {
    "aloud.js": "walk/aloud.js",
    "amounts.js": "phone/amounts.js",
    "awake.js": "walk/awake.js",
    "bottle.js": "bottles/open.js",
    "chart.css": "chart/chart.css",
    "chart.js": "chart/chart.js",
    "check.js": "second_check/second_check.js",
    "feeding.css": "shared/figures.css",
    "flags.js": "phone/flags.js",
    "flow.js": "flow/flow.js",
    "form.js": "phone/form.js",
    "forms.css": "shared/forms.css",
    "keep.js": "phone/keep.js",
    "label.js": "phone/label.js",
    "line.js": "drawings/day_line.js",
    "lock.js": "calls/lock.js",
    "look.css": "shared/base.css",
    "mark-192.png": "shared/mark-192.png",
    "mark-512.png": "shared/mark-512.png",
    "mark.svg": "shared/mark.svg",
    "needed.js": "when_needed/when_needed.js",
    "newer.js": "phone/newer.js",
    "now.js": "now/now.js",
    "pace.js": "walk/pace.js",
    "phone.js": "phone/phone.js",
    "photo.js": "photos/photo.js",
    "press.js": "phone/press.js",
    "record.js": "phone/record.js",
    "send.js": "phone/send.js",
    "stock.css": "bottles/bottles.css",
    "store.js": "phone/store.js",
    "tell.js": "phone/say.js",
    "timetable.css": "timetable/timetable.css",
    "walk.js": "walk/walk.js",
    "working.js": "mixes/working.js",
    "wrong.js": "calls/calls.js",
}
"""The files that pages asked for under static/fillmark/, and where they are now."""


def leads_to(name: str) -> str | None:
    """The address today of a file that stood under static/fillmark/."""
    return static(OLD_FILES[name]) if name in OLD_FILES else None


def page_moved(request: HttpRequest, *, animal_id: UUID, to: str, rest: str = "") -> HttpResponse:
    """To the page's address of today, with all that was asked or sent."""
    query = f"?{request.META['QUERY_STRING']}" if request.META.get("QUERY_STRING") else ""
    is_sent = request.method not in ("GET", "HEAD")
    return HttpResponsePermanentRedirect(f"/{animal_id}/{to}{rest}{query}", preserve_request=is_sent)


@cache_control(max_age=3600)
def file_moved(_request: HttpRequest, *, name: str) -> HttpResponse:
    """A script under its old name is the one of today, so that no page runs it twice."""
    href = leads_to(name)
    if href is None:
        raise Http404
    if name.endswith(".js"):
        return HttpResponse(f'export * from "{href}";\n', content_type="text/javascript")
    return HttpResponsePermanentRedirect(href)


urlpatterns = [path("static/fillmark/<str:name>", file_moved)]
for _old, _new in OLD_PAGES.items():
    urlpatterns += [
        path(f"<uuid:animal_id>/{_old}", page_moved, {"to": _new}),
        path(f"<uuid:animal_id>/{_old}<path:rest>", page_moved, {"to": _new}),
    ]
