"""Why a visit stands where it stands, what other times cost, why not earlier."""

import datetime as dt

import pytest
import time_machine
from django.urls import reverse

from kit.when import WeekHalves
from scheduling.actions.visits import hold_visit, pencil_visit, promise_visit
from scheduling.explaining import explain
from scheduling.models import DayOff
from tests import cast
from tests.scheduling import spring

pytestmark = pytest.mark.django_db
NOW = dt.datetime(2027, 5, 20, 15, tzinfo=dt.UTC)
FRIDAY = spring.MONDAY + dt.timedelta(days=4)


@pytest.fixture(autouse=True)
def _in_may():
    with time_machine.travel(NOW, tick=True):
        yield


def pencilled(season, technician, day, hour=13, **home):
    visit = spring.owed(season, **home)
    return pencil_visit(
        visit=visit, technician=technician, starts_at=spring.at(day, hour), minutes=60, now=NOW
    )


def words_of(why) -> str:
    return "; ".join(f"{span.days}: {span.words}" for span in why.spans)


def test_it_names_the_terms_of_its_own_slot():
    season, ingrid = spring.season(), spring.technician()
    why = explain(pencilled(season, ingrid, FRIDAY), NOW)
    assert why.here.technician == "Ingrid Solberg"
    assert [c.words.partition(":")[0] for c in why.here.costs] == [
        "more driving", "risk of a cold trip",
    ]  # fmt: skip
    assert why.here.minutes == sum(cost.minutes for cost in why.here.costs)
    assert why.bites == ""


def test_the_three_next_best_are_free_cheapest_first_and_not_its_own():
    season, ingrid = spring.season(), spring.technician()
    visit = pencilled(season, ingrid, FRIDAY)
    why = explain(visit, NOW)
    costs = [option.minutes for option in why.next_best]
    assert len(costs) == 3
    assert costs == sorted(costs)
    assert visit.starts_at not in [option.starts_at for option in why.next_best]


def test_a_promise_moves_at_the_branchs_price():
    season, ingrid = spring.season(), spring.technician()
    visit = spring.owed(season)
    promise_visit(
        visit=visit, technician=ingrid, starts_at=spring.at(FRIDAY, 13), minutes=60, now=NOW
    )
    why = explain(visit, NOW)
    assert all(o.costs[-1].words == "the customer was told another time" for o in why.next_best)
    assert why.next_best[0].costs[-1].minutes == season.branch.broken_promise_min
    assert "told" not in why.here.costs[-1].words


def test_it_says_why_not_earlier():
    season, ingrid = spring.season(), spring.technician()
    DayOff.objects.create(technician=ingrid, first=spring.MONDAY, last=spring.MONDAY)
    afternoons = WeekHalves.of([(2, 1), (3, 1), (4, 1)])
    for hour in (12, 13, 14, 15):
        pencilled(season, ingrid, spring.MONDAY + dt.timedelta(days=2), hour)
    why = explain(pencilled(season, ingrid, FRIDAY, halves_mask=afternoons.mask), NOW)
    said = words_of(why)
    assert "May 25: does not suit the customer" in said
    assert "May 26: full" in said
    assert "costs as much or more" in said or "would cost less now" in said
    assert "May 24" not in said  # nobody works then


def test_a_held_visit_names_what_bites():
    season, _ = spring.season(), spring.technician()
    season.branch.test_temperature_f = 75
    season.branch.save()
    visit = spring.owed(season)
    hold_visit(visit=visit, why="Too early", release="May", now=NOW)
    why = explain(visit, NOW)
    assert "No day that suits is warm enough" in why.bites
    assert "too cold" in words_of(why)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"skills": ["heating"]}, "has the skill: cooling"),
        ({"active": False}, "No technician works"),
    ],
)
def test_a_visit_that_nobody_can_do_says_so(change, words):
    season, ingrid = spring.season(), spring.technician()
    visit = spring.owed(season)
    type(ingrid).objects.filter(pk=ingrid.pk).update(**change)
    assert words in explain(visit, NOW).bites


def test_a_visit_for_which_there_is_room_by_now_says_so():
    season, _ = spring.season(), spring.technician()
    why = explain(spring.owed(season), NOW)
    assert "there is room" in why.bites
    assert len(why.next_best) == 3


def page(visit) -> str:
    return cast.signed_in(cast.odile()).get(reverse("scheduling:visit-why", args=[visit.pk]))


def test_the_page_tells_it_and_the_visit_leads_there():
    season, ingrid = spring.season(), spring.technician()
    visit = pencilled(season, ingrid, FRIDAY)
    told = page(visit).content.decode()
    assert "Its slot and the next best" in told
    assert "Why not earlier" in told
    visits_page = cast.signed_in(cast.odile()).get(reverse("scheduling:visit", args=[visit.pk]))
    assert reverse("scheduling:visit-why", args=[visit.pk]) in visits_page.content.decode()


def test_without_a_climate_or_a_place_the_page_says_what_is_missing():
    season, _ = spring.season(), spring.technician()
    nowhere = spring.owed(season, nowhere=True, precision="unknown")
    assert "no place on the map" in page(nowhere).content.decode()
    visit = spring.owed(season)
    season.branch.climate.delete()
    assert "has no climate yet" in page(visit).content.decode()


def test_it_asks_as_few_questions_of_the_database_for_a_full_season(django_assert_max_num_queries):
    season, ingrid = spring.season(), spring.technician()
    visits = [
        pencilled(season, ingrid, spring.MONDAY + dt.timedelta(days=d), hour)
        for d in range(5) for hour in (9, 11, 13)
    ]  # fmt: skip
    browser = cast.signed_in(cast.odile())
    with django_assert_max_num_queries(20):
        browser.get(reverse("scheduling:visit-why", args=[visits[7].pk]))


def test_a_stranger_and_a_technician_do_not_find_it():
    visit = spring.owed(spring.season())
    address = reverse("scheduling:visit-why", args=[visit.pk])
    assert cast.signed_in(cast.priya()).get(address).status_code == 404
    assert cast.signed_in(cast.ingrid().user).get(address).status_code == 404
    assert cast.signed_in(cast.odile()).post(address).status_code == 405
