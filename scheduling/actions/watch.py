"""Verbs of the watch: each new outlook is looked at once, and what it asks for is proposed."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from django.db import transaction

from scheduling.actions.repairs import end_step
from scheduling.last_look import calls_off
from scheduling.looking import Look, look_at, seen_by
from scheduling.models import Repair, RepairStep, Season, SeasonWatch, StepState, Visit, What
from scheduling.outlooks import forecast_at, outlook_for
from scheduling.reading import SeasonCannotBePlanned
from scheduling.repairing import Steps, refused_warmths, steps_of

# A visit's warmth is written anew when it differs by more than half a per cent, as people read it.
SAME_WARMTH = 0.005


def watch_seasons(*, now: dt.datetime) -> int:
    """Look at every season that is not over and whose outlook is new; returns how many."""
    looked_at = 0
    seasons = Season.objects.select_related("branch", "watch").filter(
        ends_on__gte=now.date() - dt.timedelta(days=1)
    )
    for season in seasons:
        if not _is_new(season, now):
            continue
        try:
            propose_repairs(season=season, now=now)
        except SeasonCannotBePlanned:
            continue
        looked_at += 1
    return looked_at


def _is_new(season: Season, now: dt.datetime) -> bool:
    """A newer forecast, another source, or a new day, on which other visits must be decided."""
    watch: SeasonWatch | None = getattr(season, "watch", None)
    if watch is None:
        return True
    zone, outlook = season.branch.zone, outlook_for(season.branch, now)
    if outlook is None:
        return False
    if watch.looked_at.astimezone(zone).date() != now.astimezone(zone).date():
        return True
    return watch.forecast_at != forecast_at(outlook)


def propose_repairs(*, season: Season, now: dt.datetime) -> Repair | None:
    """Look at the weather anew and write what it asks for; None: nothing new.

    Safe to repeat. What is still proposed and still right stays; what the new outlook no longer
    asks for is withdrawn. Raises SeasonCannotBePlanned.
    """
    look = look_at(season, now)
    wanted = _wanted(look)
    with transaction.atomic():
        # Two watchers of one season queue up here.
        Season.objects.select_for_update().get(pk=season.pk)
        _remember(look)
        wanted = _still_true(wanted)
        new = _end_what_changed(wanted, look)
        return _write(new, look) if new else None


def _wanted(look: Look) -> Steps:
    """Repairs, releases and fills that do not stand in each other's way."""
    refused = RepairStep.objects.for_season(look.season).refused().select_related("visit")
    left = refused_warmths(refused)
    wanted = calls_off(look, left) + steps_of(look, look.proposals(left))
    no = {(step.visit_id, step.version, step.what, step.to_starts_at) for step in refused}
    return [
        (lead, companions) for lead, companions in wanted
        if lead.what not in (What.RELEASE, What.FILL)
        or (lead.visit_id, lead.version, lead.what, lead.to_starts_at) not in no
    ]  # fmt: skip


def _remember(look: Look) -> None:
    """The outlook that was looked at, and the warmth of what stands under it."""
    SeasonWatch.objects.update_or_create(
        season=look.season,
        defaults={
            "looked_at": look.now,
            "forecast_at": look.forecast_at,
            "source": look.source,
            "seen": seen_by(look),
        },
    )
    for index, warmth in look.warmths.items():
        row = look.row(index)
        if row.warmth is None or abs(row.warmth - warmth) > SAME_WARMTH:
            # No change of the visit: its version stays, and one changed meanwhile is left alone.
            seen = look.snapshot.versions[str(row.pk)]
            Visit.objects.filter(pk=row.pk, version=seen).update(warmth=warmth)


def _still_true(wanted: Steps) -> Steps:
    """Without what somebody changed while the outlook was looked at."""
    pks = [step.visit_id for lead, others in wanted for step in (lead, *others)]
    versions = dict(Visit.objects.filter(pk__in=pks).values_list("pk", "version"))
    return [
        (lead, others) for lead, others in wanted
        if all(versions[step.visit_id] == step.version for step in (lead, *others))
    ]  # fmt: skip


def _end_what_changed(wanted: Steps, look: Look) -> Steps:
    """End the open steps that are no longer wanted; returns what is wanted and not open yet."""
    new = {_key(lead, others): (lead, others) for lead, others in wanted}
    standing = RepairStep.objects.for_season(look.season).proposed().leading()
    for step in standing.select_related("visit").prefetch_related("companions"):
        again = new.pop(_key(step, step.companions.all()), None)
        if again is None:
            changed = step.visit.version != step.version
            state = StepState.OVERTAKEN if changed else StepState.WITHDRAWN
            why = "The visit has changed." if changed else f"Not by the {look.source}."
            end_step(step, state, why, look.now)
        else:
            fresh = {"why": again[0].why, "warmth_before": again[0].warmth_before}
            fresh["warmth_after"] = again[0].warmth_after
            RepairStep.objects.filter(pk=step.pk).update(**fresh)
    return list(new.values())


def _key(lead: RepairStep, others: Iterable[RepairStep]) -> tuple:
    """What makes two proposals the same."""
    return tuple(
        (s.visit_id, s.version, s.what, s.to_technician_id, s.to_starts_at)
        for s in (lead, *sorted(others, key=lambda s: s.visit_id))
    )


def _write(new: Steps, look: Look) -> Repair:
    repair = Repair.objects.create(
        season=look.season, made_at=look.now, forecast_at=look.forecast_at, source=look.source
    )
    for lead, companions in new:
        lead.repair = repair
        lead.save()
        for step in companions:
            step.repair, step.goes_with = repair, lead
        RepairStep.objects.bulk_create(companions)
    return repair
