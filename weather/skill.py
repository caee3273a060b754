"""How far forecasts of a place are off, by days ahead: at first the published figures, then learnt.

Pure. A day ahead is counted by the place's calendar: 0 is today.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Self

import numpy as np

from weather.blending import LEAD_SD_F

LEADS = len(LEAD_SD_F)
# How many cases of a place's own weigh as much as the published figures (own choice): about a
# month of working hours, whose errors on one day are nearly one case.
PRIOR_DAYS = 30.0
LEAST_SD_F = 1.0
# What is learnt now is learnt from these days before and after today's date, of this year and the
# last: a lake makes forecasts too cold in April and right in October (decision 11).
SEASON_DAYS = 60


@dataclass(frozen=True, slots=True)
class Case:
    """A forecast that can be compared: `lead_days` ahead, what it said and what came, °F."""

    lead_days: int
    forecast_f: float
    observed_f: float
    day: int  # which day, as a number: errors of one day count as one case

    def __post_init__(self) -> None:
        if self.lead_days < 0:
            raise ValueError(
                f"A forecast for {-self.lead_days} days before it was made is none; "
                "days ahead begin at 0."
            )


@dataclass(frozen=True)
class Skill:
    """By days ahead, 0 to 7: mean of forecast minus observed, its SD, and the days learnt from."""

    bias_f: tuple[float, ...]
    sd_f: tuple[float, ...]
    days: tuple[int, ...]

    def __post_init__(self) -> None:
        if {len(self.bias_f), len(self.sd_f), len(self.days)} != {LEADS}:
            raise ValueError(f"A skill has {LEADS} leads, from today to {LEADS - 1} days ahead.")

    def to_dict(self) -> dict[str, list[float]]:
        return {"bias_f": list(self.bias_f), "sd_f": list(self.sd_f), "days": list(self.days)}

    @classmethod
    def from_dict(cls, values: dict[str, list[float]]) -> Self:
        days = tuple(int(count) for count in values["days"])
        return cls(tuple(values["bias_f"]), tuple(values["sd_f"]), days)


START_SKILL = Skill((0.0,) * LEADS, LEAD_SD_F, (0,) * LEADS)
"""What a place begins with: no bias, and the published spread."""


def same_season(day: date, today: date) -> bool:
    """Whether the two lie within SEASON_DAYS of each other, whatever the year."""
    apart = abs((today - day).days) % 365
    return min(apart, 365 - apart) <= SEASON_DAYS


def learn(cases: Iterable[Case], start: Skill = START_SKILL) -> Skill:
    """The place's own bias and spread, drawn towards `start` where it has few days.

    The bias is the mean of all errors, the spread that of all errors about it; both count for as
    much as the days that they come from, however many hours each had, against PRIOR_DAYS of the
    start. Leads beyond the last are left out.
    """
    by_lead: dict[int, list[Case]] = {}
    for case in cases:
        if case.lead_days < LEADS:
            by_lead.setdefault(case.lead_days, []).append(case)
    rows = [_learn_lead(by_lead.get(lead, []), start, lead) for lead in range(LEADS)]
    bias_f, sd_f, days = zip(*rows, strict=True)
    return Skill(bias_f, sd_f, days)


def _learn_lead(cases: Sequence[Case], start: Skill, lead: int) -> tuple[float, float, int]:
    days = len({case.day for case in cases})
    if not days:
        return start.bias_f[lead], start.sd_f[lead], 0
    errors = np.array([case.forecast_f - case.observed_f for case in cases])
    own = days / (days + PRIOR_DAYS)
    bias = own * float(errors.mean()) + (1.0 - own) * start.bias_f[lead]
    variance = own * float(np.mean((errors - bias) ** 2)) + (1.0 - own) * start.sd_f[lead] ** 2
    return bias, max(math.sqrt(variance), LEAST_SD_F), days
