"""Asking the National Weather Service, which stumbles in all the ways that people have reported."""

from datetime import timedelta

import pytest
from django.core.exceptions import ImproperlyConfigured

from tests.weather.forecast_server import NOW, hourly, observation, period, problem
from weather.fetching import (
    ForecastTrouble,
    KnownPlace,
    fetch_forecast,
    fetch_observations,
    service_in_use,
)
from weather.sources.service import Point

CEDARBURG = Point(43.296712345, -87.98760001)
HOUR = timedelta(hours=1)


def fetch(place=None, now=NOW):
    return fetch_forecast(service_in_use(), place or KnownPlace(CEDARBURG), now)


def trouble(**more):
    with pytest.raises(ForecastTrouble) as raised:
        fetch(**more)
    return str(raised.value)


def test_a_point_leads_to_its_cell_and_the_cell_to_its_hours(weather_server):
    fetched = fetch()
    assert weather_server.paths == [
        "/points/43.2967,-87.9876",
        "/gridpoints/MKX/88,70/forecast/hourly",
    ]
    first = fetched.forecast.hours[0]
    assert (first.at, first.temperature_f) == (NOW.replace(minute=0), 58.0)
    assert (first.wind_mph, first.precipitation_percent) == (10.0, 20.0)
    assert first.conditions == "Mostly Sunny"
    assert (len(fetched.forecast.hours), fetched.notes) == (156, ())


def test_it_says_who_asks_and_for_what(weather_server):
    fetch()
    for _, headers in weather_server.asked:
        assert "office@example.com" in headers["User-Agent"]
        assert headers["Accept"] == "application/geo+json"


def test_a_known_address_is_not_looked_up_again_for_a_week(weather_server):
    known = fetch().place
    weather_server.forecast = hourly(NOW + timedelta(days=6), NOW + timedelta(days=6))
    fetch(known, NOW + timedelta(days=6))
    assert len(weather_server.asked) == 3
    weather_server.forecast = hourly(NOW + timedelta(days=8), NOW + timedelta(days=8))
    fetch(known, NOW + timedelta(days=8))
    assert weather_server.paths[3].startswith("/points/")


def test_a_cell_that_was_moved_is_looked_up_once_more(weather_server):
    known = fetch().place
    weather_server.cell = "MKX/89,71"
    assert fetch(known, NOW + HOUR).place.address.endswith("MKX/89,71/forecast/hourly")


def test_a_cell_in_the_lake_is_told_to_the_office(weather_server):
    known = fetch().place
    weather_server.stumbles = [
        problem(404, "Marine Forecast Not Supported"),
        (200, {"properties": {"forecastHourly": known.address}}),
        problem(404, "Marine Forecast Not Supported"),
    ]
    assert trouble(place=known) == (
        "National Weather Service answers 404: Marine Forecast Not Supported."
    )
    assert len(weather_server.asked) == 5


def test_a_place_that_it_does_not_know_is_told_to_the_office(weather_server):
    weather_server.stumbles = [problem(404, "Data Unavailable For Requested Point")]
    assert "404: Data Unavailable For Requested Point" in trouble()


@pytest.mark.parametrize(
    "stumble",
    [
        problem(500, "Unexpected Problem"),
        problem(503, "ForecastGridExpired"),
        problem(503, "Forecast Grid Invalid"),
        problem(503, "UnavailableWebService"),
        problem(429, "Too Many Requests"),
        (502, "<html>Bad gateway</html>"),
    ],
)
def test_who_stumbles_is_asked_again(weather_server, stumble):
    weather_server.stumbles = [stumble, stumble]
    assert len(fetch().forecast.hours) == 156
    assert len(weather_server.asked) == 4


def test_who_goes_on_stumbling_is_left_alone_after_four_tries(weather_server):
    known = fetch().place
    weather_server.stumbles = [problem(503, "ForecastGridExpired")] * 9
    assert trouble(place=known) == "National Weather Service answers 503: ForecastGridExpired."
    assert len(weather_server.asked) == 2 + 4


def test_a_redirect_is_followed(weather_server):
    known = fetch().place
    weather_server.stumbles = [(301, "/moved")]
    assert len(fetch(known).forecast.hours) == 156


def test_a_forecast_of_yesterday_is_not_taken(weather_server):
    weather_server.forecast = hourly(updated=NOW - 26 * HOUR)
    assert "made 26 hours ago; it is not taken (at most 12 hours)" in trouble()


def test_its_age_is_not_judged_by_a_last_modified_that_lies_ahead(weather_server):
    weather_server.headers["Last-Modified"] = "Wed, 12 May 2027 12:00:00 GMT"
    assert fetch().forecast.updated_at == NOW - timedelta(minutes=40)


def test_a_forecast_made_in_the_future_counts_as_made_now(weather_server):
    weather_server.forecast = hourly(updated=NOW + 5 * HOUR)
    fetched = fetch()
    assert fetched.forecast.updated_at == NOW
    assert "made later than now" in fetched.notes[0]


def test_a_forecast_for_another_place_is_refused(weather_server):
    far = [[x, y + 3.0] for x, y in hourly()["geometry"]["coordinates"][0]]
    weather_server.forecast = hourly(cell=far)
    assert "is for a place 33" in trouble()


def test_an_answer_that_does_not_say_its_place_is_taken_with_a_note(weather_server):
    weather_server.forecast = hourly(cell=None)
    assert fetch().notes == ("The answer does not say which place it is for.",)


def test_an_address_at_another_service_is_not_asked(weather_server):
    elsewhere = {"properties": {"forecastHourly": "http://elsewhere.example.com/hourly"}}
    weather_server.stumbles = [(200, elsewhere)]
    assert "another service" in trouble()
    assert len(weather_server.asked) == 1


def test_hours_without_a_temperature_are_named(weather_server):
    weather_server.forecast["properties"]["periods"][5]["temperature"] = None
    fetched = fetch()
    assert len(fetched.forecast.hours) == 155
    assert fetched.notes == ("No temperature for 2027-04-20 22:00 UTC.",)


def test_a_whole_night_that_is_left_out_is_named_in_short(weather_server):
    for one in weather_server.forecast["properties"]["periods"][10:20]:
        one["temperature"] = None
    *_, further, gap = fetch().notes
    assert further == "No temperature for 7 further hours."
    assert gap == "Nothing is foretold from 2027-04-21 02:00 to 2027-04-21 13:00 UTC."


def test_celsius_is_converted_only_where_the_unit_says_so(weather_server):
    one = period(1, NOW, 10, temperatureUnit="C")
    weather_server.forecast = hourly(periods=[one])
    assert fetch().forecast.hours[0].temperature_f == 50.0
    one["temperatureUnit"] = "K"
    assert "unit is 'K'; only °F and °C can be read" in trouble()


@pytest.mark.parametrize(
    ("body", "words"),
    [
        ("<html>Welcome</html>", "The answer is not JSON"),
        ([], "The answer has no properties.updateTime"),
        (hourly(periods=[]), "no hour that is still to come"),
        (hourly(periods=None) | {"properties": {"updateTime": "today"}}, "'today', which is no"),
        (hourly(periods=[period(1, NOW) | {"startTime": "2027-04-20T12:00"}]), "does not say its"),
        (hourly(periods=[period(1, NOW, 300)]), "300 °F .* no air temperature"),
    ],
)
def test_an_answer_that_cannot_be_read_is_refused_in_words(weather_server, body, words):
    known = fetch().place
    weather_server.stumbles = [(200, body)]
    with pytest.raises(ForecastTrouble, match=words):
        fetch(known)


def test_who_cannot_be_reached_is_told_to_the_office(settings, weather_server):
    settings.NWS_URL = "http://127.0.0.1:1"
    assert trouble() == "National Weather Service cannot be reached."


@pytest.mark.parametrize(
    ("header", "holds"),
    [
        ("public, max-age=282, s-maxage=3600", HOUR),
        ("max-age=7200", 2 * HOUR),
        ("max-age=99999999", 6 * HOUR),
        ("no-cache", HOUR),
    ],
)
def test_it_is_asked_hourly_at_most_and_later_where_the_answer_holds_longer(
    weather_server, header, holds
):
    weather_server.headers["Cache-Control"] = header
    assert fetch().good_until == NOW + holds


def test_observed_hours_come_from_the_nearest_station(weather_server):
    hour = NOW.replace(minute=0)
    weather_server.observations = [
        observation(hour - timedelta(minutes=8), 15.0),
        observation(hour + timedelta(minutes=20), 20.0),
        observation(hour - 2 * HOUR, None),
        observation(hour - 3 * HOUR, 50.0, "wmoUnit:degF"),
        observation(hour - 4 * HOUR, 999.0),
    ]
    address = f"{weather_server.url}/gridpoints/MKX/88,70/forecast/hourly"
    station, hours = fetch_observations(service_in_use(), address, "", NOW - 6 * HOUR)
    assert (station, hours) == ("KMKE", {hour - 3 * HOUR: 50.0, hour: 59.0})
    assert weather_server.paths == [
        "/gridpoints/MKX/88,70/stations",
        "/stations/KMKE/observations?start=2027-04-20T11%3A10%3A00%2B00%3A00",
    ]


def test_without_a_source_nothing_is_asked(settings):
    settings.FORECAST_SOURCE = ""
    assert service_in_use() is None


@pytest.mark.parametrize(("source", "contact"), [("nws", ""), ("open_meteo", "x"), ("radio", "x")])
def test_a_setting_that_cannot_work_says_what_is_missing(settings, source, contact):
    settings.FORECAST_SOURCE, settings.FORECAST_CONTACT = source, contact
    with pytest.raises(ImproperlyConfigured, match="set FORECAST_CONTACT"):
        service_in_use()
