"""Climates that no place has."""

from datetime import date, timedelta

from hypothesis import strategies as st

from weather.climate import Climate, DailyRecord, daily_normal

SITE = {
    "place": "Nowhere",
    "station": "XX000",
    "source": "made up",
    "latitude": 43.0,
    "longitude": -88.0,
    "utc_offset_h": -6.0,
}


def climate(tmax_f=60.0, tmin_f=40.0, swing_f=25.0, sd_f=8.0, correlation=0.7, **site):
    """A year of one harmonic: coldest in January, the same spread every day."""
    return Climate(
        tmax_mean_f=(tmax_f, -swing_f, 0.0, 0.0, 0.0, 0.0, 0.0),
        tmax_sd_f=(sd_f, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0),
        tmin_mean_f=(tmin_f, -swing_f, 0.0, 0.0, 0.0, 0.0, 0.0),
        tmin_sd_f=(sd_f, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0),
        correlation=correlation,
        **{**SITE, "period": "1991-2020", **site},
    )


def climates():
    """Any climate that the judgement accepts, from tundra to desert."""
    return st.builds(
        lambda tmin_f, gap_f, **rest: climate(tmax_f=tmin_f + gap_f, tmin_f=tmin_f, **rest),
        tmin_f=st.floats(-10, 80),
        gap_f=st.floats(3, 35),
        swing_f=st.floats(0, 40),
        sd_f=st.floats(1, 15),
        correlation=st.floats(-1, 1),
        latitude=st.floats(-65, 65),
        longitude=st.floats(-100, -80),
    )


def days():
    return st.dates(date(2024, 1, 1), date(2031, 12, 31))


def weather_of(kind, first=date(2001, 1, 1), last=date(2012, 12, 31)):
    """Days by turns one standard deviation above the normal and one below."""
    records = []
    for n in range((last - first).days + 1):
        day = first + timedelta(days=n)
        normal = daily_normal(kind, day)
        up_or_down = 1.0 if n % 2 else -1.0
        high = normal.tmax_mean_f + up_or_down * normal.tmax_sd_f
        low = normal.tmin_mean_f + up_or_down * normal.tmin_sd_f
        records.append(DailyRecord(day, high, low))
    return records
