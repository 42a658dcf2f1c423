"""What is turned away before anything is read or looked up for it: too large a body, and one more guess of many."""

from collections.abc import Callable, Iterable
from wsgiref.types import StartResponse, WSGIApplication, WSGIEnvironment

from django.conf import settings
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.template.loader import render_to_string
from django.urls import reverse

from fillmark.core.values.errors import BadEntry, TooManyTries
from fillmark.core.values.quantities import write_number
from fillmark.published.record_rules import PHOTO_LIMIT_MB
from fillmark.services import door

_MB = 1_000_000
_FORM_MB = 1
"""What a form holds beside its photo."""
_GUESSES_AGAIN_SECONDS = 2


def turn_away(get_response: Callable[[HttpRequest], HttpResponse]) -> Callable[[HttpRequest], HttpResponse]:
    """Answer for what is larger than anything that is sent here, by the length that it declares.

    Args:
        get_response: What answers everything else.
    """

    def answer(request: HttpRequest) -> HttpResponse:
        length, most = _length(request), _most(request)
        return _say_too_large(request, length, most) if length > most else get_response(request)

    return answer


def send_guessers_away(application: WSGIApplication) -> WSGIApplication:
    """Before the framework is asked at all: however many guess at once, the others hardly notice it.

    Args:
        application: What answers everything else.
    """
    path = reverse("sign_in")
    error = TooManyTries(seconds=_GUESSES_AGAIN_SECONDS)
    page = render_to_string("shared/cannot.html", {"error": error}).encode()
    headers = [
        ("Content-Type", "text/html; charset=utf-8"),
        ("Content-Security-Policy", "default-src 'self'"),
        ("Retry-After", str(_GUESSES_AGAIN_SECONDS)),
    ]

    def answer(environ: WSGIEnvironment, start_response: StartResponse) -> Iterable[bytes]:
        if environ["PATH_INFO"] != path or environ["REQUEST_METHOD"] != "POST" or not door.is_closed():
            return application(environ, start_response)
        start_response("429 Too Many Requests", headers)
        return [page]

    return answer


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
