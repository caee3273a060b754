"""Make-believe facts, so that the office can read every kind of letter before one is written."""

from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo

NAME = "Nora Whitfield"
_SAID = {"en": "It is time for it at your home.", "es": "Ya es momento de hacerlo en su casa."}


def sample_facts(now: dt.datetime, zone: ZoneInfo, language: str) -> dict[str, object]:
    """Every fact that any kind may need, about a visit a week ahead on the branch's clock."""
    day = now.astimezone(zone).date() + dt.timedelta(days=7)
    starts_at = dt.datetime.combine(day, dt.time(13, 30), zone)
    return {
        "check": "cooling",
        "cooling": True,
        "technician": "Ingrid Solberg",
        "address": "14 Alder Court, Cedarburg",
        "warmth": 0.93,
        "starts_at": starts_at.isoformat(),
        "ends_at": (starts_at + dt.timedelta(minutes=75)).isoformat(),
        "old_starts_at": (starts_at - dt.timedelta(days=2)).isoformat(),
        "answer_by": (starts_at - dt.timedelta(days=4)).isoformat(),
        "size": "16x25x1",
        "where": "",
        "why": _SAID[language],
        "to_cooling": True,
    }


def sample_invitation(facts: dict[str, object]) -> dict[str, object]:
    """The visit of `sample_facts` for a calendar."""
    return {
        "method": "REQUEST",
        "uid": "visit-0.sample@example.com",
        "sequence": 0,
        "starts_at": facts["starts_at"],
        "ends_at": facts["ends_at"],
        "summary": "Cooling check (sample)",
        "location": facts["address"],
    }
