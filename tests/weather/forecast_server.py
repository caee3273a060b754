"""A weather service of our own on loopback, in the documented shapes; it stumbles on demand.

`stumbles` are answered first, one a request, as (status, body); a body that is an address is where
a redirect leads. Everything else can be changed between two requests.
"""

import json
import threading
from datetime import UTC, datetime, timedelta
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

NOW = datetime(2027, 4, 20, 17, 10, tzinfo=UTC)  # a Tuesday, ten past noon in Milwaukee
CELL = [[-88.0, 43.28], [-87.97, 43.28], [-87.97, 43.31], [-88.0, 43.31], [-88.0, 43.28]]


def problem(status, title):
    """An error as the service writes it."""
    return status, {"title": title, "status": status, "detail": "…", "correlationId": "1f"}


def period(number, at, temperature=58, **more):
    return {
        "number": number,
        "startTime": at.astimezone(UTC).isoformat(),
        "endTime": (at + timedelta(hours=1)).isoformat(),
        "isDaytime": True,
        "temperature": temperature,
        "temperatureUnit": "F",
        "temperatureTrend": None,
        "probabilityOfPrecipitation": {"unitCode": "wmoUnit:percent", "value": 20},
        "windSpeed": "5 to 10 mph",
        "shortForecast": "Mostly Sunny",
        **more,
    }


def hourly(updated=NOW - timedelta(minutes=40), first=None, cell=CELL, periods=None):
    """An answer of 156 hours."""
    first = first or NOW.replace(minute=0)
    made = [period(n + 1, first + timedelta(hours=n)) for n in range(156)]
    return {
        "type": "Feature",
        "geometry": {"type": "Polygon", "coordinates": [cell]} if cell else None,
        "properties": {
            "generatedAt": NOW.isoformat(),
            "updateTime": updated.isoformat(),
            "periods": made if periods is None else periods,
        },
    }


def observation(at, value, unit="wmoUnit:degC"):
    return {
        "properties": {
            "timestamp": at.isoformat(),
            "temperature": {"value": value, "unitCode": unit},
        }
    }


class WeatherServer:
    """`asked`: path and headers of each request so far."""

    def __init__(self):
        self.asked, self.stumbles = [], []
        self.cell = "MKX/88,70"
        self.forecast = hourly()
        self.headers = {"Cache-Control": "public, max-age=282, s-maxage=3600"}
        self.observations = [observation(NOW.replace(minute=0), 15.0)]
        self.stations, self.open_meteo = ["KMKE"], {}
        self.http = ThreadingHTTPServer(("127.0.0.1", 0), _handler(self))
        self.url = f"http://127.0.0.1:{self.http.server_port}"
        threading.Thread(target=self.http.serve_forever, daemon=True).start()

    def close(self):
        self.http.shutdown()
        self.http.server_close()

    @property
    def paths(self):
        return [path for path, _ in self.asked]

    def answer(self, path):
        """Status and body."""
        if self.stumbles:
            return self.stumbles.pop(0)
        if path.startswith("/points/"):
            address = f"{self.url}/gridpoints/{self.cell}/forecast/hourly"
            return 200, {"properties": {"gridId": "MKX", "forecastHourly": address}}
        if path in ("/moved", f"/gridpoints/{self.cell}/forecast/hourly"):
            return 200, self.forecast
        if path.endswith("/stations"):
            named = [{"properties": {"stationIdentifier": name}} for name in self.stations]
            return 200, {"features": named}
        if path.startswith("/stations/KMKE/observations"):
            return 200, {"features": self.observations}
        if path.startswith("/stations/KDRY/observations"):
            return 200, {"features": [observation(NOW, None)]}
        if path.startswith("/v1/forecast"):
            return 200, self.open_meteo
        return problem(404, "Not Found")


def _handler(server):
    class Handler(BaseHTTPRequestHandler):
        def do_GET(self):
            server.asked.append((self.path, dict(self.headers)))
            status, body = server.answer(self.path)
            self.send_response(status)
            for name, value in server.headers.items():
                self.send_header(name, value)
            if isinstance(body, str) and body.startswith("/"):
                self.send_header("Location", body)
            self.end_headers()
            self.wfile.write(body.encode() if isinstance(body, str) else json.dumps(body).encode())

        def log_message(self, *_):
            """Quiet."""

    return Handler
