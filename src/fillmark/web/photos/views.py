"""Photos as they are kept, and how each animal is told apart."""

from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseNotAllowed, JsonResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from fillmark.core.values.errors import BadEntry, FillmarkError
from fillmark.core.values.people import Capability, may
from fillmark.services import household, photos, record
from fillmark.web.bedside import Bedside, at_the_bedside
from fillmark.web.drawings.emblem import COLORS, SHAPES, Emblem
from fillmark.web.writing import form_id

_YEAR_SECONDS = 365 * 24 * 3600


@require_http_methods(["GET", "POST"])
def photo(request: HttpRequest, *, animal_id: UUID, photo_id: UUID, is_small: bool = False) -> HttpResponse:
    """The picture itself; or, from the phone that took it, the picture of an entry that is there already."""
    if request.method == "POST" and is_small:
        return HttpResponseNotAllowed(["GET"])
    if request.method == "POST":
        return _take_in(request, animal_id=animal_id, photo_id=photo_id)
    return _show(request, animal_id=animal_id, photo_id=photo_id, is_small=is_small)


def _take_in(request: HttpRequest, *, animal_id: UUID, photo_id: UUID) -> HttpResponse:
    """Keep the picture of a recorded entry, once; the protocol stands in docs/reference/off-line.md."""
    caregiver = household.find_caregiver_of_user(request.user.pk) if request.user.is_authenticated else None
    if caregiver is None:
        return JsonResponse({"message": "Sign in, then send the photo again. It is still on your device."}, status=401)
    file = request.FILES.get("photo")
    try:
        photos.take_in_photo(
            household_id=caregiver.household_id,
            animal_id=animal_id,
            by=caregiver.id,
            photo_id=photo_id,
            data=file.read() if file and not isinstance(file, list) else b"",
            now=timezone.now(),
        )
    except FillmarkError as error:
        return JsonResponse({"code": error.code, "message": str(error)}, status=400)
    return JsonResponse({"id": str(photo_id)})


@login_required
def _show(request: HttpRequest, *, animal_id: UUID, photo_id: UUID, is_small: bool) -> HttpResponse:
    """It never changes, so that a phone fetches it once."""
    caregiver = household.find_caregiver_of_user(request.user.pk) if request.user.pk else None
    found = caregiver and photos.find_photo(caregiver=caregiver, photo_id=photo_id, now=timezone.now())
    if not found or found.animal_id != animal_id:
        raise Http404
    answer = HttpResponse(found.small_jpeg if is_small else found.jpeg, content_type="image/jpeg")
    answer["Cache-Control"] = f"private, max-age={_YEAR_SECONDS}, immutable"
    return answer


@require_http_methods(["GET", "POST"])
@at_the_bedside
def emblem(request: HttpRequest, bedside: Bedside) -> HttpResponse:
    """A lead chooses shape, color and photo; the animal then looks so on every screen."""
    if request.method == "POST":
        shape, color = request.POST.get("shape", ""), request.POST.get("color", "")
        if shape not in SHAPES or color not in COLORS:
            raise BadEntry(
                field="shape",
                got=f'The shape "{shape[:20]}" in "{color[:20]}"',
                allowed=f"{', '.join(SHAPES)}, in {', '.join(COLORS)}",
                remedy="Choose one of each.",
            )
        file = request.FILES.get("photo")
        photos.choose_own_look(
            **bedside.ids,
            by=bedside.caregiver.id,
            shape=SHAPES.index(shape),
            color=color,
            data=file.read() if file and not isinstance(file, list) else None,
            photo_id=form_id(request),
            now=bedside.now,
        )
        return redirect(bedside.href("emblem"))
    own, name = bedside.emblem, bedside.animal.name
    context = {
        "bedside": bedside,
        "under": "How it is told apart",
        "calls_href": bedside.href("calls"),
        "entry_id": record.new_entry_id(now=bedside.now),
        "shapes": [
            (word, place == own.shape, Emblem(name=name, shape=place, color=own.color))
            for place, word in enumerate(SHAPES)
        ],
        "colors": [(word, word == own.color, Emblem(name=name, shape=own.shape, color=word)) for word in COLORS],
        "taken": [bedside.emblems[other.id] for other in bedside.others],
        "may_choose": may(bedside.caregiver, what=Capability.CHANGE_PLAN, on=bedside.today),
    }
    return render(request, "photos/emblem.html", context)
