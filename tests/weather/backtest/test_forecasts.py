"""Made-up forecasts have errors as large as real ones, and no more knowledge than they should."""

import numpy as np
import pytest

from tests.weather.backtest.made_up_springs import spring
from weather.backtest.forecasts import LEADS, chances, forecast_errors
from weather.blending import LEAD_SD_F

ERRORS = np.concatenate([forecast_errors(153, (seed,)) for seed in range(200)], axis=1)


def test_the_errors_spread_as_the_published_ones_do():
    assert ERRORS.std(axis=1) == pytest.approx(LEAD_SD_F, rel=0.03)
    assert np.abs(ERRORS.mean(axis=1)).max() < 0.25


def test_what_a_later_forecast_changes_could_not_be_known_before():
    change = ERRORS[3] - ERRORS[1]
    assert abs(np.corrcoef(change, ERRORS[1])[0, 1]) < 0.03


def test_neighbouring_days_err_together():
    errors = forecast_errors(20_000, (7,))
    assert np.corrcoef(errors[0, :-1], errors[0, 1:])[0, 1] == pytest.approx(0.5, abs=0.03)


def test_what_is_said_comes_true_as_often():
    rng = np.random.default_rng(11)
    truth = rng.normal(60.0, 10.0, size=400)
    one = spring(lambda day: truth[day.toordinal() % 400])
    said = np.concatenate([chances(one, seed, 55.0)[2].ravel() for seed in range(30)])
    seen = np.tile((one.coldest_f >= 55.0).ravel(), 30)
    for low in (0.2, 0.5, 0.8):
        group = (said >= low) & (said < low + 0.2)
        assert seen[group].mean() == pytest.approx(said[group].mean(), abs=0.09)


def test_without_error_the_forecast_is_the_truth_and_beyond_it_lies_the_climate():
    judged = chances(spring(lambda day: 75.0), 1, 55.0, scale=0.0)
    assert judged[:LEADS].min() == pytest.approx(1.0)
    assert judged[LEADS].max() == pytest.approx(0.6915, abs=1e-3)  # half a spread above
