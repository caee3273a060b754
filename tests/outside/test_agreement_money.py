"""Earned, deferred and prorated amounts against published worked examples.

* IRS Publication 535 (2000), "When To Deduct Premiums": $1,200 paid for two years from October 1,
  2000 is $150 for 2000, $600 for 2001 and $450 for 2002. The publication counts months alike, we
  count days: a year may differ by what two days cost.
* An advance payment for dance lessons, as in Rev. Proc. 2004-34, section 5.03, in the figures of
  an accounting exercise on it (brainmass.com, no. 325540): $4,800 for 96 lessons; 8 given in 2009,
  48 in 2010 and 40 in 2011 earn $400, $2,400 and $2,000.
* ASC 606-10-55-256 to 258, Example 33: $100 for products sold alone at $50, $25 and $75 is
  allocated $33, $17 and $50. The three figures from memory.
* Stripe, Billing documentation, "Prorations": from $10 to $20 a month half-way through the period
  is -$5 for unused time and $10 for the rest, $5 together.
* FloQast, "How Do You Book a Revenue Recognition Journal Entry Under ASC 606?": $120,000 a year,
  paid on its first day, is earned at $10,000 a month. By days a month differs, a year does not.
* Loophole Lewy, "Deducting Prepaid Expenses Under the General Rule and the 12-month Rule"
  (loopholelewy.com, 2014): $3,600 for three years from October 1, 2014 is $300, $1,200, $1,200 and
  $900 by calendar year; by months, as Publication 535.
* An accounting exercise on The Allstate Corporation (cahayasurya.ac.id/question/14994257): of a
  one-year policy sold for $2,496 nine months ago, $1,872 is earned; by months again.
* Cost calculator, "Pro-Rata Refund" (costcalculator.calculator.city, p=47871): $1,200 for 365 days
  from January 1, ended after 100 of them on April 10: $328.70 is earned and $871.30 goes back. The
  page rounds the price of a day to $3.287; we round once, at the end.
* By hand, at the end: a $149 agreement begun on February 29, 2028.
"""

import datetime as dt
from decimal import Decimal

from agreements.money.proration import BY_DAYS, KEEP_DAYS, Span, Stay, plan_change, settle_ending
from agreements.money.revenue import Distinct, allocated, balances, by_visits, straight_line
from agreements.money.schedule import payments


def by_year(months) -> dict[int, Decimal]:
    sums: dict[int, Decimal] = {}
    for month in months:
        sums[month.month.year] = sums.get(month.month.year, Decimal(0)) + month.amount
    return sums


def test_a_two_year_premium_is_spread_as_publication_535_spreads_it():
    months = straight_line(Decimal(1200), dt.date(2000, 10, 1), dt.date(2002, 9, 30))

    two_days = Decimal(1200) * 2 / 730
    for year, published in {2000: 150, 2001: 600, 2002: 450}.items():
        assert abs(by_year(months)[year] - published) <= two_days


def test_three_years_are_spread_by_calendar_year_as_the_general_rule_spreads_them():
    months = straight_line(Decimal(3600), dt.date(2014, 10, 1), dt.date(2017, 9, 30))

    two_days = Decimal(3600) * 2 / 1096
    for year, published in {2014: 300, 2015: 1200, 2016: 1200, 2017: 900}.items():
        assert abs(by_year(months)[year] - published) <= two_days
    assert sum(month.amount for month in months) == 3600


def test_nine_months_of_a_year_earn_three_quarters_of_a_premium():
    months = straight_line(Decimal(2496), dt.date(2027, 1, 1), dt.date(2027, 12, 31))

    two_days = Decimal(2496) * 2 / 365
    assert abs(sum(month.amount for month in months[:9]) - 1872) <= two_days


def test_a_year_that_ends_after_a_hundred_days_gives_back_the_rest():
    year = Span(dt.date(2027, 1, 1), dt.date(2027, 12, 31))

    ending = settle_ending(
        price=Decimal(1200), paid=Decimal(1200), due=Decimal(1200),
        whole=year, ends=dt.date(2027, 4, 11), rule=KEEP_DAYS,
    )  # fmt: skip

    rounded_days = Decimal("0.0005") * 365
    assert abs(ending.kept - Decimal("328.70")) <= rounded_days
    assert abs(ending.refund - Decimal("871.30")) <= rounded_days
    assert ending.kept + ending.refund == 1200


def test_lessons_are_earned_as_they_are_given():
    given = {2009: 8, 2010: 48, 2011: 40}
    lessons = [
        Distinct(Decimal(50), dt.date(year, 12, 1)) for year, n in given.items() for _ in range(n)
    ]

    assert by_year(by_visits(Decimal(4800), lessons)) == {2009: 400, 2010: 2400, 2011: 2000}


def test_a_bundle_is_allocated_as_example_33_allocates_it():
    products = [Distinct(Decimal(alone), None) for alone in (50, 25, 75)]

    assert [round(amount) for amount in allocated(Decimal(100), products)] == [33, 17, 50]


def test_a_change_half_way_is_prorated_as_the_billing_documentation_does():
    period = Span(dt.date(2027, 4, 1), dt.date(2027, 4, 30))
    half = Stay(period, dt.date(2027, 4, 16), 0, 0)

    change = plan_change(
        old_price=Decimal(10), old=half, new_price=Decimal(20), new=half, rule=BY_DAYS
    )

    assert change.amount == 5
    assert [line.amount for line in change.lines[1:]] == [10, -5]


def test_a_year_paid_ahead_is_deferred_until_it_is_earned():
    months = straight_line(Decimal(120_000), dt.date(2027, 1, 1), dt.date(2027, 12, 31))
    deferred = balances([(dt.date(2027, 1, 1), Decimal(120_000))], months)

    assert all(abs(month.amount - 10_000) < 800 for month in months)  # 28 to 31 days
    assert (deferred[0].billed, deferred[-1].deferred) == (120_000, 0)


def test_a_leap_day_agreement_comes_out_as_computed_by_hand():
    first, last = dt.date(2028, 2, 29), dt.date(2029, 2, 27)  # 365 days: 1 + 306 + 58
    months = straight_line(Decimal(149), first, last)
    dues = payments(Decimal(149), first, last, "monthly")
    ending = settle_ending(
        price=Decimal(149), paid=Decimal(149), due=Decimal(149),
        whole=Span(first, last), ends=dt.date(2028, 6, 8), rule=KEEP_DAYS,
    )  # fmt: skip

    # 149 / 365 = 0.40822 a day; 31 days are 12.6548, 30 are 12.2466, 27 are 11.0219. Rounded down
    # they make 148.93; the missing 7 cents go to those that lost most: the one day of February
    # (.82), the four months of 30 days (.66), and the first two of the seven of 31 (.48).
    assert [str(month.amount) for month in months] == [
        "0.41", "12.66", "12.25", "12.66", "12.25", "12.65", "12.65", "12.25", "12.65", "12.25",
        "12.65", "12.65", "11.02",
    ]  # fmt: skip
    # 12 payments: 149 / 12 = 12.4166, so eight of 12.42 and four of 12.41.
    assert [due.amount for due in dues].count(Decimal("12.42")) == 8
    # Used until June 8: 1 + 31 + 30 + 31 + 7 = 100 days, 149 x 100 / 365 = 40.82.
    assert (ending.kept, ending.refund) == (Decimal("40.82"), Decimal("108.18"))
