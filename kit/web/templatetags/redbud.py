"""Filters that word numbers, moments and states in templates, as kit.words does everywhere."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence

from django import template
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.html import conditional_escape, format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext

from kit import words
from kit.pictures.day_curve import Box, Lane
from kit.pictures.ribbon import Column, Mark, RibbonPicture
from kit.web.once import FIELD, new_form_key

register = template.Library()


@register.simple_tag(takes_context=True)
def form_key(context: template.Context) -> SafeString:
    """The key by which kit.web.once knows a second sending; a refused form keeps its own."""
    request = context.get("request")
    sent = request.POST.get(FIELD, "") if request is not None and request.method == "POST" else ""
    return format_html('<input type="hidden" name="{}" value="{}">', FIELD, sent or new_form_key())


@register.filter
def state_mark(state: str) -> SafeString:
    """A visit's state as a shape and a word; the shapes are in kit/_shapes.svg."""
    if state not in words.STATES:
        raise ValueError(f"A visit's state is one of {', '.join(words.STATES)}, not {state!r}.")
    return format_html(
        '<span class="state state--{0}"><svg class="state__shape" viewBox="0 0 12 12"'
        ' aria-hidden="true"><use href="#mark-{0}"/></svg>{0}</span>',
        state,
    )


@register.filter
def still_marks(column: Column) -> SafeString:
    """All marks of a compact column at once: the template language takes five times as long."""
    return SafeString("".join(part for mark in column.marks for part in _uses(mark)))


def _uses(mark: Mark) -> Iterator[str]:
    where = f' x="{mark.x:g}" y="{mark.y:g}"'
    yield f'<use href="#mark-{conditional_escape(mark.state)}"{where}/>'
    if mark.too_cold:
        yield f'<use href="#mark-too-cold"{where}/>'


@register.filter
def day_links(picture: RibbonPicture) -> SafeString:
    """A ribbon's days, each a link over its whole column."""
    top, height = f"{picture.weather_top_y:g}", f"{picture.column_height:g}"
    return SafeString(
        "".join(
            f'<a class="ribbon__day" href="{conditional_escape(column.url)}">'
            f"<title>{conditional_escape(column.name)}</title><rect class="
            f'"ribbon__hit" x="{column.left:g}" y="{top}" width="{column.width:g}"'
            f' height="{height}"/></a>'
            for column in picture.columns
            if column.url
        )
    )


@register.filter
def day_rows(picture: RibbonPicture) -> SafeString:
    """A ribbon's days as rows of a table: those on which somebody works or a visit stands."""
    return SafeString("".join(_day_row(c) for c in picture.columns if c.workday or c.count))


def _day_row(column: Column) -> str:
    day = words.day_name(column.day)
    if column.url:
        day = f'<a href="{conditional_escape(column.url)}">{day}</a>'
    if column.note:
        day += f" ({conditional_escape(column.note)})"
    return (
        f'<tr><th scope="row">{day}</th><td>{conditional_escape(column.temperatures)}</td>'
        f'<td class="number">{column.count}</td><td>{conditional_escape(column.counts)}</td></tr>\n'
    )


@register.filter
def slots(lane: Lane) -> SafeString:
    """All visits of a technician's lane at once, for the same reason."""
    return SafeString("".join(_slot(box) for box in lane.boxes))


def _slot(box: Box) -> str:
    state, x, y = conditional_escape(box.state), f"{box.x:g}", f"{box.y:g}"
    link = f' href="{conditional_escape(box.url)}"' if box.url else ""
    parts = [
        f'<a class="slot slot--{state}"{link}><title>{conditional_escape(box.name)}</title>',
        f'<rect x="{x}" y="{y}" width="{box.width:g}" height="{box.height:g}" rx="3"/>',
        f'<use href="#mark-{state}" x="{box.mark_x:g}" y="{box.mark_y:g}"/>',
    ]
    if box.text:
        name = conditional_escape(box.text)
        parts.append(f'<text class="slot__name" x="{x}" dx="22" y="{y}" dy="18">{name}</text>')
    if box.detail:
        detail = conditional_escape(box.detail)
        parts.append(f'<text x="{x}" dx="22" y="{y}" dy="35">{detail}</text>')
    if box.too_cold:
        corner = f"M{box.right:g} {box.bottom:g}v-12l-12 12z"
        parts.append(f'<path class="picture__corner" d="{corner}"/>')
    return "".join([*parts, "</a>"])


@register.filter
def at(row: Sequence[object], place: int) -> object:
    """What stands at a place of a row, counted from 0."""
    return row[place]


@register.filter
def check_kind(kind: str) -> str:
    """The kind of an owed visit as a noun: "cooling check"."""
    return gettext(words.check_kind(kind))


@register.filter
def temperature(value_f: float | None) -> str:
    """A temperature with its unit; empty when there is none."""
    return "" if value_f is None else words.temperature(value_f)


@register.filter
def percent(share: float | None) -> str:
    """A share of one as per cent; empty when there is none."""
    return "" if share is None else words.percent(share)


@register.filter
def warmth_words(share: float | None) -> str:
    """A warmth in words; None is work that needs no warmth."""
    return words.warmth(share)


@register.filter
def long_day(moment: dt.datetime) -> str:
    """The day in the reader's language: "Tuesday, May 25", "martes, 25 de mayo"."""
    local = timezone.localtime(moment)
    return f"{date_format(local, 'l')}, {date_format(local, 'MONTH_DAY_FORMAT')}"


@register.filter
def warmth_in_words(share: float) -> str:
    """A warmth for a customer, in her language and without a number."""
    return gettext(words.warmth(share).rpartition(" (")[0]).capitalize()


@register.filter
def warmth_of_check(share: float | None, kind: str) -> str:
    """The same for a check whose warmth may not have been looked at yet: warmth, then kind."""
    return words.warmth_of_check(kind, share)


@register.filter
def duration(length_min: float | None) -> str:
    """A length of time; empty when there is none."""
    return "" if length_min is None else words.duration(length_min)


@register.filter
def clock(moment: dt.datetime | dt.time | float | None) -> str:
    """A time of day: an aware moment in the current zone, or minutes after local midnight."""
    if moment is None:
        return ""
    if isinstance(moment, dt.datetime):
        return words.clock(timezone.localtime(moment))
    if isinstance(moment, dt.time):
        return words.clock(moment)
    return words.clock_at(moment)
