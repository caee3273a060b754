"""All lists of the office that come as files, room by room."""

from __future__ import annotations

import datetime as dt
from typing import IO

from django.http import QueryDict

from agreements.lists import LISTS as AGREEMENTS
from customers.lists import LISTS as HOMES
from fieldwork.lists import LISTS as FIELDWORK
from kit.lists import Ending, write
from kit.web.lists import Asked, ListFile
from letters.lists import LISTS as LETTERS
from reminders.lists import LISTS as REMINDERS
from scheduling.lists import LISTS as SEASON
from shop.models import Branch

ROOMS: dict[str, dict[str, ListFile]] = {
    "Homes": HOMES,
    "Agreements and money": AGREEMENTS,
    "Season": SEASON,
    "Work at the homes": FIELDWORK,
    "Letters": LETTERS,
    "Reminders": REMINDERS,
}
LISTS = {name: found for room in ROOMS.values() for name, found in room.items()}


def write_list(
    *, name: str, branch: Branch, ending: Ending, file: IO[bytes], today: dt.date
) -> int:
    """A whole list of a branch into a file, without a browser; returns how many rows."""
    found = LISTS[name]
    rows = found.rows(branch, Asked(QueryDict(), today))
    return write(found.columns, rows, ending, file, branch.zone)
