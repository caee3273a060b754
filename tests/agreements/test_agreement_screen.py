"""The page of an agreement, its paper, and the lists of money and of lapses."""

import datetime as dt
from decimal import Decimal

import pytest
import time_machine
from django.urls import reverse

from agreements.actions.changing import note_complaint
from agreements.actions.ending import cancel, decline_renewal
from agreements.actions.paying import refund
from agreements.actions.plans import change_plan_terms
from agreements.debts import debts_of
from agreements.outlooks import may_lapse
from letters.models import Letter
from tests import cast, factories
from tests.agreements.sold import NOON, TODAY, history, paid, sold, spring_check

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("_in_july")]
DUE, LAPSE = reverse("agreements:due"), reverse("agreements:lapse")


@pytest.fixture
def _in_july():
    with time_machine.travel(NOON):
        yield


def page_of(agreement):
    return cast.signed_in(cast.odile()).get(reverse("agreements:agreement", args=[agreement.pk]))


def test_it_says_what_was_promised_owed_paid_and_done():
    agreement = sold(spring_check(repair_discount_percent=15, priority=True))
    paid(agreement, 100)

    words = page_of(agreement).text

    for fact in (
        "1 cooling check a term", "15 percent off repairs", "Repair calls come before",
        "in no season yet", "$46.00 is due and not paid, the oldest part for 181 days",
        "$100.00 by cash", "Odile Marsh",
    ):  # fmt: skip
        assert fact in words


def test_an_agreement_of_a_spreadsheet_has_no_money_yet():
    agreement = factories.AgreementFactory(home=cast.noras_home())

    assert "Nothing was asked through Redbud" in page_of(agreement).text


def test_a_cancelled_one_says_what_is_left_to_do():
    agreement = sold()
    paid(agreement)
    cancel(agreement=agreement, ends=TODAY, why="moves away", by=cast.odile())

    words = page_of(agreement).text

    assert "$73.60 is to go back to the customer" in words
    assert "moves away" in words


def test_a_visit_that_still_has_a_time_is_named():
    agreement = sold()
    factories.VisitFactory(
        owed_visit=agreement.owed_visits.get(), technician=cast.ingrid(), state="promised",
        starts_at=NOON, ends_at=NOON + dt.timedelta(hours=1),
    )  # fmt: skip
    cancel(agreement=agreement, ends=TODAY, why="moves away", by=cast.odile())

    assert "A visit still has a time" in page_of(agreement).text


def test_it_is_sent_to_be_signed_and_a_complaint_is_noted():
    agreement, browser = sold(), cast.signed_in(cast.odile())

    browser.post(reverse("agreements:send", args=[agreement.pk]))
    browser.post(reverse("agreements:complaint", args=[agreement.pk]), {"why": "Came late"})

    assert Letter.objects.get().facts["price"] == "$146.00"
    assert history(agreement) == ["made", "sent", "complaint"]


def test_without_an_address_or_words_nothing_is_sent_or_noted():
    agreement, browser = sold(), cast.signed_in(cast.odile())
    cast.nora().__class__.objects.update(email="")

    browser.post(reverse("agreements:send", args=[agreement.pk]))
    browser.post(reverse("agreements:complaint", args=[agreement.pk]), {"why": ""})

    assert history(agreement) == ["made"]


def test_the_paper_is_a_tagged_pdf():
    cast.letterhead()
    address = reverse("agreements:pdf", args=[sold(rhythm="monthly").pk])

    answer = cast.signed_in(cast.odile()).get(address)

    assert answer["Content-Type"] == "application/pdf"
    assert answer.content.startswith(b"%PDF-")
    assert b"/StructTreeRoot" in answer.content or len(answer.content) > 5000


def test_the_page_costs_the_same_however_long_its_history(django_assert_num_queries):
    agreement = sold(rhythm="monthly")
    for _ in range(10):
        paid(agreement, 1)
    browser = cast.signed_in(cast.odile())

    # Session, person, branch; agreement; charges, payments, refunds; systems; owed visits;
    # the next term; then all charges, payments, refunds and events of the page.
    with django_assert_num_queries(14):
        browser.get(reverse("agreements:agreement", args=[agreement.pk]))


def debts():
    return debts_of(cast.cedarburg(), TODAY)


def test_what_is_due_is_sorted_into_its_age():
    sold(rhythm="monthly")

    sums = debts().sums

    assert sums["current"] == Decimal("12.17")  # today's
    assert sums["1-30"] == Decimal("12.17")  # June 1
    assert sum(sums.values()) == 7 * Decimal("12.17")


def test_what_was_paid_too_much_for_an_ended_one_is_to_go_back():
    agreement = sold()
    paid(agreement)
    assert debts().rows == []

    cancel(agreement=agreement, ends=TODAY, why="moves away", by=cast.odile())
    assert debts().sums["to go back"] == Decimal("73.60")

    refund(
        agreement=agreement, amount=Decimal("73.60"), on=TODAY, how="check", reference="7",
        why="cancelled", by=cast.odile(),
    )  # fmt: skip
    assert debts().rows == []


def test_the_list_shows_one_column_alone():
    sold()

    browser = cast.signed_in(cast.odile())

    assert "Nora Whitfield" in browser.get(DUE, {"show": "over 90"}).text
    assert "Nothing is open here" in browser.get(DUE, {"show": "31-60"}).text
    assert "Nora Whitfield" in browser.get(DUE, {"show": "x"}).text


def test_another_branchs_debts_are_not_shown():
    sold()

    assert "Nora" not in cast.signed_in(cast.priya()).get(DUE).text


def test_a_long_list_of_debts_costs_no_more_queries(django_assert_num_queries):
    for number in range(12):
        home = factories.HomeFactory(customer__branch=cast.cedarburg())
        factories.SystemFactory(home=home)
        sold(starts_on=dt.date(2027, 1, 1 + number))
    browser = cast.signed_in(cast.odile())

    # Session, person, branch; all sums at once; who owes, with charges, payments and refunds.
    with django_assert_num_queries(8):
        page = browser.get(DUE)
    assert page.text.count("Record a payment") == 12


def test_who_may_not_renew_stands_there_with_the_reasons():
    agreement = sold(starts_on=dt.date(2026, 9, 1), renews=False)
    note_complaint(agreement=agreement, words="Came late", by=cast.odile())

    words = cast.signed_in(cast.odile()).get(LAPSE).text

    # 30 for no agreement to renewal, 30 unpaid, 20 missed (June 15 has passed), 20, 15.
    assert "May not renew</strong>, 100 points" in words
    for reason in ("1 complaint (20)", "1 owed visit was missed (20)", "has not agreed"):
        assert reason in words


def test_who_declined_is_no_question_any_more():
    agreement = sold(starts_on=dt.date(2026, 9, 1))
    decline_renewal(agreement=agreement, why="sold", today=TODAY, by=cast.odile())

    assert may_lapse(cast.cedarburg(), TODAY) == []
    assert "No agreement ends soon" in cast.signed_in(cast.odile()).get(LAPSE).text


def test_a_dearer_next_term_counts_against_it():
    agreement = sold(starts_on=dt.date(2026, 9, 1))
    paid(agreement)
    plan = agreement.plan
    terms = plan.terms() | {"price": Decimal(190)}
    change_plan_terms(plan=plan, terms=terms, valid_from=TODAY, today=TODAY, by=cast.odile())

    (found,) = may_lapse(cast.cedarburg(), TODAY)
    assert "the next term costs 30% more" in [reason.words for reason in found.outlook.reasons]


def test_a_long_list_of_lapses_costs_no_more_queries(django_assert_num_queries):
    for day in range(1, 12):
        sold(starts_on=dt.date(2026, 9, day))
    browser = cast.signed_in(cast.odile())

    # Session, person, branch; agreements; visits; charges, payments, refunds; versions.
    with django_assert_num_queries(9):
        assert browser.get(LAPSE).text.count("<tr>") == 12
