"""Forecasts that no service made."""

from datetime import UTC, datetime, timedelta

from hypothesis import strategies as st

from weather.forecast import Forecast, ForecastHour

NOON = datetime(2027, 4, 20, 17, tzinfo=UTC)  # a Tuesday; noon in Milwaukee


def hour(hours_ahead, temperature_f=58.0, **more):
    return ForecastHour(NOON + timedelta(hours=hours_ahead), temperature_f, **more)


def forecast(temperatures_f=(58.0,) * 156, *, first_h=-11, age_h=1.0):
    """One value an hour from `first_h` hours after noon of 20 April on, made `age_h` before it."""
    hours = tuple(hour(first_h + n, value) for n, value in enumerate(temperatures_f))
    return Forecast("nws", NOON - timedelta(hours=age_h), NOON, hours)


def forecasts():
    values = st.lists(st.floats(-20, 110), min_size=2, max_size=60)
    return st.builds(forecast, values, first_h=st.integers(-11, 40), age_h=st.floats(0, 72))
