"""Stories in a real browser against a real server, worker and Redis.

Each shop is served from a folder of its own; nothing is mocked.
"""

from __future__ import annotations

import datetime as dt
import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import httpx
import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, sync_playwright

from tests.real.services import ROOT, free_port, manage, redis_server, wait_until

CHROMIUM = "/usr/bin/chromium"
DESKTOP, PHONE = {"width": 1280, "height": 900}, {"width": 390, "height": 844}
PASSWORD = "redbud-demo"


def coming_spring(today: dt.date) -> int:
    """The year of the spring that the demo shop plans."""
    return today.year if today < dt.date(today.year, 6, 1) else today.year + 1


YEAR = coming_spring(dt.datetime.now(tz=dt.UTC).date())
# A Tuesday late in May: warm enough that every technician drives.
LATE_MAY = next(d for n in range(7) if (d := dt.date(YEAR, 5, 22 + n)).weekday() == 1)
SHOTS = Path(os.environ.get("REDBUD_SHOTS", "")) if os.environ.get("REDBUD_SHOTS") else None


@dataclass(frozen=True)
class Shop:
    """A served shop: its address, and the environment of its commands."""

    url: str
    env: dict[str, str]


@contextmanager
def served(folder: Path, *scenario: str, **more: str) -> Iterator[Shop]:
    """Serve a demo shop from `folder`, with a worker; `scenario`: words for demo_scenario."""
    with redis_server() as redis:
        port = free_port()
        env = more | {
            "PUBLIC_URL": f"http://127.0.0.1:{port}",
            "REDBUD_VAR": str(folder),
            "REDIS_URL": redis,
            "DJANGO_SETTINGS_MODULE": "config.settings",
            "LOG_LEVEL": "WARNING",
            "SECOND_STEP_FOR": "",  # as bin/demo has it
        }
        manage("migrate", "--verbosity", "0", **env)
        manage("demo_scenario", *scenario, **env)
        commands = [
            ["gunicorn", "config.wsgi", "--bind", f"127.0.0.1:{port}", "--threads", "4"],
            ["celery", "-A", "config", "worker", "--beat", "--concurrency", "1",
             "--loglevel", "warning"],
        ]  # fmt: skip
        running = [
            subprocess.Popen([sys.executable, "-m", *words], cwd=ROOT, env=os.environ | env)
            for words in commands
        ]
        url = f"http://127.0.0.1:{port}"
        try:
            wait_until(lambda: _answers(f"{url}/health/"), "the web server", 120)
            yield Shop(url, env)
        finally:
            for process in running:
                process.terminate()
            for process in running:
                _ended(process)


def _ended(process: subprocess.Popen[bytes]) -> None:
    """A worker in the middle of a plan does not go by itself on a busy machine."""
    try:
        process.wait(20)
    except subprocess.TimeoutExpired:
        process.kill()
        process.wait(20)


def _answers(url: str) -> bool:
    try:
        return httpx.get(url, timeout=2).status_code == 200
    except httpx.TransportError:
        return False


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    with sync_playwright() as driver:
        chromium = driver.chromium.launch(
            executable_path=CHROMIUM, args=["--no-sandbox"], chromium_sandbox=False
        )
        yield chromium
        chromium.close()


@pytest.fixture(scope="session")
def new_shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    """Branch, staff, technicians and climate, but no homes yet."""
    with served(tmp_path_factory.mktemp("new-shop"), "--without-homes") as shop:
        yield shop


def sign_in(browser: Browser, shop: Shop, username: str, size: dict[str, int]) -> Page:
    """A fresh browser window in which this person has signed in."""
    page = browser.new_context(viewport=size).new_page()
    page.goto(shop.url)
    page.get_by_label("Username").fill(username)
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    page.wait_for_url(lambda url: "sign-in" not in url)
    return page


def picture(page: Page, name: str) -> None:
    """Keep a screenshot where REDBUD_SHOTS says, to be looked at."""
    if SHOTS:
        SHOTS.mkdir(parents=True, exist_ok=True)
        page.screenshot(path=SHOTS / f"{name}.png", full_page=True)


def faults(page: Page) -> list[str]:
    """What axe finds wrong on the page, one line each."""
    found = Axe().run(page).response["violations"]
    return [f"{v['id']}: {node['html'][:120]}" for v in found for node in v["nodes"]]
