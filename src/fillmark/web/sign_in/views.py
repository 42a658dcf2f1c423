"""The screens of signing in and out."""

from django import forms
from django.contrib.auth import login, logout
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST

from fillmark.core.values.errors import NotAllowed, TooManyTries
from fillmark.services import passwords
from fillmark.services import sign_in as services
from fillmark.web.sign_in.visit import visit_of

BACKEND = "django.contrib.auth.backends.ModelBackend"


class NameAndPassword(forms.Form):
    name = forms.CharField(
        max_length=150,
        label="Name",
        widget=forms.TextInput(attrs={"autocomplete": "username", "autocapitalize": "none"}),
    )
    password = forms.CharField(
        max_length=200, label="Password", widget=forms.PasswordInput(attrs={"autocomplete": "current-password"})
    )


@never_cache
@require_http_methods(["GET", "POST"])
def sign_in(request: HttpRequest) -> HttpResponse:
    """Name and password."""
    form = NameAndPassword(request.POST or None, label_suffix="")
    refused = False
    too_many = None
    if request.method == "POST" and form.is_valid():
        try:
            user = passwords.check_password(
                name=form.cleaned_data["name"],
                password=form.cleaned_data["password"],
                visit=visit_of(request),
                now=timezone.now(),
            )
        except TooManyTries as error:
            user, too_many = None, error
        if user is not None:
            login(request, user, backend=BACKEND)
            return redirect(_where_to(request))
        refused = too_many is None
    context = {"form": form, "refused": refused, "too_many": too_many, "next": request.GET.get("next", "")}
    status = 429 if too_many else 400 if refused else 200
    answer = render(request, "sign_in/sign_in.html", context, status=status)
    if too_many:
        answer["Retry-After"] = str(too_many.seconds)
    return answer


@never_cache
@require_http_methods(["GET", "POST"])
def use_link(request: HttpRequest, token: str) -> HttpResponse:
    """A link shows a button; only the press uses it up, because mail programs open links unasked."""
    if request.method == "GET":
        return render(request, "sign_in/link.html")
    try:
        _, user = services.use_link(token=token, now=timezone.now(), visit=visit_of(request))
    except NotAllowed as error:
        return render(request, "shared/cannot.html", {"error": error}, status=403)
    login(request, user, backend=BACKEND)
    return redirect("now")


@require_POST
def sign_out(request: HttpRequest) -> HttpResponse:
    logout(request)
    return redirect("sign_in")


def _where_to(request: HttpRequest) -> str:
    wanted = request.POST.get("next", "")
    is_ours = url_has_allowed_host_and_scheme(
        wanted, allowed_hosts={request.get_host()}, require_https=request.is_secure()
    )
    return wanted if is_ours else "now"
