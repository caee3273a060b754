"""The half-hourly look at each branch's forecast service. Nothing here may stop the next branch."""

from __future__ import annotations

import datetime as dt
import logging

from shop.models import Branch
from weather.actions import (
    claim_asking,
    keep_forecast,
    learn_skill,
    note_trouble,
    observe_hours,
    prune_forecasts,
    remember_place,
    remember_station,
)
from weather.fetching import (
    ForecastTrouble,
    KnownPlace,
    fetch_forecast,
    fetch_observations,
    service_in_use,
)
from weather.models import ForecastPlace, ObservedHour
from weather.sources.nws import NationalWeatherService
from weather.sources.service import Point, Service

log = logging.getLogger(__name__)
LEARN_EVERY = dt.timedelta(hours=20)
OBSERVED_BACK = dt.timedelta(days=6)  # as far as the service is asked for hours that came


def watch_all(now: dt.datetime) -> None:
    """Every branch in turn, with the service that the settings name."""
    service = service_in_use()
    if service is None:
        return
    for branch in Branch.objects.all():
        try:
            watch(branch, service, now)
        except Exception:
            log.exception("the watch of %s stopped", branch)
    prune_forecasts(now=now)


def watch(branch: Branch, service: Service, now: dt.datetime) -> None:
    """Fetch the branch's forecast when it is due; once a day also what came, and learn from it."""
    place = claim_asking(branch=branch, source=service.name, now=now)
    if place is None:
        return
    point = Point(branch.latitude, branch.longitude)
    try:
        known = KnownPlace(point, place.address, place.resolved_at)
        fetched = fetch_forecast(service, known, now)
    except ForecastTrouble as trouble:
        log.warning("no forecast for %s: %s", branch, trouble)
        note_trouble(place=place, trouble=str(trouble), now=now)
        return
    keep_forecast(branch=branch, forecast=fetched.forecast, notes=fetched.notes, now=now)
    remember_place(
        place=place,
        address=fetched.place.address,
        resolved_at=fetched.place.resolved_at,
        good_until=fetched.good_until,
    )
    if place.learnt_at is None or now - place.learnt_at >= LEARN_EVERY:
        _learn(branch, service, now)


def _learn(branch: Branch, service: Service, now: dt.datetime) -> None:
    place = ForecastPlace.objects.get(branch=branch)
    if isinstance(service, NationalWeatherService):
        _observe(branch, service, place, now)
    learn_skill(branch=branch, now=now)


def _observe(
    branch: Branch, service: NationalWeatherService, place: ForecastPlace, now: dt.datetime
) -> None:
    """Hours that came, since the last one known. Trouble here leaves the forecast in use."""
    known = ObservedHour.objects.of(branch).filter(source=service.name).last()
    since = max(now - OBSERVED_BACK, known.at) if known else now - OBSERVED_BACK
    try:
        station, hours = fetch_observations(service, place.address, place.station, since)
    except ForecastTrouble as trouble:
        log.warning("no observed hours for %s: %s", branch, trouble)
        return
    remember_station(place=place, station=station)
    observe_hours(branch=branch, hours=hours, source=service.name)
