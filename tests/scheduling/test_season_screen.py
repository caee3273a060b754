"""The season screen: what it shows, who may see it, how much it asks of the database."""

import datetime as dt

import pytest
from django.urls import reverse

from scheduling.actions.visits import hold_visit, pencil_visit
from scheduling.models import Season, SeasonRun
from tests import cast
from tests.scheduling import spring

pytestmark = pytest.mark.django_db


def season_with(visits: int) -> Season:
    """A season whose visits are pencilled one an hour."""
    season, ingrid = spring.season(), spring.technician()
    for number in range(visits):
        day = spring.MONDAY + dt.timedelta(days=number // 8)
        pencil_visit(
            visit=spring.owed(season),
            technician=ingrid,
            starts_at=spring.at(day, 8 + number % 8),
            minutes=55,
            now=spring.at(spring.MONDAY, 7),
        )
    return season


def address(season: Season) -> str:
    return reverse("scheduling:season", args=[season.pk])


def test_it_shows_the_visits_under_their_weather():
    season = season_with(3)
    page = cast.signed_in(cast.odile()).get(address(season)).content.decode()
    assert "Late spring" in page
    assert "55 °F" in page.replace("\u00a0", " ")
    assert "3 pencilled" in page


def test_held_visits_stand_apart_with_their_reason():
    season = spring.season()
    hold_visit(
        visit=spring.owed(season),
        why="No day is warm enough",
        release="A day over 55 °F",
        now=spring.at(spring.MONDAY, 8),
    )
    page = cast.signed_in(cast.odile()).get(address(season))
    assert "No day is warm enough" in page.content.decode()


def test_the_filters_narrow_it():
    season = season_with(2)
    page = cast.signed_in(cast.odile()).get(address(season), {"kind": "heating"})
    assert "2 pencilled" not in page.content.decode()


def test_an_unknown_filter_is_ignored():
    page = cast.signed_in(cast.odile()).get(address(season_with(1)), {"technician": "nobody"})
    assert page.status_code == 200


def test_without_a_climate_it_says_what_is_missing():
    season = season_with(1)
    season.branch.climate.delete()
    page = cast.signed_in(cast.odile()).get(address(season))
    assert "No climate yet" in page.content.decode()


def test_without_a_season_it_says_how_to_open_one():
    cast.odile()
    page = cast.signed_in(cast.odile()).get(reverse("scheduling:newest"))
    assert reverse("scheduling:new") in page.content.decode()


def test_a_technician_does_not_see_it():
    season = season_with(1)
    assert cast.signed_in(cast.ingrid().user).get(address(season)).status_code == 404


def test_a_stranger_does_not_see_it(client):
    season = season_with(1)
    assert cast.signed_in(cast.priya()).get(address(season)).status_code == 404
    assert client.get(address(season)).status_code == 302


def test_it_is_read_only():
    assert cast.signed_in(cast.odile()).post(address(season_with(1))).status_code == 405


def test_its_queries_do_not_grow_with_its_visits(django_assert_num_queries):
    season, office = season_with(24), cast.signed_in(cast.odile())
    office.get(address(season))
    with django_assert_num_queries(15):
        office.get(address(season))


def test_the_filters_ask_only_for_their_part(django_assert_num_queries):
    season, office = season_with(24), cast.signed_in(cast.odile())
    with django_assert_num_queries(8):  # the towns to choose from are not among them
        part = office.get(address(season), {"kind": "cooling"}, headers={"HX-Request": "true"}).text
    assert part.lstrip().startswith('<div id="ribbon"')
    assert "8 pencilled" in part


def test_opening_a_season_gathers_its_visits():
    office = cast.signed_in(cast.odile())
    sent = {"name": "Spring 2027", "starts_on": "2027-04-05", "ends_on": "2027-06-19"}
    assert office.post(reverse("scheduling:new"), sent).status_code == 302
    assert Season.objects.get().name == "Spring 2027"


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"ends_on": "2027-04-01"}, "ends before it begins"),
        ({"ends_on": "2029-04-01"}, "at most 400 days"),
        ({"starts_on": "soon"}, "Enter a valid date"),
    ],
)
def test_a_season_that_cannot_be_is_refused_and_what_was_typed_stays(change, words):
    sent = {"name": "Odd", "starts_on": "2027-04-05", "ends_on": "2027-06-19"} | change
    answer = cast.signed_in(cast.odile()).post(reverse("scheduling:new"), sent)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert words in page
    assert 'value="Odd"' in page


def test_the_button_writes_down_that_a_plan_is_wanted():
    season = season_with(1)
    answer = cast.signed_in(cast.odile()).post(
        reverse("scheduling:plan", args=[season.pk]), {"seconds": 5}
    )
    run = SeasonRun.objects.get()
    assert answer.url == reverse("scheduling:run", args=[run.pk])
    assert (run.seconds, run.asked_by) == (5, cast.odile())


def test_pressing_the_button_twice_leads_to_the_same_run():
    season, office = season_with(1), cast.signed_in(cast.odile())
    first = office.post(reverse("scheduling:plan", args=[season.pk]))
    second = office.post(reverse("scheduling:plan", args=[season.pk]))
    assert first.url == second.url
    assert SeasonRun.objects.count() == 1
