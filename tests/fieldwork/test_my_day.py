"""My day: the technician's own stops and nobody else's, with what to know before the door."""

import datetime as dt

import pytest
import time_machine
from django.urls import reverse

from customers.models import Home
from fieldwork.models import RouteOrder
from scheduling.actions.visits import unplace_visit
from tests import cast, factories
from tests.fieldwork import day_of_checks as story

pytestmark = pytest.mark.django_db
PAGE = reverse("fieldwork:my-day")
TUESDAY = reverse("fieldwork:other-day", args=[story.DAY + dt.timedelta(days=1)])


@pytest.fixture(autouse=True)
def _monday():
    with time_machine.travel(story.NOON, tick=False):
        yield


def ingrids_page(url: str = PAGE) -> str:
    answer = cast.signed_in(cast.ingrid().user).get(url)
    assert answer.status_code == 200
    return answer.text


def name_of(visit) -> str:
    return visit.owed_visit.home.customer.name


def test_a_technician_lands_on_her_day_after_signing_in():
    story.stop()
    answer = cast.signed_in(cast.ingrid().user).get("/")
    assert answer.url == PAGE


def test_it_shows_the_next_stop_with_what_to_know_before_the_door():
    visit = story.stop(gate_code="4471#", dog="Bruno, friendly", access_notes="Side gate")
    page = ingrids_page()
    for words in (name_of(visit), "9:00", "4471#", "Bruno, friendly", "Side gate", "R-410A"):
        assert words in page
    assert 'href="geo:43.30000,-87.99000?q=' in page


def test_it_says_from_what_hour_it_is_warm_enough():
    story.stop()
    assert "Probably 55 °F or more" in ingrids_page()


@pytest.mark.parametrize(
    ("minute", "said"), [(513, "8:35"), (515, "8:35"), (516, "8:40"), (1438, "11:55")]
)
def test_an_hour_that_is_only_about_is_said_in_five_minutes(monkeypatch, minute, said):
    story.stop()
    monkeypatch.setattr("fieldwork.day.warm_spans", lambda *_, **__: ((minute, 1440),))
    assert f"from about {said}" in ingrids_page()


def test_a_system_with_a_warmer_test_temperature_is_asked_for_it():
    visit = story.stop()
    system = story.system_of(visit)
    system.least_test_f = 65
    system.save()
    assert "65 °F" in ingrids_page()


def test_it_shows_only_her_own_stops():
    bo = factories.TechnicianFactory(branch=cast.cedarburg(), name="Bo Larsen")
    hers, his = story.stop(9), story.stop(11, technician=bo)
    page = ingrids_page()
    assert name_of(hers) in page
    assert name_of(his) not in page


def test_codes_are_shown_on_the_day_itself_and_never_before():
    visit = story.stop(gate_code="4471#")
    visit.starts_at += dt.timedelta(days=1)
    visit.ends_at += dt.timedelta(days=1)
    visit.save()
    page = ingrids_page(TUESDAY)
    assert name_of(visit) in page
    assert "4471#" not in page


def test_what_was_found_last_time_and_is_still_open_is_shown():
    visit = story.stop()
    told = story.event("recommendation", visit, words="Replace contactor", urgency="act")
    story.send(told)
    assert "Replace contactor (open)" in ingrids_page()


def test_the_technicians_own_order_counts():
    first, second = story.stop(9), story.stop(11)
    order = story.event("order", None, visits=[second.pk, first.pk], why="Warm there sooner")
    assert story.send(order).state == "applied"
    page = ingrids_page()
    assert page.index(name_of(second)) < page.index(name_of(first))
    assert "Warm there sooner" in page
    assert RouteOrder.objects.get().visits == [second.pk, first.pk]


def test_another_order_needs_a_reason():
    visit = story.stop()
    answer = story.send(story.event("order", None, visits=[visit.pk], why=" "))
    assert (answer.state, answer.words) == ("refused", "Say why.")


def test_a_visit_that_lost_its_slot_today_stays_with_its_record():
    visit = story.stop()
    story.send(story.stamp(visit, "done"))
    assert "the cooling test is still owed" in ingrids_page()


def test_what_was_kept_and_not_taken_over_is_shown():
    visit = story.stop()
    unplace_visit(visit=visit, now=story.NOON)
    story.send(story.entry(visit, "outdoor_db_f", "74"))
    assert "The office took this visit out of the day" in ingrids_page()


def test_an_empty_day_says_so():
    cast.ingrid()
    assert "No stops on this day" in ingrids_page()


@pytest.mark.parametrize("person", [cast.odile, cast.walter, cast.priya])
def test_nobody_else_has_a_day(person):
    cast.ingrid()
    assert cast.signed_in(person()).get(PAGE).status_code == 404


def test_a_technician_without_a_row_or_who_left_has_none():
    user = factories.UserFactory(role="technician", branch=cast.cedarburg())
    assert cast.signed_in(user).get(PAGE).status_code == 404
    ingrid = cast.ingrid()
    ingrid.active = False
    ingrid.save()
    assert cast.signed_in(ingrid.user).get(PAGE).status_code == 404


def test_it_is_read_only():
    assert cast.signed_in(cast.ingrid().user).post(PAGE).status_code == 405


def test_its_queries_do_not_grow_with_its_stops(django_assert_num_queries):
    for hour in range(8, 16):
        story.stop(hour)
    browser = cast.signed_in(cast.ingrid().user)
    with django_assert_num_queries(16):
        browser.get(PAGE)


def test_the_nearest_days_with_stops_are_one_press_away():
    visit = story.stop()
    assert "Other days with stops" not in ingrids_page()

    visit.starts_at, visit.ends_at = (
        at + dt.timedelta(days=3) for at in (visit.starts_at, visit.ends_at)
    )
    visit.save()
    thursday = reverse("fieldwork:other-day", args=[story.DAY + dt.timedelta(days=3)])
    assert f'rel="next" href="{thursday}"' in ingrids_page()
    assert 'rel="prev"' not in ingrids_page()


def test_a_button_works_without_a_script():
    visit = story.stop()
    url = reverse("fieldwork:stamp", args=[story.DAY, visit.pk])
    answer = cast.signed_in(cast.ingrid().user).post(url, {"stamp": "there"})
    assert answer.status_code == 302
    assert story.record_of(visit).arrived_at == story.NOON


def test_the_worker_and_the_manifest_are_open_to_the_browser_itself(client):
    worker, manifest = (client.get(reverse(f"fieldwork:{x}")) for x in ("worker", "manifest"))
    assert worker["Content-Type"].startswith("text/javascript")
    assert manifest.json()["start_url"] == PAGE
    assert client.get(reverse("fieldwork:offline")).status_code == 200


def test_a_home_without_a_known_place_has_no_map_link():
    visit = story.stop()
    Home.objects.filter(pk=visit.owed_visit.home.pk).update(
        latitude=None, longitude=None, precision="unknown"
    )
    assert "geo:" not in ingrids_page()
