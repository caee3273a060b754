"""All lists of the office that come as files, room by room."""

from __future__ import annotations

from agreements.lists import LISTS as AGREEMENTS
from customers.lists import LISTS as HOMES
from fieldwork.lists import LISTS as FIELDWORK
from kit.web.lists import ListFile
from letters.lists import LISTS as LETTERS
from reminders.lists import LISTS as REMINDERS
from scheduling.lists import LISTS as SEASON

ROOMS: dict[str, dict[str, ListFile]] = {
    "Homes": HOMES,
    "Agreements and money": AGREEMENTS,
    "Season": SEASON,
    "Work at the homes": FIELDWORK,
    "Letters": LETTERS,
    "Reminders": REMINDERS,
}
LISTS = {name: found for room in ROOMS.values() for name, found in room.items()}
