"""What may be asked: a page by its cursor, so many rows, the rows of some days."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Any

from django.db.models import QuerySet
from django.http import HttpRequest, QueryDict

from front.interface.fields import Resource
from front.interface.problems import Refused

USUAL, MOST = 100, 500
PAGE, DAYS = ("cursor", "limit"), ("first", "last")
MOST_KEY = 2**63 - 1


@dataclass(frozen=True, slots=True)
class Page:
    """Rows, and the address of those that follow; None: these are the last."""

    rows: list[Any]
    following: str | None


def page_of(resource: Resource, rows: QuerySet[Any], request: HttpRequest) -> Page:
    """Rows after the cursor, by number: what is added meanwhile neither repeats nor hides a row."""
    asked = request.GET
    check_names(asked, PAGE + (DAYS if resource.day else ()))
    limit = _whole(asked, "limit", USUAL, 1, MOST)
    found = in_days(resource, rows, asked).filter(pk__gt=_after(asked)).order_by("pk")
    listed = list(found[: limit + 1])
    if len(listed) <= limit:
        return Page(listed, None)
    query = asked.copy()
    query["cursor"] = f"{listed[limit - 1].pk}"
    return Page(listed[:limit], f"{request.build_absolute_uri(request.path)}?{query.urlencode()}")


def check_names(asked: QueryDict, allowed: tuple[str, ...]) -> None:
    """A misspelt filter that is silently ignored would give a wrong sum."""
    for name in asked:
        if name not in allowed:
            words = ", ".join(allowed) if allowed else "nothing"
            raise Refused(400, f"“{name}” is not asked here; what is: {words}.")
        if len(asked.getlist(name)) > 1:
            raise Refused(400, f"“{name}” is asked twice.")


def in_days(resource: Resource, rows: QuerySet[Any], asked: QueryDict) -> QuerySet[Any]:
    first, last = days_of(asked)
    if first:
        rows = rows.filter(**{f"{resource.day}__gte": first})
    if last:
        rows = rows.filter(**{f"{resource.day}__lte": last})
    return rows


def days_of(asked: QueryDict) -> tuple[dt.date | None, dt.date | None]:
    first, last = (_day(asked, name) for name in DAYS)
    if first and last and last < first:
        raise Refused(400, "last is a day on or after first.")
    return first, last


def _day(asked: QueryDict, name: str) -> dt.date | None:
    if name not in asked:
        return None
    text = str(asked[name])
    try:
        if len(text) != len("2027-04-01"):
            raise ValueError
        return dt.date.fromisoformat(text)
    except ValueError:
        raise Refused(400, f"{name} is a day like 2027-04-01.") from None


def _after(asked: QueryDict) -> int:
    """The number of the last row that was seen."""
    return _whole(asked, "cursor", 0, 0, MOST_KEY)


def _whole(asked: QueryDict, name: str, usual: int, least: int, most: int) -> int:
    text = asked.get(name, f"{usual}")
    digits = text.isascii() and text.isdecimal() and len(text) < 20
    if not digits or not least <= int(text) <= most:
        raise Refused(400, f"{name} is a whole number from {least} to {most}.")
    return int(text)
