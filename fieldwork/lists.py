"""Records, their readings and recommended repairs as files."""

from __future__ import annotations

from collections.abc import Iterator

from fieldwork.models import Entry, Recommendation, Record
from kit.lists import Cell, Column
from kit.web.lists import A_CHUNK, Asked, ListFile
from kit.words import check_kind
from shop.models import Branch


def _records(branch: Branch, _: Asked) -> Iterator[Record]:
    rows = Record.objects.of(branch).select_related(
        "technician", "visit__season", "visit__owed_visit__agreement__home__customer"
    )
    return rows.iterator(chunk_size=A_CHUNK)


def _readings(branch: Branch, _: Asked) -> Iterator[Entry]:
    rows = Entry.objects.filter(record__visit__season__branch=branch).select_related(
        "system", "by", "record__technician",
        "record__visit__owed_visit__agreement__home__customer",
    )  # fmt: skip
    return rows.order_by("record__day", "record_id", "pk").iterator(chunk_size=A_CHUNK)


def _recommended(branch: Branch, _: Asked) -> Iterator[Recommendation]:
    rows = Recommendation.objects.filter(record__visit__season__branch=branch).select_related(
        "system", "record__technician", "record__visit__owed_visit__agreement__home__customer"
    )
    return rows.iterator(chunk_size=A_CHUNK)


def _number(entry: Entry) -> Cell:
    """The value where it is a number in the field's unit."""
    value = entry.value
    return value if isinstance(value, int | float) and not isinstance(value, bool) else None


RECORDS = (
    Column("Record no.", lambda record: record.pk, "number"),
    Column("Visit no.", lambda record: record.visit_id, "number"),
    Column("Day", lambda record: record.day, "day"),
    Column("Customer", lambda record: record.visit.owed_visit.home.customer.name),
    Column("Address", lambda record: record.visit.owed_visit.home.address),
    Column("For", lambda record: check_kind(record.visit.kind)),
    Column("Technician", lambda record: record.technician.name),
    Column("On the way", lambda record: record.on_the_way_at, "moment"),
    Column("Arrived", lambda record: record.arrived_at, "moment"),
    Column("Left", lambda record: record.left_at, "moment"),
    Column("Outcome", lambda record: record.get_outcome_display()),
    Column("Why", lambda record: record.why),
    Column("Completed", lambda record: record.completed_at, "moment"),
    Column("Signed by", lambda record: record.signed_name),
)

READINGS = (
    Column("Record no.", lambda entry: entry.record_id, "number"),
    Column("Day", lambda entry: entry.record.day, "day"),
    Column("Customer", lambda entry: entry.record.visit.owed_visit.home.customer.name),
    Column("System no.", lambda entry: entry.system_id, "number"),
    Column("System", lambda entry: str(entry.system)),
    Column("Reading", lambda entry: entry.label),
    Column("Value", lambda entry: entry.shown),
    Column("Number", _number, "number"),
    Column("Remark", lambda entry: entry.note),
    Column("Typed", lambda entry: entry.made_at, "moment"),
    Column("By", lambda entry: entry.by.get_full_name() or entry.by.username),
)

RECOMMENDED = (
    Column("Record no.", lambda row: row.record_id, "number"),
    Column("Customer", lambda row: row.record.visit.owed_visit.home.customer.name),
    Column("Address", lambda row: row.record.visit.owed_visit.home.address),
    Column("System", lambda row: row.system and str(row.system)),
    Column("Repair", lambda row: row.words),
    Column("Urgency", lambda row: row.get_urgency_display()),
    Column("State", lambda row: row.get_state_display()),
    Column("Since", lambda row: row.changed_at, "moment"),
    Column("Technician", lambda row: row.record.technician.name),
)

LISTS = {
    "records": ListFile("Records", "a trip to a visit, and its outcome", RECORDS, _records),
    "readings": ListFile(
        "Readings", "one value typed at a home; the latest counts", READINGS, _readings
    ),
    "recommended": ListFile(
        "Recommended repairs", "a repair that was recommended", RECOMMENDED, _recommended
    ),
}
