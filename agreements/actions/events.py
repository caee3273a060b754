"""The verb that every other one ends with: write down who did what."""

from __future__ import annotations

from agreements.models import Agreement, AgreementEvent
from shop.models import User


class AgreementRefused(Exception):
    """What was asked cannot be done; it says why, for the person who asked."""


def note(*, agreement: Agreement, what: str, words: str, by: User | None) -> AgreementEvent:
    """Write one line of an agreement's history."""
    return AgreementEvent.objects.create(agreement=agreement, what=what, words=words[:400], by=by)


def locked(agreement: Agreement) -> Agreement:
    """The agreement as it is now, kept from everybody else until the transaction ends."""
    return (
        Agreement.objects.select_for_update(of=("self",))
        .select_related("plan", "version", "home__customer__branch")
        .get(pk=agreement.pk)
    )
