"""Four programs that read calendar files and share no code with our writer.

vobject and ics (Python); ical.js and node-ical (JavaScript, installed by
`npm ci --prefix tests/outside/readers`).
"""

from __future__ import annotations

import datetime as dt
import json
import subprocess
from pathlib import Path

import ics
import vobject

READERS = Path(__file__).parent / "readers"


def minute(moment: dt.datetime) -> float:
    return moment.timestamp() / 60


def with_vobject(content: bytes) -> list[dict]:
    calendar = vobject.readOne(content.decode())
    return [
        {
            "uid": event.uid.value,
            "sequence": int(event.sequence.value),
            "method": calendar.method.value,
            "status": event.status.value,
            "summary": event.summary.value,
            "description": event.description.value,
            "start": minute(event.dtstart.value),
            "end": minute(event.dtend.value),
        }
        for event in calendar.vevent_list
    ]


def with_ics(content: bytes) -> list[dict]:
    calendar = ics.Calendar(content.decode())
    return [
        {
            "uid": event.uid,
            # This reader keeps SEQUENCE among the fields that it does not use itself.
            "sequence": int(next(f.value for f in event.extra if f.name == "SEQUENCE")),
            "method": calendar.method,
            "status": event.status,
            "summary": event.name,
            "description": event.description,
            "start": minute(event.begin),
            "end": minute(event.end),
        }
        for event in calendar.events
    ]


def with_node(content: bytes) -> dict[str, list[dict]]:
    ran = subprocess.run(
        ["node", READERS / "read.mjs"], input=content, capture_output=True, check=False
    )
    assert ran.returncode == 0, ran.stderr.decode()
    return json.loads(ran.stdout)


def read_by_everyone(content: bytes) -> dict:
    """The one visit of a calendar file, as all four readers see it; they must agree."""
    seen = [with_vobject(content), with_ics(content), *with_node(content).values()]
    assert all(visits == seen[0] for visits in seen), seen
    (visit,) = seen[0]
    return visit
