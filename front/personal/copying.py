"""A copy of everything about one customer: a zip of JSON, letters and pictures."""

from __future__ import annotations

import datetime as dt
import json
import zipfile
from typing import IO, Any

from django.core.serializers.json import DjangoJSONEncoder
from django.db.models import FileField, ForeignKey, Model, QuerySet
from django.db.models.fields.files import FieldFile

from customers.models import Customer
from front.personal.belongings import Belongings
from letters.models import Letter

ABOUT = """Copy of the personal data of {name}, made on {day}.

data.json      everything on file, table by table; times are UTC, money is USD, temperatures °F
letters/       each letter as it was sent
pictures/      photos and signatures of the visits

People of the staff stand in it as numbers.
"""
# Found by other columns, or of no meaning outside: what a search looks through, how mail is sent.
LEFT_OUT = {"search_text", "claim", "lease_until", "key", "client_key", "html", "body"}
TABLES = (
    "homes", "systems", "filters", "spellings", "home_events", "no_starts", "letters", "links",
    "stops", "agreements", "passed_on", "agreement_events", "charges", "payments", "refunds",
    "owed_visits", "visits", "visit_events", "offers", "trips", "records", "entries", "photos",
    "parts", "recommendations", "stamps", "phone_events",
)  # fmt: skip


def write_copy(customer: Customer, to: IO[bytes], now: dt.datetime) -> None:
    """Write the zip. Reads every row about the customer, changes nothing."""
    hers = Belongings(customer)
    data: dict[str, Any] = {"customer": _row(customer)}
    for table in TABLES:
        rows: QuerySet[Any] = getattr(hers, table)
        data[table] = [_row(row) for row in rows.order_by("pk").distinct()]
    with zipfile.ZipFile(to, "w", zipfile.ZIP_DEFLATED) as file:
        file.writestr("README.txt", ABOUT.format(name=customer, day=f"{now:%Y-%m-%d}"))
        words = json.dumps(data, cls=DjangoJSONEncoder, indent=1, ensure_ascii=False)
        file.writestr("data.json", words)
        for letter in hers.letters.order_by("pk"):
            _letter(file, letter)
        for name, picture in _pictures(hers):
            _picture(file, name, picture)


def _row(row: Model) -> dict[str, Any]:
    """Column by column, files by their name."""
    values: dict[str, Any] = {}
    for field in row._meta.concrete_fields:
        if field.name in LEFT_OUT:
            continue
        value = getattr(row, field.attname)
        if isinstance(field, FileField):
            value = value.name if value else ""
        elif isinstance(field, ForeignKey) and field.name in ("recorded_by", "by", "seen_by"):
            value = f"staff {value}" if value else None
        values[field.name] = value
    return values


def _letter(file: zipfile.ZipFile, letter: Letter) -> None:
    stem = f"letters/{letter.written_at:%Y-%m-%d}-{letter.kind}-{letter.pk}"
    if letter.html:
        file.writestr(f"{stem}.html", letter.html)
    file.writestr(f"{stem}.txt", f"{letter.subject}\n\n{letter.body}".strip() or letter.label)


def _pictures(hers: Belongings) -> list[tuple[str, FieldFile]]:
    photos = [(f"photo-{photo.pk}", photo.image) for photo in hers.photos]
    signed = [(f"signature-{r.pk}", r.signature) for r in hers.records if r.signature]
    kept = [(f"kept-{event.pk}", event.file) for event in hers.phone_events if event.file]
    return photos + signed + kept


def _picture(file: zipfile.ZipFile, name: str, picture: FieldFile) -> None:
    """A picture that the disk has lost is left out: the copy is of what is there."""
    ending = picture.name.rsplit(".", 1)[-1] if picture.name else "bin"
    try:
        with picture.open("rb") as content:
            file.writestr(f"pictures/{name}.{ending}", content.read())
    except FileNotFoundError:
        return
