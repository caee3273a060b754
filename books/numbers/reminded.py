"""What reminders brought about, and trips that the no-start guide saved, in a season's days.

A filter letter had an effect when the home told within thirty days after it that a filter was
changed; a cover letter when it told of its cover. That it was the letter cannot be known.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import Any

from django.db.models import (
    BigIntegerField,
    Case,
    CharField,
    Count,
    Exists,
    OuterRef,
    Q,
    QuerySet,
    Value,
    When,
)
from django.db.models.functions import Cast, Concat, Substr

from books.numbers.number import Kind, Number, Rows
from kit.lists import Column
from kit.web.seconds import Seconds
from kit.when import moment_at
from letters.models import Letter, LetterState
from reminders.models import EventKind, HomeEvent, NoStart, Outcome
from scheduling.models import Season

WITHIN = dt.timedelta(days=30)
WITHIN_S = int(WITHIN.total_seconds())
FILTER, COVER = ("filter",), ("cover_off", "cover_on")
CHANGED, COVER_EVENTS = (EventKind.FILTER_CHANGED,), (EventKind.COVER_OFF, EventKind.COVER_ON)
LETTER_NUMBERS = {
    "filter": ("filter-letters", "filter-changed"),
    **dict.fromkeys(COVER, ("cover-letters", "cover-answered")),
}

LETTERS = Kind(
    "letters",
    (
        Column("Customer", lambda row: row.customer.name),
        Column("Letter", lambda row: row.label),
        Column("Sent", lambda row: row.sent_at, "moment"),
        Column("To", lambda row: row.to_email),
        Column("Subject", lambda row: row.subject),
    ),
    lambda rows: rows.select_related("customer").defer("body", "html", "facts", "invitation"),
    lambda row: int(row.about.removeprefix("home:")),
)

NO_STARTS = Kind(
    "no-starts",
    (
        Column("Customer", lambda row: row.home.customer.name),
        Column("Address", lambda row: row.home.address),
        Column("Told", lambda row: row.asked_at, "moment"),
        Column("How it ended", lambda row: row.get_outcome_display()),
        Column("At which check", lambda row: row.ended_at_check.replace("_", " ")),
        Column("In the customer's words", lambda row: row.words),
    ),
    lambda rows: rows.select_related("home__customer"),
    lambda row: row.home_id,
)


def _moments(season: Season) -> tuple[dt.datetime, dt.datetime]:
    zone = season.branch.zone
    after = season.ends_on + dt.timedelta(days=1)
    return moment_at(season.starts_on, 0, zone), moment_at(after, 0, zone)


def _sent(season: Season, kinds: tuple[str, ...]) -> QuerySet[Letter]:
    first, after = _moments(season)
    sent = Letter.objects.of(season.branch).filter(state=LetterState.SENT, kind__in=kinds)
    return sent.filter(sent_at__gte=first, sent_at__lt=after, about__startswith="home:")


def _with_home(letters: QuerySet[Letter]) -> QuerySet[Letter]:
    """With the id of the home that each is about."""
    # Guarded: no database may try to read a number from what names no home.
    number = Cast(Substr("about", 1 + len("home:")), BigIntegerField())
    return letters.annotate(
        home_id=Case(When(about__startswith="home:", then=number), output_field=BigIntegerField())
    )


def _told(season: Season, events: Sequence[str]) -> Q:
    """The letter's home told of one of these within thirty days after it.

    Homes that told of anything come first: few, and found without a look at each letter.
    """
    first, after = _moments(season)
    told = HomeEvent.objects.filter(kind__in=events, told_at__gte=first, told_at__lt=after + WITHIN)
    homes = told.annotate(called=Concat(Value("home:"), Cast("home_id", CharField())))
    in_time = HomeEvent.objects.filter(
        kind__in=events,
        home=OuterRef("home_id"),
        told_at__gte=OuterRef("sent_at"),
        told_at__lt=OuterRef("sent_at") + Value(WITHIN),
    )
    return Q(about__in=homes.order_by().values("called")) & Q(Exists(in_time))


def _answered(season: Season, kinds: tuple[str, ...], events: Sequence[str]) -> QuerySet[Letter]:
    """Letters after which the home told of it."""
    return _with_home(_sent(season, kinds)).filter(_told(season, events))


def reminded_counts(season: Season) -> dict[str, int]:
    """The counts of all of them; each as long as its number's list.

    Letters and what homes told are compared here: the database would look at every home's events
    for each of its letters, which takes longer.
    """
    letters = _sent(season, (*FILTER, *COVER)).order_by()
    keys = (key for pair in LETTER_NUMBERS.values() for key in pair)
    found = dict.fromkeys(keys, 0)
    for kind, count in letters.values_list("kind").annotate(n=Count("pk")):
        found[LETTER_NUMBERS[kind][0]] += count
    told, homes = _told_in(season)
    near = letters.filter(about__in=homes).values_list("kind", "about", Seconds("sent_at"))
    for kind, about, sent_s in near:
        sent, effect = LETTER_NUMBERS[kind]
        events = told.get((sent, about), ())
        found[effect] += any(sent_s <= told_s < sent_s + WITHIN_S for told_s in events)
    rows = no_starts(season).order_by().values_list("outcome").annotate(n=Count("pk"))
    outcomes = dict(rows)
    saved = outcomes.get(Outcome.SOLVED, 0)
    return found | {"no-starts": sum(outcomes.values()), "trips-saved": saved}


def _told_in(season: Season) -> tuple[dict[tuple[str, str], list[int]], QuerySet[Any]]:
    """When homes told, by the number of the letters that ask for it and what they are about; and
    what letters to these homes are about."""
    first, after = _moments(season)
    rows = HomeEvent.objects.filter(
        home__customer__branch=season.branch, kind__in=(*CHANGED, *COVER_EVENTS),
        told_at__gte=first, told_at__lt=after + WITHIN,
    ).order_by()  # fmt: skip
    found: dict[tuple[str, str], list[int]] = {}
    for kind, home, told_s in rows.values_list("kind", "home_id", Seconds("told_at")):
        letters = "filter-letters" if kind in CHANGED else "cover-letters"
        found.setdefault((letters, f"home:{home}"), []).append(told_s)
    called = Concat(Value("home:"), Cast("home_id", CharField()))
    return found, rows.annotate(called=called).values("called")


def _letters(kinds: tuple[str, ...]) -> Rows:
    return lambda season: _sent(season, kinds)


def no_starts(season: Season) -> QuerySet[NoStart]:
    first, after = _moments(season)
    told = NoStart.objects.of(season.branch)
    return told.filter(asked_at__gte=first, asked_at__lt=after)


def trips_saved(season: Season) -> QuerySet[NoStart]:
    return no_starts(season).filter(outcome=Outcome.SOLVED)


def _effect(kinds: tuple[str, ...], events: Sequence[str]) -> Rows:
    return lambda season: _answered(season, kinds, events)


REMINDED = (
    Number("filter-letters", "Filter letters", "Letters that asked for a filter change, as sent.",
           LETTERS, _letters(FILTER)),
    Number("filter-changed", "Filter changed",
           "Filter letters after which the home told within 30 days that a filter was changed.",
           LETTERS, _effect(FILTER, CHANGED)),
    Number("cover-letters", "Cover letters", "Letters about the winter cover, as sent.",
           LETTERS, _letters(COVER)),
    Number("cover-answered", "Cover answered",
           "Cover letters after which the home told of its cover within 30 days.",
           LETTERS, _effect(COVER, COVER_EVENTS)),
    Number("no-starts", "No-starts told",
           "Homeowners who told that a system does not start, and went through the safe checks.",
           NO_STARTS, no_starts),
    Number("trips-saved", "Trips saved",
           "It ran again by a safe check of the no-start guide, so that no truck was sent.",
           NO_STARTS, trips_saved),
)  # fmt: skip
