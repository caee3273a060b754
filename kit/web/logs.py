"""Log lines as JSON, one object a line, without personal data.

A line says when, how bad, who speaks, what was said, and the request it belongs to. What a
library fills into a message may be a customer's: of an error only its kind and place are written,
of an address only its view.
"""

from __future__ import annotations

import datetime as dt
import json
import logging
import traceback
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Any

_asked: ContextVar[Mapping[str, str] | None] = ContextVar("asked", default=None)


@contextmanager
def asked(**about: str) -> Iterator[None]:
    """Every line within is marked with the request that it belongs to."""
    token = _asked.set(about)
    try:
        yield
    finally:
        _asked.reset(token)


class JsonLines(logging.Formatter):
    """The formatter of LOG_FORMAT=json."""

    def format(self, record: logging.LogRecord) -> str:
        line: dict[str, Any] = {
            "time": dt.datetime.fromtimestamp(record.created, dt.UTC).isoformat(
                "T", "milliseconds"
            ),
            "level": record.levelname,
            "logger": record.name,
            "message": _message(record),
        }
        line |= _asked.get() or {}
        line |= getattr(record, "said", {})
        if record.exc_info and record.exc_info[1]:
            line["error"] = _kind_and_places(record.exc_info[1])
        return json.dumps(line, default=str, ensure_ascii=False)


def _message(record: logging.LogRecord) -> str:
    """Django tells addresses of requests, and an error's own words may quote what was typed."""
    if hasattr(record, "request") or record.exc_info:
        return str(record.msg)
    return record.getMessage()


def _kind_and_places(error: BaseException) -> dict[str, Any]:
    frames = traceback.extract_tb(error.__traceback__)
    places = [f"{frame.filename}:{frame.lineno} {frame.name}" for frame in frames]
    caused = error.__cause__ or error.__context__
    return {"kind": type(error).__qualname__, "places": places[-12:]} | (
        {"because": type(caused).__qualname__} if caused else {}
    )
