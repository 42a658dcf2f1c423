"""The worker that keeps pages, the list of pages to keep, and what makes the app one that can be installed."""

import json
from datetime import timedelta
from functools import lru_cache
from hashlib import sha256
from pathlib import Path

from django.conf import settings
from django.contrib.staticfiles import finders
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.templatetags.static import static
from django.urls import reverse
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_GET

from fillmark.core.today.replanned import newest_times
from fillmark.core.values.people import Capability, may
from fillmark.published.record_rules import AHEAD_DAYS, KEPT_DAYS
from fillmark.services import medicines
from fillmark.services.bedside import load
from fillmark.web.bedside import Bedside, at_the_bedside
from fillmark.web.old_addresses import OLD_FILES, OLD_PAGES
from fillmark.web.static_files import screen_files

_WORKER = "phone/worker.js"
_FOR_ANYONE = ("no_signal", "anyones_cards", "manifest")
"""Kept on every phone, whoever is signed in."""


def _read(path: str) -> bytes:
    found = finders.find(path)
    assert isinstance(found, str)  # noqa: S101  # it is part of this package
    return Path(found).read_bytes()


@lru_cache(maxsize=1)
def _worker() -> str:
    parts = [path for path in screen_files() if path != _WORKER]
    text = _read(_WORKER)
    version = sha256(text + b"".join(map(_read, parts))).hexdigest()[:12]
    told = {
        "VERSION": version,
        "PARTS": [static(path) for path in parts] + [reverse(one) for one in _FOR_ANYONE],
        "OLD_PAGES": list(OLD_PAGES.items()),
        "OLD_FILES": {static(f"fillmark/{name}"): static(path) for name, path in OLD_FILES.items()},
    }
    return "".join(f"const {name} = {json.dumps(value)};\n" for name, value in told.items()) + text.decode()


@require_GET
@cache_control(no_cache=True)
def worker(_request: HttpRequest) -> HttpResponse:
    """The service worker, with the hash of what it keeps."""
    if settings.DEBUG:
        _worker.cache_clear()
    return HttpResponse(_worker(), content_type="text/javascript")


@require_GET
@cache_control(max_age=3600)
def manifest(_request: HttpRequest) -> JsonResponse:
    """What the phone shows the app as, once it stands on its home screen."""
    icons = [
        {"src": static("shared/mark.svg"), "sizes": "any", "type": "image/svg+xml", "purpose": "any"},
        {"src": static("shared/mark-192.png"), "sizes": "192x192", "type": "image/png", "purpose": "any"},
        {"src": static("shared/mark-512.png"), "sizes": "512x512", "type": "image/png", "purpose": "any maskable"},
    ]
    return JsonResponse(
        {
            "id": "/",
            "name": "Fillmark",
            "short_name": "Fillmark",
            "description": "The mark on the syringe, and one record of what was given.",
            "start_url": "/",
            "scope": "/",
            "display": "standalone",
            "background_color": "#0f1417",
            "theme_color": "#0f1417",
            "icons": icons,
        },
        content_type="application/manifest+json",
    )


@require_GET
def no_signal(request: HttpRequest) -> HttpResponse:
    """What is shown for a page that this phone does not hold."""
    return render(request, "phone/no_signal.html")


@require_GET
@at_the_bedside
def keep(_request: HttpRequest, bedside: Bedside) -> JsonResponse:
    """The pages this person needs without a signal, the most needed first; the version changes with their content."""
    sees_all = may(bedside.caregiver, what=Capability.SEE_RECORD, on=bedside.today)
    behind = int(KEPT_DAYS.value) if sees_all else 0
    pages = [reverse("now")]
    marks = []
    for animal in (bedside.animal, *bedside.others):
        side = load(person=bedside.caregiver, home=bedside.home, animal_id=animal.id, now=bedside.now)
        stored = side.stored
        pages += [
            reverse(name, args=[animal.id]) for name in ("now_of", "ahead", "calls", "lock", "note", "at_the_food")
        ]
        today = bedside.today
        first, last = today - timedelta(days=1), today + timedelta(days=AHEAD_DAYS.value)
        days = side.sessions_of_days(first, last, new=newest_times(side.replanned(first=first, last=last)))
        for found in days.values():
            if isinstance(found, tuple):
                marks += [one.at.isoformat() for one in found]
                sessions = [one for one in found if one.at > bedside.now - timedelta(hours=12)]
                pages += [reverse("walk", args=[animal.id, one.key]) for one in sessions]
                pages += [
                    reverse("second_check", args=[animal.id, one.key, dose.medicine.id])
                    for one in sessions
                    for dose in one.medicines
                    if dose.medicine.second_check
                ]
        pages += [reverse("day", args=[animal.id])]
        pages += [reverse("day_on", args=[animal.id, today - timedelta(days=ago)]) for ago in range(behind + 1)]
        states = medicines.verdicts(side)
        bottles = {one.medicine.id: one.bottle for one in states}
        marks.append(
            f"{animal.id} {stored.number if stored else 0} {[bottle and bottle.id for bottle in bottles.values()]}"
        )
        pages += [reverse("open_bottle", args=[animal.id, medicine]) for medicine in bottles]
        pages += [
            reverse("when_needed", args=[animal.id, one.medicine.id]) for one in states if one.medicine.when_needed
        ]
        if sees_all:
            pages += [
                reverse(name, args=[animal.id]) for name in ("chart", "plan", "bottles", "flow", "intake", "ladder")
            ]
        if may(bedside.caregiver, what=Capability.RECORD_ANYTHING, on=bedside.today) and stored:
            pages += [reverse(name, args=[animal.id]) for name in ("flow_test", "batch_made", "weigh")]
            pages += [reverse("count_bottle", args=[animal.id, one]) for one, bottle in bottles.items() if bottle]
    version = sha256(" ".join([*marks, f"{bedside.today}"]).encode()).hexdigest()[:12]
    return JsonResponse({"pages": pages, "version": version})
