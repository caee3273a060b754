"""A visit in a calendar: invited, moved, cancelled, and on a technician's phone."""

import datetime as dt
import re
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from icalendar import Calendar

from letters.invitation import (
    CalendarEntry,
    Invitation,
    cancel,
    feed,
    request,
    visit_uid,
)

NOW = dt.datetime(2027, 4, 1, 15, 0, 30, tzinfo=dt.UTC)
STARTS = dt.datetime(2027, 4, 20, 14, 0, tzinfo=dt.UTC)
VISIT = Invitation(
    uid=visit_uid("north", 1204, "redbud.example.com"),
    sequence=2,
    starts_at=STARTS,
    ends_at=STARTS + dt.timedelta(minutes=75),
    summary="Cooling check",
    description="We need about an hour.\nPlease keep the dog inside.",
    location="12 Elm Street, Milwaukee, WI 53202",
    organizer_name="Northside Comfort",
    organizer_email="office@example.com",
    attendee_name="Pat Mill",
    attendee_email="pat@example.com",
)
ENTRY_FIELDS = ("uid", "sequence", "starts_at", "ends_at", "summary")
texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=80)


def only_event(content: bytes):
    [event] = Calendar.from_ical(content).walk("VEVENT")
    return event


def lines(content: bytes) -> list[str]:
    """The file's lines with the folds of RFC 5545, section 3.1, taken out."""
    return content.decode().replace("\r\n ", "").split("\r\n")


def names(content: bytes) -> list[str]:
    return [re.split("[;:]", line)[0] for line in lines(content)]


def test_an_invitation_asks_the_customer_for_an_answer():
    content = request(VISIT, NOW)
    assert "METHOD:REQUEST" in lines(content)
    event = only_event(content)
    assert (event["UID"], event["SEQUENCE"]) == ("visit-1204.north@redbud.example.com", 2)
    assert (event["STATUS"], event["ORGANIZER"]) == ("CONFIRMED", "mailto:office@example.com")
    assert event["ATTENDEE"] == "mailto:pat@example.com"
    assert event["ATTENDEE"].params["RSVP"] == "TRUE"


def test_a_cancellation_takes_the_same_visit_back():
    later = replace(VISIT, sequence=3)
    content = cancel(later, NOW)
    event = only_event(content)
    assert "METHOD:CANCEL" in lines(content)
    assert (event["UID"], event["SEQUENCE"]) == (VISIT.uid, 3)
    assert event["STATUS"] == "CANCELLED"
    assert event["ATTENDEE"].params["RSVP"] == "FALSE"


def test_times_are_written_in_utc_and_without_a_zone_table():
    content = request(VISIT, NOW)
    assert "DTSTART:20270420T140000Z" in lines(content)
    assert "DTEND:20270420T151500Z" in lines(content)
    assert "DTSTAMP:20270401T150030Z" in lines(content)
    assert b"VTIMEZONE" not in content


def test_a_feed_has_a_name_and_says_how_often_to_ask_again():
    content = feed("Sam's visits", [VISIT, replace(VISIT, uid="second@example.com")], NOW, 2)
    assert {"METHOD:PUBLISH", "NAME:Sam's visits", "X-WR-CALNAME:Sam's visits"} < {*lines(content)}
    assert "REFRESH-INTERVAL;VALUE=DURATION:PT2H" in lines(content)
    assert len(Calendar.from_ical(content).walk("VEVENT")) == 2


def test_a_feed_tells_nobody_the_customers_address():
    assert b"pat@example.com" not in feed("Sam", [VISIT], NOW, 1)


def test_a_feed_of_no_visits_is_still_a_calendar():
    assert Calendar.from_ical(feed("Sam", [], NOW, 1)).walk("VEVENT") == []


def test_every_line_keeps_to_75_octets():
    content = request(replace(VISIT, description="Größe 🌡 " * 60), NOW)
    assert max(map(len, content.split(b"\r\n"))) <= 75


@given(texts, texts, texts, texts)
def test_no_text_can_add_a_line_of_its_own(summary, description, location, name):
    tame = replace(VISIT, location="x", description="x")
    wild = replace(
        VISIT,
        summary=summary,
        description=description + "\r\nATTENDEE:mailto:eve@example.com",
        location=location + "\nBEGIN:VALARM",
        organizer_name=name + "\r\nMETHOD:CANCEL",
        attendee_name=name + "\nSTATUS:CANCELLED",
    )
    assert sorted(names(request(wild, NOW))) == sorted(names(request(tame, NOW)))


@given(texts)
def test_a_description_arrives_as_it_was_written(text):
    written = "".join(c for c in "Hello\n" + text if c == "\n" or c.isprintable())
    event = only_event(request(replace(VISIT, description=written), NOW))
    assert str(event["DESCRIPTION"]) == written


@pytest.mark.parametrize("name", ["organizer_email", "attendee_email"])
@pytest.mark.parametrize(
    "address", ["", "pat", "pat@", "a@b\r\nX:1", "Pat <pat@example.com>", "a@b,c@d", "a b@c"]
)
def test_an_address_that_is_none_is_refused_by_name(name, address):
    with pytest.raises(ValueError, match=name):
        replace(VISIT, **{name: address})


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"starts_at": STARTS.replace(tzinfo=None)}, "starts_at .* no time zone"),
        ({"ends_at": STARTS.replace(tzinfo=None)}, "ends_at .* no time zone"),
        ({"ends_at": STARTS}, "ends_at .* after"),
        ({"sequence": -1}, "sequence"),
        ({"uid": "a\r\nb"}, "uid"),
        ({"uid": " "}, "uid"),
    ],
)
def test_a_visit_that_cannot_be_is_refused(wrong, words):
    fields = {name: getattr(VISIT, name) for name in ENTRY_FIELDS} | wrong
    with pytest.raises(ValueError, match=words):
        CalendarEntry(**fields)


def test_a_stamp_without_a_zone_is_refused():
    with pytest.raises(ValueError, match=r"now .* no time zone"):
        request(VISIT, NOW.replace(tzinfo=None))


@pytest.mark.parametrize("hours", [0, -1, 169])
def test_a_feed_that_is_never_asked_again_is_refused(hours):
    with pytest.raises(ValueError, match="1 to 168"):
        feed("Sam", [], NOW, hours)


def test_a_uid_stays_the_same_and_differs_between_visits_and_branches():
    assert visit_uid("north", 7, "example.com") == "visit-7.north@example.com"
    several = {visit_uid(b, v, "example.com") for b in ("north", "south") for v in (1, 2, 11)}
    assert len(several) == 6


@pytest.mark.parametrize(
    ("slug", "visit", "host"), [("no rth", 1, "a.com"), ("n", 0, "a.com"), ("n", 1, "a\nb")]
)
def test_a_uid_of_nonsense_is_refused(slug, visit, host):
    with pytest.raises(ValueError):
        visit_uid(slug, visit, host)
