"""Stopping by processor time, for figures from a machine on which others work too."""

from __future__ import annotations

import time

from scheduling.planner import Progress


class CpuSeconds:
    """A stop rule: so many processor seconds of this process from the first look on."""

    def __init__(self, seconds: float) -> None:
        self.seconds = seconds
        self.began: float | None = None

    def __call__(self, progress: Progress) -> bool:
        return self._used() >= self.seconds

    def share(self, progress: Progress) -> float:
        return min(1.0, self._used() / self.seconds)

    def _used(self) -> float:
        if self.began is None:
            self.began = time.process_time()
        return time.process_time() - self.began
