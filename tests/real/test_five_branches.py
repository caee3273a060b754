"""Five branches planned by two real workers, of which one is killed; and areas of one branch."""

import json
import os
import signal
import sqlite3
import subprocess
import sys
from contextlib import closing

import pytest

from tests.real.services import ROOT, manage, redis_server, wait_until

pytestmark = pytest.mark.slow
PATIENCE_S = 240  # on a machine that does ten other things; alone it takes a tenth
SECONDS = 6


@pytest.fixture(scope="module")
def company(tmp_path_factory):
    """Five small branches in a folder of their own, with Redis; yields the environment."""
    with redis_server() as address:
        env = {
            "REDBUD_VAR": str(tmp_path_factory.mktemp("five")),
            "REDIS_URL": address,
            "DJANGO_SETTINGS_MODULE": "config.settings",
            "RUN_SILENT_AFTER_S": "20",
        }
        manage("migrate", "--verbosity", "0", **env)
        shell(env, "import tests.real.five_branches")
        yield env


def shell(env, words: str) -> str:
    return manage("shell", "--no-imports", "-v", "0", "-c", words, **env).stdout


def runs(env, where: str = "whole_id is null") -> list[tuple]:
    """State, attempt and visits placed of the runs, read past Django: it is quick to ask often."""
    placed = "json_extract(progress, '$.placed')"
    question = f"select state, attempt, {placed} from scheduling_seasonrun where {where}"
    file = f"file:{env['REDBUD_VAR']}/redbud.sqlite3?mode=ro"
    with closing(sqlite3.connect(file, uri=True)) as database:
        return database.execute(question).fetchall()


@pytest.fixture
def workers(company):
    """Two workers with one process each, in process groups that can be killed whole; the first
    has the beat that sweeps."""
    started = [start_worker(company, "--beat"), start_worker(company)]
    yield started
    for worker in started:
        if worker.poll() is None:
            kill(worker)


def start_worker(env, *more: str) -> subprocess.Popen:
    return subprocess.Popen(
        [sys.executable, "-m", "celery", "-A", "config", "worker", "--concurrency", "1",
         "--loglevel", "warning", "--hostname", f"{len(more)}@%h", *more],
        cwd=ROOT, env=os.environ | env, start_new_session=True,
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
    )  # fmt: skip


def kill(worker: subprocess.Popen) -> None:
    os.killpg(worker.pid, signal.SIGKILL)
    worker.wait()


ASK_FOR_ALL = f"""
from django.utils import timezone
from scheduling.actions.branches import ask_for_all
from scheduling.models import Season
ask_for_all(seasons=Season.objects.all(), by=None, seconds={SECONDS}, now=timezone.now())
"""
ASK_FOR_AREAS = """
from django.utils import timezone
from scheduling.actions.runs import ask_for_run
from scheduling.models import Season
season = Season.objects.get(name="Spring 1")
print(ask_for_run(season=season, by=None, seconds=2, now=timezone.now(), areas=2).pk)
"""


def test_a_killed_worker_costs_its_own_branch_and_nothing_else(company, workers):
    ours = f"seconds = {SECONDS}"
    shell(company, ASK_FOR_ALL)
    working = lambda: [r for r in runs(company, ours) if r[0] == "running" and r[2]]  # noqa: E731
    wait_until(lambda: len(working()) == 2, "both workers at work", PATIENCE_S)
    kill(workers[1])
    ready = lambda: all(state == "ready" for state, _, _ in runs(company, ours))  # noqa: E731
    wait_until(ready, "all five plans", PATIENCE_S)
    assert sorted(attempt for _, attempt, _ in runs(company, ours)) == [0, 0, 0, 0, 1]
    assert [placed for _, _, placed in runs(company, ours)] == [12] * 5


def test_the_areas_of_a_branch_are_planned_by_both_and_joined(company, workers):
    whole = shell(company, ASK_FOR_AREAS).strip()
    ready = lambda: runs(company, f"id = {whole}") == [("ready", 0, 12)]  # noqa: E731
    wait_until(ready, "the joined plan", PATIENCE_S)
    assert [state for state, _, _ in runs(company, f"whole_id = {whole}")] == ["ready"] * 2


def test_two_processes_plan_a_branch_without_any_worker(company):
    words = ["--season", "Spring 2", "--seconds", "2", "--processes", "2", "--apply"]
    said = manage("plan_season", *words, **company).stdout
    summary = json.loads(said.splitlines()[-1])
    assert (summary["season"], summary["placed"]) == ("Spring 2", 12)
