"""Verbs that end an agreement before its term, or after it: cancelled, or not renewed."""

from __future__ import annotations

import datetime as dt

from django.db import transaction

from agreements.accounts import account_of
from agreements.actions.charging import settle_charges
from agreements.actions.events import AgreementRefused, locked, note
from agreements.actions.next_term import call_off_next
from agreements.actions.owing import end_early
from agreements.models import Agreement, Ended, What
from agreements.models.owed_visit import Closing
from agreements.money.amounts import ZERO, dollars
from agreements.money.proration import Carried, Ending, settle_ending
from kit.words import check_kind
from shop.models import User


def quote_cancellation(agreement: Agreement, ends: dt.date) -> Ending:
    """How it would be settled if `ends` were the first day without it; changes nothing."""
    account = account_of(agreement)
    due = sum(
        agreement.charges.standing().filter(due_on__lt=ends).values_list("amount", flat=True), ZERO
    )
    return settle_ending(
        price=agreement.price,
        paid=account.net_paid,
        due=due,
        whole=agreement.span,
        ends=ends,
        rule=agreement.version.refund_rule,
        carried=_carried(agreement, ends),
    )


def _carried(agreement: Agreement, ends: dt.date) -> list[Carried]:
    done = agreement.owed_visits.filter(closed=Closing.DONE, closed_on__lte=ends)
    return [
        Carried(
            f"{check_kind(owed.kind)}, {owed.closed_on:%B %-d, %Y}",
            agreement.version.alone(owed.kind),
        )
        for owed in done.order_by("closed_on")
    ]


@transaction.atomic
def cancel(*, agreement: Agreement, ends: dt.date, why: str, by: User | None) -> Ending:
    """End an agreement before its term; what it owes is let go, its money settled by its rule.

    A next term that is written down is called off with it.
    A refund is paid out apart, by `refund`. Raises AgreementRefused.
    """
    ending_one = locked(agreement)
    if ending_one.cancelled_on:
        raise AgreementRefused("This agreement has ended already.")
    if not ending_one.starts_on <= ends <= ending_one.ends_on:
        raise AgreementRefused(
            f"Choose a day from {ending_one.starts_on:%B %-d, %Y} to "
            f"{ending_one.ends_on:%B %-d, %Y}; after that it ends by itself when not renewed."
        )
    settled = quote_cancellation(ending_one, ends)
    end_early(agreement=ending_one, on=ends, because=Ended.CANCELLED, why=why)
    settle_charges(agreement=ending_one, kept=settled.kept, ends=ends)
    call_off_next(agreement=ending_one, why=why, today=ends)
    money = f"{dollars(settled.refund)} to go back, {dollars(settled.still_due)} still to be paid"
    words = f"From {ends:%B %-d, %Y}: {why}. {money}"
    note(agreement=ending_one, what=What.CANCELLED, words=words, by=by)
    return settled


@transaction.atomic
def decline_renewal(
    *, agreement: Agreement, why: str, today: dt.date, by: User | None
) -> Agreement:
    """The customer does not want the next term; one that is written down and not begun is ended.

    Safe to repeat. Raises AgreementRefused when the next term has begun: that is a cancellation.
    """
    declining = locked(agreement)
    if declining.declined_on:
        return declining
    call_off_next(agreement=declining, why=why, today=today)
    declining.renews, declining.declined_on, declining.why_declined = False, today, why[:200]
    declining.save(update_fields=["renews", "declined_on", "why_declined"])
    note(agreement=declining, what=What.DECLINED, words=why, by=by)
    return declining
