"""How long the reminders of one morning take: for 100,000 homes on PostgreSQL, and what it costs.

Two mornings: an ordinary one, and the heaviest of the year, on which every home is told to rinse
its outdoor unit. Each is decided by a process of its own, so that its memory is its own.
"""

from __future__ import annotations

import datetime as dt
import json
import os
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))  # before this folder, whose reminders.py is not the room
os.environ["DJANGO_SETTINGS_MODULE"] = "config.settings"
os.environ.setdefault("REDBUD_VAR", tempfile.mkdtemp(prefix="redbud-bench-"))
os.environ.setdefault("LOG_LEVEL", "ERROR")

from benchmarks.report import finish, say

HOMES, QUICK_HOMES = 100_000, 10_000
TARGET_S, TARGET_MB = 30.0, 500.0


def build(homes: int) -> dt.date:
    """Fill the database; returns the heaviest day of the year, that of the rinse."""
    import django

    django.setup()
    from django.core.management import call_command

    from benchmarks import reminder_rows
    from reminders.reading import place_of

    call_command("migrate", verbosity=0)
    branch = reminder_rows.build(homes)
    begins = place_of(branch).summer_begins
    assert begins is not None
    return dt.date(reminder_rows.TODAY.year, *begins)


def decide(day: str) -> None:
    """Decide one morning and print what it took."""
    import django

    django.setup()
    from django.db import connection

    from reminders.actions.decide import decide_reminders
    from reminders.reading import CHUNK
    from shop.models import Branch

    queries = []

    def count(execute, sql, params, many, context):
        queries.append(sql[:6])
        return execute(sql, params, many, context)

    branch, today = Branch.objects.get(), dt.date.fromisoformat(day)
    now = dt.datetime.combine(today, dt.time(6, 30), branch.zone)
    begun, cpu_begun = time.perf_counter(), time.process_time()
    with connection.execute_wrapper(count):
        counts = decide_reminders(branch=branch, today=today, now=now)
    found = {
        "homes": counts.homes,
        "seconds": round(time.perf_counter() - begun, 2),
        "cpu_s": round(time.process_time() - cpu_begun, 2),
        "queries": len(queries),
        "chunk": CHUNK,
        "rss_mb": round(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024, 1),
        "letters": counts.letters,
    }
    print(json.dumps(found))


def in_a_process(day: dt.date) -> dict[str, float]:
    words = [sys.executable, __file__, "--decide", day.isoformat()]
    run = subprocess.run(words, env=os.environ, capture_output=True, text=True, check=True)
    found: dict[str, float] = json.loads(run.stdout.splitlines()[-1])
    found["within_target"] = found["seconds"] <= TARGET_S and found["rss_mb"] <= TARGET_MB
    say(f"{day}: {found}")
    return found


def main() -> None:
    from tests.real.services import postgresql

    homes = QUICK_HOMES if "--quick" in sys.argv else HOMES
    with postgresql() as address:
        os.environ["DATABASE_URL"] = address
        say(f"writing {homes} homes and a year of letters")
        heaviest = build(homes)
        from benchmarks.reminder_rows import TODAY

        heavy = in_a_process(heaviest)
        ordinary = in_a_process(TODAY)
    finish(ordinary | {"heaviest": heavy})


if __name__ == "__main__":
    if "--decide" in sys.argv:
        decide(sys.argv[-1])
    else:
        main()
