"""Forms of the plan room: how long to search, what to try, what to compare."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import Any

from django import forms

from scheduling.comparing import NOW
from scheduling.models import Season, SeasonRun
from scheduling.plan_room import named
from scheduling.what_if import (
    LOWER_TEST_F,
    MORE_CUSTOMERS,
    PROMISES,
    SATURDAYS,
    SHORT_NOTICE,
    TECHNICIAN_WEEK,
    TEST_TEMPERATURE,
    words_of,
)

SECONDS = [(5, "5 seconds"), (15, "15 seconds"), (60, "a minute"), (300, "5 minutes")]
MOST_WEEKS = 60


class RunForm(forms.Form):
    """Plan the season."""

    seconds = forms.TypedChoiceField(label="Search for", coerce=int, choices=SECONDS, initial=15)
    promises_move = forms.BooleanField(required=False, label="Promised times may move")


class WhatIfForm(forms.Form):
    """Try the season with something changed."""

    what = forms.ChoiceField()
    seconds = forms.TypedChoiceField(
        label="Search each for", coerce=int, choices=SECONDS[:3], initial=5
    )

    def __init__(self, *args: Any, season: Season, today: dt.date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.changes = dict(_changes(season, today))
        choices = [(name, words_of(change)) for name, change in self.changes.items()]
        self.fields["what"] = forms.ChoiceField(label="What if", choices=choices)

    @property
    def change(self) -> dict:
        return self.changes[self.cleaned_data["what"]]


def _changes(season: Season, today: dt.date) -> list[tuple[str, dict]]:
    fixed: list[tuple[str, dict]] = [
        (SATURDAYS, {"what": SATURDAYS}),
        (TEST_TEMPERATURE, {"what": TEST_TEMPERATURE, "f": LOWER_TEST_F}),
        (SHORT_NOTICE, {"what": SHORT_NOTICE, "customers": MORE_CUSTOMERS}),
        (PROMISES, {"what": PROMISES}),
    ]
    weeks: list[tuple[str, dict]] = [
        (f"{TECHNICIAN_WEEK}-{day.isoformat()}", {"what": TECHNICIAN_WEEK, "week": day.isoformat()})
        for day in _mondays(max(season.starts_on, today + dt.timedelta(days=1)), season.ends_on)
    ]
    return fixed + weeks


def _mondays(first: dt.date, last: dt.date) -> list[dt.date]:
    """The weeks that the days touch, by their Mondays."""
    monday = first - dt.timedelta(days=first.weekday())
    weeks = (last - monday).days // 7 + 1
    return [monday + dt.timedelta(weeks=n) for n in range(min(max(weeks, 0), MOST_WEEKS))]


class CompareForm(forms.Form):
    """Two plans side by side; anything unknown is the first choice, not an error page."""

    def __init__(self, data: Any, *, runs: Sequence[SeasonRun]) -> None:
        super().__init__(data or None)
        standing = (NOW, "the season as it stands")
        plans = [(str(run.pk), f"the plan of {named(run)}") for run in runs]
        self.offered = {"a": [standing, *plans], "b": [*plans, standing]}
        for name, label in (("a", "Compare"), ("b", "with")):
            self.fields[name] = forms.ChoiceField(label=label, choices=self.offered[name])

    @property
    def chosen(self) -> tuple[str, str]:
        return self._chosen("a"), self._chosen("b")

    def _chosen(self, name: str) -> str:
        known = [value for value, _ in self.offered[name]]
        asked = str(self.data.get(name, "")) if self.is_bound else ""
        return asked if asked in known else known[0]
