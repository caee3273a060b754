"""What a home's own page shows: what is to do, what comes, and the year on one strip."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from customers.models import Filter, Home
from kit.pictures.home_year import (
    HomeYearPicture,
    YearMark,
    YearRow,
    draw_home_year,
    first_month,
)
from kit.when import add_months
from reminders.cadence import year_of
from reminders.facts import Reminder
from reminders.models import EventKind, HomeEvent
from reminders.place import PlaceFacts
from reminders.reading import NoClimate, place_of, read_home
from reminders.said import size, title, why
from scheduling.models import State, Visit
from scheduling.states import AGREED, OWED, PENCILLED

SHOWN_VISITS = (*AGREED, State.DONE)


@dataclass(frozen=True, slots=True)
class Coming:
    """Something that is due, and why."""

    day: dt.date
    title: str
    why: str


@dataclass(frozen=True, slots=True)
class FilterLine:
    """A filter with its button. `next_on` None: not within the strip."""

    filter: Filter
    size: str
    next_on: dt.date | None
    changed_today: bool


@dataclass(frozen=True, slots=True)
class HomeYear:
    """The whole page."""

    filters: tuple[FilterLine, ...]
    visits: tuple[Visit, ...]
    visit_in_planning: bool
    coming: tuple[Coming, ...]
    done: tuple[HomeEvent, ...]
    last_cover: HomeEvent | None
    picture: HomeYearPicture
    has_season: bool


def year_of_home(home: Home, today: dt.date) -> HomeYear:
    """Everything about the months around `today` that the customer may know."""
    first = first_month(today)
    last = add_months(first, 12)
    place = _place(home)
    coming = _coming(home, place, today, (last - today).days) if place else []
    events = tuple(home.events.since(first).select_related("filter"))
    visits = _visits(home, first, last)
    return HomeYear(
        filters=tuple(_filter_lines(home, coming, today)),
        visits=tuple(visit for visit in visits if visit.state in AGREED),
        visit_in_planning=_in_planning(home, today),
        coming=tuple(Coming(day, title(one), why(one.said)) for day, one in _nearest(coming)),
        done=events,
        last_cover=next((one for one in events if one.kind != EventKind.FILTER_CHANGED), None),
        picture=_picture(today, place, visits, events, coming),
        has_season=place is not None and place.season_begins is not None,
    )


def _place(home: Home) -> PlaceFacts | None:
    """Without a climate the page still takes what the customer tells."""
    try:
        return place_of(home.customer.branch)
    except NoClimate:
        return None


def _coming(
    home: Home, place: PlaceFacts, today: dt.date, days: int
) -> list[tuple[dt.date, Reminder]]:
    read = read_home(home, today)
    return year_of(read.facts, place, today, read.sent, days)


def _nearest(coming: Sequence[tuple[dt.date, Reminder]]) -> list[tuple[dt.date, Reminder]]:
    """The next reminder of each filter and each other thing; the strip shows them all."""
    nearest: dict[tuple[str, str], tuple[dt.date, Reminder]] = {}
    for day, one in coming:
        nearest.setdefault((one.kind, one.about), (day, one))
    return list(nearest.values())


def _visits(home: Home, first: dt.date, last: dt.date) -> list[Visit]:
    """Those with a time that the customer knows of."""
    found = Visit.objects.filter(
        owed_visit__agreement__home=home,
        state__in=SHOWN_VISITS,
        starts_at__date__range=(first, last),
    )
    return list(found.select_related("owed_visit", "technician"))


def _in_planning(home: Home, today: dt.date) -> bool:
    """A visit is owed by now or soon, and its time is not offered yet."""
    waiting = Visit.objects.filter(
        owed_visit__agreement__home=home, state__in=[OWED, PENCILLED, State.HELD]
    )
    return waiting.filter(owed_visit__due_until__gte=today).exists()


def _filter_lines(
    home: Home, coming: Sequence[tuple[dt.date, Reminder]], today: dt.date
) -> Iterator[FilterLine]:
    for filter_ in Filter.objects.filter(system__home=home).order_by("pk"):
        due = [day for day, one in coming if one.kind == "filter" and one.about == str(filter_.pk)]
        yield FilterLine(
            filter_, size(str(filter_)), min(due, default=None), filter_.last_changed_on == today
        )


def _picture(
    today: dt.date,
    place: PlaceFacts | None,
    visits: Sequence[Visit],
    events: Sequence[HomeEvent],
    coming: Sequence[tuple[dt.date, Reminder]],
) -> HomeYearPicture:
    season = None
    if place and place.season_begins and place.season_ends:
        season = (place.season_begins, place.season_ends)
    rows = (
        YearRow(_("Visits"), tuple(map(_visit_mark, visits))),
        YearRow(_("Done by you"), tuple(map(_event_mark, events))),
        YearRow(_("Reminders"), tuple(_reminder_mark(day, one) for day, one in coming)),
    )
    return draw_home_year(today, rows, season, lambda day: date_format(day, "M"))


def _visit_mark(visit: Visit) -> YearMark:
    day = timezone.localtime(visit.slot[0]).date()
    label = f"{date_format(day)}: {_(visit.owed_visit.get_kind_display())}"
    return YearMark(day, f"mark-{visit.state}", label)


def _event_mark(event: HomeEvent) -> YearMark:
    return YearMark(
        event.on, "mark-changed", f"{date_format(event.on)}: {_(event.get_kind_display())}"
    )


def _reminder_mark(day: dt.date, reminder: Reminder) -> YearMark:
    return YearMark(day, "mark-reminder", f"{date_format(day)}: {title(reminder)}")
