"""What the plan room shows: the run under way, the plans made, and what stands in a plan's way."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from kit import words
from kit.pictures.curve import CurvePicture, draw_curve
from scheduling.models import RunKind, RunState, Season, SeasonRun, Technician, Visit
from weather.models import BranchClimate

PLANS_SHOWN = 8
NAMED = 3
BOUND_COMES_WITHIN = dt.timedelta(minutes=1)


@dataclass(frozen=True, slots=True)
class Note:
    """A sentence before a plan is started; `level` as kit/notice.html takes it."""

    level: str
    text: str


def notes_on(season: Season, today: dt.date) -> list[Note]:
    """What would make a plan empty or poor, in words. A few queries, however large the season."""
    return list(_notes(season, today))


def _notes(season: Season, today: dt.date) -> Iterator[Note]:
    branch = season.branch
    if season.ends_on <= today:
        yield Note("error", f"{season} ends on {season.ends_on:%B %-d, %Y}: no day of it is left.")
    if not BranchClimate.objects.filter(branch=branch).exists():
        yield Note("error", "This branch has no climate yet, so no day's warmth is known.")
    visits = Visit.objects.for_season(season).open()
    if not visits.exists():
        yield Note("warning", "No visit is owed in this season, so there is nothing to plan.")
    crew = list(Technician.objects.of(branch).active().prefetch_related("shifts"))
    if not crew:
        yield Note("warning", "This branch has no technician, so every visit stays without a slot.")
    elif not any(one.shifts.all() for one in crew):
        yield Note("warning", "No technician has working hours yet, so nothing can be placed.")
    nowhere = visits.filter(owed_visit__agreement__home__latitude=None).count()
    if nowhere:
        have = "home has" if nowhere == 1 else "homes have"
        yield Note("warning", f"{nowhere} {have} no place on the map and cannot be planned.")
    homeless = [one.name for one in crew if one.latitude is None]
    if homeless:
        who = _named(homeless)
        yield Note("info", f"No start place is on file for {who}: days begin at the branch.")


def _named(names: Sequence[str]) -> str:
    shown = ", ".join(names[:NAMED])
    return f"{shown} and {len(names) - NAMED} more" if len(names) > NAMED else shown


def summed(parts: Sequence[SeasonRun]) -> dict:
    """The progress of areas, or of branches, as one; nothing until the first of them has any."""
    told = [part.progress for part in parts if part.progress.get("placed") is not None]
    if not told:
        return {}
    sums = {
        name: round(sum(one.get(name, 0) for one in told), 1)
        for name in ("placed", "cold_trips", "travel_min", "score", "visits")
    }
    return sums | {"seconds": max(one.get("seconds", 0) for one in told), "of": len(parts),
                   "ended": sum(not part.under_way for part in parts)}  # fmt: skip


def progress_of(run: SeasonRun) -> dict:
    """What the page shows of a run: its own figures, or the sum of its areas."""
    if run.state != RunState.PARTS:
        return run.progress
    return run.progress | summed(list(run.parts.light()))


def curve_of(run: SeasonRun, progress: dict) -> CurvePicture | None:
    longest = run.seconds if run.under_way else 0.0
    return draw_curve(progress.get("curve", ()), longest)


def polls(run: SeasonRun, now: dt.datetime) -> str:
    """How often the page asks again, as HTMX writes it; "": never. The bound comes a little after
    its plan, and a worker killed meanwhile does not bring it."""
    if run.under_way:
        return "1s"
    if run.state != RunState.READY or run.kind != RunKind.PLAN or run.ended_at is None:
        return ""
    waits = "fewest_cold" not in run.progress and now - run.ended_at < BOUND_COMES_WITHIN
    return "3s" if waits else ""


def plans_of(season: Season) -> list[SeasonRun]:
    """The newest plans that can be looked at, without the plans themselves."""
    runs = season.runs.with_a_plan().filter(kind=RunKind.PLAN)
    return list(runs.light().select_related("asked_by", "applied_by")[:PLANS_SHOWN])


def newest_applied(plans: list[SeasonRun]) -> SeasonRun | None:
    """The one that can still be undone, if any can: an older one waits for the newer ones."""
    applied = [
        (plan.applied_at, plan.pk, plan)
        for plan in plans
        if plan.state == RunState.APPLIED and plan.applied_at
    ]
    return max(applied)[-1] if applied else None


def what_ifs_of(season: Season) -> list[SeasonRun]:
    return list(season.runs.whole().filter(kind=RunKind.WHAT_IF).light()[:PLANS_SHOWN])


def named(run: SeasonRun) -> str:
    """A plan as one speaks of it: "Thu, May 20, 10:00 AM, 15 s"."""
    local = run.asked_at.astimezone(run.season.branch.zone)
    return f"{words.day_name(local)}, {words.clock(local)}, {run.seconds:g} s"
