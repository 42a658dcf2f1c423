"""Which visitors are told to insist on encryption from now on."""

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.http.request import split_domain_port
from django.middleware.security import SecurityMiddleware


class Security(SecurityMiddleware):
    """Only those who came by the public name: a browser that insists on it for localhost, or where the household's own
    authority vouches, locks its person out on the day the certificate changes.
    """

    def process_response(self, request: HttpRequest, response: HttpResponse) -> HttpResponse:
        answer = super().process_response(request, response)
        if split_domain_port(request.headers.get("Host", "").lower())[0] != settings.PUBLIC_HOST:
            del answer["Strict-Transport-Security"]
        return answer
