"""Each server is killed while three people write; what they were told stands, once."""

import json
import os
import random
import signal
import subprocess
import sys
import tempfile
import time
from contextlib import ExitStack

import httpx
import pytest

from tests.real.services import ROOT, Postgresql, Redis, free_port, manage, wait_until
from tests.real.writers import Writers

pytestmark = pytest.mark.slow
SEED = 3
PREPARE = "import tests.real.prepare_faults"
COUNTS = """
import json
from agreements.models import AgreementEvent, Payment
from fieldwork.models import Entry
from letters.models import Letter
from scheduling.models import State, Visit, VisitEvent
receipts = Letter.objects.filter(kind="receipt")
promised = Visit.objects.filter(state=State.PROMISED)
print("COUNTED" + json.dumps({
    "payments": list(Payment.objects.values_list("key", flat=True)),
    "noted": AgreementEvent.objects.filter(what="paid").count(),
    "receipts": receipts.count(),
    "receipt_states": sorted(set(receipts.values_list("state", flat=True))),
    "promises": [str(pk) for pk in promised.values_list("pk", flat=True)],
    "promised": VisitEvent.objects.filter(visit__in=promised).count(),
    "entries": [str(key) for key in Entry.objects.values_list("event__client_key", flat=True)],
}))
"""


class Shop:
    """Everything that deploy/single starts, each part to be killed and started again."""

    def __init__(self, folder) -> None:
        self.stack = ExitStack()
        places = [
            self.stack.enter_context(tempfile.TemporaryDirectory(prefix="redbud-")) for _ in "12"
        ]
        self.postgresql, self.redis = Postgresql(places[0]), Redis(places[1])
        self.port = free_port()
        self.url = f"http://127.0.0.1:{self.port}"
        self.env = {
            "REDBUD_VAR": str(folder), "DATABASE_URL": self.postgresql.address,
            "REDIS_URL": self.redis.address, "DJANGO_SETTINGS_MODULE": "config.settings",
            "LETTER_LEASE_S": "4", "LOG_LEVEL": "ERROR", "SECOND_STEP_FOR": "",
        }  # fmt: skip
        celery = [sys.executable, "-m", "celery", "-A", "config"]
        self.commands = {
            "web": [sys.executable, "-m", "gunicorn", "config.wsgi", "--bind",
                    f"127.0.0.1:{self.port}", "--workers", "2", "--threads", "4",
                    "--log-level", "critical"],
            "worker": [*celery, "worker", "--concurrency", "1", "--loglevel", "critical"],
            "beat": [sys.executable, "manage.py", "beat"],
        }  # fmt: skip
        self.running: dict[str, subprocess.Popen] = {}

    def start(self, name: str) -> None:
        if name in ("postgresql", "redis"):
            getattr(self, name).start()
            return
        self.running[name] = subprocess.Popen(
            self.commands[name], cwd=ROOT, env=os.environ | self.env, start_new_session=True,
            stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        )  # fmt: skip

    def kill(self, name: str) -> None:
        if name in ("postgresql", "redis"):
            getattr(self, name).kill()
            return
        os.killpg(self.running[name].pid, signal.SIGKILL)
        self.running[name].wait()

    def restart_what_ended(self) -> None:
        """What systemd does."""
        for name, process in list(self.running.items()):
            if process.poll() is not None:
                self.start(name)

    def asked(self, words: str, mark: str):
        said = manage("shell", "--no-imports", "-v", "0", "-c", words, **self.env).stdout
        return json.loads(said.partition(mark)[2])

    def answers(self) -> bool:
        try:
            return httpx.get(f"{self.url}/health/", timeout=5).status_code == 200
        except httpx.TransportError:
            return False


@pytest.fixture
def shop(tmp_path):
    made = Shop(tmp_path)
    made.start("postgresql")
    made.start("redis")
    try:
        manage("migrate", "--verbosity", "0", **made.env)
        yield made
    finally:
        for name in list(made.running):
            made.kill(name)
        made.redis.stop()
        made.postgresql.stop()
        made.stack.close()


def test_nothing_that_was_answered_is_lost_and_nothing_is_doubled(shop):
    known, chance = shop.asked(PREPARE, "PREPARED"), random.Random(SEED)
    for name in ("web", "worker", "beat"):
        shop.start(name)
    wait_until(shop.answers, "the web server", 120)

    with Writers(shop.url, known) as writers:
        wait_until(lambda: all(writers.told.values()) or writers.trouble, "the first of each", 240)
        for name in ("worker", "web", "postgresql", "redis", "beat", "postgresql"):
            time.sleep(chance.uniform(0.3, 1.2))  # any moment, in the middle of anything
            writers.may_promise(4)
            shop.kill(name)
            shop.start(name)
            shop.restart_what_ended()
            before = {kind: len(told) for kind, told in writers.told.items()}
            writers.may_promise(4)
            wait_until(
                lambda before=before: (
                    writers.trouble
                    or all(len(told) > before[kind] for kind, told in writers.told.items())
                ),
                f"each to be served again after the end of {name}",
                240,
            )
    shop.restart_what_ended()

    assert writers.trouble == []
    assert writers.sent_again > 0
    counted = shop.asked(COUNTS, "COUNTED")
    for kind, told in writers.told.items():
        assert sorted(counted[kind]) == sorted(told) if kind != "promises" else True, kind
    assert set(writers.told["promises"]) <= set(counted["promises"])
    assert counted["promised"] == len(counted["promises"])
    assert counted["noted"] == counted["receipts"] == len(counted["payments"])

    def all_settled() -> bool:
        shop.restart_what_ended()
        return set(shop.asked(COUNTS, "COUNTED")["receipt_states"]) <= {"sent", "unsure"}

    wait_until(all_settled, "the receipts to go", 240)
