"""Observed days into a climate: least squares, and the refusals that come before it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from itertools import pairwise

import numpy as np

from weather.climate import (
    WHOLE_YEAR,
    Climate,
    ClimateRefused,
    DailyRecord,
    FloatArray,
    Harmonics,
    check_site,
    harmonic_basis,
    year_day,
)

LEAST_YEARS = 10
MOST_MISSING = 0.10
MOST_MISSING_IN_A_MONTH = 0.25  # own choice: a season hardly seen cannot be fitted
COOLEST_HOTTEST_DAY_F = 60.0  # a place never warmer owns no air conditioner: the units are wrong
LEAST_VARIANCE_F2 = 1.0


def fit_climate(
    records: Iterable[DailyRecord],
    *,
    place: str,
    station: str,
    source: str,
    latitude: float,
    longitude: float,
    utc_offset_h: float,
    demonstration: bool = False,
    least_years: int = LEAST_YEARS,
) -> Climate:
    """Fit a climate to observed days, in any order.

    A day counts when it has both values. Raises ClimateRefused when the days span less than
    `least_years`, when more than a tenth of them (a quarter of any calendar month) is missing,
    when a maximum is below its minimum, or when the units are evidently wrong.
    """
    check_site(latitude, longitude, utc_offset_h)
    records = sorted(records, key=lambda record: record.day)
    _check_span(records, least_years)
    whole = [r for r in records if r.tmax_f is not None and r.tmin_f is not None]
    _check_gaps(records[0].day, records[-1].day, [r.day for r in whole])
    tmax_f = np.array([r.tmax_f for r in whole], dtype=np.float64)
    tmin_f = np.array([r.tmin_f for r in whole], dtype=np.float64)
    _check_values([r.day for r in whole], tmax_f, tmin_f)

    basis = harmonic_basis(np.array([year_day(r.day) for r in whole]))
    tmax_mean, tmax_sd, tmax_score = _fit(basis, tmax_f)
    tmin_mean, tmin_sd, tmin_score = _fit(basis, tmin_f)
    return Climate(
        tmax_mean_f=tmax_mean,
        tmax_sd_f=tmax_sd,
        tmin_mean_f=tmin_mean,
        tmin_sd_f=tmin_sd,
        correlation=_correlation(tmax_score, tmin_score),
        latitude=latitude,
        longitude=longitude,
        utc_offset_h=utc_offset_h,
        place=place,
        station=station,
        source=source,
        period=f"{records[0].day.year}-{records[-1].day.year}",
        demonstration=demonstration,
    )


def _fit(basis: FloatArray, values_f: FloatArray) -> tuple[Harmonics, Harmonics, FloatArray]:
    """Harmonics of the mean and of the SD, and each day's deviation in SDs.

    The variance is fitted to the squared deviations (that keeps it unbiased whatever the shape
    of the distribution); its root over one year is then fitted again as the SD.
    """
    mean = _least_squares(basis, values_f)
    deviation = values_f - basis @ mean
    variance = _least_squares(basis, deviation**2)
    year = harmonic_basis(WHOLE_YEAR)
    sd = _least_squares(year, np.sqrt(np.maximum(year @ variance, LEAST_VARIANCE_F2)))
    return _rounded(mean), _rounded(sd), deviation / (basis @ sd)


def _least_squares(basis: FloatArray, values: FloatArray) -> FloatArray:
    return np.linalg.lstsq(basis, values, rcond=None)[0].astype(np.float64)


def _rounded(coefficients: FloatArray) -> Harmonics:
    return tuple(round(float(value), 4) for value in coefficients)


def _correlation(a: FloatArray, b: FloatArray) -> float:
    if min(a.std(), b.std()) < 1e-9:  # a made-up climate without weather
        return 0.0
    return round(float(np.corrcoef(a, b)[0, 1]), 4)


def _check_span(records: Sequence[DailyRecord], least_years: int) -> None:
    if not records:
        raise ClimateRefused("There is no day in these records.")
    for before, after in pairwise(records):
        if before.day == after.day:
            raise ClimateRefused(f"{after.day} occurs twice; each day may occur once.")
    first, last = records[0].day, records[-1].day
    days = (last - first).days + 1
    if days < 365 * least_years:
        raise ClimateRefused(
            f"The records run from {first} to {last}, {days / 365.25:.1f} years; "
            f"a climate needs at least {least_years}."
        )


def _check_gaps(first: date, last: date, whole_days: Sequence[date]) -> None:
    expected = [first + timedelta(days=n) for n in range((last - first).days + 1)]
    missing = len(expected) - len(whole_days)
    if missing > MOST_MISSING * len(expected):
        raise ClimateRefused(
            f"{missing:,} of {len(expected):,} days ({missing / len(expected):.1%}) from {first} "
            f"to {last} lack a maximum or a minimum; at most {MOST_MISSING:.0%} may."
        )
    for month in range(1, 13):
        due = sum(day.month == month for day in expected)
        absent = due - sum(day.month == month for day in whole_days)
        if absent > MOST_MISSING_IN_A_MONTH * due:
            name = date(2000, month, 1).strftime("%B")
            raise ClimateRefused(
                f"{absent:,} of {due:,} days of {name} ({absent / due:.1%}) lack a maximum or a "
                f"minimum; at most {MOST_MISSING_IN_A_MONTH:.0%} of a month may."
            )


def _check_values(days: Sequence[date], tmax_f: FloatArray, tmin_f: FloatArray) -> None:
    crossed = np.flatnonzero(tmax_f < tmin_f)
    if crossed.size:
        n = int(crossed[0])
        raise ClimateRefused(
            f"Maximum below minimum on {crossed.size:,} day(s), first on {days[n]} "
            f"(TMAX {tmax_f[n]:.1f} °F, TMIN {tmin_f[n]:.1f} °F)."
        )
    if tmax_f.max() < COOLEST_HOTTEST_DAY_F:
        raise ClimateRefused(
            f"The hottest day of all is {tmax_f.max():.1f} °F; a place that needs cooling is "
            f"warmer than {COOLEST_HOTTEST_DAY_F:.0f} °F. Are the units right?"
        )
