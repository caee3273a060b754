"""Two hundred customers choose among the same twenty free times at the same moment.

A real web server on PostgreSQL; each customer opens the page of her link, tries times in an order
of her own until one is kept for her, and confirms it. Nobody may get a time twice, and whoever was
told that a time is hers must have it. --quick: sixty customers.
"""

from __future__ import annotations

import datetime as dt
import os
import random
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

TIMES = 20
SEED = 7


def main() -> None:
    from tests.real.services import free_port, postgresql, wait_until

    customers = 60 if "--quick" in sys.argv else 200
    with postgresql() as database:
        os.environ |= {
            "DATABASE_URL": database, "DJANGO_SETTINGS_MODULE": "config.settings",
            "REDBUD_VAR": tempfile.mkdtemp(prefix="redbud-bench-"), "LOG_LEVEL": "ERROR",
            "REDIS_URL": "redis+socket:///nowhere.sock",
        }  # fmt: skip
        port = free_port()
        links = prepare(customers)
        server = subprocess.Popen(
            [sys.executable, "-m", "gunicorn", "config.wsgi", "--bind", f"127.0.0.1:{port}",
             "--workers", "2", "--threads", "4", "--log-level", "error"],
            cwd=ROOT,
        )  # fmt: skip
        try:
            wait_until(lambda: answers(port), "the web server")
            figures = choose_at_once(port, links)
        finally:
            server.terminate()
            server.wait(20)
        finish_with(figures, customers)


def answers(port: int) -> bool:
    import httpx

    try:
        return httpx.get(f"http://127.0.0.1:{port}/health/").status_code == 200
    except httpx.TransportError:
        return False


def prepare(customers: int) -> list[tuple[str, list[str]]]:
    """A shop with that many owed visits; each visit's token and its twenty signed times."""
    import django

    django.setup()
    from django.core.management import call_command
    from django.core.signing import dumps
    from django.utils import timezone

    from benchmarks import shop_rows
    from benchmarks.report import say
    from letters.links import token_of
    from scheduling.announcements import answer_link
    from scheduling.models import Season, State, Visit
    from scheduling.views.answer import SLOT_SALT

    call_command("migrate", verbosity=0)
    say(f"writing {customers} customers")
    shop_rows.build(homes=customers, visits=customers, technicians=2)
    Visit.objects.update(
        state=State.OWED, technician=None, starts_at=None, ends_at=None, held_since=None,
        why="", release="",
    )  # fmt: skip
    season = Season.objects.select_related("branch").get()
    technician = season.branch.technicians.first()
    first = dt.datetime.combine(shop_rows.LAST, dt.time(9), season.branch.zone)
    slots = [
        first - dt.timedelta(days=n // 5 + 1) + dt.timedelta(hours=n % 5) for n in range(TIMES)
    ]
    now, hour = timezone.now(), dt.timedelta(hours=1)
    return [
        (
            token_of(answer_link(visit, now)),
            [
                dumps(
                    [visit.pk, technician.pk, s.isoformat(), (s + hour).isoformat(), 0.9],
                    salt=SLOT_SALT,
                )
                for s in slots
            ],
        )
        for visit in Visit.objects.with_home()
    ]


def choose_at_once(port: int, links: list[tuple[str, list[str]]]) -> dict[str, object]:
    """Every customer in a thread of her own, all let go together."""
    gate, got, times_ms = threading.Barrier(len(links)), [], []
    threads = [
        threading.Thread(target=customer, args=(port, *link, n, gate, got, times_ms))
        for n, link in enumerate(links)
    ]
    begun = time.perf_counter()
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return {"told_yes": len(got), "times_ms": times_ms, "seconds": time.perf_counter() - begun}


def customer(port, token, values, number, gate, got, times_ms) -> None:
    """Try the times in an order of one's own until one is kept, then confirm it."""
    import httpx

    page = f"http://127.0.0.1:{port}/season/answer/{token}/"
    order = random.Random(SEED + number).sample(values, len(values))
    with httpx.Client(timeout=120) as browser:
        browser.get(page)
        csrf = {"csrfmiddlewaretoken": browser.cookies["csrftoken"]}
        gate.wait()
        for value in order:
            kept = timed(browser, f"{page}keep/", csrf | {"slot": value}, times_ms)
            if kept.status_code != 302:
                continue
            if timed(browser, f"{page}confirm/", csrf, times_ms).status_code == 302:
                got.append(token)
                return


def timed(browser, url, sent, times_ms):
    begun = time.perf_counter()
    answer = browser.post(url, data=sent)
    times_ms.append((time.perf_counter() - begun) * 1000)
    return answer


def finish_with(figures: dict[str, object], customers: int) -> None:
    from benchmarks.report import finish
    from scheduling.models import State, Visit

    promised = list(
        Visit.objects.filter(state=State.PROMISED).values_list("technician", "starts_at")
    )
    times_ms = figures["times_ms"]
    finish(
        {
            "customers": customers,
            "times": TIMES,
            "promised": len(promised),
            "doubled": len(promised) - len(set(promised)),
            "lost": figures["told_yes"] - len(promised),
            "requests": len(times_ms),
            "p50_ms": round(statistics.median(times_ms), 1),
            "p95_ms": round(statistics.quantiles(times_ms, n=20)[18], 1),
            "seconds": round(figures["seconds"], 1),
        }
    )


if __name__ == "__main__":
    main()
