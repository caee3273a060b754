"""Great circles against two published worked examples.

* Ed Williams, Aviation Formulary V1.46, "Worked examples": LAX 33°57'N 118°24'W to JFK
  40°38'N 73°47'W is 0.623585 radians, which is 2144 nautical miles.
* Rosetta Code, task "Haversine formula": BNA (36.12, -86.67) to LAX (33.94, -118.40) is
  2886.44444283798329974715782394574671655 km on a sphere of radius 6371.0 km.
"""

import math

import pytest

from customers.places import EARTH_RADIUS_KM, Place, great_circle_km


def test_los_angeles_to_new_york_is_the_arc_of_the_aviation_formulary():
    los_angeles = Place(33 + 57 / 60, -(118 + 24 / 60))
    new_york = Place(40 + 38 / 60, -(73 + 47 / 60))

    arc_rad = great_circle_km(los_angeles, new_york) / EARTH_RADIUS_KM

    assert arc_rad == pytest.approx(0.623585, abs=5e-7)
    assert round(math.degrees(arc_rad) * 60) == 2144


def test_nashville_to_los_angeles_is_the_length_of_the_rosetta_code_task():
    nashville, los_angeles = Place(36.12, -86.67), Place(33.94, -118.40)

    km_on_their_sphere = great_circle_km(nashville, los_angeles) * 6371.0 / EARTH_RADIUS_KM

    assert km_on_their_sphere == pytest.approx(2886.444442837983, rel=1e-12)
