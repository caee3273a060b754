"""The superheat chart between its cells."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldwork.readings.superheat_chart import NotTestable, target_superheat_f


@pytest.mark.parametrize(
    ("outdoor_f", "wet_f", "target_f"),
    [(80, 66, 18.0), (80, 67, 19.5), (82.5, 66, 16.5), (82.5, 67, 18.25), (115, 76, 24.0)],
)
def test_it_is_read_in_proportion_between_four_cells(outdoor_f, wet_f, target_f):
    """80 °F: 18 and 21 at 66 and 68 °F wet bulb; 85 °F: 15 and 19."""
    assert target_superheat_f(outdoor_f, wet_f) == pytest.approx(target_f)


@pytest.mark.parametrize(("outdoor_f", "wet_f"), [(81, 60), (80.01, 60), (80, 57.99)])
def test_one_dash_among_the_four_forbids_the_test_however_near_the_others(outdoor_f, wet_f):
    """At 80/60 the chart has 8 °F, at 85/60 a dash."""
    assert target_superheat_f(outdoor_f, wet_f) is NotTestable.TOO_LOW


@pytest.mark.parametrize(("outdoor_f", "wet_f"), [(39.9, 60), (115.1, 76), (70, 49.9), (70, 76.1)])
def test_beyond_the_chart_there_is_no_target(outdoor_f, wet_f):
    assert target_superheat_f(outdoor_f, wet_f) is NotTestable.OFF_THE_CHART


@given(st.floats(40, 115), st.floats(50, 76))
def test_a_target_is_never_under_five_degrees(outdoor_f, wet_f):
    target = target_superheat_f(outdoor_f, wet_f)
    assert isinstance(target, NotTestable) or target >= 5 - 1e-9
