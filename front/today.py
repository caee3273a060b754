"""What the office has to decide today, gathered from all rooms in few queries."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from django.db.models import Count, Min, Q
from django.urls import reverse

from agreements.forms import ENDING, OVERDUE
from agreements.models import OwedVisit, SpreadsheetImport
from agreements.renewals import SOON_DAYS, ending_soon
from customers.forms.home import UNKNOWN_PLACE
from customers.models import Home
from fieldwork.announcements import dangers_untold
from fieldwork.models import Recommendation, RecommendationState
from front.models import Backup
from kit.words import check_kind
from letters.models import BadAddress, Letter, LetterState
from reminders.models import NoStart
from scheduling.actions.seasons import OVERDUE_FOR
from scheduling.models import Offer, RunState, Season, SeasonRun, State, Technician, Visit
from scheduling.watching import proposal_counts
from shop.models import Branch
from weather.models import BranchClimate

# Owed visits that become due later than this are no decision of today.
AHEAD_DAYS = 120
MOST_REASONS = 3


@dataclass(frozen=True, slots=True)
class Decision:
    """One line of the screen: how many of what, where to see them, and why they wait."""

    count: int
    words: str
    url: str
    link: str
    reasons: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Step:
    """Something that is missing before a season can be planned, and how to come by it."""

    title: str
    words: str
    url: str = ""
    link: str = ""


@dataclass(frozen=True, slots=True)
class Today:
    """The whole screen."""

    steps: tuple[Step, ...]
    decisions: tuple[Decision, ...]
    backup: str


def gather(branch: Branch, today: dt.date) -> Today:
    """Everything that waits for the office of a branch on this day."""
    decisions = (
        *_dangers(branch, today),
        *_no_starts(branch),
        *_calls(branch),
        *_weather(branch),
        *_plans(branch),
        *_waiting_visits(branch, today),
        *_outside_any_season(branch, today),
        *_homes_without_a_place(branch),
        *_letters(branch),
        *_agreements_ending(branch, today),
        *_recommended(branch),
        *_unfinished_imports(branch),
    )
    return Today(tuple(_steps(branch)), decisions, _backup(branch))


def _backup(branch: Branch) -> str:
    """How old the last good backup is, and whether it was proven."""
    last = Backup.objects.first()
    good = Backup.objects.filter(trouble="").first() if last and last.trouble else last
    if good is None:
        trouble = f" The last try failed: {last.trouble}" if last else ""
        return f"There is no backup yet.{trouble}"
    said = f"The last good backup was made on {good.made_at.astimezone(branch.zone):%B %-d, %Y}"
    if good.verified_at:
        said += f" and proven on {good.verified_at.astimezone(branch.zone):%B %-d}"
    if last and last.trouble:
        return f"{said}. A later one failed: {last.trouble}"
    return f"{said}."


def _dangers(branch: Branch, today: dt.date) -> Iterator[Decision]:
    """Something dangerous was found, and its report waits for a person to send it."""
    records = dangers_untold(branch, today)
    if records:
        names = tuple(str(record.visit.owed_visit.home.customer) for record in records)
        words = "dangerous finding not reported" if len(records) == 1 else (
            "dangerous findings not reported"
        )  # fmt: skip
        yield Decision(len(records), words, reverse("fieldwork:follow-up"), "Speak and send", names)


def _recommended(branch: Branch) -> Iterator[Decision]:
    """Repairs that a technician recommends, and the customer was not told yet."""
    count = Recommendation.objects.filter(
        record__visit__season__branch=branch, state=RecommendationState.OPEN
    ).count()
    if count:
        words = f"recommended {'repair' if count == 1 else 'repairs'} to tell customers of"
        yield Decision(count, words, reverse("fieldwork:follow-up"), "Follow-up")


def _no_starts(branch: Branch) -> Iterator[Decision]:
    """Homes that do not start after the safe checks, and nobody has called yet."""
    waiting = NoStart.objects.of(branch).to_call().select_related("home__customer")
    names = [str(no_start.home.customer) for no_start in waiting.order_by("asked_at")]
    if names:
        words = f"{'home does' if len(names) == 1 else 'homes do'} not start: to call"
        yield Decision(len(names), words, reverse("reminders:no-starts"), "Call", _first(names))


def _calls(branch: Branch) -> Iterator[Decision]:
    """Customers who did not answer their offers, have no e-mail address, or asked for a call."""
    count = Offer.objects.of(branch).to_call().count()
    if count:
        words = f"{'customer' if count == 1 else 'customers'} to telephone about a time"
        yield Decision(count, words, reverse("scheduling:calls"), "Telephone list")


def _weather(branch: Branch) -> Iterator[Decision]:
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


def _plans(branch: Branch) -> Iterator[Decision]:
    """Season runs that ended in a proposal, or are under way."""
    words = {
        RunState.READY: "plan of {} is ready to look at",
        RunState.WAITING: "plan of {} waits for a worker",
        RunState.RUNNING: "plan of {} is being made",
    }
    runs = SeasonRun.objects.filter(season__branch=branch, state__in=words).only(
        "state", "season__name"
    )
    for run in runs.select_related("season"):
        url = reverse("scheduling:run", args=[run.pk])
        yield Decision(1, words[RunState(run.state)].format(run.season), url, "Look at the plan")


def _waiting_visits(branch: Branch, today: dt.date) -> Iterator[Decision]:
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
    return Decision(count, words, url, "Look at the season", _first(reasons))


def _outside_any_season(branch: Branch, today: dt.date) -> Iterator[Decision]:
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


def _homes_without_a_place(branch: Branch) -> Iterator[Decision]:
    if count := Home.objects.of(branch).without_a_place().count():
        words = (
            f"{'home' if count == 1 else 'homes'} without a known place, so no visit can be planned"
        )
        url = reverse("customers:list") + f"?place={UNKNOWN_PLACE}"
        yield Decision(count, words, url, "Look at the homes")


def _letters(branch: Branch) -> Iterator[Decision]:
    """Letters that a person has to settle, and addresses that nothing reaches."""
    words = {
        LetterState.UNSURE: ("letter may have arrived or not", "letters may have arrived or not"),
        LetterState.FAILED: ("letter was given up", "letters were given up"),
    }
    counts = Letter.objects.of(branch).filter(state__in=words).values_list("state")
    for state, count in counts.annotate(count=Count("pk")).order_by("-state"):
        one, many = words[LetterState(state)]
        url = reverse("letters:outbox") + f"?state={state}"
        yield Decision(count, one if count == 1 else many, url, "Look at the letters")
    if count := BadAddress.objects.of(branch).unseen().count():
        said = f"e-mail {'address does' if count == 1 else 'addresses do'} not work"
        yield Decision(count, said, reverse("letters:bad-addresses"), "Look at the addresses")


def _agreements_ending(branch: Branch, today: dt.date) -> Iterator[Decision]:
    if count := ending_soon(branch, today).count():
        words = f"{'agreement ends' if count == 1 else 'agreements end'} within {SOON_DAYS} days"
        url = reverse("agreements:list") + f"?show={ENDING}"
        yield Decision(count, words, url, "Look at the agreements")


def _unfinished_imports(branch: Branch) -> Iterator[Decision]:
    """Spreadsheets that were read and not brought in."""
    unfinished = SpreadsheetImport.objects.of(branch).filter(brought_in_at=None)
    names = list(unfinished.values_list("file_name", flat=True))
    if names:
        words = f"{'sheet' if len(names) == 1 else 'sheets'} not brought in yet"
        yield Decision(
            len(names), words, reverse("agreements:import"), "Look at the rows", _first(names)
        )


def _first(reasons: Sequence[str]) -> tuple[str, ...]:
    """The first few of a long list, and how many more there are."""
    if len(reasons) <= MOST_REASONS:
        return tuple(reasons)
    return (*reasons[:MOST_REASONS], f"and {len(reasons) - MOST_REASONS:,} more")


def _steps(branch: Branch) -> Iterator[Step]:
    """What is missing, in the order in which one comes by it."""
    if not Home.objects.of(branch).exists():
        words = "Bring in the sheet you keep today, or enter a first home by hand."
        yield Step("No homes yet", words, reverse("customers:list"), "Go to the homes")
    yield from _technician_steps(branch)
    if not BranchClimate.objects.filter(branch=branch).exists():
        yield Step(
            "No climate yet",
            "Without one nobody can tell how likely a day is warm enough. Whoever looks after "
            "Redbud loads one with the command import_climate.",
        )
    if not Season.objects.filter(branch=branch).exists():
        words = "A season gathers the visits owed in its days, so that they can be planned."
        yield Step("No season yet", words, reverse("scheduling:new"), "Open a season")


def _technician_steps(branch: Branch) -> Iterator[Step]:
    people = Technician.objects.of(branch).active().annotate(weekly=Count("shifts"))
    url = reverse("scheduling:technicians")
    if not people:
        words = "Enter who drives, what each can do, and when each works."
        yield Step("No technician yet", words, url, "Enter a technician")
    elif idle := [str(person) for person in people if not person.weekly]:
        words = f"{', '.join(idle)}: nothing is planned for a technician without working hours."
        yield Step("Technicians without shifts", words, url, "Give working hours")
