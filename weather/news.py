"""How the forecast service does, in words for the office: since when it is silent, and what then.

Redbud goes on without it: the last good forecast counts less as it ages, then climate speaks alone.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Literal

from django.conf import settings

from kit import words
from shop.models import Branch
from weather.models import BranchForecast, ForecastPlace
from weather.outlook import FRESH_FOR_H, OF_NO_USE_AFTER_H

HOUR = dt.timedelta(hours=1)
# Asked each half hour once the last answer is no longer good; twice missed is silence.
SILENT_AFTER = dt.timedelta(minutes=75)
ASK_WHO_LOOKS_AFTER = (
    "Redbud's worker asks each half hour. When this stays so for an hour, tell whoever looks after "
    "this installation."
)
HAVE_THEM_FETCHED = (
    "Whoever looks after this installation sets FORECAST_CONTACT to have forecasts fetched."
)


@dataclass(frozen=True, slots=True)
class ForecastNews:
    """`level` as a notice has it; "": nothing to be seen to. `next_step` "": nothing to do."""

    level: Literal["", "info", "warning"]
    title: str
    meanwhile: str
    next_step: str = ""


def forecast_news(branch: Branch, now: dt.datetime) -> ForecastNews:
    """Two queries."""
    place = ForecastPlace.objects.filter(branch=branch).first()
    newest = BranchForecast.objects.of(branch).filter(fetched_at__lte=now)
    return news_of(branch, place, newest.values_list("updated_at", flat=True).first(), now)


def news_of(
    branch: Branch, place: ForecastPlace | None, made_at: dt.datetime | None, now: dt.datetime
) -> ForecastNews:
    """`place` None: never asked for. `made_at` None: no forecast has ever come."""
    meanwhile = _meanwhile(made_at, branch, now)
    old = made_at is None or now - made_at > FRESH_FOR_H * HOUR
    trouble = _trouble(place, branch, now)
    if trouble is None:
        return _untroubled(made_at, meanwhile, old)
    title, next_step = trouble
    return ForecastNews("warning" if old else "info", title, meanwhile, next_step)


def _trouble(
    place: ForecastPlace | None, branch: Branch, now: dt.datetime
) -> tuple[str, str] | None:
    """What is wrong with asking, and what to do about it; None: nothing, or forecasts are off."""
    if not settings.FORECAST_SOURCE:
        return None
    if place is None or place.asked_at is None:
        return "No forecast has been asked for yet", ASK_WHO_LOOKS_AFTER
    if place.trouble and place.trouble_since:
        since = _moment(place.trouble_since, branch)
        return (
            f"No new forecast since {since}: {place.trouble}",
            "It is asked again each half hour.",
        )
    due = max(place.asked_at, place.good_until or place.asked_at)
    if now - due > SILENT_AFTER:
        return f"Nobody has asked for a forecast since {_moment(due, branch)}", ASK_WHO_LOOKS_AFTER
    return None


def _untroubled(made_at: dt.datetime | None, meanwhile: str, old: bool) -> ForecastNews:
    if made_at is None:
        return ForecastNews("", "Forecasts are off.", meanwhile, HAVE_THEM_FETCHED)
    if old:
        return ForecastNews("warning", "No new forecast has come", meanwhile, HAVE_THEM_FETCHED)
    return ForecastNews("", "", meanwhile)


def _meanwhile(made_at: dt.datetime | None, branch: Branch, now: dt.datetime) -> str:
    """The age of the last good forecast, and how much it still counts."""
    if made_at is None:
        return "There is no forecast; the climate alone speaks."
    age_h = max((now - made_at) / HOUR, 0.0)
    said = f"The last good forecast is of {_moment(made_at, branch)}, {_age(age_h)} old"
    if age_h > OF_NO_USE_AFTER_H:
        return f"{said}. That is too old: the climate alone speaks until a new one comes."
    if age_h > FRESH_FOR_H:
        return f"{said}. It counts for less each hour, and the climate takes over."
    return f"{said}, and counts in full."


def _age(age_h: float) -> str:
    """Days from two days on; hours and minutes before."""
    days = int(age_h // 24)
    return words.counted(days, "day") if days >= 2 else words.duration(60 * age_h)


def _moment(moment: dt.datetime, branch: Branch) -> str:
    local = moment.astimezone(branch.zone)
    return f"{words.day_name(local)}, {words.clock(local)}"
