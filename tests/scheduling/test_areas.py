"""A large branch cut into areas: nobody is lost, nobody drives for two."""

from hypothesis import given
from hypothesis import strategies as st

from scheduling.areas import Driver, Stop, cut

SKILLS = st.frozensets(st.sampled_from(["cooling", "heating", "heat_pump"]))
DEGREES = st.floats(40, 45)


@st.composite
def branches(draw):
    crew = draw(st.integers(1, 6))
    drivers = [
        Driver(k, draw(DEGREES), draw(DEGREES), draw(st.floats(60, 5000)), draw(SKILLS))
        for k in range(crew)
    ]
    stops = [
        Stop(
            k, draw(DEGREES), draw(DEGREES), 60.0, draw(SKILLS),
            draw(st.none() | st.integers(0, crew - 1)),
        )
        for k in range(draw(st.integers(0, 30)))
    ]  # fmt: skip
    return stops, drivers, draw(st.integers(1, 8))


@given(branches())
def test_every_visit_and_every_technician_is_in_exactly_one_area(branch):
    stops, drivers, areas = branch
    found = cut(stops, drivers, areas)
    assert sorted(s.key for area in found for s in area.stops) == [s.key for s in stops]
    assert sorted(d.key for area in found for d in area.drivers) == [d.key for d in drivers]
    assert len(found) == min(areas, len(drivers))
    assert all(area.drivers for area in found)


@given(branches())
def test_a_visit_lies_where_somebody_may_come_if_anybody_may(branch):
    found = cut(*branch)
    for area in found:
        for stop in area.stops:
            assert area.can(stop) or not any(other.can(stop) for other in found)


def crew(*kinds):
    return [Driver(k, 43.0, -88.0, 480.0, frozenset(skills)) for k, skills in enumerate(kinds)]


def test_neighbours_stay_together():
    stops = [Stop(k, 43.0, -88.0 + (k % 2) * 0.5 + k * 0.001, 60.0) for k in range(10)]
    west, east = cut(stops, crew([], []), 2)
    assert {s.key % 2 for s in west.stops} == {0}
    assert {s.key % 2 for s in east.stops} == {1}


def test_each_kind_of_technician_is_dealt_to_both_sides():
    one, other = cut([], crew(["a"], ["a"], ["b"], ["b"]), 2)
    assert {d.skills for d in one.drivers} == {d.skills for d in other.drivers}


def test_an_area_has_as_much_work_as_its_technicians_have_time():
    stops = [Stop(k, 43.0 + k * 0.01, -88.0, 60.0) for k in range(30)]
    areas = cut(stops, crew([], [], []), 2)
    assert sorted(len(area.stops) for area in areas) == [10, 20]


def test_without_technicians_there_are_no_areas():
    assert cut([Stop(1, 43.0, -88.0, 60.0)], [], 2) == []
