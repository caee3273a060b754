"""The first heat and the hours in which nobody climbs, as the screens say them."""

import datetime as dt

import pytest
import time_machine
from django.urls import reverse

from scheduling.outlooks import outlook_for, source_on
from scheduling.pace import Pace
from scheduling.signs import heat_line, no_climbing_on
from tests import cast
from tests.scheduling import spring
from tests.scheduling.weather import foretold

pytestmark = pytest.mark.django_db
MONDAY = spring.MONDAY
NOW = spring.at(MONDAY, 7)
PACE = Pace(owed=40, a_day=8.0, done_by=dt.date(2027, 5, 31))


def heat(today=MONDAY) -> str:
    outlook = outlook_for(cast.cedarburg(), spring.at(today, 7))
    return heat_line(outlook, PACE, today, spring.CHICAGO).replace("\xa0", " ")


def test_a_foretold_heat_is_named_with_what_is_owed_by_then():
    season = spring.season()
    foretold(season.branch, NOW, {dt.date(2027, 5, 27): 97.0})
    said = heat()
    assert said.startswith("An 85 °F day is likely on Thu, May 27 (")
    assert "by the forecast of Mon, May 24, 7:00 AM" in said
    assert "40 cooling checks still owed; at 8.0 a working day the last is done by May 31." in said


def test_without_one_the_climate_says_when_it_usually_comes():
    spring.season()
    assert heat(dt.date(2027, 4, 12)).startswith("The first 85 °F day has come by May ")


def test_after_that_day_only_what_is_owed_is_said():
    spring.season()
    assert heat(dt.date(2027, 6, 10)).startswith("40 cooling checks still owed")


def stormy_monday(season) -> None:
    """Thunder from one to three in the afternoon."""
    row = foretold(season.branch, NOW)
    one, three = spring.at(MONDAY, 13).timestamp(), spring.at(MONDAY, 15).timestamp()
    row.hours = [
        [at, temperature_f, 5.0, 80.0, "Thunderstorms" if one <= at < three else "Sunny"]
        for at, temperature_f, *_ in row.hours
    ]
    row.save()


def test_hours_with_lightning_forbid_ladders_and_roofs():
    season = spring.season()
    stormy_monday(season)
    said = list(no_climbing_on(outlook_for(season.branch, NOW), MONDAY, spring.CHICAGO))
    assert [words.replace("\xa0", " ") for words in said] == ["1:00 PM to 3:00 PM: lightning"]


def test_the_day_screen_warns_and_defers_to_the_rules_on_the_spot():
    season, _ = spring.season(), spring.technician()
    stormy_monday(season)
    with time_machine.travel(NOW, tick=False):
        office = cast.signed_in(cast.odile())
        page = office.get(reverse("scheduling:day", args=[MONDAY])).content.decode()
    assert "No ladders, no roofs" in page
    assert "decided on the spot" in page


def test_climate_alone_forbids_nothing():
    season = spring.season()
    assert list(no_climbing_on(outlook_for(season.branch, NOW), MONDAY, spring.CHICAGO)) == []


def test_a_far_day_is_the_climates_word():
    season = spring.season()
    foretold(season.branch, NOW)
    outlook = outlook_for(season.branch, NOW)
    assert source_on(outlook, MONDAY, spring.CHICAGO).startswith("forecast of Mon, May 24")
    assert source_on(outlook, dt.date(2027, 6, 12), spring.CHICAGO) == "climate"
