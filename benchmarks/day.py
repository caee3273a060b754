"""How heavy a technician's day is on a phone: bytes transferred, LCP and layout shift.

The day page with ten stops, in Chromium held to a slow 4G (1.6 Mbit/s down, 750 kbit/s up, 150 ms
round trip) and a processor four times slower, cache empty: common settings for a middling phone.
What the worker fetches afterwards for the time without signal is not counted.

Then the customer's report of a finished check as PDF: the first print, which loads WeasyPrint and
reads the fonts, and the median of five more.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
os.environ["DJANGO_SETTINGS_MODULE"] = "config.settings"
os.environ["REDBUD_VAR"] = tempfile.mkdtemp(prefix="redbud-bench-")
os.environ.setdefault("LOG_LEVEL", "ERROR")

import django

django.setup()

import datetime as dt
import time
from collections.abc import Iterator
from contextlib import contextmanager
from uuid import uuid4

import httpx
from django.core.management import call_command
from django.utils import timezone
from playwright.sync_api import Browser, Page, sync_playwright

from benchmarks import shop_rows
from benchmarks.report import finish, say
from customers.models import System, SystemKind
from fieldwork.actions.phone import Sender, take_event
from fieldwork.events import Envelope
from fieldwork.models import Record
from fieldwork.printing import pdf_of
from fieldwork.report import report_of, reports
from kit.when import moment_at
from scheduling.models import State, Technician, Visit
from shop.models import Role, User
from tests.real.services import ROOT, free_port, redis_server, wait_until

CHROMIUM = "/usr/bin/chromium"
PHONE = {"width": 390, "height": 844}
NETWORK = {
    "offline": False, "latency": 150,
    "downloadThroughput": 1.6e6 / 8, "uploadThroughput": 750e3 / 8,
}  # fmt: skip
SLOWER = 4
STOPS = 10
SETTLED_MS = 1500
PRINTS = 5
PASSWORD = "redbud-bench"
READINGS = {
    "outdoor_db_f": 90.0, "minutes_running": 20.0, "return_db_f": 76.0, "return_wb_f": 66.0,
    "supply_db_f": 58.5, "suction_psig": 118.0, "suction_line_f": 53.0, "liquid_psig": 365.0,
    "liquid_line_f": 100.0, "tesp_in_wc": 0.6, "clearance_in": 9.0, "outdoor_coil": "attention",
}  # fmt: skip
# Collects the web vitals from the first moment on.
WATCH = """
window.vitals = {lcp: 0, cls: 0};
new PerformanceObserver((list) => {
  for (const one of list.getEntries()) vitals.lcp = one.startTime;
}).observe({type: "largest-contentful-paint", buffered: true});
new PerformanceObserver((list) => {
  for (const one of list.getEntries()) if (!one.hadRecentInput) vitals.cls += one.value;
}).observe({type: "layout-shift", buffered: true});
"""


def day_of_ten_stops() -> None:
    """A technician who signs in, with ten promised visits today."""
    call_command("migrate", verbosity=0)
    call_command("collectstatic", verbosity=0, interactive=False)
    shop_rows.build(homes=60, visits=40, technicians=2)
    technician = Technician.objects.select_related("branch").first()
    assert technician is not None
    technician.user = User.objects.create_user(
        "driver", password=PASSWORD, role=Role.TECHNICIAN, branch=technician.branch
    )
    technician.save()
    zone = technician.branch.zone
    today = timezone.localdate(timezone=zone)
    for number, visit in enumerate(Visit.objects.order_by("pk")[:STOPS]):
        starts_at = moment_at(today, 8 * 60 + 50 * number, zone)
        Visit.objects.filter(pk=visit.pk).update(
            state=State.PROMISED, technician=technician, starts_at=starts_at,
            ends_at=starts_at + dt.timedelta(minutes=45), held_since=None,
        )  # fmt: skip


def sign_in(page: Page, url: str) -> None:
    page.goto(f"{url}/sign-in/")
    page.get_by_label("Username").fill("driver")
    page.get_by_label("Password").fill(PASSWORD)
    with page.expect_navigation():
        page.get_by_role("button", name="Sign in").click()


def measure(browser: Browser, url: str) -> dict[str, float]:
    """One cold load of the day page."""
    # What the worker fetches afterwards, for the time without signal, is no part of the page.
    context = browser.new_context(viewport=PHONE, service_workers="block")
    setup = context.new_page()
    sign_in(setup, url)
    setup.close()
    page = context.new_page()
    page.add_init_script(WATCH)
    session = context.new_cdp_session(page)
    received: list[float] = []
    session.on("Network.loadingFinished", lambda event: received.append(event["encodedDataLength"]))
    session.send("Network.enable")
    session.send("Network.setCacheDisabled", {"cacheDisabled": True})
    session.send("Network.emulateNetworkConditions", NETWORK)
    session.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
    page.goto(f"{url}/my-day/", wait_until="load")
    page.wait_for_timeout(SETTLED_MS)
    vitals = page.evaluate("window.vitals")
    assert page.locator("[data-stop]").count() == STOPS
    context.close()
    return {"bytes": sum(received), "lcp_ms": vitals["lcp"], "cls": vitals["cls"]}


@contextmanager
def served() -> Iterator[str]:
    """The shop on a free port, its static files compressed as in production."""
    port = free_port()
    url = f"http://127.0.0.1:{port}"
    command = ["-m", "gunicorn", "config.wsgi", "--bind", f"127.0.0.1:{port}", "--threads", "4"]
    with redis_server() as redis:
        environment = os.environ | {"REDIS_URL": redis, "STATIC_FROM_SOURCE": "false"}
        server = subprocess.Popen([sys.executable, *command], cwd=ROOT, env=environment)
        try:
            wait_until(lambda: answers(url), "the web server")
            yield url
        finally:
            server.terminate()
            server.wait(20)


def finished_record() -> Record:
    """The first visit of the day, read, judged and done, as a phone sends it."""
    visit = Visit.objects.filter(state=State.PROMISED).earliest("starts_at")
    technician, now = visit.technician, timezone.now()
    assert technician is not None
    assert technician.user is not None
    system = visit.owed_visit.home.systems.earliest("pk")
    System.objects.filter(pk=system.pk).update(
        kind=SystemKind.AIR_CONDITIONER, refrigerant="R-410A", metering="fixed", tons=3
    )
    visit.owed_visit.agreement.systems.set([system])
    sender = Sender(technician, technician.user, "bench")
    day = timezone.localdate(now, technician.branch.zone)
    said = [
        ("entry", {"system": system.pk, "field": field, "typed": str(typed), "sure": True})
        for field, typed in READINGS.items()
    ]
    for seq, (kind, payload) in enumerate([*said, ("stamp", {"stamp": "done"})]):
        envelope = Envelope(uuid4(), seq, kind, visit.pk, day, now, payload)
        answer = take_event(envelope=envelope, sender=sender, phone_now=now, now=now)
        assert answer.state == "applied", answer.words
    return reports(technician.branch).get(visit=visit)


def print_ms(record: Record) -> float:
    """Milliseconds of one report, from rows to the file."""
    begun = time.perf_counter()
    pdf_of("print/report.html", {"report": report_of(record)})
    return 1000.0 * (time.perf_counter() - begun)


def main() -> None:
    rounds = 3 if "--quick" in sys.argv else 9
    day_of_ten_stops()
    with served() as url, sync_playwright() as driver:
        browser = driver.chromium.launch(
            executable_path=CHROMIUM, args=["--no-sandbox"], chromium_sandbox=False
        )
        loads = [measure(browser, url) for _ in range(rounds)]
        browser.close()
    for load in loads:
        say(str(load))
    figures = {
        "bytes": round(max(load["bytes"] for load in loads)),
        "lcp_ms": round(statistics.median(load["lcp_ms"] for load in loads)),
        "cls": round(max(load["cls"] for load in loads), 4),
    }
    record = finished_record()
    first, *more = [print_ms(record) for _ in range(1 + PRINTS)]
    figures |= {"pdf_first_ms": round(first), "pdf_ms": round(statistics.median(more))}
    finish({**figures, "stops": STOPS, "rounds": rounds, "load": os.getloadavg()[0]})


def answers(url: str) -> bool:
    try:
        return httpx.get(f"{url}/health/", timeout=2).status_code == 200
    except httpx.TransportError:
        return False


if __name__ == "__main__":
    main()
