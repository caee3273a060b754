"""Asking a forecast service over the network. Everything that may go wrong there becomes words.

A service that stumbles is asked again a few times within two minutes (it often works the second
time); an address that it no longer knows is looked up once more. Nothing is cached on the way:
what was answered stands in the branch's rows.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, TypeVar

import httpx
import stamina
from django.conf import settings
from django.core.exceptions import ImproperlyConfigured

from weather.forecast import Forecast, ForecastRefused
from weather.sources import nws, open_meteo
from weather.sources.nws import NationalWeatherService
from weather.sources.open_meteo import OpenMeteo
from weather.sources.service import Point, Said, Service

TIMEOUT_S = 20.0
ATTEMPTS, FIRST_WAIT_S, LONGEST_WAIT_S, ALL_WAITS_S = 4, 5.0, 30.0, 120.0
STUMBLES = frozenset({429, 500, 502, 503, 504})
MAX_AGE = re.compile(r"\bmax-age=(\d+)")
# Who asks more often than hourly has been served old answers (public issue threads of the service).
SOONEST, LATEST = timedelta(hours=1), timedelta(hours=6)
ADDRESS_HOLDS = timedelta(days=7)  # grid cells are moved without notice
STATIONS_TRIED = 3  # some near ones report rain alone (from memory)

Read = TypeVar("Read")


class ForecastTrouble(Exception):
    """Why there is no new forecast: a sentence for the office."""


@dataclass(frozen=True)
class KnownPlace:
    """What is kept of a place from one asking to the next. `resolved_at` None: never looked up."""

    point: Point
    address: str = ""
    resolved_at: datetime | None = None


@dataclass(frozen=True)
class Fetched:
    """A forecast, and where it came from. `good_until`: not to be asked for again before."""

    place: KnownPlace
    forecast: Forecast
    notes: Said
    good_until: datetime


def service_in_use() -> Service | None:
    """The service that the settings name; None: forecasts are off."""
    match settings.FORECAST_SOURCE:
        case "":
            return None
        case nws.NAME if settings.FORECAST_CONTACT:
            return NationalWeatherService(settings.NWS_URL, settings.FORECAST_CONTACT)
        case open_meteo.NAME if settings.OPEN_METEO_URL:
            return OpenMeteo(settings.OPEN_METEO_URL, settings.OPEN_METEO_KEY)
    raise ImproperlyConfigured(
        f"FORECAST_SOURCE is {settings.FORECAST_SOURCE!r}. Write nws and set FORECAST_CONTACT, "
        "or open_meteo and set OPEN_METEO_URL, or leave it empty for no forecasts."
    )


def fetch_forecast(service: Service, place: KnownPlace, now: datetime) -> Fetched:
    """The place's forecast. Raises ForecastTrouble."""
    with _asking(service) as client:
        fresh = place.resolved_at is not None and now - place.resolved_at < ADDRESS_HOLDS
        if not place.address:
            place = _resolved(service, client, place, now)
        elif not fresh:
            place = _looked_up_again(service, client, place, now)
        reply = _ask(service, client, place.address)
        if reply.status_code == httpx.codes.NOT_FOUND and fresh:
            place = _resolved(service, client, place, now)
            reply = _ask(service, client, place.address)
        forecast, notes = reading_of(service.read, _json(service, reply), place.point, now)
        return Fetched(place, forecast, notes, now + _holds(reply))


def fetch_observations(
    service: NationalWeatherService, address: str, station: str, since: datetime
) -> tuple[str, dict[datetime, float]]:
    """A station and its °F by hour: the known one, or the nearest with a thermometer that speaks.

    Raises ForecastTrouble.
    """

    def observed(name: str) -> dict[datetime, float]:
        reply = _ask(service, client, service.observations_address(name, since))
        return reading_of(service.read_observations, _json(service, reply))

    with _asking(service) as client:
        if station and (hours := observed(station)):
            return station, hours
        reply = _ask(service, client, service.stations_address(address))
        for near in reading_of(service.stations_of, _json(service, reply))[:STATIONS_TRIED]:
            if near != station and (hours := observed(near)):
                return near, hours
        return station, {}


def reading_of(read: Callable[..., Read], *answer: Any) -> Read:
    """What `read` makes of an answer. Raises ForecastRefused for whatever is wrong with it."""
    try:
        return read(*answer)
    except ForecastRefused:
        raise
    except (ArithmeticError, LookupError, TypeError, ValueError) as misread:
        raise ForecastRefused(
            "The answer cannot be read: its shape is not the documented one."
        ) from misread


@contextmanager
def _asking(service: Service) -> Iterator[httpx.Client]:
    try:
        with httpx.Client(
            headers=service.headers,
            timeout=TIMEOUT_S,
            follow_redirects=True,
        ) as client:
            yield client
    except ForecastRefused as refusal:
        raise ForecastTrouble(f"{service.title}: {refusal}") from refusal
    except httpx.HTTPStatusError as stumble:
        raise ForecastTrouble(_words(service, stumble.response)) from stumble
    except (httpx.HTTPError, httpx.InvalidURL) as trouble:
        kind = "does not answer in time" if _timed_out(trouble) else "cannot be reached"
        raise ForecastTrouble(f"{service.title} {kind}.") from trouble


def _resolved(
    service: Service, client: httpx.Client, place: KnownPlace, now: datetime
) -> KnownPlace:
    asked = service.place_address(place.point)
    answer = _json(service, _ask(service, client, asked)) if asked else None
    return KnownPlace(place.point, service.own_address(place.point, answer), now)


def _looked_up_again(
    service: Service, client: httpx.Client, place: KnownPlace, now: datetime
) -> KnownPlace:
    """The weekly look-up; when it fails, the address known so far goes on serving."""
    try:
        return _resolved(service, client, place, now)
    except (ForecastTrouble, ForecastRefused, httpx.HTTPError):
        return place


@stamina.retry(
    on=httpx.HTTPError,
    attempts=ATTEMPTS,
    timeout=ALL_WAITS_S,
    wait_initial=FIRST_WAIT_S,
    wait_max=LONGEST_WAIT_S,
)
def _ask(service: Service, client: httpx.Client, address: str) -> httpx.Response:
    """An answer, or a refusal that asking again would not change."""
    reply = client.get(httpx.URL(address).copy_merge_params(service.secrets))
    if reply.status_code in STUMBLES:
        reply.raise_for_status()
    return reply


def _json(service: Service, reply: httpx.Response) -> Any:
    if not reply.is_success:
        raise ForecastTrouble(_words(service, reply))
    try:
        return reply.json()
    except ValueError:
        raise ForecastRefused("The answer is not JSON.") from None


def _words(service: Service, reply: httpx.Response) -> str:
    """What a service says of its own trouble, with the status."""
    try:
        body = reply.json()
        said = body.get("title") or body.get("reason") or reply.reason_phrase
    except (ValueError, AttributeError):
        said = reply.reason_phrase
    return f"{service.title} answers {reply.status_code}: {str(said)[:160]}."


def _holds(reply: httpx.Response) -> timedelta:
    """How long an answer is good for. Only max-age is believed; its Last-Modified may lie ahead."""
    found = MAX_AGE.search(reply.headers.get("Cache-Control", ""))
    stated = timedelta(seconds=min(int(found.group(1)), 10**6)) if found else SOONEST
    return min(max(stated, SOONEST), LATEST)


def _timed_out(trouble: Exception) -> bool:
    return isinstance(trouble, httpx.TimeoutException)
