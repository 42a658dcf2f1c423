"""What is turned away before anything is read or looked up for it: too large a body, and whoever insists."""

import json
import time
from collections.abc import Callable, Iterable
from wsgiref.types import StartResponse, WSGIApplication, WSGIEnvironment

from django.conf import settings
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.template.loader import render_to_string
from django.urls import reverse

from fillmark.core.values.errors import BadEntry, TooManyTries
from fillmark.core.values.quantities import write_number
from fillmark.published.record_rules import PHOTO_LIMIT_MB
from fillmark.services import passwords

_MB = 1_000_000
_FORM_MB = 1
"""What a form holds beside its photo."""
AGAIN_SECONDS = 2
OUT_OF_REACH = "The record cannot be reached now. Send it again: what was kept already is not kept twice."


def turn_away(get_response: Callable[[HttpRequest], HttpResponse]) -> Callable[[HttpRequest], HttpResponse]:
    """Answer for what is larger than anything that is sent here, by the length that it declares.

    Args:
        get_response: What answers everything else.
    """

    def answer(request: HttpRequest) -> HttpResponse:
        length, most = _length(request), _most(request)
        return _say_too_large(request, length, most) if length > most else get_response(request)

    return answer


def guard(application: WSGIApplication) -> WSGIApplication:
    """Turn away before the framework is asked at all: however many insist, the others hardly notice it.

    One more guess where two passwords are being tried; and entries of somebody who was just told to come again later.

    Args:
        application: What answers everything else.
    """
    sign_in, entries = reverse("sign_in"), reverse("entries")
    error = TooManyTries(seconds=AGAIN_SECONDS)
    page = render_to_string("shared/cannot.html", {"error": error}).encode()
    again = [("Content-Security-Policy", "default-src 'self'"), ("Retry-After", str(AGAIN_SECONDS))]
    html = [*again, ("Content-Type", "text/html; charset=utf-8")]
    told = [*again, ("Content-Type", "application/json")]

    def answer(environ: WSGIEnvironment, start_response: StartResponse) -> Iterable[bytes]:
        if environ["REQUEST_METHOD"] == "POST":
            if environ["PATH_INFO"] == sign_in and passwords.is_closed():
                start_response("429 Too Many Requests", html)
                return [page]
            if environ["PATH_INFO"] == entries and _comes_too_soon(environ.get("HTTP_COOKIE", "")):
                start_response("503 Service Unavailable", told)
                return [json.dumps({"error": OUT_OF_REACH}).encode()]
        return application(environ, start_response)

    return answer


_come_again_at: dict[str, float] = {}
_MOST_TOLD = 1000


def tell_to_come_again(request: HttpRequest) -> None:
    """Whoever sent this is answered no sooner than they were told."""
    now = time.monotonic()
    if len(_come_again_at) >= _MOST_TOLD:
        for cookie, at in list(_come_again_at.items()):
            if at <= now:
                _come_again_at.pop(cookie, None)
    if len(_come_again_at) < _MOST_TOLD:
        _come_again_at[request.META.get("HTTP_COOKIE", "")] = now + AGAIN_SECONDS


def _comes_too_soon(cookie: str) -> bool:
    at = _come_again_at.get(cookie)
    if at is None:
        return False
    if time.monotonic() < at:
        return True
    _come_again_at.pop(cookie, None)
    return False


def _length(request: HttpRequest) -> int:
    declared = request.META.get("CONTENT_LENGTH") or "0"
    return int(declared[:18]) if declared.isascii() and declared.isdigit() else 0


def _most(request: HttpRequest) -> int:
    """The largest body that this request can mean [bytes]: a photo of somebody signed in, else a form or entries."""
    if request.content_type == "multipart/form-data" and settings.SESSION_COOKIE_NAME in request.COOKIES:
        return int((PHOTO_LIMIT_MB.value + _FORM_MB) * _MB)
    return int(settings.DATA_UPLOAD_MAX_MEMORY_SIZE)


def _say_too_large(request: HttpRequest, length: int, most: int) -> HttpResponse:
    error = BadEntry(
        field="body",
        got=f"{write_number(length / _MB)} MB at once",
        allowed=f"{write_number(most / _MB)} MB or less",
        remedy="Send it in parts, or a photo in a smaller size. Nothing of it was read.",
    )
    if "text/html" in request.headers.get("Accept", ""):
        return HttpResponse(render_to_string("shared/cannot.html", {"error": error}), status=413)
    return JsonResponse({"error": str(error)}, status=413)
