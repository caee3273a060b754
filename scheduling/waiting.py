"""For commands: wait until the worker that has a season run is done with it."""

from __future__ import annotations

import time

from scheduling.models import SeasonRun

ASKED_EVERY_S = 0.3


def until_over(run: SeasonRun, patience_s: float) -> None:
    """Refresh `run` until it is no longer under way, for its search and `patience_s` at most."""
    deadline = time.monotonic() + run.seconds + patience_s
    run.refresh_from_db()
    while run.under_way and time.monotonic() < deadline:
        time.sleep(ASKED_EVERY_S)
        run.refresh_from_db()
