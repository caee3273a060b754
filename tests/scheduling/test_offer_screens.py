"""The office's offers and its telephone list."""

import datetime as dt

import pytest
import time_machine
from django.urls import reverse

from scheduling.actions.offers import ask_for_a_call, offer_visit
from scheduling.actions.visits import pencil_visit
from scheduling.models import Offer, State, Visit
from tests import cast
from tests.scheduling import spring

pytestmark = pytest.mark.django_db
NOW = spring.at(dt.date(2027, 5, 20), 10)
OFFERS, CALLS = reverse("scheduling:offers"), reverse("scheduling:calls")


@pytest.fixture(autouse=True)
def _in_may():
    with time_machine.travel(NOW, tick=False):
        yield


def pencilled(count: int) -> list[Visit]:
    season, ingrid = spring.season(), spring.technician()
    return [
        pencil_visit(
            visit=spring.owed(season),
            technician=ingrid,
            starts_at=spring.at(spring.MONDAY + dt.timedelta(days=n // 7), 8 + n % 7),
            minutes=55,
            now=NOW,
        )
        for n in range(count)
    ]


def test_the_office_offers_the_ticked_visits():
    first, second = pencilled(2)
    cast.signed_in(cast.odile()).post(reverse("scheduling:offers-make"), {"visit": first.pk})
    assert list(Visit.objects.filter(state=State.OFFERED)) == [first]
    second.refresh_from_db()
    assert second.state == State.PENCILLED


def test_the_office_offers_all_of_the_coming_days_at_once():
    pencilled(9)
    cast.signed_in(cast.odile()).post(
        reverse("scheduling:offers-make"), {"all": "yes", "until": "2027-05-24"}
    )
    assert Offer.objects.count() == 7


def test_a_day_that_is_none_falls_back_to_the_usual_wave():
    pencilled(1)
    page = cast.signed_in(cast.odile()).get(OFFERS, {"until": "someday"})
    assert page.context["until"] == dt.date(2027, 6, 3)


def test_the_telephone_list_says_whom_and_why():
    (visit,) = pencilled(1)
    offer_visit(visit=visit, now=NOW)
    ask_for_a_call(visit=visit, why="asked for a call", now=NOW)
    page = cast.signed_in(cast.odile()).get(CALLS).content.decode()
    assert visit.owed_visit.home.customer.name in page
    assert "asked for a call" in page


def called() -> tuple[Visit, str]:
    (visit,) = pencilled(1)
    offer = offer_visit(visit=visit, now=NOW)
    ask_for_a_call(visit=visit, why="asked for a call", now=NOW)
    return visit, reverse("scheduling:call", args=[offer.pk])


def test_a_call_is_booked_with_one_press():
    visit, page = called()
    office = cast.signed_in(cast.odile())
    slot = office.get(page).context["times"][0]
    sent = {"slot": f"{slot.technician}~{slot.starts_at.isoformat()}", "minutes": 60}
    assert office.post(page, sent).url == CALLS
    visit.refresh_from_db()
    assert (visit.state, visit.starts_at) == (State.PROMISED, slot.starts_at)


@pytest.mark.parametrize("slot", ["", "x~y", "999~2027-05-25T13:00:00+00:00"])
def test_a_call_without_a_time_books_nothing(slot):
    visit, page = called()
    cast.signed_in(cast.odile()).post(page, {"slot": slot, "minutes": 60})
    visit.refresh_from_db()
    assert visit.state == State.OFFERED


@pytest.mark.parametrize("page", [OFFERS, CALLS])
def test_only_the_office_sees_them(page, client):
    cast.cedarburg()
    assert cast.signed_in(cast.ingrid().user).get(page).status_code == 404
    assert client.get(page).status_code == 302
    assert cast.signed_in(cast.odile()).post(page).status_code == 405


def test_another_branch_sees_and_books_none_of_ours():
    visit, page = called()
    stranger = cast.signed_in(cast.priya())
    assert visit.owed_visit.home.customer.name not in stranger.get(CALLS).content.decode()
    assert stranger.get(page).status_code == 404


def test_the_queries_do_not_grow_with_the_visits(django_assert_num_queries):
    pencilled(14)
    office = cast.signed_in(cast.odile())
    with django_assert_num_queries(9):
        office.get(OFFERS)


def test_today_says_how_many_are_to_be_telephoned():
    called()
    page = cast.signed_in(cast.odile()).get(reverse("front:today")).content.decode()
    assert "customer to telephone about a time" in page
