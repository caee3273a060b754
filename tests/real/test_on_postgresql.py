"""The database tests once more on PostgreSQL, and what only it can show: two at once."""

import os
import re
import subprocess
import sys

import pytest

from tests.real.services import ROOT, postgresql

ROOMS = [
    f"tests/{room}"
    for room in (
        "reminders",
        "fieldwork",
        "scheduling",
        "agreements",
        "letters",
        "customers",
        "front",
        "shop",
    )
]


@pytest.mark.slow
def test_every_database_test_passes_on_postgresql():
    with postgresql() as address:
        run = subprocess.run(
            [sys.executable, "-m", "pytest", "-q", "-m", "not slow", "-p", "no:cacheprovider",
             "tests/real/on_postgresql.py", "tests/real/senders_on_postgresql.py",
             "tests/real/phones_on_postgresql.py", "tests/real/agreements_on_postgresql.py",
             "tests/real/forms_on_postgresql.py",
             *ROOMS],
            cwd=ROOT, env=os.environ | {"DATABASE_URL": address}, text=True, capture_output=True,
        )  # fmt: skip
    closing = run.stdout.strip().splitlines()[-1]
    assert run.returncode == 0, run.stdout[-3000:]
    assert int(re.search(r"(\d+) passed", closing).group(1)) > 100
    assert "skipped" not in closing
