"""The beat's own clock: what it last did cannot lie ahead."""

from __future__ import annotations

from typing import Any

from celery.beat import PersistentScheduler

from kit.web.clock import A_MINUTE


class SteadyScheduler(PersistentScheduler):
    """Goes on at once when the server's clock is put back.

    Celery waits until the clock has caught up with what was done last, in its file even across
    restarts: an hour back would be an hour in which no letter goes out and no plan is taken up.
    """

    def tick(self, *args: Any, **kwargs: Any) -> float:
        self._bring_back()
        return super().tick(*args, **kwargs)

    def _bring_back(self) -> None:
        ahead = [
            entry for entry in self.schedule.values()
            if entry.last_run_at > entry.default_now() + A_MINUTE
        ]  # fmt: skip
        for entry in ahead:
            entry.last_run_at = entry.default_now()
        if ahead:
            self._heap = None  # laid out anew from these by the tick
