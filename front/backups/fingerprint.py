"""What a database or a folder holds, as counts and checksums, so that a copy can be compared."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

CHUNK = 2000
# Sessions come and go by being looked at, and the list of backups grows by this one.
LEFT_OUT = {"django_session", "front_backup"}


@dataclass(frozen=True, slots=True)
class Content:
    """Rows of a table (or bytes of a file), and their SHA-256."""

    count: int
    sha256: str


Contents = dict[str, Content]


def of_tables(tables: list[str], cursor_for: Callable[[str], Any]) -> Contents:
    """Every table's rows in the order of their first column, as the driver reads them.

    `cursor_for(sql)` answers an executed DB-API cursor.
    """
    return {table: _of_table(table, cursor_for) for table in sorted(set(tables) - LEFT_OUT)}


def _of_table(table: str, cursor_for: Callable[[str], Any]) -> Content:
    digest, count = hashlib.sha256(), 0
    cursor = cursor_for(f'SELECT * FROM "{table}" ORDER BY 1')  # noqa: S608  (our own names)
    while rows := cursor.fetchmany(CHUNK):
        count += len(rows)
        for row in rows:
            digest.update(repr(row).encode())
    return Content(count, digest.hexdigest())


def of_folder(folder: Path) -> Contents:
    """Every file below `folder`, by its path."""
    return {
        str(path.relative_to(folder)): _of_file(path)
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def _of_file(path: Path) -> Content:
    with path.open("rb") as file:
        return Content(path.stat().st_size, hashlib.file_digest(file, "sha256").hexdigest())


def differences(kept: Contents, found: Contents) -> list[str]:
    """What is not the same, one sentence each; empty when all is."""
    missing = [f"{name} is missing." for name in sorted(kept.keys() - found.keys())]
    more = [f"{name} was not in the backup." for name in sorted(found.keys() - kept.keys())]
    return (
        missing
        + more
        + [
            f"{name}: {kept[name].count:,} were kept and {found[name].count:,} came back, "
            "and they are not the same."
            for name in sorted(kept.keys() & found.keys())
            if kept[name] != found[name]
        ]
    )
