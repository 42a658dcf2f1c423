"""What goes into a mix, and what it holds beside the profiles, as pictures with their words."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from fillmark.core.food.nutrients import NutrientCheck, NutrientLine
from fillmark.core.values.quantities import write_number
from fillmark.web.drawings.bars import Bar, BarFill, BarLine, Piece, draw_bar

_PATTERNS = 4


def draw_shares(shares: Sequence[tuple[str, float]]) -> SafeString:
    """The foods of a mix side by side, as wide as their share of its energy, each with its number.

    Args:
        shares: Each food in words, with its share of the energy [fraction].
    """
    pieces, start = [], 0.0
    for place, (_, share) in enumerate(shares):
        pieces.append((place % _PATTERNS, 100 * start, 100 * share, 100 * (start + share / 2), place + 1))
        start += share
    drawn = format_html_join(
        "",
        '<rect class="share share-{}" x="{}%" y="1" width="{}%" height="38"/>'
        '<text class="share-number" x="{}%" y="27" text-anchor="middle">{}</text>',
        (
            (kind, f"{x:.2f}", f"{wide:.2f}", f"{middle:.2f}", number if wide > 5 else "")
            for kind, x, wide, middle, number in pieces
        ),
    )
    spoken = "; ".join(f"{words}: {share:.0%} of the energy" for words, share in shares)
    return format_html('<svg class="shares" role="img" aria-label="{}" height="40">{}</svg>', spoken, drawn)


@dataclass(frozen=True, kw_only=True, slots=True)
class ShownNutrient:
    """One nutrient for each 1,000 kcal, beside what the profiles ask for."""

    name: str
    held: str
    asked: str
    bar: SafeString | None
    is_missed: bool


def show_nutrients(check: NutrientCheck) -> tuple[list[ShownNutrient], list[str]]:
    """The nutrients that the labels tell of, with both profiles; and the names of those they do not."""
    by_name: dict[str, list[NutrientLine]] = {}
    for line in check.lines:
        by_name.setdefault(line.nutrient, []).append(line)
    told = {name: lines for name, lines in by_name.items() if lines[0].per_1000_kcal is not None}
    return [_show(name, lines) for name, lines in told.items()], [name for name in by_name if name not in told]


def _show(name: str, lines: Sequence[NutrientLine]) -> ShownNutrient:
    held = lines[0].per_1000_kcal or 0.0
    unit = lines[0].bound.unit.split("/")[0]
    most = max([held, *(line.bound.value for line in lines)])
    return ShownNutrient(
        name=name,
        held=f"{write_number(held, digits=3)} {unit}",
        asked="; ".join(_say_bounds(lines)),
        bar=draw_bar(
            Bar(
                whole=1.05 * most,
                pieces=[
                    Piece(
                        fill=BarFill.SHORT if any(line.is_met is False for line in lines) else BarFill.IN,
                        start=0,
                        end=held,
                    )
                ],
                limits=[
                    (BarLine.WARNING if "fediaf" in line.bound.id else BarLine.GOAL, line.bound.value) for line in lines
                ],
            )
        ),
        is_missed=any(line.is_met is False for line in lines),
    )


_PROFILES = {"aafco": "AAFCO", "fediaf": "FEDIAF", "nrc": "NRC", "eu": "EU law"}


def _say_bounds(lines: Sequence[NutrientLine]) -> Iterator[str]:
    for line in lines:
        profile = _PROFILES[line.bound.id.split(".")[1]]
        if line.bound.id.endswith(".eats_little"):
            profile += ", for a cat that eats little"
        way = "at most" if line.is_upper else "at least"
        basis = ", from memory" if line.bound.basis == "from memory" else ""
        yield f"{profile}: {way} {write_number(line.bound.value)} {line.bound.unit.split('/')[0]}{basis}"
