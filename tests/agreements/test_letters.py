"""Letters about agreements: due once, and not again; terms that begin by themselves."""

import datetime as dt
from decimal import Decimal

import pytest
import time_machine

from agreements.actions.agreeing import renew_agreement
from agreements.actions.ending import decline_renewal
from agreements.actions.outbox import begin_agreed_terms, write_due_letters
from agreements.actions.plans import change_plan_terms
from agreements.models import Agreement
from agreements.tasks import look_after, look_after_branch
from letters.models import Letter
from letters.render import preview_of
from tests import cast
from tests.agreements.sold import paid, sold

pytestmark = pytest.mark.django_db
END = dt.date(2027, 12, 31)


def on(day: dt.date) -> list[str]:
    """The kinds of letters that this day writes."""
    now = dt.datetime.combine(day, dt.time(17), dt.UTC)
    before = set(Letter.objects.values_list("pk", flat=True))
    with time_machine.travel(now):
        write_due_letters(branch=cast.cedarburg(), today=day, now=now)
    return sorted(Letter.objects.exclude(pk__in=before).values_list("kind", flat=True))


def ahead(days: int) -> dt.date:
    return END - dt.timedelta(days=days)


@pytest.fixture(autouse=True)
def _letterhead():
    cast.letterhead()


def test_the_renewal_is_announced_fifteen_days_before_the_notice_and_once():
    paid(sold())

    assert on(ahead(46)) == []
    assert on(ahead(45)) == ["renewal"]
    assert on(ahead(44)) == []


def test_it_says_the_price_and_that_it_changes():
    agreement = sold()
    paid(agreement)
    terms = agreement.plan.terms() | {"price": Decimal(159)}
    change_plan_terms(plan=agreement.plan, terms=terms, valid_from=END, today=END, by=cast.odile())
    on(ahead(45))

    words = preview_of(Letter.objects.get()).text
    assert "begins by itself on Jan. 1, 2028. It costs $159.00." in words
    assert "until now a term cost $146.00" in words


def test_who_did_not_agree_to_renewal_is_asked():
    paid(sold(renews=False))
    on(ahead(45))

    assert "It begins only if you say yes." in preview_of(Letter.objects.get()).text


def test_who_declined_hears_no_more():
    agreement = sold()
    paid(agreement)
    decline_renewal(agreement=agreement, why="sold", today=ahead(60), by=cast.odile())

    assert on(ahead(45)) == []
    assert on(END + dt.timedelta(days=14)) == []


def test_a_term_begins_by_itself_only_where_the_customer_agreed_and_was_told():
    sold()
    after = END + dt.timedelta(days=1)
    assert begin_agreed_terms(branch=cast.cedarburg(), today=after) == 0

    on(ahead(45))
    Letter.objects.filter(kind="renewal").update(
        state="sent", sent_at=dt.datetime(2027, 11, 17, tzinfo=dt.UTC)
    )
    assert begin_agreed_terms(branch=cast.cedarburg(), today=after) == 1
    assert begin_agreed_terms(branch=cast.cedarburg(), today=after) == 0

    assert Agreement.objects.count() == 2


def test_a_lapsed_one_is_asked_once_two_weeks_later():
    paid(sold(renews=False))

    assert on(END + dt.timedelta(days=13)) == []
    assert on(END + dt.timedelta(days=14)) == ["lapsed"]
    assert on(END + dt.timedelta(days=15)) == []


def test_a_renewed_one_is_not_asked():
    agreement = sold()
    paid(agreement)
    paid(renew_agreement(agreement=agreement))

    assert on(END + dt.timedelta(days=14)) == []


def test_a_payment_is_mentioned_before_it_is_due_and_when_it_is_late():
    sold(rhythm="monthly", starts_on=dt.date(2027, 3, 1))

    assert on(dt.date(2027, 2, 22)) == ["payment_due"]
    assert on(dt.date(2027, 3, 1)) == []
    assert on(dt.date(2027, 3, 11)) == ["payment_overdue"]
    assert on(dt.date(2027, 3, 12)) == []


def test_what_was_paid_is_not_mentioned():
    agreement = sold(starts_on=dt.date(2027, 3, 1))
    paid(agreement)

    assert on(dt.date(2027, 2, 25)) == []
    assert on(dt.date(2027, 3, 15)) == []


def test_a_customer_reads_it_in_spanish():
    sold(starts_on=dt.date(2027, 3, 1))
    cast.nora().__class__.objects.update(language="es")
    on(dt.date(2027, 2, 25))

    wording = preview_of(Letter.objects.get())
    assert "vence el 1 de marzo de 2027" in wording.subject.lower()


def test_without_an_address_nothing_is_written():
    sold(starts_on=dt.date(2027, 3, 1))
    cast.nora().__class__.objects.update(email="")

    assert on(dt.date(2027, 2, 25)) == []


def test_the_task_looks_after_each_branch_once_its_morning_has_come(monkeypatch):
    sold(starts_on=dt.date(2027, 3, 1))
    monkeypatch.setattr(look_after_branch, "delay", look_after_branch)

    with time_machine.travel(dt.datetime(2027, 2, 25, 11, 30, tzinfo=dt.UTC)):  # 5:30 AM
        look_after()
    assert not Letter.objects.exists()
    with time_machine.travel(dt.datetime(2027, 2, 25, 12, 30, tzinfo=dt.UTC)):
        look_after()
        look_after()
    assert Letter.objects.get().kind == "payment_due"


def test_a_long_day_costs_few_queries(django_assert_max_num_queries):
    for day in range(1, 9):
        paid(sold(starts_on=dt.date(2027, 1, day)))
    on(ahead(40))

    # All is written: two queries a list, four for the payments.
    with django_assert_max_num_queries(14):
        on(ahead(40))
