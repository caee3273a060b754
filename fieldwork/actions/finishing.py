"""The verb that ends a trip: judges what was read, and says what became of the visit."""

from __future__ import annotations

import datetime as dt

from customers.actions import mark_checked
from fieldwork.actions.refusals import Kept
from fieldwork.events import BadEvent
from fieldwork.judgements import Judged, judge_visit, owes_its_test, stored, why_owed
from fieldwork.models import Outcome, Record
from scheduling.actions.slots import SlotRefused, SlotTaken
from scheduling.actions.visits import complete_visit, leave_test_owed, miss_visit
from scheduling.models import Outcome as TripOutcome
from scheduling.models import Visit
from scheduling.states import StepRefused
from shop.models import User

LONGEST_WHY = 200
NOBODY = "Nobody was home."
COLD = "It was too cold outdoors to test."


def finish_record(
    *, record: Record, visit: Visit, kind: str, why: str, at: dt.datetime, by: User | None = None
) -> Record:
    """End a trip by one of the closing buttons, pressed `at`.

    Raises Kept when the visit had changed, BadEvent for a button that does not fit it.
    """
    if record.completed_at:
        raise Kept(f"The record was already finished: {record.get_outcome_display()}.")
    if kind == Outcome.TOO_COLD and not visit.needs_warmth:
        raise BadEvent("Only a cooling check can be too cold to test.")
    entries = list(record.entries.all())
    judged = judge_visit(visit, record, entries)
    try:
        record.outcome = _settle_visit(visit, kind, why, bool(entries), judged, at, by)
    except (StepRefused, SlotTaken, SlotRefused) as changed:
        raise Kept(f"The office changed this visit meanwhile. {changed}") from changed
    record.why, record.completed_at, record.left_at = why, at, at
    _write_judgement(record, judged)
    record.save()
    if record.outcome == Outcome.DONE:
        for one in judged:
            mark_checked(system=one.system, on=record.day, by=str(record.technician))
    return record


def judge_again(*, record: Record, visit: Visit) -> Record:
    """Bring a finished record's judgement up to what its readings are now; its end stays."""
    record.refresh_from_db()
    if record.completed_at:
        _write_judgement(record, judge_visit(visit, record, list(record.entries.all())))
        record.save(update_fields=["judgement", "rules_version"])
    return record


def _write_judgement(record: Record, judged: list[Judged]) -> None:
    record.judgement = stored(judged)
    record.rules_version = judged[0].judgement.rules_version if judged else ""


def _settle_visit(
    visit: Visit,
    kind: str,
    why: str,
    worked: bool,
    judged: list[Judged],
    at: dt.datetime,
    by: User | None,
) -> str:
    """Close the visit, leave its cooling test owed, or miss it; answers the record's outcome."""
    owed = owes_its_test(visit, judged)
    if kind == Outcome.DONE and not owed:
        complete_visit(visit=visit, now=at, by=by)
    elif kind == Outcome.DONE:
        leave_test_owed(visit=visit, now=at, by=by, why=why_owed(judged)[:LONGEST_WHY])
        return Outcome.TEST_OWED
    elif kind == Outcome.NOBODY_HOME:
        miss_visit(visit=visit, now=at, by=by, why=why or NOBODY, outcome=TripOutcome.ABSENT)
    elif worked and owed:
        leave_test_owed(visit=visit, now=at, by=by, why=why or COLD)
    else:
        lost = TripOutcome.COLD if kind == Outcome.TOO_COLD else TripOutcome.LOST
        miss_visit(visit=visit, now=at, by=by, why=why or COLD, outcome=lost)
    return kind
