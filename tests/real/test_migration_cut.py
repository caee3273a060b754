"""An upgrade that is killed in the middle leaves nothing half done; the next one is through."""

import os
import sqlite3
import subprocess
import sys
from contextlib import closing

import psycopg
import pytest

from tests.real.services import ROOT, manage, postgresql, wait_until

pytestmark = pytest.mark.slow
ENOUGH = 25  # of all migrations; then it is killed in whatever it is doing


def killed_in_the_middle(count, env: dict[str, str]) -> None:
    upgrade = subprocess.Popen(
        [sys.executable, "manage.py", "migrate", "--verbosity", "0"],
        cwd=ROOT, env=os.environ | env, stderr=subprocess.DEVNULL,
    )  # fmt: skip
    wait_until(lambda: count() >= ENOUGH or upgrade.poll() is not None, "some migrations", 240)
    assert upgrade.poll() is None, "it was through before it could be killed"
    upgrade.kill()
    upgrade.wait()


def brought_through(env: dict[str, str]) -> None:
    manage("migrate", "--verbosity", "0", **env)
    manage("migrate", "--check", **env)


def test_on_sqlite(tmp_path):
    env = {"REDBUD_VAR": str(tmp_path), "DJANGO_SETTINGS_MODULE": "config.settings"}
    file = tmp_path / "redbud.sqlite3"

    def count() -> int:
        try:
            with closing(sqlite3.connect(f"file:{file}?mode=ro", uri=True)) as database:
                return database.execute("SELECT count(*) FROM django_migrations").fetchone()[0]
        except sqlite3.OperationalError:
            return 0

    killed_in_the_middle(count, env)
    brought_through(env)
    with closing(sqlite3.connect(file)) as database:
        assert database.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        tables = {name for (name,) in database.execute("SELECT name FROM sqlite_master")}
    assert not [name for name in tables if name.startswith("new__")]  # a table half rewritten


def test_on_postgresql(tmp_path):
    with postgresql() as address:
        env = {"REDBUD_VAR": str(tmp_path), "DATABASE_URL": address}
        env |= {"DJANGO_SETTINGS_MODULE": "config.settings"}

        def count() -> int:
            with psycopg.connect(address) as database:
                found = database.execute("SELECT to_regclass('django_migrations')").fetchone()
                if found == (None,):
                    return 0
                return database.execute("SELECT count(*) FROM django_migrations").fetchone()[0]

        killed_in_the_middle(count, env)
        brought_through(env)
