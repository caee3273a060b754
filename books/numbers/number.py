"""A number of the season books: a word, and the rows that it counts. Nothing is counted twice.

The list behind a number is the very query that was counted, so the two cannot differ.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.db.models import QuerySet

from kit.lists import Column
from scheduling.models import Season

Rows = Callable[[Season], QuerySet[Any]]


@dataclass(frozen=True, slots=True)
class Kind:
    """What the rows of some numbers are. `with_names`: fetches what the columns say.

    `home`: the id of the home that a row is about, for its link.
    """

    noun: str
    columns: tuple[Column, ...]
    with_names: Callable[[QuerySet[Any]], QuerySet[Any]]
    home: Callable[[Any], int]


@dataclass(frozen=True, slots=True)
class Number:
    """`note`: what counts, in a sentence under the list's title."""

    key: str
    label: str
    note: str
    kind: Kind
    rows: Rows
