"""Rows become facts: what is known of homes, read in chunks with a fixed number of queries.

Seven queries a chunk, whatever the number of homes; a branch's whole list is never in memory.
"""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from django.db.models import Exists, Min, OuterRef
from django.db.models.functions import TruncDate

from agreements.models import Agreement
from customers.models import Filter, Home, System, SystemKind
from kit.when import moment_at
from letters.actions.stops import EVERYTHING, REMINDERS
from letters.models import Letter, LetterState, Stop
from reminders.facts import FilterFacts, HomeFacts, Sent, about_of
from reminders.models import HomeEvent
from reminders.place import PlaceFacts, place_facts
from scheduling.models import Visit
from scheduling.states import AGREED
from shop.models import Branch
from weather.models import BranchClimate

CHUNK = 2_000  # homes; about 20 MB while a chunk is decided
# The longest time between two reminders of a filter, or of a yearly one moved by a check, and
# then some; an older letter decides nothing, and a year of them is most of the reading.
RECENT = dt.timedelta(days=220)
# The outdoor unit of these heats too: it must stay bare all winter.
UNIT_HEATS = (SystemKind.HEAT_PUMP, SystemKind.PACKAGE)
HEATING = (SystemKind.FURNACE, SystemKind.AIR_HANDLER, *UNIT_HEATS)

_HOME_FACTS = (
    "pets", "smokers", "winter_cover", "ice_falls_on_unit", "plants_near_unit", "high_low_returns",
)  # fmt: skip
_CUSTOMER = {
    "customer_id": "customer_id", "customer_name": "customer__name", "email": "customer__email",
    "language": "customer__language", "street": "street",
}  # fmt: skip
_COLUMNS = ("pk", *_CUSTOMER.values(), *_HOME_FACTS)


class NoClimate(ValueError):
    """Nobody can tell the seasons of a branch without one."""


@dataclass(frozen=True, slots=True)
class HomeRead:
    """A home's facts, what it was sent lately, and whom to write to."""

    facts: HomeFacts
    sent: tuple[Sent, ...]
    customer_id: int
    customer_name: str
    email: str
    language: str
    street: str
    where: dict[str, str]  # a filter's id as text -> where it sits


def place_of(branch: Branch) -> PlaceFacts:
    """The year of the branch's place. Raises NoClimate."""
    kept = BranchClimate.objects.filter(branch=branch).first()
    if kept is None:
        raise NoClimate(f"{branch} has no climate yet; load one with the command import_climate.")
    return place_facts(kept.climate())


def homes_to_remind(branch: Branch, today: dt.date) -> Iterator[list[HomeRead]]:
    """Homes with a running agreement whose customer can be written to, in chunks."""
    running = Agreement.objects.running_on(today).filter(home=OuterRef("pk"))
    silent = Stop.objects.filter(customer=OuterRef("customer"), kind=EVERYTHING)
    homes = (
        Home.objects.of(branch)
        .exclude(customer__email="")
        .filter(Exists(running), ~Exists(silent))
        .order_by("pk")
    )
    last = 0
    while rows := list(homes.filter(pk__gt=last).values(*_COLUMNS)[:CHUNK]):
        last = rows[-1]["pk"]
        yield _read(rows, branch, today)


def read_home(home: Home, today: dt.date) -> HomeRead:
    """One home, whether or not it has an agreement."""
    rows = list(Home.objects.filter(pk=home.pk).values(*_COLUMNS))
    return _read(rows, home.customer.branch, today)[0]


def about_home(pk: int) -> str:
    """What letters and links about a home say that they are about."""
    return f"home:{pk}"


@dataclass(frozen=True, slots=True)
class _Span:
    """The homes of a branch from one to another: as a condition two numbers, not 2,000."""

    branch: Branch
    first: int
    last: int

    def of(self, home: str) -> dict[str, object]:
        """The condition on rows that reach their home by this path."""
        return {
            f"{home}__customer__branch": self.branch,
            f"{home}__pk__range": (self.first, self.last),
        }


def _read(rows: Sequence[dict[str, Any]], branch: Branch, today: dt.date) -> list[HomeRead]:
    span = _Span(branch, rows[0]["pk"], rows[-1]["pk"])
    kinds, filters, checks = _kinds(span), _filters(span), _checks(span, today)
    stops, sent = _stops(span), _sent([row["pk"] for row in rows], span, today)
    return [
        HomeRead(
            facts=HomeFacts(
                id=pk,
                filters=tuple(facts for facts, _ in filters[pk]),
                cools=not kinds[pk].isdisjoint(SystemKind.cooling()),
                heats=not kinds[pk].isdisjoint(HEATING),
                heat_pump=not kinds[pk].isdisjoint(UNIT_HEATS),
                next_cooling_check=checks.get(pk),
                stopped_kinds=frozenset(stops[row["customer_id"]]),
                **{name: row[name] for name in _HOME_FACTS},
            ),
            sent=tuple(sent[pk]),
            where={str(facts.id): place for facts, place in filters[pk]},
            **{field: row[column] for field, column in _CUSTOMER.items()},
        )
        for row in rows
        for pk in [row["pk"]]
    ]


def _kinds(span: _Span) -> defaultdict[int, set[str]]:
    found: defaultdict[int, set[str]] = defaultdict(set)
    rows = System.objects.filter(**span.of("home")).order_by()
    for home, kind in rows.values_list("home", "kind"):
        found[home].add(kind)
    return found


def _filters(span: _Span) -> defaultdict[int, list[tuple[FilterFacts, str]]]:
    """Each filter with where it sits."""
    found: defaultdict[int, list[tuple[FilterFacts, str]]] = defaultdict(list)
    rows = Filter.objects.filter(**span.of("system__home")).order_by("pk")
    for home, pk, size, thickness_in, changed, place in rows.values_list(
        "system__home", "pk", "size", "thickness_in", "last_changed_on", "where"
    ):
        found[home].append((FilterFacts(pk, size, float(thickness_in), changed), place))
    return found


def _checks(span: _Span, today: dt.date) -> dict[int, dt.date]:
    """The next cooling check of which the customer knows: one only pencilled is no news yet."""
    zone, home = span.branch.zone, "owed_visit__agreement__home"
    visits = Visit.objects.needing_warmth().filter(
        **span.of(home), state__in=AGREED, starts_at__gte=moment_at(today, 0, zone)
    )
    firsts = visits.order_by().values_list(home).annotate(Min("starts_at"))
    return {pk: first.astimezone(zone).date() for pk, first in firsts}


def _stops(span: _Span) -> defaultdict[int, set[str]]:
    found: defaultdict[int, set[str]] = defaultdict(set)
    rows = Stop.objects.filter(**span.of("customer__homes"))
    for customer, kind in rows.values_list("customer", "kind"):
        found[customer].add(kind)
    return found


def _sent(ids: Sequence[int], span: _Span, today: dt.date) -> defaultdict[int, list[Sent]]:
    """The letters of late, but for those taken back, which reminded nobody; and what the customer
    did without one, which needs none."""
    found: defaultdict[int, list[Sent]] = defaultdict(list)
    since, zone, homes = today - RECENT, span.branch.zone, {about_home(pk): pk for pk in ids}
    letters = Letter.objects.filter(
        about__in=list(homes), kind__in=REMINDERS, written_at__gte=moment_at(since, 0, zone)
    )
    on_day = TruncDate("written_at", tzinfo=zone)
    letters = letters.exclude(state=LetterState.WITHDRAWN)
    for about, kind, occasion, on in letters.order_by().values_list(
        "about", "kind", "occasion", on_day
    ):
        found[homes[about]].append(Sent(kind, about_of(occasion), on))
    events = HomeEvent.objects.of_the_cover().since(since).filter(**span.of("home"))
    for home, kind, on in events.order_by().values_list("home", "kind", "on"):
        found[home].append(Sent(kind, "", on))
    return found
