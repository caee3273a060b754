"""What a run proposes, by row ids: read from a Plan, kept as JSON, compared with what stands.

No row is written here; scheduling.actions.apply does that.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from functools import partial
from zoneinfo import ZoneInfo

from kit import words
from kit.when import minute_of_day, moment_at
from scheduling import planner, states
from scheduling.models import SeasonRun, Visit
from scheduling.snapshot import Snapshot

DAY_MIN = 24 * 60


@dataclass(frozen=True, slots=True)
class Placing:
    """A visit in its proposed slot, with why it stands there."""

    visit: int
    technician: int
    starts_at: dt.datetime
    ends_at: dt.datetime
    warmth: float | None
    travel_added_min: float


@dataclass(frozen=True, slots=True)
class Leaving:
    """A visit without a slot: held for warmth, or owed for another reason."""

    visit: int
    state: str
    why: str
    release: str


@dataclass(frozen=True, slots=True)
class Proposal:
    placings: tuple[Placing, ...] = ()
    leavings: tuple[Leaving, ...] = ()

    def to_json(self) -> dict:
        return {
            "placings": [
                [p.visit, p.technician, p.starts_at.isoformat(), p.ends_at.isoformat(),
                 p.warmth, p.travel_added_min]
                for p in self.placings
            ],
            "leavings": [[x.visit, x.state, x.why, x.release] for x in self.leavings],
        }  # fmt: skip

    @classmethod
    def from_json(cls, kept: dict) -> Proposal:
        moment = dt.datetime.fromisoformat
        return cls(
            tuple(
                Placing(visit, technician, moment(start), moment(end), warmth, travel)
                for visit, technician, start, end, warmth, travel in kept.get("placings", ())
            ),
            tuple(Leaving(*row) for row in kept.get("leavings", ())),
        )


def propose(snapshot: Snapshot, plan: planner.Plan) -> Proposal:
    """Read a plan back into row ids, with the reason for every visit."""
    placings, leavings = [], []
    reasons = planner.explain_all(
        snapshot.problem, plan, lambda day: f"{snapshot.day_of(day):%b %-d}"
    )
    for visit, slot, reason in zip(snapshot.problem.visits, plan.slots, reasons, strict=True):
        if slot is None or isinstance(reason, planner.WhyNot):
            assert isinstance(reason, planner.WhyNot)
            leavings.append(_leaving(snapshot, int(visit.key), reason))
        elif not visit.fixed:
            placings.append(_placing(snapshot, slot, reason))
    return Proposal(tuple(placings), tuple(leavings))


def _placing(snapshot: Snapshot, slot: planner.Slot, reason: planner.WhyHere) -> Placing:
    visit = snapshot.problem.visits[slot.visit]
    workday = snapshot.problem.workdays[slot.workday]
    zone, day = snapshot.season.branch.zone, snapshot.day_of(workday.day)
    starts_at = moment_at(day, slot.start_min, zone)
    return Placing(
        visit=int(visit.key),
        technician=int(workday.technician),
        starts_at=starts_at,
        ends_at=starts_at + dt.timedelta(minutes=visit.service_min),
        warmth=reason.warmth,
        travel_added_min=round(reason.travel_added_min, 1),
    )


def _leaving(snapshot: Snapshot, visit: int, reason: planner.WhyNot) -> Leaving:
    if reason.code != planner.NOT_WARM:
        return Leaving(visit, states.OWED, reason.words, "")
    limit = words.percent(snapshot.problem.least_warmth)
    release = f"a day that suits and is warm enough with {limit} or more"
    return Leaving(visit, states.HELD, reason.words, release)


def plan_of(snapshot: Snapshot, kept: dict, least_share: float = 0.5) -> planner.Plan | None:
    """What to go on from: a kept proposal where there is one, and what stands in the season.

    None when fewer than `least_share` of the visits stand: a search does better from nothing then.
    """
    slots = _standing(snapshot)
    zone = snapshot.season.branch.zone
    for placing in Proposal.from_json(kept).placings:
        index = snapshot.visit_index.get(placing.visit)
        local = placing.starts_at.astimezone(zone)
        workday = snapshot.workday_index.get(
            (placing.technician, (local.date() - snapshot.first_day).days)
        )
        if index is not None and workday is not None and not snapshot.problem.visits[index].fixed:
            slots[index] = planner.Slot(index, workday, minute_of_day(placing.starts_at, zone))
    standing = sum(slot is not None for slot in slots)
    enough = standing > 0 and standing >= least_share * len(slots)
    return planner.Plan(tuple(slots)) if enough else None


def _standing(snapshot: Snapshot) -> list[planner.Slot | None]:
    return [
        planner.Slot(index, visit.kept.workday, visit.kept.start_min) if visit.kept else None
        for index, visit in enumerate(snapshot.problem.visits)
    ]


@dataclass(frozen=True)
class Change:
    """One visit before and after."""

    visit: Visit
    placing: Placing | None
    leaving: Leaving | None
    technicians: dict[int, str]
    zone: ZoneInfo

    @property
    def was(self) -> str:
        return self._slot(self.visit.starts_at, self.visit.technician_id)

    @property
    def becomes(self) -> str:
        return self._slot(self.placing.starts_at, self.placing.technician) if self.placing else ""

    def _slot(self, starts_at: dt.datetime | None, technician: int | None) -> str:
        if starts_at is None or technician is None:
            return ""
        local = starts_at.astimezone(self.zone)
        return f"{words.day_name(local)}, {words.clock(local)}, {self.technicians[technician]}"

    @property
    def why(self) -> str:
        if self.leaving:
            return self.leaving.why
        return words.warmth(self.placing.warmth).capitalize() if self.placing else ""


@dataclass(frozen=True)
class Difference:
    """What applying would change, by kind of change."""

    placed: list[Change] = field(default_factory=list)
    moved: list[Change] = field(default_factory=list)
    taken_out: list[Change] = field(default_factory=list)
    held: list[Change] = field(default_factory=list)
    without_a_slot: list[Change] = field(default_factory=list)
    same: int = 0

    @property
    def promises_moved(self) -> int:
        """How many customers would get a letter with another time."""
        return sum(change.visit.state in states.AGREED for change in self.moved)


def difference(run: SeasonRun) -> Difference:
    """Compare a run's proposal with what stands in the season now."""
    found = Difference()
    proposal = Proposal.from_json(run.best)
    rows = Visit.objects.for_season(run.season).with_home().in_bulk()
    branch = run.season.branch
    names = dict(branch.technicians.values_list("pk", "name"))
    change = partial(Change, technicians=names, zone=branch.zone)
    same = 0
    for placing in proposal.placings:
        row = rows[placing.visit]
        made = change(row, placing, None)
        if row.starts_at is None:
            found.placed.append(made)
        elif (row.technician_id, row.starts_at) != (placing.technician, placing.starts_at):
            found.moved.append(made)
        else:
            same += 1
    for leaving in proposal.leavings:
        row = rows[leaving.visit]
        if row.starts_at is not None:
            found.taken_out.append(change(row, None, leaving))
        elif leaving.state == states.HELD:
            found.held.append(change(row, None, leaving))
        else:
            found.without_a_slot.append(change(row, None, leaving))
    return Difference(
        found.placed, found.moved, found.taken_out, found.held, found.without_a_slot, same
    )
