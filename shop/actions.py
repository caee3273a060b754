"""Verbs that change the shop."""

from __future__ import annotations

from shop.models import LEAST_DRIVING_PERCENT, MOST_DRIVING_PERCENT, Branch


def change_branch(*, branch: Branch) -> Branch:
    """Write a branch's rules. What is planned already keeps its slots until the next plan."""
    branch.save()
    return branch


def plan_drives_at(*, branch: Branch, percent: int, seen: int) -> bool:
    """Reckon drives at so many per cent of what the map makes one expect.

    False: it is no longer the `seen` one, so somebody else has changed it. Raises ValueError for
    what no branch can have.
    """
    if not LEAST_DRIVING_PERCENT <= percent <= MOST_DRIVING_PERCENT:
        raise ValueError(f"{LEAST_DRIVING_PERCENT} to {MOST_DRIVING_PERCENT} per cent.")
    rows = Branch.objects.filter(pk=branch.pk, driving_percent=seen)
    return bool(rows.update(driving_percent=percent))
