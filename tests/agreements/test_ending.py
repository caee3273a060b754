"""Cancelled with a computed refund, or not renewed."""

import datetime as dt
from decimal import Decimal

import pytest
import time_machine
from django.urls import reverse

from agreements.accounts import account_of
from agreements.actions.agreeing import renew_agreement
from agreements.actions.ending import cancel, decline_renewal, quote_cancellation
from agreements.actions.events import AgreementRefused
from agreements.models import Agreement
from tests import cast
from tests.agreements.sold import NOON, TODAY, history, paid, sold, spring_check, two_checks

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("_in_july")]


@pytest.fixture
def _in_july():
    with time_machine.travel(NOON):
        yield


def cancelled(agreement: Agreement, ends: dt.date = TODAY):
    return cancel(agreement=agreement, ends=ends, why="moves away", by=cast.odile())


def declined(agreement: Agreement, today: dt.date = TODAY) -> Agreement:
    return decline_renewal(agreement=agreement, why="too dear", today=today, by=cast.odile())


def screen(agreement: Agreement, **sent: object):
    address = reverse("agreements:cancel", args=[agreement.pk])
    browser = cast.signed_in(cast.odile())
    return browser.post(address, sent) if sent else browser.get(address)


def test_the_days_that_are_left_go_back_and_what_is_owed_is_let_go():
    agreement = sold()
    paid(agreement)

    settled = cancelled(agreement)
    agreement.refresh_from_db()

    assert (settled.refund, settled.kept) == (Decimal("73.60"), Decimal("72.40"))
    assert account_of(agreement).to_go_back == Decimal("73.60")
    assert agreement.owed_visits.get().closed == "waived"
    assert agreement.last_day == dt.date(2027, 6, 30)
    assert history(agreement) == ["made", "paid", "cancelled"]


def test_payments_of_later_months_are_let_go():
    agreement = sold(rhythm="monthly")
    paid(agreement, "73.04")  # six of 12.17 and a little more

    cancelled(agreement)

    later = agreement.charges.filter(due_on__gte=TODAY, kind="term")
    assert {charge.withdrawn_on for charge in later} == {TODAY}
    assert account_of(agreement).asked == Decimal("72.40")


def test_visits_are_kept_at_their_own_price_where_the_plan_says_so():
    plan = spring_check(refund_rule="price_less_visits", cooling_alone=Decimal(99))
    agreement = sold(plan)
    paid(agreement)
    agreement.owed_visits.update(closed="done", closed_on=dt.date(2027, 5, 3))

    settled = quote_cancellation(agreement, TODAY)

    assert settled.refund == 47
    assert "Carried out: cooling check, May 3, 2027" in [line.words for line in settled.lines]


def test_a_quote_changes_nothing():
    agreement = sold()

    page = screen(agreement)

    assert "$72.40 is still to be paid" in page.text
    agreement.refresh_from_db()
    assert agreement.cancelled_on is None


def test_the_screen_cancels_with_a_reason():
    agreement = sold()

    assert screen(agreement, ends="2027-07-01", why="").status_code == 422
    screen(agreement, ends="2027-07-01", why="moves away")

    agreement.refresh_from_db()
    assert (agreement.cancelled_on, agreement.why_ended) == (TODAY, "moves away")


@pytest.mark.parametrize("ends", ["2026-12-31", "2028-01-01", "soon"])
def test_a_wrong_day_is_named(ends):
    agreement = sold()

    page = screen(agreement, ends=ends, why="moves away")

    assert page.status_code == 422
    assert "Choose a day from" in page.text or "Enter a valid date" in page.text
    agreement.refresh_from_db()
    assert agreement.cancelled_on is None


def test_it_is_cancelled_once():
    agreement = sold()
    cancelled(agreement)

    with pytest.raises(AgreementRefused, match="ended already"):
        cancelled(agreement)


def test_a_next_term_is_called_off_with_it():
    agreement = sold()
    following = renew_agreement(agreement=agreement)

    cancelled(agreement)

    following.refresh_from_db()
    assert (following.ended_because, account_of(following).asked) == ("declined", 0)


def test_a_leap_day_term_is_settled_by_its_own_days():
    agreement = sold(starts_on=dt.date(2028, 2, 29))
    paid(agreement)

    assert quote_cancellation(agreement, dt.date(2028, 6, 8)).kept == 40  # 100 days at 40 cents


def test_who_declines_is_not_renewed():
    agreement = declined(sold())

    assert (agreement.renews, agreement.why_declined) == (False, "too dear")
    assert declined(agreement).declined_on == TODAY
    assert history(agreement) == ["made", "declined"]


def test_a_next_term_that_has_not_begun_is_called_off_and_can_be_had_again():
    agreement = sold(two_checks())
    following = renew_agreement(agreement=agreement)

    declined(agreement)
    following.refresh_from_db()
    assert (following.ended_because, account_of(following).asked) == ("declined", 0)
    assert not following.owed_visits.still_owed().exists()

    agreement.refresh_from_db()
    again = renew_agreement(agreement=agreement)
    assert (again.pk, again.cancelled_on, account_of(again).asked) == (following.pk, None, 292)
    assert again.owed_visits.still_owed().count() == 2


def test_a_next_term_that_has_begun_is_cancelled_not_declined():
    agreement = sold()
    renew_agreement(agreement=agreement)

    with pytest.raises(AgreementRefused, match="cancel it instead"):
        declined(agreement, dt.date(2028, 1, 1))


def test_the_screen_of_a_cancellation_costs_few_queries(django_assert_num_queries):
    agreement = sold(rhythm="monthly")
    browser = cast.signed_in(cast.odile())

    # Session, person, branch; agreement; charges, payments, refunds, due, carried out; owed.
    with django_assert_num_queries(10):
        browser.get(reverse("agreements:cancel", args=[agreement.pk]))
