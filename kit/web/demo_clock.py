"""A clock for playing a spring on the demo: set by `manage.py play`, read by every process.

Only where DEMO_CLOCK names a file. The clock stands at the moment kept in the file, and goes on
from there at the usual pace, so that screens, letters and holds agree about the day.
"""

from __future__ import annotations

import datetime as dt
import os
from pathlib import Path

from django.utils import timezone

_real_now = timezone.now


def install(file: Path) -> None:
    """Let the whole process read its time from `file`, as soon as there is one."""
    timezone.now = lambda: now(file)  # the one door through which Redbud asks for the time


def now(file: Path) -> dt.datetime:
    """The clock's moment; the real one while no file is there."""
    real = _real_now()
    try:
        kept = dt.datetime.fromisoformat(file.read_text())
        since = dt.datetime.fromtimestamp(file.stat().st_mtime, dt.UTC)
    except FileNotFoundError:
        return real
    return kept + max(real - since, dt.timedelta())


def set_clock(file: Path, moment: dt.datetime) -> None:
    """From now on it is `moment`. Written whole, so that no reader sees half of it."""
    new = file.with_suffix(".new")
    new.write_text(moment.isoformat())
    os.replace(new, file)
