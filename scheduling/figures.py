"""What a season comes to, in figures: two queries, read by the screens and the commands."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import Case, Count, F, FloatField, Q, Sum, Value, When

from scheduling import states
from scheduling.models import RunState, Season, State, Visit


@dataclass(frozen=True, slots=True)
class SeasonFigures:
    """Counts of visits by state, and what the placed ones cost."""

    owed_in_all: int
    owed: int
    pencilled: int
    offered: int
    promised: int
    held: int
    done: int
    missed: int
    waived: int
    cold_trips: float
    travel_a_visit_min: float | None  # of the plan applied last; None: none was

    @property
    def placed(self) -> int:
        return self.pencilled + self.offered + self.promised


def season_figures(season: Season) -> SeasonFigures:
    """Count the season's visits; expected cold trips are summed over placed cooling checks."""
    counted = {state: Count("pk", filter=Q(state=state)) for state in State.values}
    booked = Q(state__in=(states.PENCILLED, *states.AGREED))
    cold = Case(
        When(booked & Q(warmth__isnull=False), then=1.0 - F("warmth")),
        default=Value(0.0),
        output_field=FloatField(),
    )
    row = Visit.objects.for_season(season).aggregate(
        **counted,
        in_all=Count("pk"),
        cold_trips=Sum(cold),
    )
    return SeasonFigures(
        owed_in_all=row["in_all"],
        cold_trips=row["cold_trips"] or 0.0,
        travel_a_visit_min=_travel_a_visit(season),
        **{state: row[state] for state in State.values},
    )


def _travel_a_visit(season: Season) -> float | None:
    applied = season.runs.filter(state=RunState.APPLIED).only("progress").first()
    placed = applied.progress.get("placed") if applied else 0
    return applied.progress["travel_min"] / placed if applied and placed else None
