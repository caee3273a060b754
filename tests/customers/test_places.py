import pytest
from hypothesis import given
from hypothesis import strategies as st

from customers.places import (
    PARKING_MIN,
    ZIP_SPREAD_KM,
    Place,
    circuity,
    great_circle_km,
    place_of_zip,
    travel_minutes,
)

GRAFTON = Place(43.3231, -87.9521)
MEQUON = Place(43.2364, -87.9845)
places = st.builds(Place, st.floats(24.5, 49.5), st.floats(-124.7, -67.0))


def test_a_zip_lies_at_its_centroid_and_says_that_it_is_only_a_zip():
    milwaukee = place_of_zip("53202")

    assert milwaukee is not None
    assert milwaukee.precision == "zip"
    assert great_circle_km(milwaukee, Place(43.0389, -87.9065)) < 3  # City Hall


@pytest.mark.parametrize("nonsense", ["", "5320", "99999", "ABCDE", "53202-1234", "٥٣٢٠٢"])
def test_what_is_no_zip_has_no_place(nonsense):
    assert place_of_zip(nonsense) is None


@pytest.mark.parametrize(
    ("straight_km", "factor"),
    [(0, 1.40), (5, 1.40), (12.5, 1.325), (20, 1.25), (300, 1.25)],
)
def test_short_trips_are_more_circuitous_than_long_ones(straight_km, factor):
    assert circuity(straight_km) == pytest.approx(factor)


def test_a_trip_of_ten_kilometres_takes_twenty_minutes_of_road_and_two_of_parking():
    straight_km = great_circle_km(GRAFTON, MEQUON)
    road_km = straight_km * circuity(straight_km)

    assert straight_km == pytest.approx(10.0, abs=0.1)
    assert travel_minutes(GRAFTON, MEQUON) == pytest.approx(road_km / 40 * 60 + PARKING_MIN)


def test_two_homes_known_by_the_same_zip_alone_are_not_at_one_door():
    grafton = place_of_zip("53024")
    assert grafton is not None

    apart_min = travel_minutes(grafton, grafton)

    assert apart_min == pytest.approx(ZIP_SPREAD_KM * 1.4 / 40 * 60 + PARKING_MIN)


def test_two_systems_at_one_exact_point_need_no_travel():
    assert travel_minutes(GRAFTON, GRAFTON) == 0


@given(places, places, places)
def test_a_farther_home_never_takes_less_time(home, one, other):
    near, far = sorted((one, other), key=lambda place: great_circle_km(home, place))

    assert travel_minutes(home, near) <= travel_minutes(home, far) * (1 + 1e-5)
