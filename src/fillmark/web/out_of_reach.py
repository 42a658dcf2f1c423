"""When the record cannot be reached: an answer that says so, to people, phones and whatever watches over the server."""

import logging
import sys
from collections.abc import Callable

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.template.loader import render_to_string
from django.views.defaults import server_error

from fillmark.services.reach import is_busy, is_out_of_reach, why_not_ready
from fillmark.web.turned_away import AGAIN_SECONDS, OUT_OF_REACH, tell_to_come_again

_log = logging.getLogger(__name__)


def failed(request: HttpRequest) -> HttpResponse:
    """The answer to what failed: 503 where the database could not do its work now, else a fault of ours."""
    error = sys.exc_info()[1]
    if not is_out_of_reach(error):
        return server_error(request)
    answer: HttpResponse
    if "text/html" in request.headers.get("Accept", ""):
        answer = HttpResponse(render_to_string("503.html", {"seconds": AGAIN_SECONDS}), status=503)
    else:
        answer = JsonResponse({"error": OUT_OF_REACH}, status=503)
    if is_busy(error):
        tell_to_come_again(request)
    answer["Retry-After"] = str(AGAIN_SECONDS)
    _log.warning("Out of reach for %s %s: %s", request.method, request.path, " ".join(str(error).split())[:200])
    answer._has_been_logged = True  # type: ignore[attr-defined]  # in one line, instead of a traceback for each request
    return answer


def alive_and_ready(get_response: Callable[[HttpRequest], HttpResponse]) -> Callable[[HttpRequest], HttpResponse]:
    """Answer /alive and /ready before anything else, under whatever name they are asked.

    Args:
        get_response: What answers everything else.
    """

    def answer(request: HttpRequest) -> HttpResponse:
        if request.path == "/alive":
            return JsonResponse({"alive": True})
        if request.path != "/ready":
            return get_response(request)
        why = why_not_ready()
        if not why:
            return JsonResponse({"ready": True})
        again = {"Retry-After": str(AGAIN_SECONDS)}
        return JsonResponse({"ready": False, "error": why}, status=503, headers=again)

    return answer
