"""What every benchmark prints: progress to the error stream, one JSON object as the last line."""

from __future__ import annotations

import json
import os
import platform
import sys
from importlib.metadata import version

PARTS = ("Django", "numpy", "numba", "celery", "psycopg")


def say(words: str) -> None:
    """Progress, for who watches."""
    print(words, file=sys.stderr, flush=True)


def machine() -> dict[str, object]:
    """On what the figures were measured."""
    model = ""
    try:
        with open("/proc/cpuinfo") as cpu:
            model = next(line for line in cpu if line.startswith("model name")).split(":")[1]
    except (OSError, StopIteration):
        pass
    return {
        "cpu": model.strip() or platform.processor(),
        "cores": os.cpu_count(),
        "python": platform.python_version(),
        "versions": {part: version(part) for part in PARTS},
    }


def finish(figures: dict[str, object]) -> None:
    """The last line: the figures with the machine they were measured on."""
    print(json.dumps(figures | {"machine": machine()}), flush=True)
