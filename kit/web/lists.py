"""Lists of the office as files: each room declares its own, one view of the room answers."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from tempfile import SpooledTemporaryFile
from typing import Any

from django.http import FileResponse, Http404, QueryDict
from django.utils import timezone

from kit.lists import ENDINGS, Column, Ending, write

IN_MEMORY_BYTES = 2 * 1024 * 1024  # larger files wait on the disk
A_CHUNK = 500  # rows fetched at a time, with what hangs on them


@dataclass(frozen=True, slots=True)
class Asked:
    """What the screen was narrowed to, and the day on the branch's clock."""

    query: QueryDict
    today: dt.date


@dataclass(frozen=True, slots=True)
class ListFile:
    """`rows`: those of a branch, as asked; fetched in chunks, never all at once.

    `about`: what a row is, for the screen that names all files.
    """

    title: str
    about: str
    columns: tuple[Column, ...]
    rows: Callable[[Any, Asked], Iterable[Any]]


def file_of(
    lists: Mapping[str, ListFile], name: str, ending: str, branch: Any, query: QueryDict
) -> FileResponse:
    """The file, or 404. It is written whole before its first byte leaves: no half file arrives."""
    if name not in lists or ending not in ENDINGS:
        raise Http404
    wanted: Ending = "csv" if ending == "csv" else "xlsx"
    today = timezone.localdate()
    found, file = lists[name], SpooledTemporaryFile(max_size=IN_MEMORY_BYTES)  # noqa: SIM115
    write(found.columns, found.rows(branch, Asked(query, today)), wanted, file, branch.zone)
    file.seek(0)
    name = f"{branch.slug}-{name}-{today.isoformat()}.{ending}"
    return FileResponse(file, as_attachment=True, filename=name, content_type=ENDINGS[ending])
