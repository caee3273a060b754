"""A season run with a real Redis and a real worker that is killed in the middle."""

import json
import os
import signal
import subprocess
import sys

import pytest

from tests.real.services import ROOT, manage, redis_server, wait_until

pytestmark = pytest.mark.slow


@pytest.fixture
def shop(tmp_path):
    """The demo shop in a folder of its own, with Redis; yields the environment."""
    with redis_server() as address:
        env = {
            "REDBUD_VAR": str(tmp_path),
            "REDIS_URL": address,
            "DJANGO_SETTINGS_MODULE": "config.settings",
        }
        manage("migrate", "--verbosity", "0", **env)
        manage("demo_scenario", **env)
        yield env


def start_worker(env) -> subprocess.Popen:
    """A worker with a beat of its own, in a process group that can be killed whole."""
    return subprocess.Popen(
        [sys.executable, "-m", "celery", "-A", "config", "worker", "--beat", "--concurrency", "1",
         "--loglevel", "warning"],
        cwd=ROOT, env=os.environ | env, start_new_session=True, stderr=subprocess.DEVNULL,
    )  # fmt: skip


def kill(worker: subprocess.Popen) -> None:
    os.killpg(worker.pid, signal.SIGKILL)
    worker.wait()


def asked(env, question: str):
    """What the database says, asked from outside."""
    return json.loads(
        manage("shell", "--no-imports", "-v", "0", "-c", f"import json\n{question}", **env).stdout
    )


RUN = """
from scheduling.models import SeasonRun
run = SeasonRun.objects.first()
print(json.dumps([run.state, run.attempt, bool(run.best), run.progress.get("placed")]))
"""
SLOTS = """
from scheduling.models import Visit
print(json.dumps(Visit.objects.placed().count()))
"""


def test_a_killed_workers_run_is_finished_by_the_next_and_the_season_is_never_half_written(shop):
    worker = start_worker(shop)
    try:
        manage("plan_season", "--seconds", "25", **shop)
        wait_until(lambda: asked(shop, RUN)[2], "a first checkpoint", 90)
        kill(worker)
        assert asked(shop, SLOTS) == 0
        worker = start_worker(shop)
        wait_until(lambda: asked(shop, RUN)[0] == "ready", "the second worker's plan", 150)
    finally:
        kill(worker)
    state, attempt, _, placed = asked(shop, RUN)
    assert (state, attempt) == ("ready", 1)
    assert placed > 300
    assert asked(shop, SLOTS) == 0
