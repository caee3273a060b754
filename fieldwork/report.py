"""The report of a visit for the customer: rows become a plain ReportFacts."""

from __future__ import annotations

import base64
from collections import Counter
from typing import Any

from django.db.models import QuerySet
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop, ngettext_lazy

from customers.models import System
from fieldwork.advice import advice_for
from fieldwork.findings import Judged, findings_of, read_judgement, said
from fieldwork.models import Entry, Outcome, RecommendationState, Record
from fieldwork.reading import latest
from fieldwork.readings import FIELDS
from fieldwork.readings import Outcome as Verdict
from fieldwork.readings.fields.field import FieldKind
from fieldwork.report_facts import (
    Danger,
    PartFacts,
    RepairFacts,
    ReportFacts,
    SignatureFacts,
    SystemFacts,
    TestFacts,
)
from kit.pictures.verdicts import draw_verdicts
from shop.models import Branch

HOME = "visit__owed_visit__agreement__home"
OWNER = f"{HOME}__customer"
# A visit on which nobody could do anything has nothing to report.
REPORTED = (Outcome.DONE, Outcome.TEST_OWED, Outcome.TOO_COLD, Outcome.NOT_FINISHED)
# By what the judgement says of the cooling test: its word, its sentence, and what comes next.
TESTS = {
    "warm": (
        gettext_noop("A real test"),
        gettext_noop("It was warm enough outdoors for the system to show how it cools."),
        "",
    ),
    "provisional": (
        gettext_noop("A provisional test"),
        gettext_noop(
            "It was warm enough to test, but cooler outdoors than we prefer. What we found holds; "
            "on a warmer day it can be judged more closely."
        ),
        "",
    ),
    "owed": (
        gettext_noop("The cooling test is still owed to you"),
        gettext_noop(
            "Cooling could not be tested on this day: when it is too cold outdoors, or without all "
            "its readings, nobody can say how a system cools."
        ),
        gettext_noop(
            "We come again at no further cost. The visit waits for warm weather, and we write to "
            "you with a time."
        ),
    ),
    "none": (
        gettext_noop("No cooling test was due"),
        gettext_noop("This visit was not about cooling."),
        "",
    ),
}
DONE: dict[FieldKind, Any] = {
    "number": ngettext_lazy(
        "%(count)d reading measured and judged.",
        "%(count)d readings measured and judged.",
        "count",
    ),
    "look": ngettext_lazy("%(count)d part looked over.", "%(count)d parts looked over.", "count"),
    "yes_no": ngettext_lazy(
        "%(count)d safety question answered or tried out.",
        "%(count)d safety questions answered or tried out.",
        "count",
    ),
}
SETTLED = (RecommendationState.DECLINED, RecommendationState.DONE)


def is_reported(record: Record) -> bool:
    """Whether there is something to report: the trip ended, and somebody looked at something."""
    return record.outcome in REPORTED and bool(record.judgement) and bool(record.entries.all())


def dangers_found(record: Record) -> bool:
    """Whether an emergency was found; such a report is not sent without a person's click."""
    return any(row.get("emergencies") for row in record.judgement.values())


def reports(branch: Branch) -> QuerySet[Record]:
    """A branch's completed records with all that `report_of` reads: five queries, however many."""
    return (
        Record.objects.of(branch)
        .completed()
        .select_related("technician", "visit__season__branch__sender", OWNER)
        .prefetch_related("entries", "parts", "recommendations", f"{HOME}__systems")
    )


def report_of(record: Record) -> ReportFacts:
    """Read a record of `reports`."""
    visit = record.visit
    home, branch = visit.owed_visit.home, visit.season.branch
    sender = getattr(branch, "sender", None)
    entries = list(record.entries.all())
    systems = [s for s in home.systems.all() if str(s.pk) in record.judgement]
    judged = {s.pk: read_judgement(record.judgement[str(s.pk)]) for s in systems}
    return ReportFacts(
        language=home.customer.language,
        shop=sender.from_name if sender else branch.name,
        phone=sender.phone if sender else "",
        postal_address=sender.postal_address if sender else "",
        customer=home.customer.name,
        address=home.address,
        check=visit.owed_visit.kind,
        day=record.day,
        technician=record.technician.name,
        certificate_608=record.certificate_608,
        outdoor_f=_outdoor_f(entries),
        finished=record.outcome != Outcome.NOT_FINISHED,
        test=_test(record),
        dangers=tuple(d for one in judged.values() for d in _dangers(one, entries)),
        systems=tuple(_system(system, judged[system.pk]) for system in systems),
        done=_done(entries),
        parts=tuple(
            PartFacts(part.words, part.quantity)
            for part in record.parts.all()
            if part.removed_id is None
        ),
        repairs=_repairs(record),
        advice=advice_for(home, systems),
        signature=_signature(record),
    )


def system_name(system: System) -> str:
    """The system in the customer's language: "Air conditioner, Carrow"."""
    kind = _(system.get_kind_display())
    return f"{kind}, {system.brand}" if system.brand else kind


def _system(system: System, judged: Judged) -> SystemFacts:
    return SystemFacts(
        name=system_name(system),
        picture=draw_verdicts(findings_of(judged)),
        watch=tuple(judged.plain(Verdict.WATCH)),
        repair=tuple(judged.plain(Verdict.ACT)),
        early=tuple(said(trend.plain for trend in judged.trends)),
    )


def _outdoor_f(entries: list[Entry]) -> float | None:
    measured = [e.value for e in entries if e.field == "outdoor_db_f" and e.value is not None]
    return float(measured[-1]) if measured else None


def system_tests(record: Record) -> str:
    """The cooling test of the visit: warm, provisional, owed, or none; the worst system counts."""
    cooling = [s for s in record.visit.owed_visit.home.systems.all() if s.cools]
    tests = {record.judgement[str(s.pk)]["test"] for s in cooling if str(s.pk) in record.judgement}
    if not record.visit.needs_warmth or not tests:
        return "none"
    if record.outcome != Outcome.DONE or "owed" in tests:
        return "owed"
    return "provisional" if "provisional" in tests else "warm"


def _test(record: Record) -> TestFacts:
    state = system_tests(record)
    word, sentence, next_ = TESTS[state]
    return TestFacts(state, _(word), _(sentence), _(next_) if next_ else "")


def _dangers(judged: Judged, entries: list[Entry]) -> list[Danger]:
    return [
        Danger(
            title=_(one.title.partition(": ")[0]),
            plain=_(one.plain),
            notes=tuple(dict.fromkeys(e.note for e in entries if e.field in one.used and e.note)),
        )
        for one in judged.emergencies
    ]


def _done(entries: list[Entry]) -> tuple[str, ...]:
    """What the technician did, in counts and plain words."""
    given = [e for e in latest(entries).values() if e.value is not None and e.field in FIELDS]
    counts = Counter(FIELDS[entry.field].kind for entry in given)
    return tuple(
        str(words % {"count": counts[kind]}) for kind, words in DONE.items() if counts[kind]
    )


def _repairs(record: Record) -> tuple[RepairFacts, ...]:
    open_ones = [r for r in record.recommendations.all() if r.state not in SETTLED]
    return tuple(RepairFacts(one.words, one.urgency == Verdict.ACT.value) for one in open_ones)


def _signature(record: Record) -> SignatureFacts | None:
    if record.signed_at is None:
        return None
    return SignatureFacts(record.signed_name, record.signed_at, _picture(record))


def _picture(record: Record) -> str:
    """The signature as a data: address; empty when its file is missing."""
    try:
        with record.signature.open("rb") as file:
            return f"data:image/png;base64,{base64.b64encode(file.read()).decode()}"
    except (ValueError, OSError):
        return ""
