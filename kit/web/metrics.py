"""Counts of requests, shared by all web processes through files (prometheus-client).

The folder is PROMETHEUS_MULTIPROC_DIR, which config.settings sets before this is imported.
"""

from __future__ import annotations

from prometheus_client import CollectorRegistry, Counter, Histogram, generate_latest
from prometheus_client.multiprocess import MultiProcessCollector

# Seconds. A page is good below 0.3 and bad above 1.
LIMITS_S = (0.1, 0.3, 1.0, 3.0, 10.0)
_requests = Counter("redbud_requests", "Requests answered.", ["view", "status"])
_seconds = Histogram("redbud_request_seconds", "How long answers took.", ["view"], buckets=LIMITS_S)


def count_request(view: str, status: int, seconds: float) -> None:
    """`view` is a name from urls.py, so there are only so many."""
    _requests.labels(view, f"{status // 100}xx").inc()
    _seconds.labels(view).observe(seconds)


def counted_requests() -> str:
    """Of all processes together, in Prometheus' text format."""
    registry = CollectorRegistry()
    MultiProcessCollector(registry)  # type: ignore[no-untyped-call]  # the library has no types here
    return generate_latest(registry).decode()
