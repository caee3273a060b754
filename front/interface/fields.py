"""What a resource is made of, and how a value is said in JSON."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Literal

from django.db.models import QuerySet

from shop.models import Branch

Kind = Literal["text", "whole", "number", "money", "day", "moment", "yes_no"]

# JSON Schema (draft 2020-12) of each kind.
SCHEMAS: dict[Kind, dict[str, Any]] = {
    "text": {"type": "string"},
    "whole": {"type": "integer"},
    "number": {"type": "number"},
    "money": {"type": "string", "pattern": r"^-?\d+\.\d{2}$"},
    "day": {"type": "string", "format": "date"},
    "moment": {"type": "string", "format": "date-time"},
    "yes_no": {"type": "boolean"},
}


@dataclass(frozen=True, slots=True)
class Field:
    """One member of a JSON object. `maybe`: null when it is not on file or does not apply."""

    name: str
    kind: Kind
    of: Callable[[Any], Any]
    about: str
    maybe: bool = False

    def said(self, row: Any) -> Any:
        """The value as JSON says it: money as text, so that no cent is lost in a binary float."""
        value = self.of(row)
        if value is None:
            return None
        if self.kind == "money":
            return f"{Decimal(value):.2f}"
        if isinstance(value, dt.datetime):
            return value.astimezone(dt.UTC).isoformat().replace("+00:00", "Z")
        if isinstance(value, dt.date):
            return value.isoformat()
        return float(value) if isinstance(value, Decimal) else value

    def schema(self) -> dict[str, Any]:
        found = dict(SCHEMAS[self.kind])
        if self.maybe:
            found["type"] = [found["type"], "null"]
        return found | {"description": self.about}


@dataclass(frozen=True, slots=True)
class Resource:
    """A list of rows of a branch. `day`: the column that first and last narrow, if any."""

    name: str
    one: str
    scope: str
    about: str
    fields: tuple[Field, ...]
    rows: Callable[[Branch], QuerySet[Any]]
    day: str = ""

    def said(self, row: Any) -> dict[str, Any]:
        return {field.name: field.said(row) for field in self.fields}
