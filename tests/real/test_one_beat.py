"""Two beats are started; one beats, the other waits and takes over when the first is killed."""

import os
import subprocess
import sys
import tempfile

import pytest

from tests.real.services import ROOT, Postgresql, postgresql, redis_server, wait_until


def beat(folder, **more: str) -> tuple[subprocess.Popen, object]:
    """A beat with its own words in a file."""
    folder.mkdir(parents=True, exist_ok=True)
    said = folder / "said"
    process = subprocess.Popen(
        [sys.executable, "-u", "manage.py", "beat"],
        cwd=ROOT, env=os.environ | more, stdout=said.open("w"), stderr=subprocess.STDOUT,
    )  # fmt: skip
    return process, said


def one_beats_and_the_other_takes_over(tmp_path, **surroundings: str) -> None:
    first, said = beat(tmp_path / "1", **surroundings)
    try:
        wait_until(lambda: "This is the beat" in said.read_text(), "the first beat")
        second, words = beat(tmp_path / "2", **surroundings)
        try:
            wait_until(lambda: "Another beat is running" in words.read_text(), "the second to wait")
            first.kill()
            first.wait()
            wait_until(lambda: "This is the beat" in words.read_text(), "the second to take over")
        finally:
            second.kill()
            second.wait()
    finally:
        first.kill()
        first.wait()


@pytest.mark.slow
def test_on_sqlite(tmp_path):
    with redis_server() as broker:
        one_beats_and_the_other_takes_over(tmp_path, REDIS_URL=broker, REDBUD_VAR=str(tmp_path))


@pytest.mark.slow
def test_a_beat_whose_database_was_killed_ends_and_is_the_only_one_again(tmp_path):
    with redis_server() as broker, tempfile.TemporaryDirectory(prefix="redbud-pg-") as folder:
        database = Postgresql(folder)
        database.start()
        around = {"REDIS_URL": broker, "REDBUD_VAR": str(tmp_path)}
        around["DATABASE_URL"] = database.address
        process, said = beat(tmp_path / "1", **around)
        try:
            wait_until(lambda: "This is the beat" in said.read_text(), "the beat")
            database.kill()
            wait_until(lambda: process.poll() is not None, "the beat without its lock to end")
            assert "The lock is lost" in said.read_text()
        finally:
            process.kill()
            process.wait()
            database.start()
            database.stop()


@pytest.mark.slow
def test_on_postgresql(tmp_path):
    with redis_server() as broker, postgresql() as address:
        one_beats_and_the_other_takes_over(
            tmp_path, REDIS_URL=broker, DATABASE_URL=address, REDBUD_VAR=str(tmp_path)
        )
