"""A wrong part or photo is taken back: who and when stay, nothing is deleted."""

import datetime as dt
from io import BytesIO
from uuid import uuid4

import pytest
from django.urls import reverse
from PIL import Image

from fieldwork.actions.phone import take_over
from fieldwork.models import EventState, PartUsed, PhoneEvent, Photo
from fieldwork.report import report_of
from scheduling.actions.visits import unplace_visit
from tests import cast
from tests.fieldwork import day_of_checks as story
from tests.fieldwork.reported import again

pytestmark = pytest.mark.django_db
MINUTE = dt.timedelta(minutes=1)


def part(visit, words="Contactor", **more):
    system = story.system_of(visit).pk
    return story.event("part", visit, words=words, quantity="1", system=system, **more)


def removal(visit, brought, at=story.NOON + MINUTE):
    return story.event("removal", visit, at, of=brought["key"], words="1 x Contactor")


def send(raw, **more):
    return story.send(raw, now=story.NOON + 5 * MINUTE, **more)


def photo(visit):
    out = BytesIO()
    Image.new("RGB", (40, 30), "green").save(out, "JPEG")
    raw = story.event("photo", visit, system=None, item="", words="Coil")
    assert send(raw, file=out.getvalue()).state == "applied"
    return raw


def with_part():
    visit = story.stop()
    raw = part(visit)
    assert send(raw).state == "applied"
    return visit, raw


def test_a_wrong_part_is_taken_back_and_stays_with_who_and_when():
    visit, raw = with_part()
    assert send(removal(visit, raw)).state == "applied"
    kept = PartUsed.objects.get()
    assert kept.removed.by == cast.ingrid().user
    assert kept.removed.made_at == story.NOON + MINUTE
    assert not story.record_of(visit).parts.standing()


def test_a_photo_taken_back_is_no_longer_on_the_visits_page():
    visit = story.stop()
    raw = photo(visit)
    page = reverse("fieldwork:visit", args=[story.DAY, visit.pk])
    client = cast.signed_in(cast.ingrid().user)
    assert raw["key"] in client.get(page).text
    send(removal(visit, raw))
    assert raw["key"] not in client.get(page).text
    assert Photo.objects.get().removed is not None


def test_the_customers_report_leaves_it_out_and_the_office_still_sees_it():
    visit, raw = with_part()
    story.read(visit)
    send(removal(visit, raw))
    send(story.stamp(visit, "done", story.NOON + 2 * MINUTE))
    record = again(visit)
    assert report_of(record).parts == ()
    page = cast.signed_in(cast.odile()).get(reverse("fieldwork:report", args=[record.pk])).text
    assert "1 x Contactor, by" in page


def test_a_removal_that_arrives_twice_or_from_a_second_phone_does_nothing_more():
    visit, raw = with_part()
    first = removal(visit, raw)
    send(first)
    assert send(first).already is True
    assert send(removal(visit, raw), device="a-second-phone").state == "applied"
    assert str(PartUsed.objects.get().removed.client_key) == first["key"]


def test_made_and_removed_without_signal_arrives_in_order():
    visit = story.stop()
    raw = part(visit)
    assert [send(raw).state, send(removal(visit, raw)).state] == ["applied", "applied"]
    assert not PartUsed.objects.standing()


def test_what_is_not_on_the_record_cannot_be_removed():
    visit = story.stop()
    answer = send(removal(visit, {"key": str(uuid4())}))
    assert (answer.state, answer.words) == (
        "refused", "No such part or photo is on this record.",
    )  # fmt: skip


def test_a_reading_is_not_removed_this_way():
    visit = story.stop()
    raw = story.entry(visit, "outdoor_db_f", "74")
    send(raw)
    assert send(removal(visit, raw)).state == "refused"


def test_another_visits_part_stays():
    _, raw = with_part()
    assert send(removal(story.stop(11), raw)).state == "refused"
    assert PartUsed.objects.standing().count() == 1


def test_after_the_record_was_finished_the_office_decides():
    visit, raw = with_part()
    send(story.stamp(visit, "done", story.NOON + MINUTE))
    answer = send(removal(visit, raw, story.NOON + 3 * MINUTE))
    assert answer.state == "conflict"
    assert PartUsed.objects.standing().count() == 1
    take_over(event=PhoneEvent.objects.conflicts().get(), by=cast.odile(), now=story.NOON)
    assert not PartUsed.objects.standing()


def test_a_part_that_waits_for_the_office_is_left_aside():
    visit = story.stop()
    send(story.stamp(visit, "done", story.NOON - MINUTE))
    raw = part(visit)
    assert send(raw).state == "conflict"
    kept = PhoneEvent.objects.conflicts().get()
    answer = send(removal(visit, raw, story.NOON - 2 * MINUTE))
    kept.refresh_from_db()
    assert (answer.state, kept.state) == ("applied", EventState.LEFT)


def test_a_removal_after_the_visit_left_the_day_is_kept():
    visit, raw = with_part()
    unplace_visit(visit=visit, now=story.NOON)
    assert send(removal(visit, raw)).state == "conflict"
    assert PartUsed.objects.standing().count() == 1
