"""Make-believe facts, so that the office can read every kind of letter before one is written."""

from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo

from django.utils import translation
from django.utils.formats import date_format

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
        "done_at": starts_at.isoformat(),
        "test": "warm",
        "danger": False,
        "answer_by": (starts_at - dt.timedelta(days=4)).isoformat(),
        **_agreement_facts(day, language),
        "size": "16x25x1",
        "where": "",
        "why": _SAID[language],
        "to_cooling": True,
    }


def _agreement_facts(day: dt.date, language: str) -> dict[str, object]:
    """Days as they stand in letters about agreements, which may lie in another year."""
    with translation.override(language):
        said = date_format(day, "DATE_FORMAT")
        after = date_format(day + dt.timedelta(days=1), "DATE_FORMAT")
    return {
        "plan": "Spring check",
        "price": "$159.00",
        "old_price": "$149.00",
        "amount": "$12.42",
        "by_itself": True,
        "next_starts": after,
        **dict.fromkeys(("term_starts", "term_ends", "answer_until", "due", "paid_on"), said),
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
