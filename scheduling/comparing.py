"""Plans side by side: their figures, the terms of their scores, and where they place visits."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from kit.pictures.ribbon import RibbonPicture
from scheduling import planner
from scheduling.figures import season_figures
from scheduling.models import Season, SeasonRun, Visit
from scheduling.progress import figures_of
from scheduling.proposal import Proposal, plan_of
from scheduling.reading import SeasonCannotBePlanned
from scheduling.ribbon import planned_ribbon, season_ribbon
from scheduling.snapshot import take_snapshot
from weather.outlook import Outlook

NOW = "now"
MOST_SCORED = 2500  # visits whose standing plan a page scores itself: about a second


@dataclass(frozen=True)
class Side:
    """One plan of a comparison. `figures`: placed, cold_trips, and when planned also travel_min,
    score, terms; `places`: visit -> its technician and start; `decides`: the visits that the plan
    was free to place (None: all that stand)."""

    label: str
    figures: dict
    ribbon: RibbonPicture | None
    places: dict[int, tuple[int, dt.datetime]]
    decides: frozenset[int] | None = None


@dataclass(frozen=True)
class TermRow:
    """One term of the score in every plan; None: the plan does not have it."""

    name: str
    unit: str
    cells: list[tuple[float, float] | None]


def as_it_stands(season: Season, today: dt.date, outlook: Outlook | None, now: dt.datetime) -> Side:
    """What is in the season now."""
    visits = Visit.objects.for_season(season)
    places = {
        pk: (technician, starts_at)
        for pk, technician, starts_at in visits.placed().values_list(
            "pk", "technician", "starts_at"
        )
        if technician is not None and starts_at is not None
    }
    return Side(
        "As the season stands",
        _figures_now(season, now),
        season_ribbon(season, visits, today, outlook) if outlook else None,
        places,
    )


def _figures_now(season: Season, now: dt.datetime) -> dict:
    """With the terms of its score where counting them takes no longer than a page may."""
    counted = season_figures(season)
    figures = {"placed": counted.placed, "cold_trips": round(counted.cold_trips, 1)}
    if counted.owed_in_all > MOST_SCORED:
        return figures
    try:
        snapshot = take_snapshot(season, now)
    except SeasonCannotBePlanned:
        return figures
    standing = plan_of(snapshot, {}, least_share=0.0)
    nothing = planner.Plan((None,) * len(snapshot.problem.visits))
    return figures_of(snapshot.problem, standing or nothing)


def side_of(run: SeasonRun, label: str, today: dt.date, outlook: Outlook | None) -> Side:
    return _side(run, label, run.progress, run.best, today, outlook)


def variants_of(run: SeasonRun, today: dt.date, outlook: Outlook | None) -> list[Side]:
    """The plans of a what-if, the season as it is first."""
    figures, plans = run.progress.get("variants", ()), run.best.get("variants", ())
    return [
        _side(run, its["label"], its, kept, today, outlook)
        for its, kept in zip(figures, plans, strict=False)
    ]


def _side(
    run: SeasonRun, label: str, figures: dict, kept: dict, today: dt.date, outlook: Outlook | None
) -> Side:
    proposal = Proposal.from_json(kept)
    places = {p.visit: (p.technician, p.starts_at) for p in proposal.placings}
    decides = places.keys() | {leaving.visit for leaving in proposal.leavings}
    ribbon = planned_ribbon(run.season, kept, today, outlook) if outlook else None
    return Side(label, figures, ribbon, places, frozenset(decides))


def term_rows(sides: Sequence[Side]) -> list[TermRow]:
    """The terms of all plans that have any, in the order of the score."""
    tables = [
        {name: (unit, amount, minutes) for name, amount, unit, _, minutes in terms}
        for side in sides
        for terms in [side.figures.get("terms", ())]
    ]
    if not any(tables):
        return []
    names = {name: unit for table in tables for name, (unit, _, _) in table.items()}
    return [
        TermRow(name, unit, [t[name][1:] if name in t else None for t in tables])
        for name, unit in names.items()
    ]


def elsewhere(first: Side, last: Side) -> int:
    """How many visits have another technician or start, or a slot in only one of the two.

    What one of them could not place, because it was done or promised, is no difference."""
    visits = first.places.keys() | last.places.keys()
    for side in (first, last):
        visits = visits & side.decides if side.decides is not None else visits
    return sum(first.places.get(pk) != last.places.get(pk) for pk in visits)
