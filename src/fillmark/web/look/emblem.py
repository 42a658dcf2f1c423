"""Each animal's own shape with its letter: the same on every screen, so that the wrong animal is seen at a glance."""

from collections.abc import Mapping
from uuid import UUID

from django.utils.html import format_html
from django.utils.safestring import SafeString, mark_safe

_SHAPES = (
    '<circle cx="24" cy="24" r="20.5"/>',
    '<path d="M24 3L45 24L24 45L3 24Z"/>',
    '<path d="M13.5 5H34.5L45 24L34.5 43H13.5L3 24Z"/>',
    '<path d="M5 7H43V41H5Z"/>',
    '<path d="M24 3L45 18.5L37 43H11L3 18.5Z"/>',
    '<path d="M16 4H32L44 16V32L32 44H16L4 32V16Z"/>',
)


def choose_shapes(animals: Mapping[UUID, str]) -> dict[UUID, int]:
    """A shape for each animal of a household, by its name, no two alike while there are shapes left."""
    chosen: dict[UUID, int] = {}
    for animal_id, name in sorted(animals.items()):
        wanted = sum(map(ord, name)) % len(_SHAPES)
        turn = ((wanted + step) % len(_SHAPES) for step in range(len(_SHAPES)))
        chosen[animal_id] = next((shape for shape in turn if shape not in chosen.values()), wanted)
    return chosen


def draw_emblem(*, name: str, shape: int) -> SafeString:
    """The animal's shape with the first letter of its name."""
    return format_html(
        '<svg class="emblem" viewBox="0 0 48 48" aria-hidden="true">{}<text x="24" y="31">{}</text></svg>',
        mark_safe(_SHAPES[shape % len(_SHAPES)]),  # noqa: S308 - a constant of this module
        name[:1].upper(),
    )
