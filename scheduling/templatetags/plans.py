"""What a run is about, in words."""

from __future__ import annotations

from django import template

from scheduling.models import SeasonRun
from scheduling.what_if import words_of

register = template.Library()


@register.filter
def change_words(run: SeasonRun) -> str:
    """What a what-if changes: "Work on Saturdays too"."""
    return words_of(run.change)


@register.filter
def areas_words(progress: dict) -> str:
    """How many areas are planned: "1 of 4 areas, 12 s"."""
    if "of" not in progress:
        return "The areas wait for a worker."
    return f"{progress['ended']} of {progress['of']} areas, {progress['seconds']:.0f} s"
