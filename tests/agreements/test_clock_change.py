"""Terms and money count days of the branch's calendar: a change of the clock moves nothing."""

import datetime as dt
from decimal import Decimal

import pytest
import time_machine
from django.urls import reverse

from agreements.accounts import account_of
from agreements.models import Agreement
from agreements.money.revenue import straight_line
from agreements.money.schedule import due_days
from agreements.postings import revenue_by_month
from agreements.terms import term
from tests import cast
from tests.agreements.sold import sold, spring_check

SPRING_FORWARD, FALL_BACK = dt.date(2027, 3, 14), dt.date(2027, 11, 7)  # in Chicago
# 11:30 PM of that Sunday there: already the next day by UTC, once 23 and once 25 hours old.
LATE_IN_MARCH = dt.datetime(2027, 3, 15, 4, 30, tzinfo=dt.UTC)
LATE_IN_NOVEMBER = dt.datetime(2027, 11, 8, 5, 30, tzinfo=dt.UTC)


@pytest.mark.parametrize("first", [SPRING_FORWARD, FALL_BACK])
def test_a_year_from_the_sunday_of_the_change_has_all_its_days_and_cents(first):
    year = term(first, 12, 0)
    months = straight_line(Decimal("146.00"), year.starts_on, year.ends_on)

    assert (year.ends_on - year.starts_on).days in (364, 365)
    assert year.ends_on == first.replace(year=2028) - dt.timedelta(days=1)
    assert sum(month.amount for month in months) == 146


def test_monthly_payments_keep_their_day_over_both_changes():
    days = due_days(dt.date(2027, 2, 14), dt.date(2028, 2, 13), "monthly")

    assert {day.day for day in days} == {14}
    assert len(days) == 12


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("now", "today"), [(LATE_IN_MARCH, SPRING_FORWARD), (LATE_IN_NOVEMBER, FALL_BACK)]
)
def test_what_is_sold_late_that_evening_begins_that_day_and_is_due_that_day(now, today):
    home, plan = cast.noras_home(), spring_check()
    with time_machine.travel(now, tick=False):
        page = cast.signed_in(cast.odile()).get(reverse("agreements:new", args=[home.pk]))
        assert page.context["forms"][0].initial["starts_on"] == today
        entry = {"plan": plan.pk, "starts_on": today, "systems": [home.systems.get().pk]}
        cast.signed_in(cast.odile()).post(
            reverse("agreements:new", args=[home.pk]), entry | {"rhythm": "yearly"}
        )

    account = account_of(Agreement.objects.get())
    assert account.due_now(today) == 146
    assert account.overdue_days(today) == 0
    assert account.overdue_days(today + dt.timedelta(days=1)) == 1


@pytest.mark.django_db
def test_the_month_of_the_change_is_earned_by_its_days():
    sold()
    found = revenue_by_month(cast.cedarburg(), dt.date(2027, 12, 31))

    months = {month.month.month: month.earned for month in found}

    assert months[3] == months[1] == Decimal("12.40")  # 31 days at 40 cents
    assert months[11] == months[4] == Decimal("12.00")  # 30 days
