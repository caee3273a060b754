"""A season is being planned while the server is upgraded: the plan is carried on, not lost."""

import os
import subprocess
import sys

import pytest

from tests.real.services import ROOT

# In one process of its own, on a database of its own: migrations cannot run inside a test's
# transaction. The tables go back to those of the version before, with the run in them.
STORY = """
import datetime as dt
import django
django.setup()
from django.core.management import call_command
from django.utils import timezone
call_command("migrate", verbosity=0)

from scheduling.actions.runs import ask_for_run, rescue_runs
from scheduling.models import SeasonRun, VisitEvent
from scheduling.planning import carry_out
from tests.scheduling import spring

now = timezone.now()
season = spring.season()
spring.technician()
for _ in range(3):
    spring.owed(season)
run = ask_for_run(season=season, by=None, now=now, seconds=1)
# A worker took it up, and was stopped for the upgrade some minutes ago.
SeasonRun.objects.filter(pk=run.pk).update(
    state="running", attempt=1, heard_at=now - dt.timedelta(minutes=5)
)

call_command("migrate", "scheduling", "0004", verbosity=0)
call_command("migrate", verbosity=0)
assert VisitEvent.objects.count() == 0
assert rescue_runs(now=timezone.now()) == [run.pk]
run.refresh_from_db()
assert run.state == "waiting", run.state
carry_out(run.pk)
run.refresh_from_db()
print(run.state, run.attempt, len(run.best["placings"]))
"""


@pytest.mark.slow
def test_a_plan_under_way_is_carried_on_by_the_upgraded_version(tmp_path):
    surroundings = {
        "DJANGO_SETTINGS_MODULE": "config.test_settings",
        "DATABASE_URL": f"sqlite:///{tmp_path}/shop.sqlite3",
        "REDBUD_VAR": str(tmp_path),
    }
    told = subprocess.run(
        [sys.executable, "-c", STORY], cwd=ROOT, env=os.environ | surroundings, text=True,
        capture_output=True,
    )  # fmt: skip
    assert told.returncode == 0, told.stderr
    assert told.stdout.split()[-3:] == ["ready", "2", "3"]
