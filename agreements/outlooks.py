"""Who may not renew, and why: the facts of each agreement gathered for agreements.lapse."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Count, F, Q

from agreements.accounts import accounts_of
from agreements.actions.plans import in_force
from agreements.lapse import Facts, Outlook, outlook
from agreements.models import Agreement, OwedVisit, PlanVersion, What
from shop.models import Branch

AHEAD_DAYS = 120


@dataclass(frozen=True, slots=True)
class AtRisk:
    """An agreement that ends soon, and how likely it lapses."""

    agreement: Agreement
    outlook: Outlook
    next_price: Decimal


def may_lapse(branch: Branch, today: dt.date) -> list[AtRisk]:
    """Agreements that end within four months, the likeliest to lapse first.

    Also those whose next term is written down: until it begins the customer may say no.
    Seven queries for any number of them.
    """
    last = today + dt.timedelta(days=AHEAD_DAYS)
    ending = Agreement.objects.of(branch).ending_between(today, last).filter(declined_on=None)
    agreements = list(
        ending.select_related("plan", "version", "home__customer")
        .annotate(
            covered=Count("systems", distinct=True),
            complaints=Count("events", filter=Q(events__what=What.COMPLAINT), distinct=True),
        )
        .order_by("ends_on", "pk")
    )
    visits, accounts = _visits(agreements, today), accounts_of(agreements)
    versions = _versions(branch)
    found = []
    for agreement in agreements:
        price = _next_price(agreement, versions)
        missed, late = visits.get(agreement.pk, (0, 0))
        facts = Facts(
            missed=missed,
            late=late,
            complaints=agreement.complaints,  # type: ignore[attr-defined]
            price_rise=price / agreement.price - 1 if agreement.price else Decimal(0),
            overdue_days=accounts[agreement.pk].overdue_days(today),
            first_year=agreement.term_number == 0,
            agreed_to_renewal=agreement.renews,
        )
        found.append(AtRisk(agreement, outlook(facts), price))
    return sorted(found, key=lambda one: (-one.outlook.points, one.agreement.ends_on))


def _visits(agreements: list[Agreement], today: dt.date) -> dict[int, tuple[int, int]]:
    """Visits that were missed or whose days have passed, and those done after their days."""
    passed = Q(closed="", due_until__lt=today) | Q(visit__state="missed")
    rows = OwedVisit.objects.filter(agreement__in=[one.pk for one in agreements])
    counted = rows.values("agreement").annotate(
        missed=Count("pk", filter=passed),
        late=Count("pk", filter=Q(closed="done", closed_on__gt=F("due_until"))),
    )
    return {row["agreement"]: (row["missed"], row["late"]) for row in counted.order_by()}


def _versions(branch: Branch) -> dict[int, list[PlanVersion]]:
    found: dict[int, list[PlanVersion]] = {}
    for version in PlanVersion.objects.filter(plan__branch=branch):
        found.setdefault(version.plan_id, []).append(version)
    return found


def _next_price(agreement: Agreement, versions: dict[int, list[PlanVersion]]) -> Decimal:
    """As agreements.actions.agreeing.renewal_price, with the terms of all plans read once."""
    coming = in_force(versions[agreement.plan_id], agreement.next_term().starts_on)
    covered: int = agreement.covered  # type: ignore[attr-defined]
    if coming is not None and agreement.price == agreement.version.price_for(covered):
        return coming.price_for(covered)
    return agreement.price
