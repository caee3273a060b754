"""Travel by road, asked of a server of ours that speaks OSRM's table service, and without one."""

import json
import threading
from http.server import BaseHTTPRequestHandler, HTTPServer
from urllib.parse import parse_qs, urlsplit

import numpy as np
import pytest
import stamina
from hypothesis import given
from hypothesis import strategies as st

from customers.places import PARKING_MIN, Place, travel_minutes
from scheduling import planner, roads
from shop.models import Branch

CEDARBURG = Place(43.2967, -87.9876, "exact")
GRAFTON = Place(43.3197, -87.9534, "exact")
MEQUON = Place(43.2360, -87.9841, "exact")
TWO = [CEDARBURG, GRAFTON]


class RoadServer(BaseHTTPRequestHandler):
    """Ten minutes for each place further down the alphabet of points, twenty back."""

    refuses = False
    no_road = False
    cells = 0

    def do_GET(self):
        address = urlsplit(self.path)
        points = address.path.rpartition("/")[2].split(";")
        asked = {name: values[0].split(";") for name, values in parse_qs(address.query).items()}
        rows, columns = ([points[int(i)] for i in asked[n]] for n in ("sources", "destinations"))
        type(self).cells += len(rows) * len(columns)
        seconds = [[self._seconds(a, b) for b in columns] for a in rows]
        body = {"code": "InvalidQuery"} if self.refuses else {"code": "Ok", "durations": seconds}
        self.send_response(200)
        self.end_headers()
        self.wfile.write(json.dumps(body).encode())

    def _seconds(self, a, b):
        if a == b:
            return 0
        return None if self.no_road else 600.0 if a > b else 1200.0

    def log_message(self, *_):
        """Quiet."""


@pytest.fixture
def road_server(settings, tmp_path):
    server = HTTPServer(("127.0.0.1", 0), RoadServer)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    settings.OSRM_URL = f"http://127.0.0.1:{server.server_port}"
    settings.ROAD_CACHE = str(tmp_path)
    RoadServer.refuses, RoadServer.no_road, RoadServer.cells = False, False, 0
    with stamina.set_testing(True, attempts=1):
        yield RoadServer
    server.shutdown()
    server.server_close()


def between(places, driving_percent=100):
    branch = Branch(slug="cedarburg", driving_percent=driving_percent)
    return roads.travel_between(places, branch)


def test_it_takes_the_servers_minutes_each_way_and_rounds_up(road_server):
    assert PARKING_MIN == 2.0
    assert between(TWO).tolist() == [[0, 15.0], [25.0, 0]]


def test_a_place_that_is_new_is_asked_both_ways_and_nothing_else_again(road_server):
    between(TWO)
    road_server.cells = 0
    minutes = between([*TWO, MEQUON])
    assert road_server.cells == 3 + 2  # from Mequon to all three, and from the two to Mequon
    assert minutes[:2, :2].tolist() == [[0, 15.0], [25.0, 0]]
    road_server.cells = 0
    between([MEQUON, CEDARBURG])
    assert road_server.cells == 0


def test_a_table_comes_in_the_order_in_which_it_is_asked_for(road_server):
    assert np.array_equal(between([GRAFTON, CEDARBURG]), between(TWO)[::-1, ::-1])


def test_a_pair_without_a_road_keeps_its_estimate(road_server):
    road_server.no_road = True
    assert between(TWO)[0, 1] == roads.estimated(TWO).minutes(0, 1)


def test_a_refusal_of_the_server_leaves_the_estimate_and_is_not_kept(road_server):
    road_server.refuses = True
    assert isinstance(between(TWO), planner.Travel)
    road_server.refuses = False
    assert between(TWO)[0, 1] == 15.0


def test_a_broken_file_is_asked_for_again(road_server, tmp_path):
    between(TWO)
    for file in tmp_path.glob("*.npz"):
        file.write_bytes(b"cut short")
    assert between(TWO)[0, 1] == 15.0


def test_without_a_server_travel_is_worked_out_from_the_points(settings):
    settings.OSRM_URL = ""
    drive = between(TWO).minutes(0, 1)
    assert drive == np.ceil(travel_minutes(*TWO) / 5) * 5


@pytest.mark.parametrize("server", ["", "set"])
def test_driving_takes_the_branchs_own_pace_and_parking_does_not(settings, server, road_server):
    if not server:
        settings.OSRM_URL = ""
    expected = roads.driving_min(TWO, [(0, 1)], Branch(slug="cedarburg", driving_percent=150))
    table = between(TWO, 150) if server else between(TWO, 150).table()
    assert table[0, 1] == np.ceil((1.5 * expected[0] + PARKING_MIN) / 5) * 5
    if server:
        assert expected == [10.0]


def test_offered_times_go_by_what_the_server_said_for_the_plan_and_ask_nobody(road_server):
    branch = Branch(slug="cedarburg", driving_percent=200)
    guess = np.ceil(travel_minutes(*TWO, slower=2.0) / 5) * 5
    assert roads.drives_between(TWO, branch)(0, 1) == guess
    assert road_server.cells == 0
    between(TWO)
    road_server.cells = 0
    drive = roads.drives_between([*TWO, MEQUON], branch)
    assert [drive(0, 1), drive(1, 0), drive(0, 0)] == [25.0, 45.0, 0.0]
    assert drive(1, 2) == np.ceil(travel_minutes(GRAFTON, MEQUON, 2.0) / 5) * 5
    assert road_server.cells == 0


def test_of_no_drives_nothing_is_expected(road_server):
    assert len(roads.driving_min([], [], Branch(slug="cedarburg"))) == 0


ABOUT_MILWAUKEE = st.builds(
    Place, st.floats(42.8, 43.6), st.floats(-88.4, -87.8), st.sampled_from(["exact", "zip"])
)


@given(ABOUT_MILWAUKEE, ABOUT_MILWAUKEE)
def test_the_planners_estimate_is_the_one_that_customers_are_offered_times_by(one, other):
    minutes = travel_minutes(one, other)
    # Chords are a trifle shorter than arcs, so at a border of five minutes both are right.
    either = {np.ceil(minutes / 5) * 5, np.ceil(minutes * (1 - 1e-4) / 5) * 5}
    assert roads.estimated([one, other]).minutes(0, 1) in either


def test_a_home_known_by_its_zip_alone_is_never_next_door():
    at_the_same_point = [CEDARBURG, Place(CEDARBURG.latitude, CEDARBURG.longitude, "zip")]
    assert roads.estimated(at_the_same_point).minutes(0, 1) == 10.0  # 2 km


def many_places(count):
    grid = np.linspace(0, 0.5, 100)
    return [Place(43.0 + grid[i % 100], -88.0 + grid[i // 100], "exact") for i in range(count)]


@pytest.mark.parametrize("server", ["", "set"])
def test_ten_thousand_homes_need_no_table_of_all_drives(settings, server, road_server):
    if not server:
        settings.OSRM_URL = ""
    travel = between(many_places(10_000))
    held = [travel.points_km, travel.least_km, travel.known_min]
    assert sum(array.size for array in held if array is not None) == 4 * 10_000
    assert road_server.cells <= roads.SAMPLE**2


def test_in_a_large_branch_a_sample_of_drives_sets_the_pace(road_server, monkeypatch):
    monkeypatch.setattr(roads, "MOST_BY_ROAD", 2)
    travel = between([CEDARBURG, GRAFTON, MEQUON])
    assert travel.roads.min_per_km > roads.OUR_ROADS.min_per_km
    assert travel.minutes(0, 1) == travel.minutes(1, 0)
