"""The almanac: what is known of the weather, and how good that knowledge was."""

import pytest
import time_machine
from django.urls import reverse

from tests import cast
from tests.weather.kept_spring import DAY, HOUR, NOW, foretold, keep_spring
from weather.actions import claim_asking, keep_forecast, note_trouble, set_climate
from weather.almanac import almanac_of, start_words
from weather.demonstration import demonstration_climate

pytestmark = pytest.mark.django_db
SCREEN = "weather:almanac"


@pytest.fixture(autouse=True)
def _one_morning():
    with time_machine.travel(NOW, tick=False):
        yield


def page(user=None):
    return cast.signed_in(user or cast.odile()).get(reverse(SCREEN)).content.decode()


def foretell(hours, **more):
    """The newest forecast for Cedarburg: `hours` of weather `more` from nine in the morning on."""
    forecast, _ = foretold(NOW, **more)
    forecast = type(forecast)("nws", NOW, NOW, forecast.hours[:hours])
    return keep_forecast(branch=cast.cedarburg(), forecast=forecast, notes=(), now=NOW)


def plan_on_milwaukee(branch):
    set_climate(branch=branch, climate=demonstration_climate(), now=NOW)


def test_it_shows_what_is_foretold_what_came_and_how_far_to_trust_it():
    keep_spring()
    found = page()
    assert "A check may start today" in found
    assert "Warmth that was told against how often it was warm enough" in found
    assert "the day before said" in found
    assert "Milwaukee" in found


def test_only_the_office_opens_it_and_only_to_read():
    assert cast.signed_in(cast.ingrid().user).get(reverse(SCREEN)).status_code == 404
    assert cast.signed_in(cast.odile()).post(reverse(SCREEN)).status_code == 405


def test_another_branch_s_weather_stays_there():
    keep_spring(days=2)
    plan_on_milwaukee(cast.sheboygan())
    found = page(cast.priya())
    assert "None yet" in found
    assert "the day before said" not in found


def test_its_queries_do_not_grow_with_the_days(django_assert_num_queries):
    client = cast.signed_in(cast.odile())
    keep_spring(days=20)
    with django_assert_num_queries(8):
        client.get(reverse(SCREEN))


def test_without_a_climate_it_says_what_to_do():
    assert "Load one with manage.py import_climate" in page()


def test_without_forecasts_climate_alone_speaks_and_it_says_so():
    plan_on_milwaukee(cast.cedarburg())
    found = page()
    assert "Forecasts are off" in found
    assert "Nothing to compare yet" in found


def test_trouble_is_told_with_its_beginning(settings):
    settings.FORECAST_SOURCE = "nws"
    plan_on_milwaukee(cast.cedarburg())
    place = claim_asking(branch=cast.cedarburg(), source="nws", now=NOW)
    note_trouble(place=place, trouble="National Weather Service answers 503: Down.", now=NOW)
    found = page()
    assert "National Weather Service answers 503: Down." in found
    assert "No new forecast since Wed, Apr 28, 9:00 AM" in found.replace("\xa0", " ")


@pytest.mark.parametrize(
    ("older", "words"),
    [(13 * HOUR, "It counts for less each hour"), (3 * DAY, "That is too old")],
)
def test_an_old_forecast_is_called_old(older, words):
    keep_spring(days=2, now=NOW - older)
    assert words in page()


def test_heat_and_hours_that_forbid_ladders_are_told():
    plan_on_milwaukee(cast.cedarburg())
    foretell(96, off_f=lambda lead: 40.0 if lead == 2 else 0.0, wind_mph=30.0)
    found = page()
    assert "85 °F or more on Fri, Apr 30" in found.replace("\xa0", " ")
    assert "nobody should be on a ladder or a roof" in found
    assert "</strong>: wind" in found


def test_today_s_testable_hours_lie_within_opening_hours():
    plan_on_milwaukee(cast.cedarburg())
    foretell(30, off_f=lambda _: 40.0)
    almanac = almanac_of(cast.cedarburg(), NOW)
    assert almanac.testable[-1][-1] == 16 * 60 + 30
    assert start_words([(690, 960), (1000, 1000)]).replace("\xa0", " ") == (
        "11:30 AM to 4:00 PM, 4:40 PM"
    )
