"""The list of agreements and the renewal of one."""

import datetime as dt

import pytest
import time_machine
from django.urls import reverse

from agreements.actions import close_owed_visit, make_agreement, renew_agreement
from agreements.models import Agreement
from agreements.views.agreements import A_PAGE
from tests import cast, factories

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("_in_december")]
AGREEMENTS = reverse("agreements:list")


@pytest.fixture
def _in_december():
    with time_machine.travel(dt.datetime(2027, 12, 1, 12, tzinfo=dt.UTC)):
        yield


def agreed(name: str = "Nora Whitfield", starts_on: dt.date = cast.FIRST_DAY) -> Agreement:
    home = factories.HomeFactory(customer__branch=cast.cedarburg(), customer__name=name)
    return make_agreement(home=home, plan=cast.spring_check(), starts_on=starts_on)


def listed(**asked: str) -> str:
    return cast.signed_in(cast.odile()).get(AGREEMENTS, asked).text


def renew(agreement: Agreement, user=None, **entry: str):
    browser = cast.signed_in(user or cast.odile())
    return browser.post(reverse("agreements:renew", args=[agreement.pk]), entry)


def test_it_lists_what_runs_with_its_price_and_what_it_owes():
    agreed()

    words = listed()

    for fact in ("Nora Whitfield", "Spring check", "$149.00", "Jan 1, 2027 to Dec 31, 2027"):
        assert fact in words
    assert "in no season yet" in words


def test_it_finds_an_agreement_by_name():
    agreed()
    agreed("Ben Castellan")

    assert "Ben Castellan" not in listed(q="nora")


def test_it_lists_one_plan_alone():
    agreed()
    other = factories.PlanFactory(branch=cast.cedarburg(), code="two", name="Two checks")

    assert "No agreement found" in listed(plan=str(other.pk))


def test_what_ends_soon_and_was_not_renewed_can_be_renewed_from_the_list():
    agreement = agreed()
    renew_agreement(agreement=agreed("Ben Castellan"))
    agreed("Ana Ortiz", dt.date(2027, 6, 1))

    words = listed(show="ending")

    assert reverse("agreements:renew", args=[agreement.pk]) in words
    assert "Ben Castellan" not in words
    assert "Ana Ortiz" not in words


def test_what_ended_without_renewal_is_found_apart():
    agreed(starts_on=dt.date(2026, 1, 1))

    assert "No agreements yet" in listed()
    assert "Nora Whitfield" in listed(show="ended")


def test_agreements_that_owe_an_overdue_visit_are_found():
    agreed()
    close_owed_visit(
        owed=agreed("Ben Castellan").owed_visits.get(), closed="done", on=dt.date(2027, 4, 1)
    )

    words = listed(show="overdue")

    assert "Nora Whitfield" in words
    assert "Ben Castellan" not in words


def test_a_filter_that_nobody_offers_narrows_nothing():
    agreed()

    assert "Nora Whitfield" in listed(show="sometimes", plan="x")


def test_renewing_says_the_next_term_and_a_second_press_changes_nothing():
    agreement = agreed()

    renew(agreement)
    renew(agreement)

    assert list(Agreement.objects.values_list("starts_on", flat=True)) == [
        dt.date(2027, 1, 1),
        dt.date(2028, 1, 1),
    ]


def test_renewing_from_the_list_comes_back_to_it():
    assert renew(agreed(), back="ending").url == f"{AGREEMENTS}?show=ending"


@pytest.mark.parametrize(
    "changes",
    [
        {"cancelled_on": dt.date(2027, 5, 1)},
        {"starts_on": dt.date(2028, 1, 1), "ends_on": dt.date(2028, 12, 31)},
        {"anchor_on": dt.date(2020, 1, 1)},
    ],
    ids=["cancelled", "not begun", "long over"],
)
def test_what_cannot_be_renewed_stays_as_it_is(changes):
    agreement = agreed()
    Agreement.objects.filter(pk=agreement.pk).update(**changes)

    renew(agreement)

    assert Agreement.objects.count() == 1


def test_neither_a_technician_nor_another_branch_sees_or_renews_it():
    agreement = agreed()

    assert cast.signed_in(cast.ingrid().user).get(AGREEMENTS).status_code == 404
    assert renew(agreement, cast.ingrid().user).status_code == 404
    assert "Nora" not in cast.signed_in(cast.priya()).get(AGREEMENTS).text
    assert renew(agreement, cast.priya()).status_code == 404
    assert Agreement.objects.count() == 1


def test_a_stranger_is_asked_to_sign_in(client):
    assert client.get(AGREEMENTS).url.startswith(reverse("front:sign-in"))


def test_the_list_is_only_looked_at_and_a_renewal_only_sent():
    browser = cast.signed_in(cast.odile())

    assert browser.post(AGREEMENTS).status_code == 405
    assert browser.get(reverse("agreements:renew", args=[agreed().pk])).status_code == 405


def test_a_long_list_costs_no_more_queries_than_a_short_one(django_assert_num_queries):
    for _ in range(A_PAGE + 5):
        agreed()
    browser = cast.signed_in(cast.odile())

    # Session, person, branch; the plans, the count, the page; owed visits, visits.
    with django_assert_num_queries(8):
        page = browser.get(AGREEMENTS)

    assert page.text.count("<tr>") == A_PAGE + 1
