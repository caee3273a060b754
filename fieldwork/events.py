"""What a phone may say, read from its JSON into typed values. Pure.

Everything comes from outside: whatever is not as it should be raises BadEvent, in words that the
phone shows beside what was typed.
"""

from __future__ import annotations

import datetime as dt
import json
import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from typing import Any
from uuid import UUID

STAMPS = ("on_the_way", "there", "done", "nobody_home", "too_cold", "not_finished")
URGENCIES = ("watch", "act")
# As fieldwork.models.Replaced; empty: nothing of which a reading is followed.
REPLACED = (
    "", "capacitor", "capacitor_compressor", "capacitor_fan", "compressor", "flame_sensor",
)  # fmt: skip
MOST_STOPS = 60
_ESCAPED_NUL = re.compile(r"(?<!\\)((?:\\\\)*)\\u0000")


class BadEvent(ValueError):
    """What is wrong, in words."""


@dataclass(frozen=True)
class Envelope:
    """Around every event. `phone_at` is what the phone's clock showed; `visit` None: the day.

    `seq` rises on each phone with everything that is done there.
    """

    key: UUID
    seq: int
    kind: str
    visit: int | None
    day: dt.date
    phone_at: dt.datetime
    payload: Mapping[str, Any]


@dataclass(frozen=True)
class Stamped:
    kind: str
    why: str


@dataclass(frozen=True)
class Typed:
    """`seen`: id of the entry that stood there when the page was made; None: there was none."""

    system: int
    field: str
    typed: str
    note: str
    sure: bool
    seen: int | None


@dataclass(frozen=True)
class Part:
    system: int | None
    words: str
    quantity: Decimal
    replaces: str


@dataclass(frozen=True)
class Removal:
    """A part or photo was wrong. `of` is the key of the event that brought it."""

    of: UUID
    words: str


@dataclass(frozen=True)
class Recommended:
    system: int | None
    words: str
    urgency: str


@dataclass(frozen=True)
class Signed:
    """The name of who signed; the picture of the signature, if any, comes as a file."""

    name: str
    present: bool | None


@dataclass(frozen=True)
class Certificate:
    number: str


@dataclass(frozen=True)
class Ordered:
    visits: tuple[int, ...]
    why: str


@dataclass(frozen=True)
class Pictured:
    """Goes with a photo's file."""

    system: int | None
    item: str
    words: str


def read_envelope(raw: object) -> Envelope:
    """One event of a batch. Raises BadEvent."""
    if not isinstance(raw, dict):
        raise BadEvent("An event is a JSON object.")
    payload = raw.get("payload")
    if not isinstance(payload, dict):
        raise BadEvent("An event has a payload.")
    return Envelope(
        key=_key(raw.get("key")),
        seq=_number(raw, "seq") or 0,
        kind=_text(raw, "kind", 16, must=True),
        visit=_number(raw, "visit"),
        day=_day(raw.get("day")),
        phone_at=read_moment(raw.get("phone_at")),
        payload=_keepable(payload),
    )


def _keepable(payload: dict[str, Any]) -> dict[str, Any]:
    """As both databases can keep it: without NUL, NaN or half a character."""
    try:
        text = json.dumps(payload, allow_nan=False, ensure_ascii=False)
    except (ValueError, RecursionError) as trouble:
        raise BadEvent(
            "What an event holds are words, finite numbers, and not too deep."
        ) from trouble
    whole = text.encode(errors="replace").decode()
    kept: dict[str, Any] = json.loads(_ESCAPED_NUL.sub(r"\1", whole))
    return kept


def read_moment(raw: object) -> dt.datetime:
    """Milliseconds since 1970, as a phone counts them."""
    if isinstance(raw, bool) or not isinstance(raw, int | float) or not math.isfinite(raw):
        raise BadEvent("The phone's time is a number of milliseconds.")
    try:
        return dt.datetime.fromtimestamp(raw / 1000, tz=dt.UTC)
    except (ValueError, OverflowError, OSError) as trouble:
        raise BadEvent("The phone's time lies outside the calendar.") from trouble


def read_stamp(payload: Mapping[str, Any]) -> Stamped:
    kind, why = _text(payload, "stamp", 16, must=True), _text(payload, "why", 200)
    if kind not in STAMPS:
        raise BadEvent(f"“{kind}” is no button of the day.")
    if kind == "not_finished" and not why:
        raise BadEvent("Say why it could not be finished.")
    return Stamped(kind, why)


def read_typed(payload: Mapping[str, Any]) -> Typed:
    return Typed(
        system=_number(payload, "system", must=True) or 0,
        field=_text(payload, "field", 60, must=True),
        typed=_text(payload, "typed", 80),
        note=_text(payload, "note", 300),
        sure=payload.get("sure") is True,
        seen=_number(payload, "seen"),
    )


def read_part(payload: Mapping[str, Any]) -> Part:
    try:
        quantity = Decimal(str(payload.get("quantity", 1)).strip().replace(",", "."))
    except InvalidOperation as trouble:
        raise BadEvent("How many is a number, as 1 or 0.5.") from trouble
    if not quantity.is_finite() or not 0 < quantity < 10_000:
        raise BadEvent("How many is more than nothing and less than 10,000.")
    words = _text(payload, "words", 120, must=True)
    system, replaces = _number(payload, "system"), _text(payload, "replaces", 20)
    if replaces not in REPLACED:
        raise BadEvent("Choose from the list what the part replaces.")
    if replaces and system is None:
        raise BadEvent("Choose the system in which the part was replaced.")
    return Part(system, words, round(quantity, 2) or Decimal("0.01"), replaces)


def read_removal(payload: Mapping[str, Any]) -> Removal:
    return Removal(_key(payload.get("of")), _text(payload, "words", 160))


def read_recommended(payload: Mapping[str, Any]) -> Recommended:
    urgency = _text(payload, "urgency", 12)
    if urgency not in URGENCIES:
        raise BadEvent("Choose how urgent it is: watch or act.")
    words = _text(payload, "words", 300, must=True)
    return Recommended(_number(payload, "system"), words, urgency)


def read_signed(payload: Mapping[str, Any]) -> Signed:
    present = payload.get("present")
    return Signed(
        _text(payload, "name", 120, must=present is not False),
        present if isinstance(present, bool) else None,
    )


def read_certificate(payload: Mapping[str, Any]) -> Certificate:
    return Certificate(_text(payload, "number", 40, must=True))


def read_ordered(payload: Mapping[str, Any]) -> Ordered:
    visits = payload.get("visits")
    numbers = isinstance(visits, list) and all(type(pk) is int for pk in visits)
    if not isinstance(visits, list) or not numbers or not 0 < len(visits) <= MOST_STOPS:
        raise BadEvent("An order is a list of the day's stops.")
    if len(set(visits)) < len(visits):
        raise BadEvent("A stop stands in the order twice.")
    return Ordered(tuple(visits), _text(payload, "why", 200, must=True))


def read_pictured(payload: Mapping[str, Any]) -> Pictured:
    return Pictured(
        _number(payload, "system"), _text(payload, "item", 60), _text(payload, "words", 120)
    )


READERS: dict[str, Callable[[Mapping[str, Any]], Any]] = {
    "stamp": read_stamp,
    "entry": read_typed,
    "part": read_part,
    "recommendation": read_recommended,
    "signed": read_signed,
    "certificate": read_certificate,
    "order": read_ordered,
    "photo": read_pictured,
    "removal": read_removal,
    "signature": read_signed,
}
# These come with a file, one at a time.
WITH_FILE = ("photo", "signature")
OF_THE_DAY = ("order",)


def read_payload(kind: str, payload: Mapping[str, Any]) -> Any:
    """The typed values of an event. Raises BadEvent."""
    if kind not in READERS:
        raise BadEvent(f"“{kind[:16]}” is nothing that Redbud knows; load the page again.")
    return READERS[kind](payload)


_WORDS = {
    "words": "Say what it is.",
    "why": "Say why.",
    "name": "Write the name of who signs.",
    "number": "Write the number.",
}


def _text(raw: Mapping[str, Any], name: str, longest: int, must: bool = False) -> str:
    value = raw.get(name)
    text = "" if value is None else " ".join(str(value).replace("\0", "").split())
    if must and not text:
        raise BadEvent(_WORDS.get(name, f"“{name}” is missing."))
    if len(text) > longest:
        raise BadEvent(f"At most {longest} letters; these are {len(text)}.")
    return text


def _number(raw: Mapping[str, Any], name: str, must: bool = False) -> int | None:
    value = raw.get(name)
    if value in (None, "") and not must:
        return None
    if type(value) is not int or not 0 < value < 2**62:
        raise BadEvent(f"“{name}” is no number of anything on file.")
    return value


def _key(raw: object) -> UUID:
    try:
        return UUID(str(raw))
    except ValueError as trouble:
        raise BadEvent("An event has a key, a UUID.") from trouble


def _day(raw: object) -> dt.date:
    try:
        return dt.date.fromisoformat(str(raw))
    except ValueError as trouble:
        raise BadEvent("An event has its day, as 2027-05-24.") from trouble
