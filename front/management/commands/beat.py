"""Celery beat, alone: whoever comes second waits until the first is gone."""

from __future__ import annotations

import fcntl
import os
import threading
import time
from pathlib import Path
from typing import IO

from celery import current_app
from django.conf import settings
from django.core.management.base import BaseCommand
from django.db import DatabaseError, connection

LOCK = 0x5EDB0D  # any number that nothing else locks in this database
LOOK_EVERY_S = 5.0


class Command(BaseCommand):
    help = "Wake the workers on time. Started twice, on one server or on two, one of the two waits."

    def handle(self, *args: object, **options: object) -> None:
        self._wait_for_the_lock()
        self.stdout.write("This is the beat.")
        if connection.vendor == "postgresql":
            connection.inc_thread_sharing()
            threading.Thread(target=self._end_without_the_lock, daemon=True).start()
        scheduler = "front.beat:SteadyScheduler"
        current_app.Beat(loglevel="WARNING", quiet=True, scheduler=scheduler).run()

    def _wait_for_the_lock(self) -> None:
        said = False
        while not self._locked():
            if not said:
                self.stdout.write("Another beat is running; waiting for its end.")
                said = True
            time.sleep(LOOK_EVERY_S)

    def _end_without_the_lock(self) -> None:
        """A database that was killed has forgotten the lock, and the other beat will take it."""
        while True:
            time.sleep(LOOK_EVERY_S)
            try:
                with connection.cursor() as cursor:
                    cursor.execute("SELECT 1")
            except DatabaseError:
                self.stderr.write(
                    "The lock is lost with its connection; whoever keeps me starts me."
                )
                self.stderr.flush()
                os._exit(1)

    def _locked(self) -> bool:
        """Held until this process ends: by its connection, or by its open file on SQLite."""
        if connection.vendor == "postgresql":
            with connection.cursor() as cursor:
                cursor.execute("SELECT pg_try_advisory_lock(%s)", [LOCK])
                return bool(cursor.fetchone()[0])
        self._file: IO[str] = Path(settings.VAR, "beat.lock").open("w")  # noqa: SIM115  (open for life)
        try:
            fcntl.flock(self._file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        return True
