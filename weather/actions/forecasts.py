"""Keeping forecasts: what was fetched, what went wrong, and what is old enough to go."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from django.db import transaction
from django.db.models import Q, Value
from django.db.models.functions import Coalesce

from shop.models import Branch
from weather.forecast import Forecast
from weather.models import BranchForecast, ForecastPlace, hours_kept

# A worker that was killed while asking is waited for so long; the watch comes every half hour.
ASKING_LASTS = dt.timedelta(minutes=20)
ALL_KEPT_FOR = dt.timedelta(days=3)
ONE_A_DAY_KEPT_FOR = dt.timedelta(days=400)
TROUBLE_LENGTH = 300  # of ForecastPlace.trouble


@transaction.atomic
def claim_asking(*, branch: Branch, source: str, now: dt.datetime) -> ForecastPlace | None:
    """Take the branch's turn to be asked for; None: not due, or another worker has it."""
    place, _ = ForecastPlace.objects.get_or_create(branch=branch, defaults={"source": source})
    if place.source != source:  # another service knows nothing of this one's addresses and errors
        _begin_anew(place, source)
    due = Q(good_until=None) | Q(good_until__lte=now)
    free = Q(asked_at=None) | Q(asked_at__lte=now - ASKING_LASTS)
    claimed = ForecastPlace.objects.filter(due, free, pk=place.pk).update(asked_at=now)
    return ForecastPlace.objects.get(pk=place.pk) if claimed else None


@transaction.atomic
def keep_forecast(
    *, branch: Branch, forecast: Forecast, notes: Sequence[str], now: dt.datetime
) -> BranchForecast:
    """Keep a forecast once, however often it is fetched; what was the trouble is over."""
    ForecastPlace.objects.update_or_create(
        branch=branch,
        defaults={
            "source": forecast.source,
            "asked_at": now,
            "trouble": "",
            "trouble_since": None,
        },
    )
    kept, _ = BranchForecast.objects.get_or_create(
        branch=branch,
        source=forecast.source,
        updated_at=forecast.updated_at,
        defaults={
            "fetched_at": forecast.fetched_at,
            "hours": hours_kept(forecast),
            "notes": list(notes),
        },
    )
    return kept


@transaction.atomic
def remember_place(
    *,
    place: ForecastPlace,
    address: str,
    resolved_at: dt.datetime | None,
    good_until: dt.datetime,
) -> None:
    """Where the service keeps the branch, and when it is worth asking again."""
    moved = place.address != address
    ForecastPlace.objects.filter(pk=place.pk).update(
        address=address,
        resolved_at=resolved_at,
        good_until=good_until,
        # Another cell may have another station nearest to it.
        station="" if moved else place.station,
    )


@transaction.atomic
def remember_station(*, place: ForecastPlace, station: str) -> None:
    """Which station's thermometer speaks for the branch."""
    ForecastPlace.objects.filter(pk=place.pk).update(station=station)


@transaction.atomic
def note_trouble(*, place: ForecastPlace, trouble: str, now: dt.datetime) -> None:
    """Say why there is no new forecast, and since when there is trouble at all."""
    ForecastPlace.objects.filter(pk=place.pk).update(
        trouble=trouble[:TROUBLE_LENGTH], trouble_since=Coalesce("trouble_since", Value(now))
    )


@transaction.atomic
def prune_forecasts(*, now: dt.datetime) -> int:
    """Of forecasts older than three days keep the first of each day, for 400 days.

    The morning's is the one that the office decided on. Returns how many went.
    """
    old = BranchForecast.objects.filter(updated_at__lt=now - ALL_KEPT_FOR)
    kept: set[tuple[int, str, dt.date]] = set()
    going = list(old.filter(updated_at__lt=now - ONE_A_DAY_KEPT_FOR).values_list("pk", flat=True))
    rows = old.exclude(pk__in=going).select_related("branch").defer("hours", "notes")
    for row in rows.order_by("fetched_at", "pk"):
        day = (row.branch_id, row.source, row.fetched_at.astimezone(row.branch.zone).date())
        if day in kept:
            going.append(row.pk)
        kept.add(day)
    gone, _ = BranchForecast.objects.filter(pk__in=going).delete()
    return gone


def _begin_anew(place: ForecastPlace, source: str) -> None:
    fresh = ForecastPlace(branch=place.branch, source=source)
    for field in ForecastPlace._meta.concrete_fields:
        if field.name not in ("id", "branch"):
            setattr(place, field.name, getattr(fresh, field.name))
    place.save()
