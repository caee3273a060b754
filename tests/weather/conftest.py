"""A weather service on loopback that stumbles on demand, and no waiting between two tries."""

import pytest
import stamina

from tests.weather.forecast_server import WeatherServer


@pytest.fixture
def weather_server(settings):
    server = WeatherServer()
    settings.FORECAST_SOURCE, settings.NWS_URL = "nws", server.url
    settings.FORECAST_CONTACT = "office@example.com"
    with stamina.set_testing(True, attempts=4):
        yield server
    server.close()
