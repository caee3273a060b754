"""How long the server takes for its heaviest pages: p50, p95 and the number of queries.

Season page with 2,000 visits and home search over 10,000 homes, on the embedded SQLite. One
process, no network: the time is from the request's arrival in Django to the finished answer.
"""

from __future__ import annotations

import datetime as dt
import gc
import os
import statistics
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
os.environ["DJANGO_SETTINGS_MODULE"] = "config.settings"
os.environ["REDBUD_VAR"] = tempfile.mkdtemp(prefix="redbud-bench-")
os.environ.setdefault("LOG_LEVEL", "ERROR")

import django

django.setup()

from django.core.management import call_command
from django.db import connection
from django.test import Client
from django.urls import reverse

from benchmarks import shop_rows
from benchmarks.report import finish, say
from scheduling.models import Season


def measure(client: Client, url: str, rounds: int, **headers: str) -> dict[str, float]:
    """One warm-up, one round that counts queries, then `rounds` timed ones."""
    client.get(url, **headers)
    queries: list[str] = []

    def counted(execute, sql, params, many, context):
        queries.append(sql)
        return execute(sql, params, many, context)

    with connection.execute_wrapper(counted):
        answer = client.get(url, **headers)
    gc.collect()
    gc.freeze()  # as config.wsgi does in the process that serves
    assert answer.status_code == 200, f"{url} answered {answer.status_code}"
    times_ms, cpu_ms = [], []
    for _ in range(rounds):
        begun, worked = time.perf_counter(), time.process_time()
        client.get(url, **headers)
        times_ms.append((time.perf_counter() - begun) * 1000)
        cpu_ms.append((time.process_time() - worked) * 1000)
    cuts = statistics.quantiles(times_ms, n=20)
    return {
        "p50_ms": round(statistics.median(times_ms), 1),
        "p95_ms": round(cuts[18], 1),
        "cpu_ms": round(statistics.median(cpu_ms), 1),
        "queries": len(queries),
        "kb": round(len(answer.content) / 1000, 1),
    }


def main() -> None:
    quick = "--quick" in sys.argv
    homes, visits, rounds = 10_000, 2_000, 20 if quick else 100
    call_command("migrate", verbosity=0)
    say(f"writing {homes} homes and {visits} visits")
    _, office = shop_rows.build(homes=homes, visits=visits, technicians=8)
    client = Client(SERVER_NAME="localhost")
    client.force_login(office)
    season = Season.objects.get()
    day = dt.date(2027, 5, 26)
    urls = {
        "today": (reverse("front:today"), 0),
        "season": (reverse("scheduling:season", args=[season.pk]), visits),
        "day": (reverse("scheduling:day", args=[day]), 56),
        "homes": (reverse("customers:list"), homes),
        "home_search": (reverse("customers:list") + "?q=hollis+maple", homes),
        "home_search_miss": (reverse("customers:list") + "?q=nobody+anywhere", homes),
        "agreements": (reverse("agreements:list"), visits),
    }
    pages = {}
    for name, (url, rows) in urls.items():
        pages[name] = measure(client, url, rounds) | {"rows": rows}
        say(f"{name}: {pages[name]}")
    finish({"pages": pages, "rounds": rounds, "quick": quick})


if __name__ == "__main__":
    main()
