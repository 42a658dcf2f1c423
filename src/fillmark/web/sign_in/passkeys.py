"""What a page and a device say to each other about passkeys, as JSON; the script is passkey.js."""

from django.contrib.auth import login
from django.core import signing
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.http.request import split_domain_port
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST

from fillmark.core.values.errors import NotAllowed
from fillmark.services import passkeys
from fillmark.web.at_home import AtHome, at_home
from fillmark.web.sign_in.views import BACKEND
from fillmark.web.sign_in.visit import visit_of

_ASKED = "passkey"
"""The cookie that holds the challenge, signed: nobody who only asks costs the database a row."""
_PATIENCE_SECONDS = 300


def _asked(options: str, challenge: bytes) -> HttpResponse:
    answer = HttpResponse(options, content_type="application/json")
    answer.set_cookie(
        _ASKED, signing.dumps(challenge.hex()), max_age=_PATIENCE_SECONDS, httponly=True, samesite="Strict"
    )
    return answer


def _challenge(request: HttpRequest) -> bytes:
    try:
        return bytes.fromhex(signing.loads(request.COOKIES.get(_ASKED, ""), max_age=_PATIENCE_SECONDS))
    except (signing.BadSignature, ValueError):
        return b""


def _host(request: HttpRequest) -> str:
    return split_domain_port(request.get_host())[0]


def _origin(request: HttpRequest) -> str:
    return f"{request.scheme}://{request.get_host()}"


def _body(request: HttpRequest) -> str:
    return request.body.decode(errors="replace")


def _refused(error: NotAllowed) -> JsonResponse:
    return JsonResponse({"error": str(error)}, status=403)


@require_POST
@at_home
def ask_to_make(request: HttpRequest, at: AtHome) -> HttpResponse:
    """What a device is to make a key with, for who is signed in."""
    return _asked(*passkeys.ask_to_make(at.caregiver, host=_host(request)))


@require_POST
@at_home
def make(request: HttpRequest, at: AtHome) -> HttpResponse:
    """The key that the device has made."""
    try:
        passkeys.keep(
            _body(request),
            person=at.caregiver,
            challenge=_challenge(request),
            host=_host(request),
            origin=_origin(request),
            visit=visit_of(request),
            now=at.now,
        )
    except NotAllowed as error:
        return _refused(error)
    answer = JsonResponse({"next": reverse("household")})
    answer.delete_cookie(_ASKED)
    return answer


@require_POST
@at_home
def end(request: HttpRequest, at: AtHome) -> HttpResponse:
    """One of one's own signs in no more."""
    passkeys.end(request.POST.get("passkey", ""), person=at.caregiver, now=at.now)
    return redirect("household")


@never_cache
@require_POST
def ask_to_sign_in(request: HttpRequest) -> HttpResponse:
    """What a device is to sign."""
    return _asked(*passkeys.ask_to_sign_in(host=_host(request)))


@never_cache
@require_POST
def sign_in(request: HttpRequest) -> HttpResponse:
    """Who the device says it is."""
    try:
        user = passkeys.check(
            _body(request),
            challenge=_challenge(request),
            host=_host(request),
            origin=_origin(request),
            visit=visit_of(request),
            now=timezone.now(),
        )
    except NotAllowed as error:
        return _refused(error)
    login(request, user, backend=BACKEND)
    answer = JsonResponse({"next": reverse("now")})
    answer.delete_cookie(_ASKED)
    return answer
