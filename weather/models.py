"""What a branch knows of its weather: climate, forecasts, and what came."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django.db import models
from django.db.models import Q

from shop.models import Branch
from weather.backtest_run import BacktestRun as BacktestRun  # found by Django here
from weather.climate import Climate
from weather.forecast import COLDEST_F, HOTTEST_F, Forecast, ForecastHour
from weather.skill import START_SKILL, Skill


class BranchClimate(models.Model):
    """The climate that a branch plans on: where it comes from, and its numbers."""

    branch = models.OneToOneField("shop.Branch", on_delete=models.CASCADE, related_name="climate")
    # The fields of Climate that are numbers; the others are columns below, to be read by people.
    coefficients = models.JSONField()
    station = models.CharField(max_length=40)
    place = models.CharField(max_length=120)
    source = models.CharField(max_length=200)
    period = models.CharField(max_length=40)
    demonstration = models.BooleanField(
        default=False, help_text="Another place's climate, to try Redbud with"
    )
    imported_at = models.DateTimeField()

    def __str__(self) -> str:
        return f"{self.place}, {self.period}"

    def climate(self) -> Climate:
        """The climate as the planning mathematics takes it."""
        return Climate.from_dict(
            {
                **self.coefficients,
                "station": self.station,
                "place": self.place,
                "source": self.source,
                "period": self.period,
                "demonstration": self.demonstration,
            }
        )


class ForecastPlace(models.Model):
    """Where the forecast service keeps a branch, and how asking it has gone."""

    branch = models.OneToOneField(Branch, on_delete=models.CASCADE, related_name="forecast_place")
    source = models.CharField(max_length=20)
    address = models.URLField(max_length=300, blank=True, help_text="Of the hourly forecast")
    resolved_at = models.DateTimeField(null=True, blank=True)
    asked_at = models.DateTimeField(null=True, blank=True)
    good_until = models.DateTimeField(null=True, blank=True, help_text="Not asked again before")
    trouble = models.CharField(max_length=300, blank=True)
    trouble_since = models.DateTimeField(null=True, blank=True)
    station = models.CharField(max_length=20, blank=True, help_text="Where the hours are observed")
    # Of what the forecast has missed here before; {} while nothing is learnt.
    skill = models.JSONField(default=dict, blank=True)
    learnt_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="trouble_says_since_when",
                condition=Q(trouble="", trouble_since=None)
                | (~Q(trouble="") & Q(trouble_since__isnull=False)),
            )
        ]

    def __str__(self) -> str:
        return f"{self.branch}: {self.trouble or self.source}"

    def known_skill(self) -> Skill:
        return Skill.from_dict(self.skill) if self.skill else START_SKILL


class BranchForecastQuerySet(models.QuerySet["BranchForecast"]):
    def of(self, branch: Branch) -> BranchForecastQuerySet:
        return self.filter(branch=branch)


class BranchForecast(models.Model):
    """One forecast as it was fetched. `hours`: see `hours_kept`."""

    branch = models.ForeignKey(Branch, on_delete=models.CASCADE, related_name="forecasts")
    source = models.CharField(max_length=20)
    updated_at = models.DateTimeField(help_text="When the service made it")
    fetched_at = models.DateTimeField()
    hours = models.JSONField()
    notes = models.JSONField(default=list, blank=True, help_text="What was put right")

    objects = BranchForecastQuerySet.as_manager()

    class Meta:
        ordering = ["-updated_at", "-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["branch", "source", "updated_at"], name="a_forecast_is_kept_once"
            )
        ]
        indexes = [models.Index(fields=["branch", "-updated_at"], name="newest_forecast_first")]

    def __str__(self) -> str:
        return f"{self.branch}, {self.updated_at:%Y-%m-%d %H:%M}"

    def forecast(self) -> Forecast:
        """As the mathematics takes it."""
        hours = tuple(
            ForecastHour(dt.datetime.fromtimestamp(at, dt.UTC), *rest) for at, *rest in self.hours
        )
        return Forecast(self.source, self.updated_at, self.fetched_at, hours)


def hours_kept(forecast: Forecast) -> list[list[Any]]:
    """Seconds since 1970 and the other values of each hour, for `BranchForecast.hours`."""
    return [
        [int(h.at.timestamp()), h.temperature_f, h.wind_mph, h.precipitation_percent, h.conditions]
        for h in forecast.hours
    ]


class ObservedHourQuerySet(models.QuerySet["ObservedHour"]):
    def of(self, branch: Branch) -> ObservedHourQuerySet:
        return self.filter(branch=branch)

    def between(self, first: dt.datetime, last: dt.datetime) -> ObservedHourQuerySet:
        return self.filter(at__gte=first, at__lt=last)


class ObservedHour(models.Model):
    """What the thermometer said at an hour near the branch, °F."""

    branch = models.ForeignKey(Branch, on_delete=models.CASCADE, related_name="observed_hours")
    at = models.DateTimeField()
    temperature_f = models.FloatField()
    source = models.CharField(max_length=60)

    objects = ObservedHourQuerySet.as_manager()

    class Meta:
        ordering = ["at"]
        constraints = [
            models.UniqueConstraint(fields=["branch", "at"], name="an_hour_is_observed_once"),
            models.CheckConstraint(
                name="an_observed_hour_is_in_fahrenheit",
                condition=Q(temperature_f__gte=COLDEST_F, temperature_f__lte=HOTTEST_F),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.at:%Y-%m-%d %H:%M}: {self.temperature_f:g} °F"
