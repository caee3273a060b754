"""What the office has to decide today, gathered from all rooms in few queries."""

from __future__ import annotations

import datetime as dt

from front.today import papers, people, steps, visits
from front.today.decision import Today
from shop.models import Branch


def gather(branch: Branch, today: dt.date) -> Today:
    """Everything that waits for the office of a branch on this day."""
    decisions = (
        *people.dangers(branch, today),
        *people.from_the_phones(branch),
        *people.no_starts(branch),
        *people.calls(branch),
        *visits.weather(branch),
        *visits.plans(branch),
        *visits.waiting_visits(branch, today),
        *visits.outside_any_season(branch, today),
        *people.homes_without_a_place(branch),
        *papers.letters(branch),
        *papers.overdue_payments(branch, today),
        *papers.agreements_ending(branch, today),
        *people.recommended(branch),
        *papers.unfinished_imports(branch),
    )
    return Today(tuple(steps.steps(branch)), decisions, papers.backup(branch))
