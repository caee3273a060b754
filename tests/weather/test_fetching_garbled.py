"""Answers that nobody has documented: each becomes a sentence, none an error."""

import math
from copy import deepcopy
from datetime import timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.factories import BranchFactory
from tests.weather.forecast_server import NOW, hourly, observation, problem
from tests.weather.test_fetching_open_meteo import answer
from weather import watching
from weather.fetching import (
    ForecastTrouble,
    KnownPlace,
    fetch_forecast,
    fetch_observations,
    reading_of,
    service_in_use,
)
from weather.forecast import ForecastRefused
from weather.models import BranchForecast
from weather.sources.nws import NationalWeatherService
from weather.sources.open_meteo import OpenMeteo
from weather.sources.service import Point

CEDARBURG = Point(43.2967, -87.9876)
WEEK, HOUR = timedelta(days=7), timedelta(hours=1)
SHORT = hourly()
SHORT["properties"]["periods"] = SHORT["properties"]["periods"][:3]
ANSWERS = {NationalWeatherService("http://127.0.0.1", "x"): SHORT, OpenMeteo(""): answer()}

rubbish = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats()
    | st.sampled_from([10**400, "2027-04-20T12:00:00Z", "0001-01-01T00:00+14:00", "C"])
    | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=3), inner),
    max_leaves=4,
)


def places(found, path=()):
    """The path to everything inside an answer."""
    yield path
    inside = enumerate(found) if isinstance(found, list) else ()
    for name, value in found.items() if isinstance(found, dict) else inside:
        yield from places(value, (*path, name))


def with_rubbish(found, path, value):
    if not path:
        return value
    inside = found = deepcopy(found)
    for name in path[:-1]:
        inside = inside[name]
    inside[path[-1]] = value
    return found


@settings(max_examples=400, deadline=None)
@given(st.data(), st.sampled_from(list(ANSWERS)), rubbish)
def test_whatever_stands_in_an_answer_it_is_read_or_refused_in_words(data, service, value):
    path = data.draw(st.sampled_from(list(places(ANSWERS[service]))))
    garbled = with_rubbish(ANSWERS[service], path, value)
    try:
        forecast, _ = reading_of(service.read, garbled, CEDARBURG, NOW)
    except ForecastRefused:
        return
    for hour in forecast.hours:
        for number in (hour.temperature_f, hour.wind_mph, hour.precipitation_percent):
            assert number is None or math.isfinite(number)


@settings(max_examples=150, deadline=None)
@given(st.data(), rubbish)
def test_whatever_a_thermometer_says_it_is_read_or_refused_in_words(data, value):
    service, said = (
        NationalWeatherService("http://127.0.0.1", "x"),
        {"features": [observation(NOW, 9.0)]},
    )
    path = data.draw(st.sampled_from(list(places(said))))
    try:
        hours = reading_of(service.read_observations, with_rubbish(said, path, value))
    except ForecastRefused:
        return
    assert all(math.isfinite(value_f) for value_f in hours.values())


def test_a_place_that_is_no_number_is_not_taken_for_a_near_one():
    nowhere = answer(latitude=float("nan"))
    with pytest.raises(ForecastRefused, match="latitude is nan, no number"):
        OpenMeteo("").read(nowhere, CEDARBURG, NOW)


def test_an_answer_of_another_shape_is_told_to_the_office(weather_server):
    weather_server.forecast["properties"]["periods"][0]["temperature"] = 10**400
    with pytest.raises(ForecastTrouble, match="cannot be read: its shape is not the documented"):
        fetch_forecast(service_in_use(), KnownPlace(CEDARBURG), NOW)


def test_a_failing_weekly_look_up_leaves_the_known_address_in_use(weather_server):
    known = fetch_forecast(service_in_use(), KnownPlace(CEDARBURG), NOW).place
    later = NOW + WEEK + HOUR
    weather_server.forecast = hourly(later, later)
    weather_server.stumbles = [problem(503, "Down")] * 4
    fetched = fetch_forecast(service_in_use(), known, later)
    assert (fetched.place, len(fetched.forecast.hours)) == (known, 156)


def test_a_station_without_a_thermometer_is_passed_over(weather_server):
    weather_server.stations = ["KDRY", "KMKE"]
    address = f"{weather_server.url}/gridpoints/MKX/88,70/forecast/hourly"
    station, hours = fetch_observations(service_in_use(), address, "", NOW - HOUR)
    assert (station, len(hours)) == ("KMKE", 1)
    weather_server.asked.clear()
    fetch_observations(service_in_use(), address, station, NOW - HOUR)
    assert len(weather_server.asked) == 1


@pytest.mark.django_db
def test_even_an_error_of_our_own_does_not_stop_the_next_branch(weather_server, monkeypatch):
    ashford, birchwood = (BranchFactory(name=name) for name in ("Ashford", "Birchwood"))
    watch = watching.watch

    def stumbling(branch, service, now):
        if branch == ashford:
            raise RuntimeError("a mistake of ours")
        watch(branch, service, now)

    monkeypatch.setattr(watching, "watch", stumbling)
    watching.watch_all(NOW)
    assert [kept.branch for kept in BranchForecast.objects.all()] == [birchwood]
