"""Writes what was planned. Called inside a transaction; few queries however many rows."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TypeVar

from django.db.models import Model

from agreements.actions import owe_visits, price_of
from agreements.imports.work import Work
from agreements.models import Agreement, HomeSpelling, OwedVisit, Plan
from agreements.models.owed_visit import Closing
from customers.actions import refresh_search_text, save_customer, save_home
from customers.models import Customer, Filter, Home, System
from customers.places import Place

A_BATCH = 500
M = TypeVar("M", bound=Model)


def write(work: Work) -> None:
    """Add the new rows, parents first, then change what is on file."""
    _add(Plan, work.plans)
    _add(Customer, work.customers)
    _add(Home, [refresh_search_text(home=home) for home in work.homes])
    HomeSpelling.objects.bulk_create(work.spellings, A_BATCH, ignore_conflicts=True)
    _add(System, work.systems)
    _add(Filter, work.filters)
    _begin_agreements(work)
    _change(work)


def _begin_agreements(work: Work) -> None:
    for begun in work.agreements:
        if begun.agreement.price is None:
            begun.agreement.price = price_of(begun.agreement.plan, len(begun.systems))
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
