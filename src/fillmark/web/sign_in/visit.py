"""Who knocks, as far as a request tells."""

from django.http import HttpRequest

from fillmark.services.visits import Visit

_DEVICES = (
    ("iPhone", "iPhone"),
    ("iPad", "iPad"),
    ("Android", "Android"),
    ("CrOS", "Chromebook"),
    ("Windows", "Windows"),
    ("Macintosh", "Mac"),
    ("Linux", "Linux"),
)
"""What a browser says of itself, and what a person calls the device."""


def visit_of(request: HttpRequest) -> Visit:
    """The address as the server, or the proxy that it believes, tells it; the device as the browser does."""
    said = request.headers.get("User-Agent", "")
    device = next((words for sign, words in _DEVICES if sign in said), "")
    return Visit(address=request.META.get("REMOTE_ADDR", "")[:45], device=device)
