"""Saturation behaves as physics does, whatever the refrigerant and the elevation."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldwork.readings.saturation import (
    OutsideTable,
    atmosphere_psia,
    saturation_f,
    saturation_psig,
)
from fieldwork.readings.tables.saturation_fit import COEFFICIENTS

refrigerants = st.sampled_from(sorted(COEFFICIENTS))
curves = st.sampled_from(["bubble", "dew"])
temperatures_f = st.floats(-60.0, 155.0)
elevations_ft = st.floats(0.0, 10_000.0)


@given(refrigerants, curves, temperatures_f, elevations_ft)
def test_pressure_and_temperature_are_each_others_inverse(refrigerant, curve, at_f, feet):
    psig = saturation_psig(refrigerant, curve, at_f, feet)
    assert saturation_f(refrigerant, curve, psig, feet) == pytest.approx(at_f, abs=1e-7)


@given(refrigerants, curves, temperatures_f, temperatures_f)
def test_warmer_is_more_pressure(refrigerant, curve, one_f, other_f):
    low_f, high_f = sorted((one_f, other_f))
    low, high = (saturation_psig(refrigerant, curve, f) for f in (low_f, high_f))
    assert low <= high


@given(refrigerants, temperatures_f)
def test_the_liquid_side_has_never_less_pressure_than_the_vapour_side(refrigerant, at_f):
    bubble, dew = (saturation_psig(refrigerant, curve, at_f) for curve in ("bubble", "dew"))
    assert bubble >= dew - 1e-9 - 0.001 * abs(bubble)


@given(refrigerants, curves, st.floats(-20.0, 120.0), elevations_ft)
def test_a_gauge_reads_more_where_the_air_is_thinner(refrigerant, curve, at_f, feet):
    at_sea = saturation_psig(refrigerant, curve, at_f)
    assert saturation_psig(refrigerant, curve, at_f, feet) >= at_sea


@pytest.mark.parametrize("psig", [-14.6, 900.0])
def test_a_pressure_beyond_the_table_is_refused(psig):
    with pytest.raises(OutsideTable, match="outside the table"):
        saturation_f("R-410A", "dew", psig)


@pytest.mark.parametrize("at_f", [-61.0, 156.0])
def test_a_temperature_beyond_the_table_is_refused(at_f):
    with pytest.raises(OutsideTable):
        saturation_psig("R-22", "bubble", at_f)


def test_an_elevation_of_no_home_is_refused():
    with pytest.raises(ValueError, match="no elevation"):
        atmosphere_psia(60_000.0)
