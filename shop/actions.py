"""Verbs that change the shop."""

from __future__ import annotations

from shop.models import Branch


def change_branch(*, branch: Branch) -> Branch:
    """Write a branch's rules. What is planned already keeps its slots until the next plan."""
    branch.save()
    return branch
