"""The verb by which a customer accepts an agreement."""

from __future__ import annotations

import datetime as dt

from django.db import transaction

from agreements.actions.events import AgreementRefused, locked, note
from agreements.models import Agreement, What
from shop.models import User


@transaction.atomic
def accept_agreement(
    *, agreement: Agreement, name: str, renews: bool, now: dt.datetime, by: User | None = None
) -> Agreement:
    """Sign with a name, by link or on paper (`by`: who of the office saw it). Safe to repeat.

    `renews`: did the customer agree that the next term begins by itself?
    """
    signing = locked(agreement)
    if signing.signed_at:
        return signing
    if signing.cancelled_on:
        raise AgreementRefused("This agreement has ended; there is nothing to sign.")
    signing.signed_at, signing.signed_by, signing.renews = now, name, renews
    signing.save(update_fields=["signed_at", "signed_by", "renews"])
    where = "on paper" if by else "through the link"
    renewal = "agreed to renewal" if renews else "did not agree to renewal by itself"
    note(agreement=signing, what=What.SIGNED, words=f"{name}, {where}; {renewal}", by=by)
    return signing
