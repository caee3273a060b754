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


ASKED_BEFORE, ASKED_AFTER = 150, 60  # days around the end on which the customer's page asks


def next_of(agreement: Agreement) -> Agreement | None:
    """The next term, when it is written down and not called off."""
    return Agreement.objects.filter(
        home=agreement.home_id,
        plan=agreement.plan_id,
        anchor_on=agreement.anchor_on,
        term_number=agreement.term_number + 1,
        cancelled_on=None,
    ).first()


def asks_about_renewal(agreement: Agreement, following: Agreement | None, today: dt.date) -> bool:
    """Is now a time at which a customer says yes or no to the next term?"""
    if agreement.cancelled_on or (following and following.starts_on <= today):
        return False
    days = (agreement.ends_on - today).days
    return -ASKED_AFTER <= days <= ASKED_BEFORE and agreement.starts_on <= today
