"""A visit as a calendar file: invitations, cancellations, and a technician's feed.

Sources: RFC 5545 (the file), RFC 5546 sections 3.2.2 and 3.2.5 (REQUEST and CANCEL: the same UID
for life, a higher SEQUENCE after every change), RFC 7986 (a feed's NAME and REFRESH-INTERVAL).

Times are written in UTC without a VTIMEZONE, because that is the form on which four independent
readers agree to the minute (tests/outside/test_calendar_readers.py).
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from icalendar import STATUS, Calendar, Event, vCalAddress

from letters.addresses import check_email, check_host, check_key

PRODUCT = "-//Redbud//Visits//EN"
LONGEST_REFRESH_H = 24 * 7
Method = Literal["REQUEST", "CANCEL", "PUBLISH"]


@dataclass(frozen=True, kw_only=True)
class CalendarEntry:
    """One visit in a calendar. Moments are aware; texts may hold line breaks, names may not.

    `uid` never changes in the visit's life (`visit_uid`); `sequence` starts at 0 and rises with
    every change of the time. Raises ValueError naming the field.
    """

    uid: str
    sequence: int
    starts_at: dt.datetime
    ends_at: dt.datetime
    summary: str
    description: str = ""
    location: str = ""

    def __post_init__(self) -> None:
        if not self.uid.isprintable() or not self.uid.strip():
            raise ValueError(f"uid is {self.uid!r}; it must be printable and on one line.")
        if self.sequence < 0:
            raise ValueError(f"sequence is {self.sequence}; it must be 0 or more.")
        _check_aware("starts_at", self.starts_at)
        _check_aware("ends_at", self.ends_at)
        if self.ends_at <= self.starts_at:
            raise ValueError(f"ends_at is {self.ends_at}; it must be after {self.starts_at}.")


@dataclass(frozen=True, kw_only=True)
class Invitation(CalendarEntry):
    """The same with the branch that invites and the customer who is invited."""

    organizer_name: str
    organizer_email: str
    attendee_name: str
    attendee_email: str

    def __post_init__(self) -> None:
        super().__post_init__()
        check_email("organizer_email", self.organizer_email)
        check_email("attendee_email", self.attendee_email)


def visit_uid(branch_slug: str, visit_id: int, host: str) -> str:
    """The visit's UID for life, such as "visit-1204.north@redbud.example.com".

    Keep it with the visit: a branch that is renamed must not rename what was sent.
    """
    check_key("branch_slug", branch_slug)
    check_host("host", host)
    if visit_id < 1:
        raise ValueError(f"visit_id is {visit_id}; only a saved visit has a UID.")
    return f"visit-{visit_id}.{branch_slug}@{host}"


def request(invitation: Invitation, now: dt.datetime) -> bytes:
    """Invite, or move what was invited. The mail part's type names the method (RFC 6047, 2.4)."""
    return _scheduling("REQUEST", STATUS.CONFIRMED, invitation, now)


def cancel(invitation: Invitation, now: dt.datetime) -> bytes:
    """Take the visit out of the customer's calendar; `sequence` is above the last request's."""
    return _scheduling("CANCEL", STATUS.CANCELLED, invitation, now)


def feed(name: str, events: Iterable[CalendarEntry], now: dt.datetime, refresh_hours: int) -> bytes:
    """What a technician's phone subscribes to, asking again every `refresh_hours` (1 to 168)."""
    if not 1 <= refresh_hours <= LONGEST_REFRESH_H:
        raise ValueError(f"refresh_hours is {refresh_hours}; allowed is 1 to {LONGEST_REFRESH_H}.")
    calendar = _calendar("PUBLISH")
    calendar.add("NAME", _one_line(name))  # RFC 7986, section 5.1
    calendar.add("X-WR-CALNAME", _one_line(name))  # what phones read in its place
    calendar.add(
        "REFRESH-INTERVAL", dt.timedelta(hours=refresh_hours), parameters={"VALUE": "DURATION"}
    )
    for entry in events:
        calendar.add_component(_event(entry, STATUS.CONFIRMED, now))
    return _written(calendar)


def _scheduling(method: Method, status: STATUS, invitation: Invitation, now: dt.datetime) -> bytes:
    event = _event(invitation, status, now)
    event["ORGANIZER"] = vCalAddress.new(
        invitation.organizer_email, cn=_one_line(invitation.organizer_name) or None
    )
    event["ATTENDEE"] = vCalAddress.new(
        invitation.attendee_email,
        cn=_one_line(invitation.attendee_name) or None,
        role="REQ-PARTICIPANT",
        partstat="NEEDS-ACTION",
        rsvp=method == "REQUEST",
    )
    calendar = _calendar(method)
    calendar.add_component(event)
    return _written(calendar)


def _calendar(method: Method) -> Calendar:
    calendar = Calendar()
    calendar.add("PRODID", PRODUCT)
    calendar.add("VERSION", "2.0")
    calendar.add("CALSCALE", "GREGORIAN")
    calendar.add("METHOD", method)
    return calendar


def _written(calendar: Calendar) -> bytes:
    content: bytes = calendar.to_ical()
    return content


def _event(entry: CalendarEntry, status: STATUS, now: dt.datetime) -> Event:
    _check_aware("now", now)
    event = Event()
    event.add("UID", entry.uid)
    event.add("SEQUENCE", entry.sequence)
    event.add("DTSTAMP", now.astimezone(dt.UTC))
    event.add("DTSTART", entry.starts_at.astimezone(dt.UTC))
    event.add("DTEND", entry.ends_at.astimezone(dt.UTC))
    event.add("STATUS", status.value)
    event.add("SUMMARY", _one_line(entry.summary))
    if entry.description:
        event.add("DESCRIPTION", entry.description)
    if entry.location:
        event.add("LOCATION", _one_line(entry.location))
    return event


def _one_line(text: str) -> str:
    """The text on one line: a name with a line break in it is a name all the same."""
    return " ".join(text.split())


def _check_aware(name: str, moment: dt.datetime) -> None:
    if moment.utcoffset() is None:
        raise ValueError(f"{name} is {moment}, which has no time zone; an aware moment is needed.")
