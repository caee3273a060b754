"""The facts of the almanac: what is known of a branch's weather, and how good that was."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kit import words
from kit.pictures.almanac import AlmanacDay, AlmanacPicture, Range, draw_almanac
from shop.models import Branch
from weather.comparing import compare
from weather.forecast import Forecast
from weather.models import BranchForecast, ForecastPlace, ObservedHour
from weather.outlook import Outlook
from weather.outlook_rows import outlook_of
from weather.reliability import Bin, binned, told_and_came
from weather.signs import Heat, Storm, first_heat, first_hot_day, storms
from weather.skill import START_SKILL, Skill
from weather.sources import nws, open_meteo
from weather.sources.nws import NationalWeatherService
from weather.sources.open_meteo import OpenMeteo
from weather.warmth import Band

DAYS_BACK, DAYS_AHEAD = 30, 45
FORETOLD_DAYS = 8
DAY = dt.timedelta(days=1)
STEP_MIN = 30
# A day's maximum is known when this many of its hours between 8 and 18 are.
LEAST_HOURS = 6


@dataclass(frozen=True)
class Almanac:
    """`forecast` None: none has come. `early_heat`, `middle_heat` None: it is never so hot."""

    outlook: Outlook
    place: ForecastPlace | None
    notes: Sequence[str]
    today: dt.date
    picture: AlmanacPicture
    testable: tuple[tuple[int, int], ...]
    heat: Heat | None
    early_heat: dt.date | None
    middle_heat: dt.date | None
    storms: tuple[Storm, ...]
    skill: Skill
    bins: tuple[Bin, ...]

    @property
    def forecast(self) -> Forecast | None:
        return self.outlook.forecast


def almanac_of(branch: Branch, now: dt.datetime) -> Almanac:
    """All of it, in five queries. Raises NoClimate."""
    outlook = outlook_of(branch, now)
    place = ForecastPlace.objects.filter(branch=branch).first()
    since = now - DAYS_BACK * DAY
    kept = BranchForecast.objects.of(branch).filter(fetched_at__gte=since, fetched_at__lte=now)
    rows = list(kept.filter(source=place.source)) if place else []
    came = ObservedHour.objects.of(branch).between(since - DAY, now)
    observed = dict(came.values_list("at", "temperature_f"))
    forecasts = [row.forecast() for row in rows]
    today = now.astimezone(branch.zone).date()
    week = [today + n * DAY for n in range(FORETOLD_DAYS)]
    return Almanac(
        outlook=outlook,
        place=place,
        notes=rows[0].notes if rows else (),
        today=today,
        picture=_picture(branch, outlook, forecasts, observed, today),
        testable=_testable(branch, outlook, now.astimezone(branch.zone)),
        heat=first_heat(outlook, week, clock_offset_h=_offsets(branch, week)),
        early_heat=first_hot_day(outlook.climate, today.year, 0.1),
        middle_heat=first_hot_day(outlook.climate, today.year, 0.5),
        storms=storms(outlook.forecast) if outlook.forecast and outlook.uses_forecast else (),
        skill=outlook.skill,
        bins=binned(
            told_and_came(
                forecasts,
                observed,
                climate=outlook.climate,
                skill=outlook.skill,
                zone=branch.zone,
                test_temperature_f=branch.test_temperature_f,
            )
        ),
    )


ATTRIBUTIONS = {
    nws.NAME: NationalWeatherService.attribution,
    open_meteo.NAME: OpenMeteo.attribution,
}


def attribution(forecast: Forecast | None) -> str:
    """Whose forecast it is, as its service wants it said; empty without one."""
    return ATTRIBUTIONS.get(forecast.source, f"From: {forecast.source}") if forecast else ""


def skill_rows(skill: Skill) -> list[list[str]]:
    """By days ahead: bias, spread, what it began with, and days learnt from."""
    ahead = ["today", "1 day", *(f"{n} days" for n in range(2, len(skill.days)))]
    columns = zip(ahead, skill.bias_f, skill.sd_f, START_SKILL.sd_f, skill.days, strict=True)
    return [
        [name, _signed(bias_f), f"{sd_f:.1f}", f"{start_f:.1f}", str(days)]
        for name, bias_f, sd_f, start_f, days in columns
    ]


def _signed(value: float) -> str:
    """Bias with its sign, the minus as printers set it: "−1.3", "0.0", "+0.4"."""
    text = f"{value:+.1f}".replace("-", "−")
    return text if text[1:] != "0.0" else "0.0"


def start_words(spans: Sequence[tuple[int, int]]) -> str:
    """When a check may start: "11:30 AM to 4:00 PM"; empty: at no time of the day."""
    return ", ".join(
        words.clock_at(start)
        if start == end
        else f"{words.clock_at(start)} to {words.clock_at(end)}"
        for start, end in spans
    )


def _testable(branch: Branch, outlook: Outlook, now: dt.datetime) -> tuple[tuple[int, int], ...]:
    """First and last start, in minutes, of each stretch still to come that is warm enough."""
    day, passed = now.date(), now.hour * 60 + now.minute
    (warm,) = outlook.table(
        [day], branch.test_temperature_f, clock_offset_h=_offsets(branch, [day])
    )
    opens = branch.opens_at.hour * 60 + branch.opens_at.minute
    closes = branch.closes_at.hour * 60 + branch.closes_at.minute
    spans: list[tuple[int, int]] = []
    for minute in range(opens, closes, STEP_MIN):
        if minute < passed or warm[minute // STEP_MIN] < branch.least_warmth:
            continue
        if spans and spans[-1][1] == minute - STEP_MIN:
            spans[-1] = (spans[-1][0], minute)
        else:
            spans.append((minute, minute))
    return tuple(spans)


def _picture(
    branch: Branch,
    outlook: Outlook,
    forecasts: Sequence[Forecast],
    observed: Mapping[dt.datetime, float],
    today: dt.date,
) -> AlmanacPicture:
    days = [today + n * DAY for n in range(-DAYS_BACK, DAYS_AHEAD + 1)]
    came_f, before_f = _maxima(branch, observed), _foretold_maxima(branch, forecasts, observed)
    alone = Outlook(outlook.climate, outlook.now)
    return draw_almanac(
        [
            AlmanacDay(
                day,
                usual=_range(alone.day_band(day, clock_offset_h=offset_h)),
                foretold=_range(outlook.day_band(day, clock_offset_h=offset_h))
                if day >= today and outlook.source_of(day) != "climate"
                else None,
                foretold_before_f=before_f.get(day),
                came_f=came_f.get(day) if day < today else None,
            )
            for day, offset_h in zip(days, _offsets(branch, days), strict=True)
        ],
        today=today,
        test_temperature_f=branch.test_temperature_f,
    )


def _maxima(branch: Branch, observed: Mapping[dt.datetime, float]) -> dict[dt.date, float]:
    by_day: dict[dt.date, list[float]] = {}
    for at, value_f in observed.items():
        local = at.astimezone(branch.zone)
        if 8 <= local.hour < 18:
            by_day.setdefault(local.date(), []).append(value_f)
    return {day: max(values) for day, values in by_day.items() if len(values) >= LEAST_HOURS}


def _foretold_maxima(
    branch: Branch, forecasts: Sequence[Forecast], observed: Mapping[dt.datetime, float]
) -> dict[dt.date, float]:
    """What the day before had said of each day's maximum."""
    by_day: dict[dt.date, list[float]] = {}
    for one in compare(forecasts, observed, branch.zone):
        if one.lead_days == 1:
            by_day.setdefault(one.day, []).append(one.forecast_f)
    return {day: max(values) for day, values in by_day.items() if len(values) >= LEAST_HOURS}


def _range(band: Band) -> Range:
    return Range(band.p10_f, band.p50_f, band.p90_f)


def _offsets(branch: Branch, days: Sequence[dt.date]) -> list[float]:
    """The clock's UTC offset at each day's noon, in hours."""
    noons = [dt.datetime(day.year, day.month, day.day, 12, tzinfo=branch.zone) for day in days]
    return [(noon.utcoffset() or dt.timedelta()) / dt.timedelta(hours=1) for noon in noons]
