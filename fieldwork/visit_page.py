"""The page of one visit, from rows: each system's check list with what is typed so far."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from customers.models import System
from fieldwork.check_lists import Item, items_for
from fieldwork.judgements import Judged, judge_visit
from fieldwork.models import CheckListVersion, Entry, PhoneEvent, Record
from fieldwork.procedures import Trigger, triggers_of
from fieldwork.reading import (
    equipment_of,
    latest,
    lists_for,
    readings_of,
    systems_of,
    with_plate_read,
)
from fieldwork.readings import (
    SECTIONS,
    CheckList,
    Equipment,
    Field,
    Value,
    Verdict,
    hard_range,
    soft_range,
)
from scheduling.models import Visit


@dataclass(frozen=True)
class Line:
    """One item at one system. `last`: what was read at the visit before, in words."""

    item: Item
    field: Field | None = None
    entry: Entry | None = None
    last: str = ""
    hard: tuple[float, float] | None = None
    soft: tuple[float, float] | None = None
    triggers: tuple[Trigger, ...] = ()

    @property
    def typed(self) -> str:
        return self.entry.typed if self.entry else ""

    @property
    def is_caution(self) -> bool:
        return self.item.kind == "caution"


@dataclass(frozen=True)
class Part:
    """A part of the check list; `given` of `asked` lines have an entry."""

    key: str
    title: str
    lines: list[Line]

    @property
    def asked(self) -> int:
        return sum(not line.is_caution for line in self.lines)

    @property
    def given(self) -> int:
        return sum(line.entry is not None and line.entry.value is not None for line in self.lines)


@dataclass(frozen=True)
class SystemPage:
    system: System
    on_file: Equipment
    parts: list[Part]

    def lines(self) -> list[Line]:
        """Everything that is asked at this system."""
        return [line for part in self.parts for line in part.lines if not line.is_caution]


@dataclass(frozen=True)
class VisitPage:
    visit: Visit
    day: dt.date
    record: Record | None
    systems: list[SystemPage]
    judged: list[Judged]
    conflicts: list[PhoneEvent] = field(default_factory=list)

    @property
    def verdicts(self) -> Sequence[Verdict]:
        return [v for one in self.judged for v in one.judgement.verdicts]


def visit_page(
    visit: Visit,
    day: dt.date,
    record: Record | None,
    version: CheckListVersion,
    entries: list[Entry],
) -> VisitPage:
    """Everything that the page shows. `version`: the check list of the record's day."""
    items, home, branch = version.lines(), visit.owed_visit.home, visit.season.branch
    before = _before(visit, day)
    now_there = latest(entries)
    pages = []
    for system in systems_of(visit):
        readings = readings_of(entries, system)
        on_file = with_plate_read(equipment_of(system, home, branch), readings)
        lists = lists_for(visit, on_file)
        parts = [
            Part(
                key,
                SECTIONS[key],
                [
                    _line(item, system, on_file, lists, readings, now_there, before)
                    for item in shown
                ],
            )
            for key, shown in items_for(items, on_file, lists)
        ]
        if parts:
            pages.append(SystemPage(system, on_file, parts))
    return VisitPage(visit, day, record, pages, judge_visit(visit, record, entries))


def _line(
    item: Item,
    system: System,
    on_file: Equipment,
    lists: tuple[CheckList, ...],
    readings: Mapping[str, Value],
    now_there: Mapping[tuple[int, str], Entry],
    before: Mapping[tuple[int, str], Entry],
) -> Line:
    if item.kind == "caution":
        return Line(item)
    asked, key = item.field, (system.pk, item.key)
    last = before.get(key)
    return Line(
        item=item,
        field=asked,
        entry=now_there.get(key),
        last=last.shown if last else "",
        hard=hard_range(asked, on_file, readings) if asked.kind == "number" else None,
        soft=soft_range(asked, on_file, readings, lists) if asked.kind == "number" else None,
        triggers=triggers_of(item.key),
    )


def _before(visit: Visit, day: dt.date) -> dict[tuple[int, str], Entry]:
    """What was read at these systems the last time before `day`."""
    systems = [system.pk for system in systems_of(visit)]
    return latest(Entry.objects.filter(system__in=systems, record__day__lt=day))
