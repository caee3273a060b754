"""The books at size: p95 and queries of each page, and the memory of a file of ten thousand rows.

    bin/bench books [--postgresql] [--quick]

10,000 agreements and five springs, on the embedded SQLite, or with --postgresql on a server that
is started for it. One process, no network. Targets: p95 up to 300 ms, as many queries for any size,
a file of 10,000 rows in up to 100 MB (measured as the process's growth while it is written).
`cpu_ms` is the median of this process's own time; what PostgreSQL works stands in the p95 alone.
"""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
if "--postgresql" in sys.argv:
    # Settings read the database's address once, so the bench runs as a child that has it.
    from tests.real.services import postgresql

    with postgresql() as address:
        words = [word for word in sys.argv if word != "--postgresql"]
        env = os.environ | {"DATABASE_URL": address}
        sys.exit(subprocess.run([sys.executable, *words], env=env, check=False).returncode)

os.environ["DJANGO_SETTINGS_MODULE"] = "config.settings"
os.environ["REDBUD_VAR"] = tempfile.mkdtemp(prefix="redbud-bench-")
os.environ["SECOND_STEP_FOR"] = ""
os.environ.setdefault("LOG_LEVEL", "ERROR")

import django

django.setup()

from django.core.management import call_command
from django.db import connection
from django.test import Client
from django.urls import reverse

from benchmarks import books_rows
from benchmarks.pages import measure
from benchmarks.report import finish, say


def export(client: Client, url: str) -> dict[str, float]:
    """The growth of the process's peak memory while a file goes out, and what went."""
    before_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    answer = client.get(url)
    sent = sum(len(part) for part in answer.streaming_content)
    after_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    return {"export_mb": round(after_mb - before_mb, 1), "file_mb": round(sent / 1e6, 2)}


def main() -> None:
    quick = "--quick" in sys.argv
    agreements, rounds = (1_000, 10) if quick else (10_000, 40)
    call_command("migrate", verbosity=0)
    say(f"writing {agreements} agreements and {books_rows.SEASONS} springs")
    _, owner, seasons = books_rows.build(agreements)
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE")  # as the database does by itself within a minute or two
    client = Client(SERVER_NAME="localhost")
    client.force_login(owner)
    last = seasons[-1]
    begun = export(client, reverse("books:list-file", args=[last.pk, "owed", "csv"]))
    say(f"export: {begun}")
    urls = {
        "season": reverse("books:season", args=[last.pk]),
        "list": reverse("books:list", args=[last.pk, "owed"]),
        "list_kept": reverse("books:list", args=[last.pk, "kept"]),
        "worth": reverse("books:worth", args=[last.pk]),
        "capacity": reverse("books:capacity", args=[last.pk]),
        "costs": reverse("books:costs"),
    }
    pages = {}
    for name, url in urls.items():
        pages[name] = measure(client, url, rounds)
        say(f"{name}: {pages[name]}")
    finish(
        {
            "pages": pages,
            "agreements": agreements,
            "seasons": len(seasons),
            "database": connection.vendor,
            "load": round(os.getloadavg()[0], 1),
            "rounds": rounds,
            "quick": quick,
            **begun,
        }
    )


if __name__ == "__main__":
    main()
