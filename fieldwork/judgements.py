"""A record's judgement: made by the pure core, kept in the row as JSON."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterable
from dataclasses import asdict, dataclass
from typing import Any

from customers.models import System
from fieldwork.models import Entry, Record
from fieldwork.reading import (
    earlier_visits,
    equipment_of,
    lists_for,
    readings_of,
    replaced_until,
    systems_of,
    with_plate_read,
)
from fieldwork.readings import Judgement, Outcome, Verdict, judge
from scheduling.models import Visit


@dataclass(frozen=True)
class Judged:
    """One system of a visit and what its readings mean."""

    system: System
    judgement: Judgement

    @property
    def judged(self) -> list[Verdict]:
        """What was judged, the worst first."""
        order = (Outcome.ACT, Outcome.WATCH, Outcome.WITHIN)
        found = [verdict for verdict in self.judgement.verdicts if verdict.judged]
        return sorted(found, key=lambda verdict: order.index(verdict.outcome))

    @property
    def not_judged(self) -> list[Verdict]:
        """What this equipment has and the readings do not tell yet."""
        return [v for v in self.judgement.verdicts if v.applies and not v.judged]


def judge_visit(visit: Visit, record: Record | None, entries: Iterable[Entry]) -> list[Judged]:
    """Every system of the visit that has a check list. `record` None: nothing was typed yet."""
    home, branch = visit.owed_visit.home, visit.season.branch
    typed = list(entries)
    found = []
    for system in systems_of(visit):
        on_file = equipment_of(system, home, branch)
        lists = lists_for(visit, on_file)
        if not lists:
            continue
        readings = readings_of(typed, system)
        replaced = replaced_until(system, record) if record else {}
        judgement = judge(
            with_plate_read(on_file, readings),
            readings,
            earlier_visits(system, record, replaced) if record else (),
            lists=lists,
            today=record.day if record else None,
            replaced=replaced.get(record.day, frozenset()) if record else frozenset(),
        )
        found.append(Judged(system, judgement))
    return found


def owes_its_test(visit: Visit, judged: Iterable[Judged]) -> bool:
    """Does a cooling test of the visit stay owed after these readings?"""
    return visit.needs_warmth and any(
        one.system.cools and one.judgement.test == "owed" for one in judged
    )


def why_owed(judged: Iterable[Judged]) -> str:
    """Why the cooling test could not be judged, in a sentence."""
    reasons = [
        reason
        for one in judged
        if one.system.cools and one.judgement.test == "owed"
        for reason in one.judgement.gate.reasons
    ]
    return " ".join(dict.fromkeys(reasons)) or "Readings for the cooling test are missing."


def stored(judged: Iterable[Judged]) -> dict[str, Any]:
    """As Record.judgement keeps it: plain JSON, by the system's id."""
    return {str(one.system.pk): _plain(asdict(one.judgement)) for one in judged}


def _plain(value: Any) -> Any:
    def word(other: Any) -> str:
        return other.isoformat() if isinstance(other, dt.date) else str(other)

    return json.loads(json.dumps(value, default=word))
