"""A technician's calendar feed: what stands from yesterday on.

Gate codes and notes are not in it: a calendar is copied far, and nobody can tell who looks at it.

A phone asks for it by a secret, revocable address (letters.links, purpose "feed").
"""

from __future__ import annotations

import datetime as dt

from django.conf import settings

from kit import words
from letters.invitation import CalendarEntry, feed, visit_uid
from letters.links import link_for, revoke_links
from letters.models import Link
from scheduling import states
from scheduling.models import Technician, Visit

REFRESH_HOURS = 1
SHOWN = (states.PENCILLED, states.OFFERED, states.PROMISED)


def technician_feed(technician: Technician, now: dt.datetime) -> bytes:
    """The calendar file; a moved visit keeps its UID, a cancelled one is no longer in it."""
    visits = (
        Visit.objects.filter(technician=technician, state__in=SHOWN)
        .filter(starts_at__gte=now - dt.timedelta(days=1))
        .with_home()
        .order_by("starts_at")
    )
    entries = [_entry(technician, visit) for visit in visits]
    return feed(f"{technician}, {technician.branch}", entries, now, REFRESH_HOURS)


def _entry(technician: Technician, visit: Visit) -> CalendarEntry:
    starts_at, ends_at = visit.slot
    home = visit.owed_visit.home
    check = words.check_kind(visit.owed_visit.kind)
    return CalendarEntry(
        uid=visit_uid(technician.branch.slug, visit.pk, settings.LETTER_HOST),
        sequence=visit.sequence,
        starts_at=starts_at,
        ends_at=ends_at,
        summary=f"{home.customer}: {check} ({visit.state})",
        description=home.customer.phone,
        location=home.address,
    )


def feed_link(technician: Technician, now: dt.datetime) -> Link:
    """The technician's live feed address, made when there is none."""
    return link_for(purpose="feed", about=f"technician:{technician.pk}", now=now)


def renew_feed_link(technician: Technician, now: dt.datetime) -> Link:
    """A new secret address; the old one ends, for a phone that was lost."""
    revoke_links(about=f"technician:{technician.pk}", now=now, purpose="feed")
    return feed_link(technician, now)
