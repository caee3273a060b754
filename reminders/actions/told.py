"""Verbs by which a homeowner tells what was done, or that the system does not start.

By the link of a letter, or on the telephone, when the office writes it down.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from django.db import transaction

from customers.actions import mark_filter_changed
from customers.models import Filter, Home
from letters.actions.write import withdraw_letters, write_letter
from letters.links import link_for
from reminders.actions.outbox import HOME
from reminders.filters import LEAST_DAYS
from reminders.models import EventKind, HomeEvent, NoStart, Outcome, ToldBy
from reminders.reading import about_home
from shop.models import User

# The same answer again within this time is the button pressed twice, not a second no-start.
PRESSED_TWICE = dt.timedelta(minutes=10)
DONE = "the customer has done it"  # why a waiting letter is taken back


@transaction.atomic
def tell_filter_changed(
    *, filter_: Filter, on: dt.date, now: dt.datetime, by: str = ToldBy.CUSTOMER
) -> HomeEvent:
    """Note a changed filter; its time runs from that day. Safe to repeat.

    A letter that asks for it and still waits in the outbox is taken back, unless the change is so
    long ago that the filter may be due again.
    """
    home = filter_.system.home
    mark_filter_changed(filter_=filter_, on=on)
    if (now.date() - on).days < LEAST_DAYS:
        withdraw_letters(
            about=about_home(home.pk), kind="filter", occasions=f"filter:{filter_.pk}:", why=DONE
        )
    return HomeEvent.objects.get_or_create(
        home=home,
        kind=EventKind.FILTER_CHANGED,
        filter=filter_,
        on=on,
        defaults={"told_at": now, "by": by},
    )[0]


@transaction.atomic
def tell_cover(
    *, home: Home, kind: str, on: dt.date, now: dt.datetime, by: str = ToldBy.CUSTOMER
) -> HomeEvent:
    """Note that the winter cover went off or on. Safe to repeat.

    The letter that asks for it has the same kind; if it still waits, it is taken back.
    """
    if kind not in (EventKind.COVER_OFF, EventKind.COVER_ON):
        raise ValueError(f"{kind} is not about the cover; it is cover_off or cover_on.")
    withdraw_letters(about=about_home(home.pk), kind=kind, why=DONE)
    return HomeEvent.objects.get_or_create(
        home=home, kind=kind, filter=None, on=on, defaults={"told_at": now, "by": by}
    )[0]


@transaction.atomic
def report_no_start(
    *,
    home: Home,
    outcome: str,
    tried: Sequence[str],
    ended_at_check: str,
    words: str,
    now: dt.datetime,
) -> NoStart:
    """Keep how a no-start ended. Not solved: the office sees it today, the customer gets a letter.

    Pressed twice, the first is kept, with what was added.
    """
    told: dict[str, object] = {
        "tried": list(tried), "ended_at_check": ended_at_check, "words": words,
    }  # fmt: skip
    Home.objects.select_for_update().get(pk=home.pk)  # the second press waits for the first
    just_told = home.no_starts.filter(outcome=outcome, asked_at__gt=now - PRESSED_TWICE)
    if (again := just_told.first()) is not None:
        again.words = again.words if words in again.words else f"{again.words}\n{words}".strip()
        again.save(update_fields=["words"])
        return again
    no_start = NoStart.objects.create(home=home, outcome=outcome, asked_at=now, **told)
    if outcome == Outcome.CALL:
        _answer(no_start, now)
    return no_start


def take_up(*, no_start: NoStart, by: User, now: dt.datetime) -> bool:
    """The office has called, or is about to; False: somebody else was first."""
    waiting = NoStart.objects.to_call().filter(pk=no_start.pk)
    return bool(waiting.update(seen_at=now, seen_by=by))


def _answer(no_start: NoStart, now: dt.datetime) -> None:
    home, about = no_start.home, about_home(no_start.home.pk)
    link = link_for(purpose=HOME, about=about, now=now, customer=home.customer)
    write_letter(
        customer=home.customer,
        kind="no_start_received",
        about=about,
        occasion=f"no_start:{no_start.pk}",
        now=now,
        facts={
            "customer_name": home.customer.name,
            "links": {HOME: [link.pk, "reminders:home"]},
        },
    )
