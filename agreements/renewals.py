"""Which agreements wait for their next term."""

from __future__ import annotations

import datetime as dt

from django.db.models import Exists, OuterRef

from agreements.models import Agreement
from agreements.models.agreement import AgreementQuerySet
from shop.models import Branch

SOON_DAYS = 45


def without_a_next_term(agreements: AgreementQuerySet) -> AgreementQuerySet:
    """Leave out the terms that a later term of the same agreement follows."""
    later = Agreement.objects.filter(
        home=OuterRef("home"),
        plan=OuterRef("plan"),
        anchor_on=OuterRef("anchor_on"),
        term_number__gt=OuterRef("term_number"),
    )
    return agreements.exclude(Exists(later))


def ending_soon(branch: Branch, today: dt.date) -> AgreementQuerySet:
    """Agreements that end within `SOON_DAYS` and have no next term yet."""
    last = today + dt.timedelta(days=SOON_DAYS)
    return without_a_next_term(Agreement.objects.of(branch).ending_between(today, last))


def ended(branch: Branch, today: dt.date) -> AgreementQuerySet:
    """Agreements that ended before `today` and were not renewed."""
    past = Agreement.objects.of(branch).filter(ends_on__lt=today, cancelled_on=None)
    return without_a_next_term(past)


def why_no_renewal(agreement: Agreement, today: dt.date) -> str:
    """What speaks against beginning the next term today; "" when nothing does."""
    if agreement.cancelled_on:
        day = f"{agreement.cancelled_on:%B %-d, %Y}"
        return f"This agreement was cancelled on {day}; make a new one."
    if agreement.starts_on > today:
        return f"This term begins on {agreement.starts_on:%B %-d, %Y}; renew it once it runs."
    if agreement.next_term().ends_on < today:
        return "The next term would be over already; make a new agreement."
    return ""
