"""How the forecast service does, in words: since when it is silent, and what Redbud does then."""

import pytest

from tests import cast
from tests.weather.kept_spring import DAY, HOUR, NOW, foretold
from weather.actions import claim_asking, keep_forecast, note_trouble
from weather.news import forecast_news

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _forecasts_are_on(settings):
    settings.FORECAST_SOURCE = "nws"


def came(at):
    forecast, _ = foretold(at)
    forecast = type(forecast)("nws", at, at, forecast.hours)
    keep_forecast(branch=cast.cedarburg(), forecast=forecast, notes=(), now=at)


def broken(since, now=NOW):
    """The service failed at `since`, and again now."""
    for moment in (since, now):
        place = claim_asking(branch=cast.cedarburg(), source="nws", now=moment)
        note_trouble(place=place, trouble="National Weather Service answers 503: Down.", now=moment)


def news(now=NOW):
    found = forecast_news(cast.cedarburg(), now)
    return found, f"{found.title} {found.meanwhile} {found.next_step}".replace("\xa0", " ")


def test_while_all_is_well_it_tells_the_age_alone():
    came(NOW - HOUR)
    found, said = news()
    assert found.level == ""
    assert "of Wed, Apr 28, 8:00 AM, 1 h old" in said


def test_a_short_stumble_is_told_while_the_last_forecast_counts_in_full():
    came(NOW - 3 * HOUR)
    broken(since=NOW - 2 * HOUR)
    found, said = news()
    assert found.level == "info"
    assert "No new forecast since Wed, Apr 28, 7:00 AM: National Weather Service" in said
    assert "3 h old, and counts in full" in said
    assert "asked again each half hour" in said


def test_past_twelve_hours_it_warns_that_the_climate_takes_over():
    came(NOW - 14 * HOUR)
    broken(since=NOW - 13 * HOUR)
    found, said = news()
    assert found.level == "warning"
    assert "14 h old. It counts for less each hour, and the climate takes over." in said


def test_past_two_days_the_climate_speaks_alone():
    came(NOW - 3 * DAY)
    broken(since=NOW - 3 * DAY + HOUR)
    assert "3 days old. That is too old: the climate alone speaks" in news()[1]


def test_a_worker_that_stopped_is_noticed():
    came(NOW - 5 * HOUR)
    found, said = news()
    assert found.level == "info"
    assert "Nobody has asked for a forecast since Wed, Apr 28, 4:00 AM" in said
    assert "tell whoever looks after" in said


def test_before_the_first_asking_it_says_so():
    found, said = news()
    assert found.level == "warning"
    assert "No forecast has been asked for yet" in said
    assert "the climate alone speaks" in said


def test_without_a_service_it_says_once_how_to_come_by_one(settings):
    settings.FORECAST_SOURCE = ""
    found, said = news()
    assert found.level == ""
    assert "Forecasts are off" in said
    assert "FORECAST_CONTACT" in said
