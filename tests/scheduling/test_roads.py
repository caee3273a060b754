"""Travel by road, asked of a server of ours that speaks OSRM's table service."""

import json
import threading
from http.server import BaseHTTPRequestHandler, HTTPServer

import numpy as np
import pytest
import stamina

from customers.places import PARKING_MIN, Place, travel_matrix
from scheduling import roads

CEDARBURG = Place(43.2967, -87.9876, "exact")
GRAFTON = Place(43.3197, -87.9534, "exact")


class RoadServer(BaseHTTPRequestHandler):
    """Every drive takes ten minutes there and twenty back; answers as OSRM's v1 table does."""

    answer: dict | None = None
    asked: list[str] = []

    def do_GET(self):
        self.asked.append(self.path)
        rows = self.answer or {"code": "Ok", "durations": [[0, 600.0], [1200.0, 0]]}
        self.send_response(200)
        self.end_headers()
        self.wfile.write(json.dumps(rows).encode())

    def log_message(self, *_):
        """Quiet."""


@pytest.fixture
def road_server(settings):
    server = HTTPServer(("127.0.0.1", 0), RoadServer)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    settings.OSRM_URL = f"http://127.0.0.1:{server.server_port}"
    RoadServer.answer, RoadServer.asked = None, []
    with stamina.set_testing(True, attempts=1):
        yield RoadServer
    server.shutdown()
    server.server_close()


def test_it_takes_the_servers_minutes_each_way(road_server):
    minutes = roads.travel_table([CEDARBURG, GRAFTON])
    assert minutes.tolist() == [[0, 10 + PARKING_MIN], [20 + PARKING_MIN, 0]]


def test_it_names_the_places_as_longitude_and_latitude(road_server):
    roads.travel_table([CEDARBURG, GRAFTON])
    assert "/table/v1/driving/-87.987600,43.296700;-87.953400,43.319700;" in road_server.asked[0]


def test_a_pair_without_a_road_keeps_its_estimate(road_server):
    road_server.answer = {"code": "Ok", "durations": [[0, None], [1200.0, 0]]}
    minutes = roads.travel_table([CEDARBURG, GRAFTON])
    assert minutes[0, 1] == travel_matrix([CEDARBURG, GRAFTON])[0, 1]


def test_a_refusal_of_the_server_leaves_the_estimate(road_server):
    road_server.answer = {"code": "InvalidQuery"}
    places = [CEDARBURG, GRAFTON]
    assert np.array_equal(roads.travel_table(places), travel_matrix(places))


def test_without_a_server_travel_is_estimated(settings):
    settings.OSRM_URL = ""
    places = [CEDARBURG, GRAFTON]
    assert np.array_equal(roads.travel_table(places), travel_matrix(places))
