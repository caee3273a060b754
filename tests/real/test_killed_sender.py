"""A real worker that is killed with a letter at the mail server's door."""

import json
import os
import signal
import subprocess
import sys

import pytest

from tests.letters.sink import mail_server
from tests.real.services import ROOT, manage, redis_server, wait_until

pytestmark = pytest.mark.slow
LEASE_S = 3

# A branch that is never quiet now, a customer, and a letter of each sort.
WRITE = """
import datetime as dt
from django.utils import timezone
from letters.actions.write import write_letter
from tests import cast
now = timezone.now()
sender, hour = cast.letterhead(), now.astimezone(cast.cedarburg().zone)
sender.quiet_from = (hour + dt.timedelta(hours=11)).time()
sender.quiet_until = (hour + dt.timedelta(hours=12)).time()
sender.save()
for kind, facts in [
    ("rinse", {"why": "Pollen sticks."}),
    ("promise_cancelled", {"check": "cooling", "old_starts_at": now.isoformat()}),
]:
    write_letter(customer=cast.nora(), kind=kind, about="a", occasion="1", now=now, facts=facts)
"""
STATES = """
import json
from letters.models import Letter
print(json.dumps(dict(Letter.objects.values_list("kind", "state"))))
"""


def start_worker(env) -> subprocess.Popen:
    return subprocess.Popen(
        [sys.executable, "-m", "celery", "-A", "config", "worker", "--beat", "--concurrency", "1",
         "--loglevel", "warning"],
        cwd=ROOT, env=os.environ | env, start_new_session=True, stderr=subprocess.DEVNULL,
    )  # fmt: skip


def kill(worker: subprocess.Popen) -> None:
    os.killpg(worker.pid, signal.SIGKILL)
    worker.wait()


def states(env) -> dict[str, str]:
    return json.loads(manage("shell", "--no-imports", "-v", "0", "-c", STATES, **env).stdout)


def test_a_reminder_becomes_unsure_and_a_visits_letter_goes_again(tmp_path):
    with redis_server() as redis, mail_server(patience_s=2) as sink:
        env = {
            "REDBUD_VAR": str(tmp_path),
            "REDIS_URL": redis,
            "DJANGO_SETTINGS_MODULE": "config.settings",
            "EMAIL_URL": f"smtp://127.0.0.1:{sink.port}",
            "LETTER_LEASE_S": str(LEASE_S),
        }
        manage("migrate", "--verbosity", "0", **env)
        manage("shell", "--no-imports", "-v", "0", "-c", WRITE, **env)
        worker = start_worker(env)
        try:
            for kind in ("rinse", "promise_cancelled"):
                wait_until(lambda kind=kind: states(env)[kind] == "sending", f"{kind} to go", 180)
                kill(worker)
                worker = start_worker(env)
            wait_until(lambda: "sending" not in states(env).values(), "the sweep", 90)
            wait_until(lambda: states(env)["promise_cancelled"] == "sent", "the second try", 60)
        finally:
            kill(worker)
    assert states(env)["rinse"] == "unsure"
    assert len({mail["Message-ID"] for mail in sink.taken}) <= 2
