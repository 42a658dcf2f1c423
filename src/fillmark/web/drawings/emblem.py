"""Each animal's own shape and color with its letter or its photo: the same on every screen, so that the wrong animal is
seen at a glance.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from uuid import UUID

from django.urls import reverse
from django.utils.html import format_html
from django.utils.safestring import SafeString, mark_safe

from fillmark.services.household import AnimalName

_SHAPES = (
    '<circle cx="24" cy="24" r="20.5"/>',
    '<path d="M24 3L45 24L24 45L3 24Z"/>',
    '<path d="M13.5 5H34.5L45 24L34.5 43H13.5L3 24Z"/>',
    '<path d="M5 7H43V41H5Z"/>',
    '<path d="M24 3L45 18.5L37 43H11L3 18.5Z"/>',
    '<path d="M16 4H32L44 16V32L32 44H16L4 32V16Z"/>',
)
_POINTED = '<path class="ear" d="M7 21L4 -5L20 5ZM41 21L44 -5L28 5Z"/>'
_DROP = '<path class="ear" d="M16 4C6 -3 -5 4 -5 18C-5 29 3 31 5 23ZM32 4C42 -3 53 4 53 18C53 29 45 31 43 23Z"/>'
_EARS = (_POINTED, _DROP)
"""Animals have ears, people have name tags. A lead chooses those of the animal with its shape."""
SHAPES = ("circle", "diamond", "hexagon", "square", "pentagon", "octagon")
COLORS = ("blue", "violet", "slate", "magenta")
"""The own colors, as they are called in base.css. None of them is a color that means something: teal is recorded."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Emblem:
    """How one animal is told apart: a shape and a color, with its letter or its photo."""

    name: str
    shape: int
    color: str = "slate"
    photo_id: UUID | None = None
    photo_href: str = ""


def choose_emblems(animals: Iterable[AnimalName]) -> dict[UUID, Emblem]:
    """The emblem of each animal: as a lead chose it, else by its name, no two alike while there are some left."""
    all_of_them = tuple(animals)
    names = {animal.id: animal.name for animal in all_of_them}
    shapes = _spread(
        names,
        among=len(_SHAPES),
        taken={animal.id: animal.shape % len(_SHAPES) for animal in all_of_them if animal.shape is not None},
    )
    colors = _spread(
        names,
        among=len(COLORS),
        taken={animal.id: COLORS.index(animal.color) for animal in all_of_them if animal.color in COLORS},
    )
    return {
        animal.id: Emblem(
            name=animal.name,
            shape=shapes[animal.id],
            color=COLORS[colors[animal.id]],
            photo_id=animal.photo_id,
            photo_href=reverse("photo_small", args=[animal.id, animal.photo_id]) if animal.photo_id else "",
        )
        for animal in all_of_them
    }


def _spread(names: Mapping[UUID, str], *, among: int, taken: Mapping[UUID, int]) -> dict[UUID, int]:
    chosen = dict(taken)
    for animal_id, name in sorted(names.items()):
        if animal_id in chosen:
            continue
        wanted = sum(map(ord, name)) % among
        turn = ((wanted + step) % among for step in range(among))
        chosen[animal_id] = next((one for one in turn if one not in chosen.values()), wanted)
    return chosen


def draw_emblem(emblem: Emblem) -> SafeString:
    """The animal's shape with the first letter of its name; with a photo, that fills it and the letter stands small."""
    shape = mark_safe(_SHAPES[emblem.shape % len(_SHAPES)])  # noqa: S308 - a constant of this module
    ears = mark_safe(_EARS[emblem.shape % len(_EARS)])  # noqa: S308 - a constant of this module
    letter = emblem.name[:1].upper()
    if not emblem.photo_href:
        return format_html(
            '<svg class="emblem own-{}" viewBox="-6 -7 60 60" aria-hidden="true">{}{}'
            '<text x="24" y="31">{}</text></svg>',
            emblem.color,
            ears,
            shape,
            letter,
        )
    return format_html(
        '<svg class="emblem own-{color}" viewBox="-6 -7 60 60" aria-hidden="true">{ears}'
        '<clipPath id="cut-{id}">{shape}</clipPath>'
        '<image href="{href}" width="48" height="48" preserveAspectRatio="xMidYMid slice" clip-path="url(#cut-{id})"/>'
        '<g class="edge">{shape}</g>'
        '<g class="badge"><circle cx="39" cy="39" r="8.5"/><text x="39" y="43.2">{letter}</text></g></svg>',
        color=emblem.color,
        ears=ears,
        id=emblem.photo_id,
        shape=shape,
        href=emblem.photo_href,
        letter=letter,
    )
