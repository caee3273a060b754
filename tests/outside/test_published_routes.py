"""One technician's shortest round over published towns, against the published optimum.

Reinelt, "TSPLIB - A Traveling Salesman Problem Library", ORSA Journal on Computing 3 (1991) 376:
burma14 and ulysses16, with its geographical distances in whole kilometres. The towns' coordinates
(degrees and minutes as DD.MM) are typed from memory; that the optima agree confirms them.
"""

from math import acos, cos

import numpy as np
import pytest

from scheduling.planner import MaxIterations, Problem, Visit, Workday, plan, score

BURMA14 = """16.47 96.10, 16.47 94.44, 20.09 92.54, 22.39 93.37, 25.23 97.24, 22.00 96.05,
20.47 97.02, 17.20 96.29, 16.30 97.38, 14.05 98.12, 16.53 97.38, 21.52 95.59, 19.41 97.13,
20.09 94.55"""
ULYSSES16 = """38.24 20.42, 39.57 26.15, 40.56 25.32, 36.26 23.12, 33.48 10.54, 37.56 12.19,
38.42 13.11, 37.52 20.44, 41.23 9.10, 41.17 13.05, 36.08 -5.21, 38.47 15.13, 38.15 15.35,
37.51 15.17, 35.49 14.32, 39.36 19.56"""
KM_A_MIN = 20.0
"""Quick enough for the whole round in one day."""


def radians(degrees_minutes):
    """TSPLIB's own conversion, pi cut short as published."""
    degrees = int(degrees_minutes)
    return 3.141592 * (degrees + 5.0 * (degrees_minutes - degrees) / 3.0) / 180.0


def distance_km(one, other):
    q1 = cos(one[1] - other[1])
    q2, q3 = cos(one[0] - other[0]), cos(one[0] + other[0])
    return int(6378.388 * acos(0.5 * ((1.0 + q1) * q2 - (1.0 - q1) * q3)) + 1.0)


def round_trip_of(towns):
    """The shop in the first town, a visit of no length in every other one."""
    points = [tuple(radians(float(x)) for x in town.split()) for town in towns.split(",")]
    km = [[0 if a is b else distance_km(a, b) for b in points] for a in points]
    day = Workday("the round", "Ana", 0, 0.0, 1440.0, start_place=0, end_place=0)
    visits = tuple(Visit(n, n, 0.0, unplaced_min=10_000.0) for n in range(1, len(points)))
    return Problem(1, np.array(km, np.float32) / np.float32(KM_A_MIN), (day,), visits)


@pytest.mark.parametrize(("towns", "shortest_km"), [(BURMA14, 3323), (ULYSSES16, 6859)])
def test_the_shortest_published_round_is_found(towns, shortest_km):
    problem = round_trip_of(towns)
    cost = score(problem, plan(problem, MaxIterations(3000), seed=1))
    assert cost.placed == len(problem.visits)
    assert round(cost.travel_min * KM_A_MIN) == shortest_km
