"""The axis that lays temperatures out, and the scale's place on it."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.pictures.temperature import STOPS_F, TemperatureAxis, band_path, line_path

temperatures_f = st.lists(st.floats(-40, 120), min_size=1, max_size=30)


def axis_around(values_f):
    return TemperatureAxis.around(values_f, top_y=20, bottom_y=200)


@given(temperatures_f)
def test_it_keeps_every_temperature_inside_the_frame(values_f):
    axis = axis_around(values_f)
    assert all(20 < axis.y(value) < 200 for value in values_f)


@given(st.floats(20, 100), st.floats(0.5, 20))
def test_it_draws_the_warmer_of_two_temperatures_higher(value_f, more_f):
    axis = axis_around([10, 120])
    assert axis.y(value_f + more_f) < axis.y(value_f)


def test_it_draws_a_line_at_each_ten_degrees():
    lines = axis_around([44, 63]).grid()
    assert [line.label for line in lines] == [
        "40\u00a0°F",
        "50\u00a0°F",
        "60\u00a0°F",
        "70\u00a0°F",
    ]
    assert (lines[0].y, lines[-1].y) == (200, 20)


def test_it_gives_each_temperature_the_same_colour_on_every_picture():
    narrow, wide = axis_around([50, 60]), axis_around([0, 110])
    assert narrow.stops() == wide.stops()
    assert wide.coldest_y == wide.y(STOPS_F[0])
    assert wide.warmest_y == wide.y(STOPS_F[-1])


@pytest.mark.parametrize("values_f", [[], [float("nan")], [50, float("inf")]])
def test_it_refuses_what_it_cannot_lay_out(values_f):
    with pytest.raises(ValueError, match="needs at least one value, all of them finite"):
        axis_around(values_f)


def test_it_closes_a_band_around_two_lines():
    assert band_path([(0, 1), (5, 2)], [(0, 9), (5, 8)]) == "M0 1L5 2L5 8L0 9Z"
    assert line_path([]) == ""
