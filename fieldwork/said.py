"""What an event from a phone says, in a few words for the office."""

from __future__ import annotations

from fieldwork.models import PhoneEvent, StampKind
from fieldwork.readings import FIELDS


def said_in_words(event: PhoneEvent) -> str:
    """What was done on the phone, as far as its payload can be read."""
    said = event.payload
    what = {
        "stamp": lambda: f"Button “{_stamp(said.get('stamp'))}”",
        "entry": lambda: f"{_label(said.get('field'))}: {said.get('typed') or 'taken back'}",
        "part": lambda: f"Part used: {said.get('quantity', 1)} x {said.get('words')}",
        "recommendation": lambda: f"Recommended ({said.get('urgency')}): {said.get('words')}",
        "signed": lambda: f"Signed: {said.get('name') or 'customer not present'}",
        "signature": lambda: f"Signature of {said.get('name')}",
        "certificate": lambda: f"Section 608 number {said.get('number')}",
        "photo": lambda: f"Photo {said.get('words') or said.get('item') or ''}".strip(),
        "removal": lambda: f"Removed: {said.get('words') or 'a part or photo'}",
        "order": lambda: f"Another order: {said.get('why')}",
    }.get(event.kind)
    text = what() if what else event.kind
    why = said.get("why")
    return f"{text} ({why})" if event.kind == "stamp" and why else text


def _stamp(kind: object) -> str:
    return StampKind(kind).label if kind in StampKind.values else str(kind)


def _label(name: object) -> str:
    field = FIELDS.get(str(name))
    return field.label if field else str(name)
