"""Two at one agreement. Run by test_on_postgresql.py, where they truly meet."""

import itertools
from decimal import Decimal

import pytest

from agreements.accounts import account_of
from agreements.actions.agreeing import renew_agreement, sell_agreement
from agreements.actions.ending import cancel
from agreements.actions.events import AgreementRefused
from agreements.actions.paying import record_payment, refund
from agreements.keeping import differing, recount
from agreements.models import Agreement, Balance, Payment
from tests import cast
from tests.agreements.sold import TODAY, paid, sold, spring_check
from tests.real.senders_on_postgresql import at_once

pytestmark = pytest.mark.django_db(transaction=True)


def refused(act):
    """What the act gives, or the refusal."""
    try:
        return act()
    except AgreementRefused as refusal:
        return refusal


def test_the_same_form_sent_by_four_at_once_is_one_payment():
    agreement, by = sold(), cast.odile()
    facts = {"amount": Decimal(146), "on": TODAY, "how": "cash", "by": by, "key": "one-form"}

    payments = at_once(4, lambda: record_payment(agreement=agreement, **facts))

    assert len({payment.pk for payment in payments}) == 1
    assert Payment.objects.get().amount == 146
    assert agreement.events.filter(what="paid").count() == 1


def test_refunds_at_once_never_go_above_what_was_paid():
    agreement, by = sold(), cast.odile()
    paid(agreement)

    def give_back():
        return refused(
            lambda: refund(
                agreement=agreement, amount=Decimal(100), on=TODAY, how="cash", why="x", by=by
            )
        )

    results = at_once(3, give_back)

    assert sum(isinstance(result, AgreementRefused) for result in results) == 2
    assert account_of(agreement).refunded == 100


def test_payments_at_once_are_all_in_the_kept_balance():
    """Also of a writer that does not lock the agreement first."""
    agreement = sold()

    def pay():
        for _ in range(5):
            Payment.objects.create(
                agreement=agreement, amount=Decimal("2.01"), on=TODAY, how="cash"
            )

    at_once(4, pay)

    assert Balance.objects.get().cents == 14600 - 20 * 201
    assert differing() == []


def test_a_recount_waits_for_who_pays_and_loses_no_payment():
    agreement, turns = sold(), itertools.count()

    def pay_or_recount():
        if next(turns) % 2:
            return recount()
        return Payment.objects.create(agreement=agreement, amount=1, on=TODAY, how="cash")

    at_once(6, pay_or_recount)

    assert Balance.objects.get().cents == 14300
    assert differing() == []


def test_one_system_is_sold_once_by_two_at_once():
    home, plan, by = cast.noras_home(), spring_check(), cast.odile()
    systems = list(home.systems.all())

    def sell():
        return refused(
            lambda: sell_agreement(home=home, plan=plan, starts_on=TODAY, systems=systems, by=by)
        )

    results = at_once(3, sell)

    assert sum(isinstance(result, AgreementRefused) for result in results) == 2
    assert Agreement.objects.count() == 1


def test_the_next_term_is_begun_once_and_an_agreement_cancelled_once():
    agreement, by = sold(), cast.odile()

    renewed = at_once(3, lambda: renew_agreement(agreement=agreement).pk)
    ended = at_once(
        3, lambda: refused(lambda: cancel(agreement=agreement, ends=TODAY, why="x", by=by))
    )

    assert len(set(renewed)) == 1
    assert sum(isinstance(result, AgreementRefused) for result in ended) == 2
