"""Words that a translation can find again: an id that never changes beside plain English."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class Words:
    """`id` is unique among all words of this room; `english` is shown where no translation is."""

    id: str
    english: str


Value = str | int | date | tuple[Words, ...]


@dataclass(frozen=True, slots=True)
class Sentence:
    """Words with gaps such as {day}, and what stands in them."""

    words: Words
    values: tuple[tuple[str, Value], ...] = ()

    def english(self) -> str:
        """The sentence as people here read it; a translation fills the same gaps."""
        shown = {name: _shown(value) for name, value in self.values}
        return self.words.english.format(**shown)


def listed(parts: list[str], and_: str = "and") -> str:
    """ "a", "a and b", "a, b and c"."""
    return f" {and_} ".join(filter(None, [", ".join(parts[:-1]), parts[-1]]))


def _shown(value: Value) -> str:
    if isinstance(value, date):
        return f"{value:%B} {value.day}, {value.year}"
    if isinstance(value, tuple):
        return listed([words.english for words in value])
    return str(value)
