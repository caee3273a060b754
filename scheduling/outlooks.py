"""What is known of the weather when a slot is judged, and whose word that is."""

from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo

from kit import words
from shop.models import Branch
from weather.outlook import Outlook
from weather.outlook_rows import NoClimate, outlook_of

CLIMATE = "climate"


def outlook_for(branch: Branch, now: dt.datetime) -> Outlook | None:
    """None: the branch has no climate yet, so no day's warmth is known."""
    try:
        return outlook_of(branch, now)
    except NoClimate:
        return None


def forecast_at(outlook: Outlook) -> dt.datetime | None:
    """When the forecast that counts was made; None: climate alone speaks."""
    forecast = outlook.forecast
    return forecast.updated_at if forecast is not None and outlook.uses_forecast else None


def source_words(outlook: Outlook, zone: ZoneInfo) -> str:
    """Whose word the outlook is: "forecast of Mon, May 24, 6:00 AM" or "climate"."""
    made_at = forecast_at(outlook)
    if made_at is None:
        return CLIMATE
    local = made_at.astimezone(zone)
    return f"forecast of {words.day_name(local)}, {words.clock(local)}"


def source_on(outlook: Outlook, day: dt.date, zone: ZoneInfo) -> str:
    """The same for one day: far days are known from the climate alone."""
    said = outlook.source_of(day)
    return said.replace("forecast", source_words(outlook, zone)) if said != CLIMATE else said


def whose_word(outlook: Outlook, day: dt.date, zone: ZoneInfo) -> str:
    """The same with the climate's place: "demonstration climate of Milwaukee, Wisconsin"."""
    said, kind = source_on(outlook, day, zone), CLIMATE
    if outlook.climate.demonstration:
        kind = f"demonstration {CLIMATE}"
    the = "" if said == CLIMATE else "the "
    return said.replace(CLIMATE, f"{the}{kind} of {outlook.climate.place}")
