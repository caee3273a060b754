"""Copying a whole database out and in, with the database's own tools.

The fingerprint is taken from exactly what is copied: from the copy itself on SQLite, in the
dump's own snapshot on PostgreSQL.
"""

from __future__ import annotations

import os
import sqlite3
import subprocess
from collections.abc import Mapping
from contextlib import closing
from pathlib import Path
from typing import Any

import psycopg

from front.backups.fingerprint import Contents, of_tables

Settings = Mapping[str, Any]  # one entry of settings.DATABASES


class NotKept(RuntimeError):
    """A backup or a restore that did not come about, in words."""


def is_sqlite(database: Settings) -> bool:
    return str(database["ENGINE"]).endswith("sqlite3")


def copy_out(database: Settings, file: Path) -> Contents:
    """A consistent copy into `file` while others go on writing; answers what is in it."""
    if is_sqlite(database):
        with (
            closing(sqlite3.connect(database["NAME"])) as source,
            closing(sqlite3.connect(file)) as copy,
        ):
            source.backup(copy)
            return _of_sqlite(copy)
    with _connect(database) as connection:
        connection.isolation_level = psycopg.IsolationLevel.REPEATABLE_READ
        snapshot = connection.execute("SELECT pg_export_snapshot()").fetchone()
        _run(
            database, "pg_dump", "--format=custom", "--no-owner",
            f"--snapshot={snapshot[0] if snapshot else ''}", f"--file={file}",
        )  # fmt: skip
        return _of_postgresql(connection)


def copy_in(database: Settings, file: Path) -> None:
    """Fill an EMPTY database from such a copy. Raises NotKept when something is there already."""
    if is_sqlite(database):
        target = Path(database["NAME"])
        if target.exists() and target.stat().st_size:
            raise NotKept(f"{target} holds a database; a backup goes only into an empty place.")
        target.write_bytes(file.read_bytes())
        return
    if contents(database):
        raise NotKept(f"{database['NAME']} has tables; a backup goes only into an empty database.")
    _run(
        database, "pg_restore", f"--dbname={database['NAME']}", "--no-owner", "--exit-on-error",
        "--single-transaction", str(file),
    )  # fmt: skip


def contents(database: Settings) -> Contents:
    """What a database holds now."""
    if is_sqlite(database):
        with closing(sqlite3.connect(database["NAME"])) as connection:
            return _of_sqlite(connection)
    with _connect(database) as connection:
        return _of_postgresql(connection)


def _of_sqlite(connection: sqlite3.Connection) -> Contents:
    named = "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%'"
    return of_tables([name for (name,) in connection.execute(named)], connection.execute)


def _of_postgresql(connection: psycopg.Connection[Any]) -> Contents:
    named = "SELECT tablename FROM pg_tables WHERE schemaname = 'public'"
    return of_tables([name for (name,) in connection.execute(named)], connection.execute)


def _connect(database: Settings) -> psycopg.Connection[Any]:
    return psycopg.connect(
        host=database.get("HOST") or None,
        port=database.get("PORT") or None,
        user=database.get("USER") or None,
        password=database.get("PASSWORD") or None,
        dbname=database["NAME"],
    )


def _run(database: Settings, *command: str) -> None:
    """A PostgreSQL program; the password goes by environment, where no process list shows it."""
    connection = {
        "PGHOST": database.get("HOST"),
        "PGPORT": database.get("PORT"),
        "PGUSER": database.get("USER"),
        "PGPASSWORD": database.get("PASSWORD"),
        "PGDATABASE": database.get("NAME"),
    }
    told = {name: str(value) for name, value in connection.items() if value}
    done = subprocess.run(command, env=os.environ | told, capture_output=True, text=True)  # noqa: S603
    if done.returncode:
        raise NotKept(f"{command[0]} refused: {done.stderr.strip()[-500:]}")
