"""Another plan, another owner, a pause."""

import datetime as dt
from decimal import Decimal

import pytest
import time_machine
from django.urls import reverse

from agreements.accounts import account_of
from agreements.actions.agreeing import renew_agreement
from agreements.actions.changing import change_plan, pause, plan_change_of, resume, transfer
from agreements.actions.events import AgreementRefused
from agreements.actions.outbox import own_link
from agreements.models import Agreement
from customers.models import Customer
from letters.links import token_of
from tests import cast, factories
from tests.agreements.sold import NOON, TODAY, history, paid, sold, two_checks

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("_in_july")]


@pytest.fixture
def _in_july():
    with time_machine.travel(NOON):
        yield


def screen(which: str, agreement: Agreement, **sent: object):
    browser, address = (
        cast.signed_in(cast.odile()),
        reverse(f"agreements:{which}", args=[agreement.pk]),
    )
    return browser.post(address, sent) if sent else browser.get(address)


def changed(agreement: Agreement, **plan: object) -> Agreement:
    return change_plan(agreement=agreement, plan=two_checks(**plan), on=TODAY, by=cast.odile())


def test_a_change_of_plan_costs_the_difference_of_the_days_that_are_left():
    agreement = sold()

    change = plan_change_of(agreement, two_checks(), TODAY)

    assert change.computed.amount == Decimal("73.60")  # 184 days at 80 cents less 184 at 40
    assert change.price == Decimal("147.20")


def test_the_old_agreement_keeps_what_was_earned_and_the_new_one_has_the_rest():
    old = sold()
    paid(old)

    new = changed(old)
    old.refresh_from_db()

    assert (old.last_day, old.ended_because) == (dt.date(2027, 6, 30), "plan_changed")
    assert (new.starts_on, new.ends_on, new.price) == (TODAY, old.ends_on, Decimal("147.20"))
    assert account_of(old).balance == 0
    assert account_of(new).paid == Decimal("73.60")  # 146 paid less 181 days at 40 cents
    assert account_of(new).balance == Decimal("73.60")
    assert history(old)[-1] == history(new)[-1] == "plan_changed"


def test_what_the_new_plan_owes_is_what_still_has_a_chance():
    old = sold()
    old.owed_visits.update(closed="done", closed_on=dt.date(2027, 5, 3))

    assert [owed.kind for owed in changed(old).owed_visits.all()] == ["heating"]


def test_what_the_old_plan_still_owed_is_let_go():
    old = sold()

    changed(old)

    assert old.owed_visits.get().closed == "waived"


def test_a_plan_with_another_term_begins_a_term_of_its_own():
    new = changed(sold(), term_months=6)

    assert (new.starts_on, new.ends_on, new.price) == (TODAY, dt.date(2027, 12, 31), 292)


def test_the_renewal_of_a_changed_plan_costs_a_whole_term_again():
    new = changed(sold())

    following = renew_agreement(agreement=new)

    assert (following.starts_on, following.price) == (dt.date(2028, 1, 1), 292)


@pytest.mark.parametrize("on", [dt.date(2027, 1, 1), dt.date(2028, 1, 1)])
def test_a_day_outside_the_term_is_refused(on):
    agreement = sold()

    with pytest.raises(AgreementRefused, match="Choose a day from January 2, 2027"):
        change_plan(agreement=agreement, plan=two_checks(), on=on, by=cast.odile())


def test_the_screen_shows_what_it_costs_before_it_is_done():
    agreement, plan = sold(), two_checks()
    address = reverse("agreements:change-plan", args=[agreement.pk])

    page = cast.signed_in(cast.odile()).get(address, {"plan": plan.pk, "on": "2027-07-01"})

    assert "$73.60 more this term" in page.text
    assert Agreement.objects.count() == 1
    screen("change-plan", agreement, plan=plan.pk, on="2027-07-01")
    assert Agreement.objects.count() == 2


def test_a_wrong_day_on_the_screen_is_named():
    page = screen("change-plan", sold(), plan=two_checks().pk, on="2029-01-01")

    assert page.status_code == 422
    assert "Choose a day from January 2, 2027" in page.text


def test_a_sold_house_takes_its_agreement_along():
    agreement = sold()
    ben = factories.CustomerFactory(branch=cast.cedarburg(), name="Ben Castellan")

    transfer(agreement=agreement, to=ben, on=TODAY, now=NOON, by=cast.odile())
    agreement.refresh_from_db()

    assert agreement.home.customer == ben
    assert (agreement.acquired_from, agreement.renews) == (cast.nora(), False)
    assert "ben castellan" in agreement.home.search_text
    assert history(agreement) == ["made", "passed_on"]


def test_the_former_owners_link_ends(client):
    agreement = sold()
    address = reverse("agreements:yours", args=[token_of(own_link(agreement=agreement, now=NOON))])
    assert client.get(address).status_code == 200

    ben = factories.CustomerFactory(branch=cast.cedarburg())
    transfer(agreement=agreement, to=ben, on=TODAY, now=NOON, by=cast.odile())

    assert client.get(address).status_code == 404


def test_a_new_owner_is_entered_with_the_sale():
    agreement = sold()

    screen(
        "transfer", agreement, name="Ben Castellan", phone="414-555-0188", language="en",
        email="", on="2027-07-01",
    )  # fmt: skip

    assert Customer.objects.get(name="Ben Castellan").homes.get() == agreement.home


def test_a_new_owner_is_found_on_file():
    agreement = sold()
    ben = factories.CustomerFactory(branch=cast.cedarburg(), name="Ben Castellan")
    address = reverse("agreements:transfer", args=[agreement.pk]) + "?q=castel"

    cast.signed_in(cast.odile()).post(address, {"to": ben.pk, "on": "2027-07-01"})

    agreement.home.refresh_from_db()
    assert agreement.home.customer == ben


def test_a_customer_of_another_branch_is_no_new_owner():
    stranger = factories.CustomerFactory(branch=cast.sheboygan())

    with pytest.raises(AgreementRefused, match="another branch"):
        transfer(agreement=sold(), to=stranger, on=TODAY, now=NOON, by=cast.odile())


def test_a_sale_of_tomorrow_waits():
    page = screen("transfer", sold(), name="Ben", language="en", on="2027-07-02")

    assert "when the home is sold, not before" in page.text


def test_a_pause_moves_what_is_owed_and_resuming_moves_it_back():
    agreement = sold(two_checks())

    moved = pause(
        agreement=agreement, first=dt.date(2027, 8, 1), last=dt.date(2027, 10, 15), why="Away",
        by=cast.odile(),
    )  # fmt: skip

    heating = agreement.owed_visits.get(kind="heating")
    assert (moved, heating.due_from) == (1, dt.date(2027, 10, 16))
    agreement.refresh_from_db()
    assert agreement.paused_until == dt.date(2027, 10, 15)
    resume(agreement=agreement, by=cast.odile())
    heating.refresh_from_db()
    assert heating.due_from == dt.date(2027, 9, 1)
    assert history(agreement) == ["made", "paused", "resumed"]


@pytest.mark.parametrize(
    ("first", "last", "words"),
    [
        ("2027-08-02", "2027-08-01", "ends on or after its first day"),
        ("2029-08-01", "2029-08-02", "outside the term"),
    ],
)
def test_a_wrong_pause_is_named(first, last, words):
    page = screen("pause", sold(), first=first, last=last, why="Away")

    assert page.status_code == 422
    assert words in page.text


def test_it_pauses_once():
    agreement = sold()
    days = {"first": "2027-08-01", "last": "2027-08-31", "why": "Away"}
    screen("pause", agreement, **days)

    assert "It pauses already" in screen("pause", agreement, **days).text
