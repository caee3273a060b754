"""What a look at the outlook proposes, as steps in words for the office. No row is written here."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from kit import words
from kit.when import moment_at
from scheduling import planner
from scheduling.looking import Look
from scheduling.models import RepairStep, What
from scheduling.outlooks import source_on

Steps = list[tuple[RepairStep, list[RepairStep]]]
"""Each step with those that only make room for it; none of them is written yet."""


def steps_of(look: Look, proposals: list[planner.Proposal]) -> Steps:
    return [_step_and_companions(look, proposal) for proposal in proposals]


def _step_and_companions(
    look: Look, proposal: planner.Proposal
) -> tuple[RepairStep, list[RepairStep]]:
    lead = _step(look, proposal.move, What(str(proposal.kind)))
    lead.warmth_before, lead.warmth_after = proposal.warmth_before, proposal.warmth_after
    lead.why = _why(look, lead)
    companions = [_step(look, move, What.MAKE_ROOM) for move in proposal.makes_room]
    for step in companions:
        step.why = _why_it_makes_room(step, lead)
    return lead, companions


def _step(look: Look, move: planner.Move, what: What) -> RepairStep:
    row = look.row(move.visit)
    step = RepairStep(
        visit=row,
        version=look.snapshot.versions[str(row.pk)],
        what=what,
        from_technician_id=row.technician_id,
        from_starts_at=row.starts_at,
    )
    if move.after is not None:
        workday = look.problem.workdays[move.after.workday]
        zone, day = look.season.branch.zone, look.snapshot.day_of(workday.day)
        length = dt.timedelta(minutes=look.problem.visits[move.visit].service_min)
        step.to_technician_id = int(workday.technician)
        step.to_starts_at = moment_at(day, move.after.start_min, zone)
        step.to_ends_at = step.to_starts_at + length
    return step


def _why(look: Look, step: RepairStep) -> str:
    """The reason as the office reads it."""
    zone, outlook = look.season.branch.zone, look.snapshot.outlook
    parts = list[str]()
    if step.what == What.FILL:
        parts.append("On the short-notice list.")
    elif step.from_starts_at is not None:
        was = step.from_starts_at.astimezone(zone)
        source = source_on(outlook, was.date(), zone)
        limit = words.percent(look.season.branch.hold_limit)
        warmth = words.warmth(step.warmth_before)
        parts.append(f"{_at(was)} is {warmth} by the {source}; the hold limit is {limit}.")
    if step.to_starts_at is not None:
        becomes = step.to_starts_at.astimezone(zone)
        source = source_on(outlook, becomes.date(), zone)
        parts.append(f"{_at(becomes)} is {words.warmth(step.warmth_after)} by the {source}.")
        sooner = step.what != What.RELEASE and step.what != What.FILL
        if sooner and (becomes.date() - look.today).days < look.season.branch.notice_days:
            parts.append("The customer can come at short notice.")
    else:
        last = words.short_day(look.last_promised)
        parts.append(f"No warm time that suits is free until {last}.")
    return " ".join(parts)[:300]


def _at(moment: dt.datetime) -> str:
    return f"{words.day_name(moment)}, {words.clock(moment)},"


def _why_it_makes_room(step: RepairStep, lead: RepairStep) -> str:
    gives = f"Gives its time to {lead.visit.owed_visit.home.customer}"
    if step.to_starts_at is None:
        return f"{gives}; the next plan places it."
    return f"{gives}." if step.visit.needs_warmth else f"{gives}, for it needs no warmth."


def refused_warmths(steps: Iterable[RepairStep]) -> dict[int, float]:
    """Refused steps of visits that have not changed since, as `Look.to_decide` asks for them."""
    found: dict[int, float] = {}
    for step in steps:
        if step.version == step.visit.version and step.warmth_before is not None:
            found[step.visit_id] = min(step.warmth_before, found.get(step.visit_id, 2.0))
    return found
