"""Two hundred customers choose among the same twenty free times at the same moment.

A real web server on PostgreSQL; each customer opens the page of her link, and all press a button
within the same five seconds. Who is refused looks at the page for some seconds and presses another
of the twenty that it still shows, until one is kept and confirmed, or none of them is left. Nobody
may get a time twice, and whoever was told that a time is hers must have it.
--quick: sixty customers. --at-once: all in the same instant, so that most wait for their turn.
"""

from __future__ import annotations

import datetime as dt
import os
import random
import re
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
PRESS_WITHIN_S = 0.0 if "--at-once" in sys.argv else 5.0
LOOKS_FOR_S = (2.0, 6.0)  # at a page that refuses, before the next press
TIME_ON_PAGE = re.compile(r'name="slot" value="([^"]+)"')


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
    from django.utils import timezone

    from benchmarks import shop_rows
    from benchmarks.report import say
    from letters.links import token_of
    from scheduling.announcements import answer_link
    from scheduling.models import Season, State, Visit
    from scheduling.openings import FreeSlot
    from scheduling.views.answer import signed_slot

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
    begins = [
        first - dt.timedelta(days=n // 5 + 1) + dt.timedelta(hours=n % 5) for n in range(TIMES)
    ]
    slots = [FreeSlot(technician.pk, at, at + dt.timedelta(hours=1), 0.9, 0.0) for at in begins]
    now = timezone.now()
    return [
        (token_of(answer_link(visit, now)), [signed_slot(visit, slot) for slot in slots])
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
    """Press one of the times shown until one is kept, then confirm it."""
    import httpx

    page = f"http://127.0.0.1:{port}/season/answer/{token}/"
    chance, left = random.Random(SEED + number), values
    with httpx.Client(timeout=120) as browser:
        browser.get(page)
        csrf = {"csrfmiddlewaretoken": browser.cookies["csrftoken"]}
        gate.wait()
        time.sleep(chance.uniform(0, PRESS_WITHIN_S))
        while left:
            sent = csrf | {"slot": chance.choice(left), "shown": left}
            answer = timed(browser, f"{page}keep/", sent, times_ms)
            if answer.status_code == 302:
                answer = timed(browser, f"{page}confirm/", csrf, times_ms)
                if answer.status_code == 302:
                    got.append(token)
                    return
            left = [value for value in TIME_ON_PAGE.findall(answer.text) if value in values]
            time.sleep(chance.uniform(*LOOKS_FOR_S))


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
            "press_within_s": PRESS_WITHIN_S,
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
