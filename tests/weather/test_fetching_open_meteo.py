"""The second service: the same forecast from parallel arrays, only where a shop has set it up."""

from datetime import timedelta

import pytest

from tests.weather.forecast_server import NOW, problem
from weather.fetching import ForecastTrouble, KnownPlace, fetch_forecast, service_in_use
from weather.sources.service import Point

CEDARBURG = Point(43.2967, -87.9876)


def answer(**more):
    times = [
        (NOW.replace(minute=0) + timedelta(hours=n)).strftime("%Y-%m-%dT%H:%M") for n in (0, 1, 2)
    ]
    return {
        "latitude": 43.3,
        "longitude": -88.0,
        "utc_offset_seconds": 0,
        "hourly_units": {"temperature_2m": "°F"},
        "hourly": {
            "time": times,
            "temperature_2m": [58.0, None, 61.5],
            "wind_speed_10m": [5, 6, 7],
        },
        **more,
    }


@pytest.fixture
def open_meteo(weather_server, settings):
    settings.FORECAST_SOURCE = "open_meteo"
    settings.OPEN_METEO_URL, settings.OPEN_METEO_KEY = weather_server.url, "k"
    weather_server.open_meteo = answer()
    return weather_server


def fetch():
    return fetch_forecast(service_in_use(), KnownPlace(CEDARBURG), NOW)


def test_it_takes_the_hours_out_of_parallel_arrays(open_meteo):
    found = fetch().forecast
    assert [(one.at.hour, one.temperature_f, one.wind_mph) for one in found.hours] == [
        (17, 58.0, 5),
        (19, 61.5, 7),
    ]
    assert (found.source, found.updated_at) == ("open_meteo", NOW)


def test_it_asks_once_in_fahrenheit_and_utc_with_the_key(open_meteo):
    fetch()
    (asked,) = open_meteo.paths
    for words in ("temperature_unit=fahrenheit", "timezone=GMT", "apikey=k", "latitude=43.2967"):
        assert words in asked


def test_the_key_is_not_kept_with_the_address(open_meteo):
    assert "apikey" not in fetch().place.address


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"latitude": 46.3}, "is for a place 33"),
        ({"latitude": None}, "latitude is None, no number"),
        ({"utc_offset_seconds": -18000}, "not in UTC"),
        ({"hourly_units": {"temperature_2m": "K"}}, "unit is 'K'"),
        ({"hourly": {"time": ["x"], "temperature_2m": [1]}}, "'x', which is no time"),
        ({"hourly": {"time": [], "temperature_2m": [1]}}, "one value for each time"),
    ],
)
def test_an_answer_that_cannot_be_read_is_refused_in_words(open_meteo, wrong, words):
    open_meteo.open_meteo = answer(**wrong)
    with pytest.raises(ForecastTrouble, match=words):
        fetch()


def test_celsius_is_converted_where_the_answer_says_so(open_meteo):
    open_meteo.open_meteo = answer(hourly_units={"temperature_2m": "°C"})
    open_meteo.open_meteo["hourly"]["temperature_2m"] = [10.0, 11.0, 12.0]
    assert fetch().forecast.hours[0].temperature_f == 50.0


def test_its_refusal_is_told_to_the_office(open_meteo):
    open_meteo.stumbles = [(400, {"error": True, "reason": "Parameter of wrong type"})]
    with pytest.raises(ForecastTrouble, match="Open-Meteo answers 400: Parameter of wrong type"):
        fetch()


def test_the_weather_service_does_not_step_in_for_it(open_meteo):
    open_meteo.stumbles = [problem(503, "Down")] * 4
    with pytest.raises(ForecastTrouble, match="Open-Meteo answers 503"):
        fetch()
    assert all(path.startswith("/v1/forecast") for path in open_meteo.paths)
