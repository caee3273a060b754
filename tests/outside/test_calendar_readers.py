"""What we put into calendars, read by four programs that share no code with our writer.

vobject 0.9.9 and ics 0.7.3 (Python), ical.js 2.2.1 and node-ical 0.25.0 (JavaScript; installed
by `npm ci --prefix tests/outside/readers`). All four must see the same minute, also on the days
on which American clocks change: 14 March and 7 November 2027.
"""

from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo

import pytest

from letters.invitation import Invitation, cancel, feed, request, visit_uid
from tests.outside.calendar_readers import minute, with_ics, with_node, with_vobject

NOW = dt.datetime(2027, 3, 1, 12, tzinfo=dt.UTC)
DESCRIPTION = "Gate code 12; dog, friendly\nBack\\slash: größer als 75 Zeichen, damit es umbricht ❄"

# Wall clock, zone, and the UTC moment worked out by hand from the zone's offset.
MOMENTS = [
    ("2027-04-20 09:00", "America/Chicago", "2027-04-20 14:00"),
    ("2027-03-12 09:00", "America/Chicago", "2027-03-12 15:00"),  # last working day of winter
    ("2027-03-14 08:00", "America/Chicago", "2027-03-14 13:00"),  # the day of 23 hours
    ("2027-03-15 09:00", "America/Chicago", "2027-03-15 14:00"),
    ("2027-11-05 16:30", "America/New_York", "2027-11-05 20:30"),
    ("2027-11-07 16:30", "America/New_York", "2027-11-07 21:30"),  # the day of 25 hours
    ("2027-11-08 16:30", "America/New_York", "2027-11-08 21:30"),
    ("2027-07-01 07:15", "America/Phoenix", "2027-07-01 14:15"),  # never changes its clock
    ("2027-12-31 20:00", "America/Los_Angeles", "2028-01-01 04:00"),  # over the new year in UTC
]


def visit(number: int, wall: str, zone: str, _utc: str = "") -> Invitation:
    starts = dt.datetime.fromisoformat(wall).replace(tzinfo=ZoneInfo(zone))
    return Invitation(
        uid=visit_uid("north", number, "redbud.example.com"),
        sequence=number % 4,
        starts_at=starts,
        ends_at=starts + dt.timedelta(minutes=75),
        summary="Cooling check, 12 Elm Street",
        description=DESCRIPTION,
        location="12 Elm Street, Milwaukee, WI 53202",
        organizer_name='Northside "Comfort"; Heating, Cooling',
        organizer_email="office@example.com",
        attendee_name="Jörg O'Mill: Jr.",
        attendee_email="pat@example.com",
    )


VISITS = [visit(number, *moment) for number, moment in enumerate(MOMENTS, start=1)]


def wanted(method: str, number: int) -> dict:
    starts = minute(dt.datetime.fromisoformat(MOMENTS[number - 1][2]).replace(tzinfo=dt.UTC))
    return {
        "uid": f"visit-{number}.north@redbud.example.com",
        "sequence": number % 4,
        "method": method,
        "status": "CANCELLED" if method == "CANCEL" else "CONFIRMED",
        "summary": "Cooling check, 12 Elm Street",
        "description": DESCRIPTION,
        "start": starts,
        "end": starts + 75,
    }


def by_uid(visits: list[dict]) -> list[dict]:
    return sorted(visits, key=lambda one: one["uid"])


@pytest.mark.parametrize("read", [with_vobject, with_ics])
@pytest.mark.parametrize("number", range(1, len(MOMENTS) + 1))
def test_a_python_reader_sees_the_visit_that_was_meant(read, number):
    mine = VISITS[number - 1]
    assert read(request(mine, NOW)) == [wanted("REQUEST", number)]
    assert read(cancel(mine, NOW)) == [wanted("CANCEL", number)]


@pytest.mark.parametrize("read", [with_vobject, with_ics])
def test_a_python_reader_sees_the_whole_feed(read):
    everything = [wanted("PUBLISH", number) for number in range(1, len(MOMENTS) + 1)]
    assert by_uid(read(feed("Sam's visits", VISITS, NOW, 1))) == everything


@pytest.mark.slow
@pytest.mark.parametrize(("method", "write"), [("REQUEST", request), ("CANCEL", cancel)])
def test_both_javascript_readers_see_the_visits_that_were_meant(method, write):
    for number, mine in enumerate(VISITS, start=1):
        seen = with_node(write(mine, NOW))
        assert seen == {reader: [wanted(method, number)] for reader in ("ical.js", "node-ical")}


@pytest.mark.slow
def test_both_javascript_readers_see_the_whole_feed():
    everything = [wanted("PUBLISH", number) for number in range(1, len(MOMENTS) + 1)]
    seen = with_node(feed("Sam's visits", VISITS, NOW, 1))
    assert {name: by_uid(visits) for name, visits in seen.items()} == {
        "ical.js": everything,
        "node-ical": everything,
    }
