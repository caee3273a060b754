"""Fifty people in the office and a hundred technicians on a shop of 10,000 homes and five years.

    bin/bench load [--minutes 10] [--quick]

A PostgreSQL, a Redis, and web, worker and beat as deploy/single starts them, on this machine and
its loopback only. Everybody looks, thinks (5 to 15 s in the office, 10 to 30 s on the road) and
writes: payments, notes, homes, promises, readings. First for `minutes`; then, for half as long,
the same while a season of 10,000 visits is planned and 10,000 letters go out to a local mail
server. Afterwards the database is asked for everything that was answered with success:
`lost_writes` counts what is not there, `doubled_writes` what is there twice; both are to be zero.
`rss_mb`: the most memory that each service held, all of its processes together.
--quick: 1,000 homes, 10 and 20 people, a minute.
"""

from __future__ import annotations

import argparse
import os
import shlex
import subprocess
import sys
import tempfile
import threading
import time
from collections import Counter
from contextlib import ExitStack
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

from tests.real.services import (
    children_of,
    free_port,
    postgresql,
    redis_server,
    wait_until,
)

UNITS = ROOT / "deploy" / "single"
LETTERS = 10_000
PLAN_S = 60
MAIL = """
import sys; sys.path.insert(0, {root!r})
from pathlib import Path
from benchmarks.letters import serve_mail
serve_mail({port}, Path({file!r}))
"""


def command_of(unit: str) -> list[str]:
    """What the unit starts, with this Python in place of the installed one."""
    lines = (UNITS / unit).read_text().splitlines()
    words = shlex.split(next(line for line in lines if line.startswith("ExecStart=")))
    program = Path(words[0].removeprefix("ExecStart=")).name
    return [sys.executable, *(["-m", program] if program != "python" else []), *words[1:]]


class Service:
    """One of deploy's units; keeps the most memory that its processes held together."""

    def __init__(self, unit: str, **instead: str) -> None:
        words = [instead.get(word, word) for word in command_of(unit)]
        self.most_mb = 0.0
        self.process = subprocess.Popen(
            words, cwd=ROOT, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )

    def weigh(self) -> None:
        everyone, seen = [self.process.pid], []
        while everyone:
            seen.append(everyone.pop())
            everyone += children_of(seen[-1])
        self.most_mb = max(self.most_mb, sum(map(_rss_mb, seen)))

    def stop(self) -> None:
        self.process.terminate()
        try:
            self.process.wait(20)
        except subprocess.TimeoutExpired:
            self.process.kill()


def _rss_mb(pid: int) -> float:
    try:
        pages = int(Path(f"/proc/{pid}/statm").read_text().split()[1])
    except (OSError, IndexError):
        return 0.0
    return pages * os.sysconf("SC_PAGE_SIZE") / 2**20


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--minutes", type=float, default=10)
    options.add_argument("--quick", action="store_true")
    given = options.parse_args()
    homes, office, technicians = (1000, 10, 20) if given.quick else (10_000, 50, 100)
    minutes = 1.0 if given.quick else given.minutes
    with ExitStack() as stack:
        folder = stack.enter_context(tempfile.TemporaryDirectory(prefix="redbud-bench-"))
        port, mail_port = free_port(), free_port()
        os.environ |= {
            "DATABASE_URL": stack.enter_context(postgresql()), "REDBUD_VAR": folder,
            "REDIS_URL": stack.enter_context(redis_server()), "LOG_LEVEL": "ERROR",
            "DJANGO_SETTINGS_MODULE": "config.settings",
            "EMAIL_URL": f"smtp://127.0.0.1:{mail_port}",
        }  # fmt: skip
        taken = Path(folder) / "taken"
        mail = MAIL.format(root=str(ROOT), port=mail_port, file=str(taken))
        sink = subprocess.Popen([sys.executable, "-c", mail], cwd=ROOT)
        stack.callback(sink.kill)
        run(port, homes, office, technicians, minutes, taken)


def run(port: int, homes: int, office: int, technicians: int, minutes: float, taken: Path) -> None:
    import django

    django.setup()
    from django.core.management import call_command
    from django.db import connection, connections

    from benchmarks.crowd import people, rows
    from benchmarks.report import finish, say

    call_command("migrate", verbosity=0)
    say(f"writing {homes} homes and five years")
    crowd = rows.build(homes, office, technicians)
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE")
    connections.close_all()
    url = f"http://127.0.0.1:{port}"
    services = {
        "web": Service("redbud-web.service", **{"unix:/run/redbud/web.sock": f"127.0.0.1:{port}"}),
        "worker": Service("redbud-worker.service"),
        "beat": Service("redbud-beat.service"),
    }
    weighing = threading.Event()
    scale = threading.Thread(target=_weigh, args=(services, weighing))
    scale.start()
    try:
        wait_until(lambda: _answers(url), "the web server", 120)
        load = os.getloadavg()
        say(f"{office + len(crowd.phones)} people for {minutes} minutes; load {load[0]:.1f}")
        alone = people.Course()
        people.live(url, crowd, minutes * 60, alone)
        load_between = os.getloadavg()
        _set_to_work(crowd.season, min(homes, LETTERS))
        say(f"the same while a season is planned and letters go out; load {load_between[0]:.1f}")
        begun, planning = time.monotonic(), people.Course()
        people.live(url, crowd, minutes * 30, planning)
        went_s = time.monotonic() - begun
    finally:
        weighing.set()
        scale.join()
        for service in services.values():
            service.stop()
    lost, doubled = account(alone, planning)
    finish({
        "pages": alone.pages(),
        "pages_while_planning": planning.pages(),
        "lost_writes": lost,
        "doubled_writes": doubled,
        "writes": sum(len(_told(course)) for course in (alone, planning)),
        "rss_mb": {name: round(service.most_mb) for name, service in services.items()},
        "planning": _planned(crowd.season) | _letters(taken) | {"seconds": round(went_s)},
        "first_errors": [why for course in (alone, planning)
                         for found in course.errors.values() for why in found[:2]][:20],
        "homes": homes, "office": office, "technicians": len(crowd.phones), "minutes": minutes,
        "load_before": load, "load_between": load_between, "load_after": os.getloadavg(),
    })  # fmt: skip


def _weigh(services: dict[str, Service], enough: threading.Event) -> None:
    while not enough.wait(3):
        for service in services.values():
            service.weigh()


def _answers(url: str) -> bool:
    import httpx

    try:
        return httpx.get(f"{url}/health/").status_code == 200
    except httpx.TransportError:
        return False


def _set_to_work(season_pk: int, letters: int) -> None:
    """A plan of the season is asked for, and so many letters are due."""
    from django.utils import timezone

    from benchmarks.crowd.rows import ten_thousand_letters
    from kit.web.wake import wake
    from scheduling.actions.runs import ask_for_run
    from scheduling.models import Season

    season = Season.objects.get(pk=season_pk)
    ten_thousand_letters(season.branch, letters)
    ask_for_run(season=season, by=None, seconds=PLAN_S, now=timezone.now())
    wake("letters.sweep")


def _told(course) -> list[str]:
    return [
        *course.payments, *course.complaints, *course.entries, *map(str, course.promises),
        *map(str, course.gate_codes),
    ]  # fmt: skip


def account(*courses) -> tuple[int, int]:
    """What was told and is not there; what is there more than once, or though it was never sent."""
    from agreements.models import AgreementEvent, Payment
    from customers.models import Home
    from fieldwork.models import Entry
    from scheduling.models import State, Visit

    codes = {pk: code for course in courses for pk, code in course.gate_codes.items()}
    standing = dict(Home.objects.filter(pk__in=codes).values_list("pk", "gate_code"))
    lost = sum(standing.get(pk) != code for pk, code in codes.items())
    promises = {pk for course in courses for pk in course.promises}
    kept = Visit.objects.filter(pk__in=promises, state=State.PROMISED)
    lost += len(promises) - kept.count()
    complaints = AgreementEvent.objects.filter(what="complaint").values_list("words", flat=True)
    sorts = {
        "payments": Payment.objects.exclude(recorded_by=None).values_list("key", flat=True),
        "complaints": complaints,
        "entries": Entry.objects.values_list("event__client_key", flat=True),
    }
    doubled = 0
    for name, rows in sorts.items():
        there = Counter(map(str, rows))
        told = [key for course in courses for key in getattr(course, name)]
        lost += sum(key not in there for key in told)
        doubled += sum(count - 1 for count in there.values())
    return lost, doubled


def _planned(season_pk: int) -> dict[str, object]:
    from scheduling.models import SeasonRun

    run = SeasonRun.objects.filter(season_id=season_pk).latest("asked_at")
    took = (run.ended_at - run.asked_at).total_seconds() if run.ended_at else None
    return {"run": run.state, "run_s": took, "placed": (run.progress or {}).get("placed")}


def _letters(taken: Path) -> dict[str, int]:
    from letters.models import Letter

    arrived = Counter(taken.read_text().split()) if taken.exists() else Counter()
    return {
        "letters_arrived": len(arrived),
        "letters_doubled": sum(count > 1 for count in arrived.values()),
        "letters_waiting": Letter.objects.exclude(state="sent").count(),
    }


if __name__ == "__main__":
    main()
