"""What the climate says of a spring's slots, never having seen that spring."""

from datetime import date, datetime, timedelta

import numpy as np
import pytest

from tests.weather.made_up import climate
from weather.backtest.reading import Readings
from weather.backtest.slot_climate import from_climate, learnt_from_the_file
from weather.backtest.springs import cut_springs
from weather.warmth import warmth

APRIL = [date(2026, 4, 1) + timedelta(days=n) for n in range(30)]


def readings(first, last, temperature_of=None):
    """Hours of a year like any other: coldest in January, 55 °F on average."""
    begins = datetime.fromisoformat(f"{first} 00:00")
    hours = (date.fromisoformat(last) - date.fromisoformat(first)).days * 24 + 24
    n = np.arange(hours)
    day = (begins - datetime.fromisoformat("2025-01-01 00:00")).days + n / 24.0
    usual = 55.0 - 25.0 * np.cos(2 * np.pi * (day - 15) / 365.25)
    noise = np.random.default_rng(3).normal(0, 6, hours // 24 + 1).repeat(24)[:hours]
    return Readings(begins, usual + noise if temperature_of is None else temperature_of(n), -6.0)


def test_it_learns_from_the_other_years():
    normals = learnt_from_the_file(readings("2025-01-01", "2027-12-31"), 2026, APRIL)
    assert normals.words == "the other years of the file"
    assert normals.mean_f.mean() == pytest.approx(55.0, abs=2.5)
    assert normals.sd_f.mean() == pytest.approx(6.0, abs=1.5)


def test_a_springs_own_weather_does_not_change_what_its_climate_says():
    usual = readings("2025-01-01", "2027-12-31")
    odd = readings("2025-01-01", "2027-12-31")
    lead = (date(2026, 1, 1) - date(2025, 1, 1)).days * 24
    odd.values_f[lead : lead + 24 * 365] = 99.0
    same = learnt_from_the_file(odd, 2026, APRIL).mean_f
    assert (same == learnt_from_the_file(usual, 2026, APRIL).mean_f).all()


def test_a_single_spring_learns_from_the_rest_of_its_own_year():
    one = readings("2026-01-01", "2026-12-31")
    normals = learnt_from_the_file(one, 2026, APRIL)
    assert "July to February of its own year" in normals.words
    assert normals.mean_f.mean() == pytest.approx(55.0, abs=4.0)
    spring_hours = slice(24 * 59, 24 * 181)
    one.values_f[spring_hours] = 99.0
    assert (learnt_from_the_file(one, 2026, APRIL).mean_f == normals.mean_f).all()


def test_a_file_of_one_spring_alone_is_left_out_with_the_reason():
    springs, [skipped] = cut_springs(readings("2026-03-01", "2026-07-31"), learnt_from_the_file)
    assert springs == []
    assert "name a climate" in skipped.why


def test_a_named_climate_says_what_warmth_says():
    kind = climate()
    normals = from_climate(kind, 55.0)(readings("2026-03-01", "2026-07-31"), 2026, APRIL)
    at_least = (normals.mean_f - 55.0) / normals.sd_f
    assert (at_least[0, 2] > 0) == (warmth(kind, APRIL[0], 13, 2, 55.0) > 0.5)


def test_springs_with_too_few_hours_are_named():
    gappy = readings("2025-01-01", "2027-12-31")
    lead = (date(2026, 4, 1) - date(2025, 1, 1)).days * 24
    gappy.values_f[lead : lead + 24 * 20] = np.nan
    springs, skipped = cut_springs(gappy, learnt_from_the_file, "Nowhere")
    assert [spring.name for spring in springs] == ["Nowhere 2025", "Nowhere 2027"]
    assert [one.year for one in skipped] == [2026]
    assert "of the slots lack a reading" in skipped[0].why


def test_a_slot_without_a_reading_is_given_to_nobody():
    holed = readings("2025-01-01", "2027-12-31")
    lead = (date(2026, 4, 1) - date(2025, 1, 1)).days * 24
    holed.values_f[lead + 9] = np.nan
    spring = next(one for one in cut_springs(holed, learnt_from_the_file)[0] if one.year == 2026)
    row = (date(2026, 4, 1) - spring.days[0]).days
    assert np.isnan(spring.coldest_f[row]).tolist() == [True, False, False, False]
