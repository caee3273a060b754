"""The lists of a long day: the template language takes five times as long for each of its lines."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from django import template
from django.utils.html import conditional_escape
from django.utils.safestring import SafeString
from django.utils.text import capfirst

from kit import words
from kit.web.templatetags.redbud import check_kind, clock, state_mark
from scheduling.day import Name, Stop

register = template.Library()


@register.filter
def visit_lines(stops: Iterable[Stop], links: bool) -> SafeString:
    """The visits of a technician's day as items of a list. `links`: each leads to its page."""
    return SafeString("".join(_line(stop, links) for stop in stops))


def _line(stop: Stop, links: bool) -> str:
    customer, city = conditional_escape(stop.customer), conditional_escape(stop.city)
    who = f'<a href="{stop.url}">{customer}</a>' if links else f"<strong>{customer}</strong>"
    why = conditional_escape("; ".join(_why(stop)))
    return (
        f'<li class="visit"><span class="visit__time">{clock(stop.starts_at)}</span> '
        f'<span class="visit__who">{who}, {city}</span> {state_mark(stop.state)} '
        f'<p class="visit__why">{why}</p></li>'
    )


def _why(stop: Stop) -> Iterator[str]:
    yield f"{capfirst(check_kind(stop.kind))} until {clock(stop.ends_at)}"
    yield words.warmth_of_check(stop.kind, stop.warmth)
    if stop.travel_added_min is not None:
        yield f"adds {words.duration(stop.travel_added_min)} of driving"
    yield f"due by {words.short_day(stop.due_until)}"


@register.filter
def roster_lines(names: Iterable[Name]) -> SafeString:
    """Everybody of a day, each leading to her place on her page."""
    return SafeString("".join(map(_name, names)))


def _name(one: Name) -> str:
    link = f"?page={one.page}#technician-{one.technician}"
    return (
        f'<li><a href="{link}">{conditional_escape(one.name)}</a> '
        f'<span class="subtle">{words.counted(one.visits, "visit")}</span></li>'
    )
