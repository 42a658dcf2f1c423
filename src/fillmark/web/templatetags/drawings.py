"""The drawings and the ways of writing, for templates."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from django import template
from django.core.serializers.json import DjangoJSONEncoder
from django.template import Context
from django.urls import reverse
from django.utils.html import format_html, json_script
from django.utils.safestring import SafeString, mark_safe

from fillmark.core.tube.syringe import Mark
from fillmark.core.values.quantities import write_number
from fillmark.web.drawings.day_line import DayLine, Shape, draw_day_line, draw_shape, draw_shapes
from fillmark.web.drawings.emblem import Emblem, draw_emblem
from fillmark.web.drawings.syringe import OLD, RED, WAITS, draw_syringe
from fillmark.web.phone.facts import page_facts
from fillmark.web.places import UNDER_THE_TAG, Way, has_ruler, ruler

register = template.Library()


@register.simple_tag(takes_context=True)
def day_line(context: Context, *, line: DayLine, href: str) -> SafeString:
    """The line, which leads to the day's record; in a flow it leads nowhere: it lies under the left thumb."""
    drawn, said = draw_day_line(line), line.spoken()
    if has_ruler(_page_of(context)):
        shown = format_html('<a class="day-line" href="{}" aria-label="{}">{}</a>', href, said, drawn)
    else:
        shown = format_html('<div class="day-line" role="img" aria-label="{}">{}</div>', said, drawn)
    return shown + format_html('<template id="shapes">{}</template>', draw_shapes())


def _page_of(context: Context) -> str:
    """The name of the page's address; none where no address is behind it."""
    match = getattr(context.get("request"), "resolver_match", None)
    return match.url_name or "" if match else ""


@register.simple_tag
def syringe(*, mark: Mark, size: str = "large", waits: object = False, is_old: bool = False) -> SafeString:
    kind = OLD if is_old else WAITS if waits else RED
    return draw_syringe(syringe=mark.syringe, ml=float(mark.drawn.ml), is_large=size == "large", mark=kind)


@register.simple_tag
def emblem(*, of: Emblem) -> SafeString:
    return draw_emblem(of)


@register.simple_tag
def session_shape(shape: Shape) -> SafeString:
    return format_html('<svg class="pic" viewBox="-13 -13 26 26" aria-hidden="true">{}</svg>', draw_shape(shape))


class _Tight(DjangoJSONEncoder):
    """Without spaces: the facts go with every page."""

    def __init__(self, **told: Any) -> None:
        super().__init__(**{**told, "separators": (",", ":")})


@register.simple_tag(takes_context=True)
def way(context: Context, name: str, words: str) -> SafeString:
    """A link to a page about the animal, for who may open it; else nothing."""
    bedside = context["bedside"]
    if not bedside.may_open(name):
        return mark_safe("")
    return format_html('<a href="{}">{}</a>', bedside.href(name), words)


@register.inclusion_tag("places/ruler.html", takes_context=True)
def places(context: Context) -> dict[str, object]:
    """The four places with the name of whose hand writes, at the foot of a page that is no flow; else nothing."""
    bedside, page = context.get("bedside"), _page_of(context)
    animal_id = bedside.animal.id if bedside else context.get("animal_id")
    name = bedside.caregiver.name if bedside else str(context.get("hand"))
    if not (animal_id and has_ruler(page)):
        return {}
    tag = Way(href=f"{reverse('household')}?of={animal_id}", words=name, is_here=page == UNDER_THE_TAG)
    return {"ways": list(ruler(animal_id, page=page)), "tag": tag}


@register.simple_tag(takes_context=True)
def phone_script(context: Context) -> SafeString:
    """The facts of the page for the phone's own reckoning, as data and not as a script."""
    if "bedside" not in context:
        return mark_safe("")
    return json_script(context.get("phone") or page_facts(context["bedside"]), "facts", encoder=_Tight)


@register.simple_tag
def when(wanted: str, *, flags: Mapping[str, bool]) -> SafeString:
    """What a part of a page is shown for; a phone without a signal reckons the flags anew and shows it or not."""
    holds = all(flags[one.removeprefix("!")] is not one.startswith("!") for one in wanted.split())
    return format_html('data-if="{}"{}', wanted, "" if holds else mark_safe(" hidden"))


@register.filter
def number(value: float) -> str:
    """A number as people may read it."""
    return write_number(value)


@register.filter
def span(seconds: float) -> str:
    """A length of time as minutes and seconds, for a page without the countdown."""
    minutes, rest = divmod(round(seconds), 60)
    return f"Over {minutes}:{rest:02d}"


@register.filter
def clock_in(at: datetime, zone: ZoneInfo) -> str:
    """A local time of day."""
    return f"{at.astimezone(zone):%H:%M}"
