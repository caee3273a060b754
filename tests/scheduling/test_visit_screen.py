"""The page of one visit: slot, promise, hold, waive."""

import pytest
from django.urls import reverse

from scheduling.actions.visits import leave_test_owed, pencil_visit
from scheduling.models import State
from tests import cast
from tests.kit.web.forms_sent import opened, send
from tests.scheduling import spring

pytestmark = pytest.mark.django_db


def address(visit, act: str = "visit") -> str:
    return reverse(f"scheduling:{act}", args=[visit.pk])


def slot(technician, **changes) -> dict:
    sent = {"technician": technician.pk, "day": "2027-05-24", "time": "13:00", "minutes": 60}
    return sent | changes


def test_the_office_promises_a_slot_on_the_telephone():
    visit, ingrid = spring.owed(spring.season()), spring.technician()
    cast.signed_in(cast.odile()).post(address(visit, "visit-place"), slot(ingrid, promised="on"))
    visit.refresh_from_db()
    assert (visit.state, visit.starts_at) == (State.PROMISED, spring.at(spring.MONDAY, 13))


def test_a_taken_slot_is_refused_and_what_was_typed_stays():
    season, ingrid = spring.season(), spring.technician()
    pencil_visit(
        visit=spring.owed(season),
        technician=ingrid,
        starts_at=spring.at(spring.MONDAY, 13),
        minutes=60,
        now=spring.at(spring.MONDAY, 7),
    )
    answer = cast.signed_in(cast.odile()).post(
        address(spring.owed(season), "visit-place"),
        slot(ingrid, minutes=75),
    )
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "already has a visit at 1:00 PM" in page.replace("\u00a0", " ")
    assert 'value="75"' in page


def test_a_day_outside_the_season_is_refused_with_its_days():
    visit, ingrid = spring.owed(spring.season()), spring.technician()
    answer = cast.signed_in(cast.odile()).post(
        address(visit, "visit-place"), slot(ingrid, day="2027-09-01")
    )
    assert "runs from May 24 to June 12, 2027" in answer.content.decode()


def test_it_holds_and_releases_a_check():
    visit, office = spring.owed(spring.season()), cast.signed_in(cast.odile())
    office.post(address(visit, "visit-hold"), {"why": "Cold week", "release": "A warm day"})
    visit.refresh_from_db()
    assert visit.state == State.HELD
    office.post(address(visit, "visit-unplace"))
    visit.refresh_from_db()
    assert visit.state == State.OWED


def test_it_waives_a_visit_with_the_reason():
    visit = spring.owed(spring.season())
    cast.signed_in(cast.odile()).post(address(visit, "visit-waive"), {"why": "House sold"})
    visit.refresh_from_db()
    assert (visit.state, visit.owed_visit.why_waived) == (State.WAIVED, "House sold")


def test_a_placed_visit_says_why_it_stands_there():
    visit, ingrid = spring.owed(spring.season()), spring.technician()
    pencil_visit(
        visit=visit,
        technician=ingrid,
        starts_at=spring.at(spring.MONDAY, 13),
        minutes=60,
        now=spring.at(spring.MONDAY, 7),
    )
    visit.warmth, visit.travel_added_min = 0.93, 12
    visit.save()
    page = cast.signed_in(cast.odile()).get(address(visit)).content.decode().replace("\xa0", " ")
    assert "Very likely warm enough (93 %) by the climate, adds 12 min of driving" in page


def test_a_visit_that_is_done_is_not_waived_and_the_page_says_so():
    visit = spring.owed(spring.season())
    type(visit).objects.filter(pk=visit.pk).update(state=State.WAIVED)
    browser, waive = cast.signed_in(cast.odile()), address(visit, "visit-waive")
    answer = browser.post(waive, {"why": "Again"}, follow=True)
    assert answer.status_code == 200
    assert "waived" in answer.context["messages"]._loaded_data[0].message


def test_the_second_of_two_who_move_a_visit_is_told_and_may_insist():
    visit, ingrid = spring.owed(spring.season()), spring.technician()
    first, second = (
        opened(cast.signed_in(cast.odile()), address(visit), holding="technician") for _ in range(2)
    )
    first.address = second.address = address(visit, "visit-place")
    assert send(first, **slot(ingrid)).status_code == 302

    answer = send(second, **slot(ingrid, time="15:00"))

    assert answer.status_code == 422
    assert "Somebody changed this visit" in answer.text
    again = opened(second.browser, second.address, answer, holding="technician")
    assert send(again).status_code == 302
    visit.refresh_from_db()
    assert visit.starts_at == spring.at(spring.MONDAY, 15)


def test_a_promise_that_is_sent_twice_is_one_promise_with_its_letter():
    cast.letterhead()
    visit, ingrid = spring.owed(spring.season()), spring.technician()
    customer = visit.owed_visit.home.customer
    type(customer).objects.filter(pk=customer.pk).update(email="a@example.com")
    form = opened(cast.signed_in(cast.odile()), address(visit), holding="technician")
    form.address = address(visit, "visit-place")

    answers = [send(form, **slot(ingrid, promised="on")) for _ in range(2)]

    assert [answer.status_code for answer in answers] == [302, 302]
    assert visit.events.count() == 1
    assert customer.letters.exclude(state="withdrawn").count() == 1


@pytest.mark.parametrize("act", ["visit-place", "visit-hold", "visit-waive", "visit-unplace"])
def test_acts_need_a_post_and_the_office(act):
    visit = spring.owed(spring.season())
    assert cast.signed_in(cast.odile()).get(address(visit, act)).status_code == 405
    assert cast.signed_in(cast.ingrid().user).post(address(visit, act)).status_code == 404
    assert cast.signed_in(cast.priya()).post(address(visit, act)).status_code == 404


def test_it_shows_every_trip_and_what_came_of_it():
    visit = spring.owed(spring.season())
    pencil_visit(
        visit=visit,
        technician=spring.technician(),
        starts_at=spring.at(spring.MONDAY, 9),
        minutes=60,
        now=spring.at(spring.MONDAY, 7),
    )
    leave_test_owed(visit=visit, now=spring.at(spring.MONDAY, 10), why="48 °F outdoors")
    page = cast.signed_in(cast.odile()).get(address(visit)).content.decode()
    assert "Trip of May 24" in page
    assert "Too cold to test" in page
    assert "Cooling check, test only" in page
