"""A branch's outlook from its rows: the only bridge between them and weather.outlook."""

from __future__ import annotations

import datetime as dt

from shop.models import Branch
from weather.models import BranchClimate, BranchForecast
from weather.outlook import Outlook
from weather.skill import START_SKILL


class NoClimate(ValueError):
    """A branch that nobody has told what its days are like, in words for the office."""

    def __init__(self, branch: Branch) -> None:
        super().__init__(
            f"{branch} has no climate yet. Load one with manage.py import_climate, "
            "or ask whoever looks after this installation."
        )


def outlook_of(branch: Branch, now: dt.datetime) -> Outlook:
    """What is known now about the branch's coming hours. Two queries. Raises NoClimate."""
    row = BranchClimate.objects.filter(branch=branch).select_related("branch__forecast_place")
    kept = row.first()
    if kept is None:
        raise NoClimate(branch)
    newest = BranchForecast.objects.of(branch).filter(fetched_at__lte=now).first()
    place = getattr(kept.branch, "forecast_place", None)
    return Outlook(
        climate=kept.climate(),
        now=now,
        forecast=newest.forecast() if newest else None,
        skill=place.known_skill() if place else START_SKILL,
    )
