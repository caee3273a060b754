"""Money that came in and went back: written once, never deleted, never too much."""

import datetime as dt
from decimal import Decimal

import pytest
import time_machine
from django.db import IntegrityError, transaction
from django.urls import reverse

from agreements.accounts import account_of
from agreements.actions.events import AgreementRefused
from agreements.actions.paying import record_payment, refund, reverse_payment
from agreements.models import Payment, Refund
from letters.models import Letter
from tests import cast
from tests.agreements.sold import TODAY, history, paid, sold

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("_in_july")]


@pytest.fixture
def _in_july():
    with time_machine.travel(dt.datetime(2027, 7, 1, 17, tzinfo=dt.UTC)):
        yield


def send(agreement, what: str = "payment", **changes: object):
    entry = {"amount": "146", "on": "2027-07-01", "how": "cash", "reference": "", "key": "k1"}
    address = reverse(f"agreements:{what}", args=[agreement.pk])
    return cast.signed_in(cast.odile()).post(address, entry | changes)


def give_back(agreement, amount: str, **more: object) -> Refund:
    return refund(
        agreement=agreement, amount=Decimal(amount), on=TODAY, how="cash", why="cancelled",
        by=cast.odile(), **more,
    )  # fmt: skip


def test_a_payment_closes_what_is_due():
    agreement = sold()

    page = send(agreement)

    assert page.url == reverse("agreements:agreement", args=[agreement.pk])
    assert account_of(agreement).balance == 0
    assert history(agreement) == ["made", "paid"]


def test_the_same_form_sent_twice_is_one_payment():
    agreement = sold()

    send(agreement)
    send(agreement)

    assert agreement.payments.get().amount == 146
    assert history(agreement).count("paid") == 1


def test_the_form_of_another_agreement_is_refused():
    one, other = sold(), sold(starts_on=dt.date(2028, 1, 1))
    paid(one, key="k1")

    assert "belongs to another agreement" in send(other).text


def test_a_payment_is_taken_back_by_a_counter_entry():
    agreement = sold()
    payment = paid(agreement, how="check", reference="1042")

    for _ in range(2):
        reverse_payment(payment=payment, why="the check bounced", on=TODAY, by=cast.odile())

    assert list(agreement.payments.values_list("amount", flat=True)) == [146, -146]
    assert account_of(agreement).due_now(TODAY) == 146
    assert history(agreement) == ["made", "paid", "reversed"]


def test_a_counter_entry_is_not_taken_back():
    counter = reverse_payment(payment=paid(sold()), why="error", on=TODAY, by=cast.odile())

    with pytest.raises(AgreementRefused, match="counter entry"):
        reverse_payment(payment=counter, why="error", on=TODAY, by=cast.odile())


def test_no_more_goes_back_than_was_paid():
    agreement = sold()
    paid(agreement)
    give_back(agreement, "100")

    with pytest.raises(AgreementRefused, match=r"\$46.00 was paid"):
        give_back(agreement, "46.01")
    assert "At most $46.00" in send(agreement, "refund", why="x").text


def test_a_refund_sent_twice_is_one_refund():
    agreement = sold()
    paid(agreement)

    assert give_back(agreement, "100", key="k") == give_back(agreement, "100", key="k")
    assert agreement.refunds.count() == 1


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"amount": "12.345"}, "no more than 2 decimal places"),
        ({"amount": "0"}, "greater than or equal to 0.01"),
        ({"on": "2027-07-02"}, "and today, July 1, 2027"),
        ({"on": "2020-01-01"}, "The day lies between"),
        ({"how": "check"}, "Write the number of the check"),
        ({"how": "gold"}, "not one of the available choices"),
        ({"reference": "4242 4242 4242 4242"}, "number of a card"),
    ],
)
def test_a_wrong_payment_is_named_and_nothing_is_lost(changes, words):
    page = send(sold(), **changes)

    assert page.status_code == 422
    assert words in page.text
    assert not Payment.objects.exists()


def test_a_receipt_goes_out_when_it_is_asked_for():
    send(sold(), receipt="on")

    assert Letter.objects.get().facts["amount"] == "$146.00"


def test_a_receipt_without_an_address_is_said():
    agreement = sold()
    cast.nora().__class__.objects.update(email="")

    send(agreement, receipt="on")

    assert not Letter.objects.exists()


@pytest.mark.parametrize(
    ("facts", "constraint"),
    [
        ({"amount": -5}, "only_a_counter_entry_is_negative"),
        ({"amount": 0, "how": "moved"}, "only_a_counter_entry_is_negative"),
        ({"amount": 5, "how": "check"}, "a_check_has_its_number"),
    ],
)
def test_the_database_refuses_nonsense(facts, constraint):
    agreement = sold()

    with pytest.raises(IntegrityError, match=constraint), transaction.atomic():
        Payment.objects.create(agreement=agreement, on=TODAY, **{"how": "cash", **facts})


def test_a_monthly_agreement_asks_for_twelve_parts():
    agreement = sold(rhythm="monthly")

    record_payment(
        agreement=agreement, amount=Decimal("12.17"), on=TODAY, how="cash", by=cast.odile()
    )

    account = account_of(agreement)
    assert (account.asked, len(account.dues)) == (146, 11)
    assert account.overdue_days(TODAY) == 150  # since February 1


def test_the_payment_form_costs_few_queries(django_assert_num_queries):
    address = reverse("agreements:payment", args=[sold().pk])
    browser = cast.signed_in(cast.odile())

    # Session, person, branch; agreement; charges, payments, refunds.
    with django_assert_num_queries(7):
        assert browser.get(address).status_code == 200
    assert browser.delete(address).status_code == 405
