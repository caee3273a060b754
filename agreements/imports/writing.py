"""Writes what was planned. Called inside a transaction; few queries however many rows."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from decimal import Decimal
from typing import TypeVar

from django.db.models import Model

from agreements.actions import owe_visits, price_of
from agreements.actions.charging import follow_price
from agreements.actions.plans import version_on
from agreements.imports.work import Work
from agreements.models import (
    Agreement,
    AgreementEvent,
    HomeSpelling,
    OwedVisit,
    Plan,
    PlanVersion,
    What,
)
from agreements.models.owed_visit import Closing
from agreements.money.amounts import dollars
from customers.actions import refresh_search_text, save_customer, save_home
from customers.models import Customer, Filter, Home, System
from customers.places import Place
from shop.models import User

A_BATCH = 500
M = TypeVar("M", bound=Model)


def write(work: Work, *, by: User, today: dt.date) -> None:
    """Add the new rows, parents first, then change what is on file."""
    _add(Plan, work.plans)
    _add(Customer, work.customers)
    _add(Home, [refresh_search_text(home=home) for home in work.homes])
    HomeSpelling.objects.bulk_create(work.spellings, A_BATCH, ignore_conflicts=True)
    _add(System, work.systems)
    _add(Filter, work.filters)
    _begin_agreements(work, by)
    _change(work)
    _reprice(work, by, today)


def _begin_agreements(work: Work, by: User) -> None:
    for begun in work.agreements:
        if begun.agreement.price is None:
            begun.agreement.price = price_of(begun.agreement.plan, len(begun.systems))
    _put_on_versions(work)
    agreements = _add(Agreement, [begun.agreement for begun in work.agreements])
    through = Agreement.systems.through
    covered = [(b.agreement, system) for b in work.agreements for system in b.systems]
    covered += [(known.agreement, system) for known, system in work.covers]
    through.objects.bulk_create(
        [through(agreement_id=a.pk, system_id=s.pk) for a, s in covered],
        A_BATCH,
        ignore_conflicts=True,
    )
    owe_visits(agreements=agreements)
    _close_done(work, agreements)
    _add(AgreementEvent, [_event(one, What.MADE, "Came in", by) for one in agreements])


def _reprice(work: Work, by: User, today: dt.date) -> None:
    """A price that a sheet corrects: in the history, and in what is asked for."""
    changed = [
        row
        for row, names in work.changed.values()
        if isinstance(row, Agreement) and "price" in names
    ]
    for agreement in changed:
        follow_price(agreement=agreement, on=today)
    _add(AgreementEvent, [_event(one, What.REPRICED, "Corrected", by) for one in changed])


def _event(agreement: Agreement, what: str, did: str, by: User) -> AgreementEvent:
    words = f"{did} with a spreadsheet, {dollars(Decimal(agreement.price))} a term"
    return AgreementEvent(agreement=agreement, what=what, words=words, by=by)


def _put_on_versions(work: Work) -> None:
    """Each agreement keeps the terms on which it began; few plans, so few queries."""
    found: dict[tuple[Plan, dt.date], PlanVersion] = {}
    for begun in work.agreements:
        key = begun.agreement.plan, begun.agreement.starts_on
        if key not in found:
            found[key] = version_on(plan=key[0], day=key[1])
        begun.agreement.version = found[key]


def _close_done(work: Work, agreements: list[Agreement]) -> None:
    """A check that the sheet dates inside a new agreement's due window is not owed again."""
    last_checks = {
        agreement.pk: work.last_checks[id(agreement)]
        for agreement in agreements
        if id(agreement) in work.last_checks
    }
    done = []
    for owed in OwedVisit.objects.still_owed().filter(agreement__in=list(last_checks)):
        inside = [d for d in last_checks[owed.agreement_id] if owed.due_from <= d <= owed.due_until]
        if inside:
            owed.closed, owed.closed_on = Closing.DONE, max(inside)
            done.append(owed)
    OwedVisit.objects.bulk_update(done, ["closed", "closed_on"], A_BATCH)


def _change(work: Work) -> None:
    """Homes before customers: a customer's search text is made from its homes as they are."""
    changed = sorted(work.changed.values(), key=lambda pair: isinstance(pair[0], Customer))
    for row, names in changed:
        if isinstance(row, Home):
            save_home(home=row, point=_exact_point(row))
        elif isinstance(row, Customer):
            save_customer(customer=row)
        else:
            row.save(update_fields=sorted(names))


def _exact_point(home: Home) -> Place | None:
    if home.precision != "exact" or home.latitude is None or home.longitude is None:
        return None
    return Place(home.latitude, home.longitude, "exact")


def _add(model: type[M], rows: Iterable[M]) -> list[M]:
    return model._default_manager.bulk_create(list(rows), A_BATCH)
