"""One row as a line of JSON, and back; the same bytes whichever database the row came from."""

from __future__ import annotations

import base64
import binascii
import datetime as dt
import json
import uuid
from decimal import Decimal, InvalidOperation
from typing import Any

from django.contrib.auth.hashers import make_password
from django.core.exceptions import ValidationError
from django.db import models

from front.company.tables import SECRET, Model


class BadRecord(ValueError):
    """What is wrong with a line, in words that begin with the field."""


def line_of(row: models.Model) -> bytes:
    """The row's columns by name, keys in order."""
    label = row._meta.label
    facts = {
        field.attname: None if (label, field.attname) in SECRET else _plain(field, row)
        for field in row._meta.concrete_fields
    }
    return json.dumps(facts, sort_keys=True, ensure_ascii=False).encode() + b"\n"


def _plain(field: models.Field, row: models.Model) -> Any:
    value = field.value_from_object(row)
    if isinstance(field, models.JSONField):
        # As JSON itself says it: a date inside comes back as text anyway.
        return json.loads(json.dumps(value, cls=field.encoder))
    match value:
        case None | bool() | int() | float() | str():
            return value
        case dt.datetime():
            return value.astimezone(dt.UTC).isoformat()
        case dt.date() | dt.time():
            return value.isoformat()
        case bytes() | memoryview():
            return base64.b64encode(bytes(value)).decode()
        case Decimal() | uuid.UUID():
            return str(value)
    if isinstance(field, models.FileField):
        return value.name or ""
    raise TypeError(f"{field} holds {type(value)}, which no export knows yet.")


def row_of(model: Model, line: bytes) -> models.Model:
    """The row of a line. Raises BadRecord."""
    try:
        facts = json.loads(line)
    except ValueError as trouble:
        raise BadRecord(f"this is no JSON ({trouble})") from trouble
    if not isinstance(facts, dict):
        raise BadRecord("a line is one object in braces")
    fields = {field.attname: field for field in model._meta.concrete_fields}
    if strange := sorted(set(facts) - set(fields)):
        raise BadRecord(f"{strange[0]}: there is no such field")
    if missing := sorted(set(fields) - set(facts)):
        raise BadRecord(f"{missing[0]}: is missing")
    return model(**{name: _value(model, fields[name], facts[name]) for name in fields})


def _value(model: Model, field: models.Field, value: Any) -> Any:
    if (model._meta.label, field.attname) in SECRET:
        return make_password(None)  # nobody can sign in with it; a link lets choose a new one
    if value is None:
        if not field.null:
            raise BadRecord(f"{field.attname}: must not be empty (null)")
        return None
    if isinstance(field, models.JSONField):
        return value
    if isinstance(field, models.BinaryField):
        return _bytes(field, value)
    try:
        found = _target(field).to_python(value)
    except (ValidationError, TypeError, ValueError, InvalidOperation) as trouble:
        words = trouble.messages[0] if isinstance(trouble, ValidationError) else str(trouble)
        raise BadRecord(f"{field.attname}: {words}") from trouble
    if isinstance(field, models.DateTimeField) and found.tzinfo is None:
        raise BadRecord(f"{field.attname}: {value} has no time zone")
    if field.max_length and isinstance(found, str) and len(found) > field.max_length:
        raise BadRecord(f"{field.attname}: at most {field.max_length} letters")
    return found


def _target(field: models.Field) -> models.Field:
    return field.target_field if isinstance(field, models.ForeignKey) else field


def _bytes(field: models.Field, value: Any) -> bytes:
    try:
        return base64.b64decode(value, validate=True)
    except (binascii.Error, TypeError, ValueError) as trouble:
        raise BadRecord(f"{field.attname}: this is no base64") from trouble
