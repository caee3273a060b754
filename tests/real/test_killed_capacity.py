"""A capacity run with a real Redis and a real worker that is killed in the middle."""

import os
import signal
import sqlite3
import subprocess
import sys
from contextlib import closing

import pytest

from tests.real.services import ROOT, manage, redis_server, wait_until

pytestmark = pytest.mark.slow
ASK = """
import tests.real.five_branches
from django.utils import timezone
from books.actions.capacity import ask_for_capacity
from scheduling.models import Season
ask_for_capacity(season=Season.objects.first(), by=None, seconds=0.4, now=timezone.now())
"""
# What beat's sweep does every minute, as if the silence had lasted long enough.
SWEEP = """
from django.utils import timezone
from books.models import CapacityRun
from kit.web.asked import rescue
from books.tasks import answer_capacity
for pk in rescue(CapacityRun, now=timezone.now() + 2 * CapacityRun.silent_after):
    answer_capacity.delay(pk)
"""


@pytest.fixture
def shop(tmp_path):
    """Small branches with a season each, one of which is asked about; yields the environment."""
    with redis_server() as address:
        env = {
            "REDBUD_VAR": str(tmp_path),
            "REDIS_URL": address,
            "DJANGO_SETTINGS_MODULE": "config.settings",
        }
        manage("migrate", "--verbosity", "0", **env)
        manage("shell", "--no-imports", "-v", "0", "-c", ASK, **env)
        yield env


def start_worker(env) -> subprocess.Popen:
    """Without beat, in a process group that can be killed whole."""
    return subprocess.Popen(
        [sys.executable, "-m", "celery", "-A", "config", "worker", "--concurrency", "1",
         "--loglevel", "warning"],
        cwd=ROOT, env=os.environ | env, start_new_session=True,
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
    )  # fmt: skip


def kill(worker: subprocess.Popen) -> None:
    os.killpg(worker.pid, signal.SIGKILL)
    worker.wait()


def runs(env) -> list[tuple]:
    """State, attempt, plans made and visits, read past Django: it is quick to ask often."""
    question = "select state, attempt, done, json_extract(found, '$.visits') from books_capacityrun"
    file = f"file:{env['REDBUD_VAR']}/redbud.sqlite3?mode=ro"
    with closing(sqlite3.connect(file, uri=True)) as database:
        return database.execute(question).fetchall()


def test_a_killed_workers_answers_are_found_by_the_next_and_kept_once(shop):
    worker = start_worker(shop)
    try:
        wait_until(lambda: runs(shop)[0][2] >= 1, "a first plan", 90)
        kill(worker)
        assert runs(shop)[0][0] == "running"
        manage("shell", "--no-imports", "-v", "0", "-c", SWEEP, **shop)
        worker = start_worker(shop)
        wait_until(lambda: runs(shop)[0][0] == "ready", "the second worker's answers", 150)
    finally:
        kill(worker)
    ((state, attempt, _, visits),) = runs(shop)
    assert (state, attempt, visits) == ("ready", 1, 12)
