"""What waits about visits: the weather, plans, held checks, and visits in no season."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import Any

from django.db.models import Count, Max, Min, Q
from django.urls import reverse

from agreements.forms import OVERDUE
from agreements.models import OwedVisit
from front.today.decision import Decision, first
from kit.words import check_kind
from scheduling.actions.seasons import OVERDUE_FOR
from scheduling.models import RunState, SeasonRun, State, Visit
from scheduling.watching import proposal_counts
from shop.models import Branch

# Owed visits that become due later than this are no decision of today.
AHEAD_DAYS = 120


def weather(branch: Branch) -> Iterator[Decision]:
    """What the newest look at the weather asks for."""
    said = {
        "repairs": ("promise turned too cold", "promises turned too cold"),
        "releases": ("held check has a warm time now", "held checks have a warm time now"),
        "fills": ("check can come sooner", "checks can come sooner"),
    }
    for what, count in proposal_counts(branch).items():
        if count:
            one, many = said[what]
            words = one if count == 1 else many
            yield Decision(count, words, reverse("scheduling:watch"), "Decide")


def plans(branch: Branch) -> Iterator[Decision]:
    """Season runs that ended in a proposal, or are under way: of several alike, all at once."""
    words = {
        RunState.READY: ("plan of {} is ready to look at", "plans of {} are ready to look at"),
        RunState.WAITING: ("plan of {} waits for a worker", "plans of {} wait for a worker"),
        RunState.RUNNING: ("plan of {} is being made", "plans of {} are being made"),
        RunState.PARTS: ("plan of {} is being made", "plans of {} are being made"),
    }
    runs = (
        SeasonRun.objects.plans()
        .filter(season__branch=branch, state__in=words)
        .order_by("season__starts_on", "state")
        .values("season", "season__name", "state")
        .annotate(count=Count("pk"), newest=Max("pk"))
    )
    for row in runs:
        one, many = words[RunState(row["state"])]
        if row["count"] == 1:
            url, link = reverse("scheduling:run", args=[row["newest"]]), "Look at the plan"
        else:
            url, link = reverse("scheduling:plans", args=[row["season"]]), "Look at the plans"
            one = many
        yield Decision(row["count"], one.format(row["season__name"]), url, link)


def waiting_visits(branch: Branch, today: dt.date) -> Iterator[Decision]:
    """Visits of the seasons that are not over: those held, and those owed without a slot."""
    waiting = Visit.objects.filter(
        season__branch=branch, season__ends_on__gte=today, state__in=[State.HELD, State.OWED]
    )
    grouped = (
        waiting.values("season", "season__name", "state", "why")
        .annotate(count=Count("pk"), since=Min("held_since"))
        .order_by("season__starts_on", "state", "-count")
    )
    by_list: dict[tuple[int, str, str], list[Any]] = {}
    for row in grouped:
        by_list.setdefault((row["season"], row["season__name"], row["state"]), []).append(row)
    for (season, name, state), rows in by_list.items():
        yield _waiting(season, name, state, rows, branch)


def _waiting(season: int, name: str, state: str, rows: list[Any], branch: Branch) -> Decision:
    count = sum(row["count"] for row in rows)
    words = f"{'visit' if count == 1 else 'visits'} of {name} without a slot"
    if state == State.HELD:
        since = min(row["since"] for row in rows).astimezone(branch.zone)
        longest = "" if count == 1 else "the longest "
        words = (
            f"cooling {'check' if count == 1 else 'checks'} of {name} held for warmth, "
            f"{longest}since {since:%B %-d}"
        )
    reasons = [f"{row['count']:,}: {row['why'] or 'not planned yet'}" for row in rows]
    url = reverse("scheduling:season", args=[season])
    return Decision(count, words, url, "Look at the season", first(reasons))


def outside_any_season(branch: Branch, today: dt.date) -> Iterator[Decision]:
    """Visits owed now or soon that no season has gathered, and those that none gathers any more."""
    soon, last = today + dt.timedelta(days=AHEAD_DAYS), today - OVERDUE_FOR
    owed = OwedVisit.objects.of(branch).still_owed().filter(
        visit=None, agreement__cancelled_on=None, due_from__lte=soon
    )  # fmt: skip
    waiting, overdue = Count("pk", filter=Q(due_until__gte=last)), Q(due_until__lt=last)
    rows = owed.values("kind").annotate(waiting=waiting, overdue=Count("pk", filter=overdue))
    kinds = {row["kind"]: row["waiting"] for row in rows if row["waiting"]}
    if count := sum(kinds.values()):
        yield Decision(
            count,
            f"owed {'visit' if count == 1 else 'visits'} due by {soon:%B %-d} in no season",
            reverse("scheduling:newest"),
            "Gather them in a season",
            tuple(f"{check_kind(kind)}: {number:,}" for kind, number in sorted(kinds.items())),
        )
    if count := sum(row["overdue"] for row in rows):
        words = (
            f"{'visit' if count == 1 else 'visits'} overdue for more than {OVERDUE_FOR.days} days"
        )
        url = reverse("agreements:list") + f"?show={OVERDUE}"
        yield Decision(count, words, url, "Look at the agreements")
