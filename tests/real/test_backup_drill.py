"""The drill: a shop on PostgreSQL is backed up while in use, and comes back in a fresh database.

With the commands that a shop runs, in processes of their own.
"""

import os
import subprocess
import sys

import psycopg
import pytest

from tests.real.services import ROOT, postgresql


def manage(*arguments: object, **more: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "manage.py", *map(str, arguments)],
        cwd=ROOT, env=os.environ | more, text=True, capture_output=True,
    )  # fmt: skip


def fresh_database(address: str, name: str) -> str:
    with psycopg.connect(address, autocommit=True) as connection:
        connection.execute(f'CREATE DATABASE "{name}"')
    return address.rsplit("/", 1)[0] + f"/{name}"


def keys(tmp_path):
    recipient, private, *_ = manage("backup", "--new-key").stdout.splitlines()
    (tmp_path / "key").write_text(private)
    return recipient.split("=")[1].split()[0], tmp_path / "key"


@pytest.mark.slow
def test_a_shop_on_postgresql_comes_back_to_the_last_row(tmp_path):
    recipient, key_file = keys(tmp_path)
    (tmp_path / "media").mkdir()
    (tmp_path / "media" / "coil.jpg").write_bytes(b"a photo")
    with postgresql() as address:
        shop = {
            "DATABASE_URL": fresh_database(address, "shop"),
            "MEDIA_ROOT": str(tmp_path / "media"),
            "BACKUP_RECIPIENT": recipient,
        }
        assert manage("migrate", "--verbosity", "0", **shop).returncode == 0
        assert manage("demo_scenario", **shop).returncode == 0
        made = manage("backup", "--to", tmp_path / "kept", **shop)
        assert made.returncode == 0, made.stderr
        file = made.stdout.split()[0]

        back = fresh_database(address, "back")
        here = {"DATABASE_URL": back, "MEDIA_ROOT": str(tmp_path / "media back")}
        restored = manage("restore", file, "--key-file", key_file, **here)
        assert "every checksum the same" in restored.stdout, restored.stderr
        with psycopg.connect(back) as connection:
            homes = connection.execute("SELECT count(*) FROM customers_home").fetchone()
        assert homes[0] > 400

        again = manage("restore", file, "--key-file", key_file, **here)
        assert again.returncode == 1
        assert "empty" in again.stderr

        proof = ["--verify", "--into", fresh_database(address, "proof")]
        verified = manage("restore", file, "--key-file", key_file, *proof, **shop)
        assert "every checksum the same" in verified.stdout, verified.stderr
