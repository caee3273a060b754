"""The rows behind a number, on the screen and as files."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import partial
from typing import Any

from django.db.models import QuerySet
from django.http import FileResponse, QueryDict

from books.numbers import NUMBERS, Number
from kit.lists import Cell
from kit.web.lists import A_CHUNK, Asked, ListFile, file_of
from kit.words import clock, day_name
from scheduling.models import Season
from shop.models import Branch


@dataclass(frozen=True, slots=True)
class Listed:
    """One row as the screen words it. `cells`: heading, text, whether it is a number."""

    home: int
    cells: list[tuple[str, str, bool]]


def rows_of(number: Number, season: Season) -> QuerySet[Any]:
    """The number's rows with what their columns say."""
    return number.kind.with_names(number.rows(season))


def listed(number: Number, rows: Iterable[Any], zone: dt.tzinfo) -> list[Listed]:
    return [
        Listed(
            number.kind.home(row),
            [
                (column.heading, _words(column.of(row), zone), column.kind == "number")
                for column in number.kind.columns
            ],
        )
        for row in rows
    ]


def _words(cell: Cell, zone: dt.tzinfo) -> str:
    if cell is None:
        return ""
    if isinstance(cell, dt.datetime):
        local = cell.astimezone(zone)
        return f"{day_name(local)}, {clock(local)}"
    if isinstance(cell, dt.date):
        return f"{cell:%b} {cell.day}, {cell.year}"
    return f"{cell:.2f}" if isinstance(cell, float) else str(cell)


def season_file(season: Season, name: str, ending: str, query: QueryDict) -> FileResponse:
    """The file of a number's rows, or 404."""
    files = {
        key: ListFile(
            f"{number.label}, {season}",
            number.note,
            number.kind.columns,
            partial(_in_chunks, number, season),
        )
        for key, number in NUMBERS.items()
    }
    return file_of(files, name, ending, season.branch, query)


def _in_chunks(number: Number, season: Season, _branch: Branch, _asked: Asked) -> Iterator[Any]:
    return rows_of(number, season).iterator(chunk_size=A_CHUNK)
