"""When a filter is due, and what the letter says of it."""

from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reminders.facts import FilterFacts, Sent
from reminders.filters import due_filters, interval_days
from tests.reminders.homes import MILWAUKEE, QUIET, busy_place, filter_17, home

APRIL_1 = date(2027, 4, 1)
maybe = st.sampled_from([None, False, True])
filters = st.builds(
    FilterFacts,
    id=st.integers(1, 10**6),
    size=st.just("20x20"),
    thickness_in=st.floats(0.5, 6),
    last_changed_on=st.none() | st.dates(date(2026, 1, 1), date(2028, 1, 1)),
    maker_days=st.none() | st.integers(1, 400),
)
homes = st.builds(
    home, filters, pets=maybe, smokers=maybe, dusty=maybe, constant_fan=maybe, heats=st.booleans()
)
places = st.sampled_from([MILWAUKEE, QUIET, busy_place(0.4), busy_place(1.0)])


def due(one, place, today, *sent):
    return due_filters(one, place, today, sent)


def days_between(**facts) -> int:
    return interval_days(filter_17(), home(**facts), QUIET, APRIL_1)


def test_a_one_inch_filter_lasts_six_weeks_where_nothing_shortens_it():
    assert days_between() == 42
    assert days_between(pets=False, smokers=False, dusty=False, constant_fan=False) == 42


@pytest.mark.parametrize("fact", ["pets", "smokers", "dusty"])
def test_each_thing_in_the_home_takes_a_week(fact):
    assert days_between(**{fact: True}) == 35


def test_four_weeks_are_the_least():
    assert days_between(pets=True, smokers=True) == 28
    assert days_between(pets=True, smokers=True, dusty=True, constant_fan=True) == 28


def test_a_fan_that_never_stops_makes_it_four_weeks():
    assert days_between(constant_fan=True) == 28


@pytest.mark.parametrize(
    ("share", "days"), [(0.0, 42), (0.15, 42), (0.325, 35), (0.5, 28), (1.0, 28)]
)
def test_the_more_a_system_runs_the_sooner(share, days):
    assert interval_days(filter_17(), home(), busy_place(share), APRIL_1) == days


def test_in_milwaukee_it_is_sooner_in_january_than_in_may():
    january = interval_days(filter_17(), home(), MILWAUKEE, date(2027, 1, 5))
    may = interval_days(filter_17(), home(), MILWAUKEE, date(2027, 5, 15))
    assert january == 28
    assert may >= 40


def test_a_system_that_only_cools_rests_in_winter():
    assert interval_days(filter_17(), home(heats=False), MILWAUKEE, date(2027, 1, 5)) == 42


@pytest.mark.parametrize(
    ("thickness_in", "days"), [(0.5, 42), (1.0, 42), (2.0, 90), (4.0, 180), (5.0, 180)]
)
def test_thicker_filters_last_longer(thickness_in, days):
    assert interval_days(filter_17(thickness_in), home(), QUIET, APRIL_1) == days


def test_the_makers_word_goes_before_ours_but_never_under_four_weeks():
    pets = home(pets=True)
    assert interval_days(filter_17(4.0, maker_days=365), pets, QUIET, APRIL_1) == 365
    assert interval_days(filter_17(maker_days=60), pets, QUIET, APRIL_1) == 60
    assert interval_days(filter_17(maker_days=10), pets, QUIET, APRIL_1) == 28


def test_the_letter_says_which_filter_and_why_now():
    [reminder] = due(home(filter_17(), pets=True, dusty=True), QUIET, date(2027, 4, 29))
    assert reminder.why == (
        "Your 16x25x1 inch filter has been in since April 1, 2027. In your home it is due every "
        "28 days, because of pets in the home and a dusty home."
    )
    assert reminder.reasons == ("pets", "dusty")
    assert (reminder.about, reminder.due_on) == ("17", date(2027, 4, 29))


def test_running_is_named_only_when_it_takes_days_off():
    [reminder] = due(home(filter_17()), busy_place(0.4), date(2027, 5, 13))
    assert reminder.reasons == ("much_running",)
    [calm] = due(home(filter_17()), busy_place(0.2), date(2027, 5, 13))
    assert calm.reasons == ()
    assert calm.why.endswith("due every 40 days.")


def test_the_makers_interval_is_named_as_the_makers():
    [reminder] = due(home(filter_17(maker_days=60)), QUIET, date(2027, 5, 31))
    assert reminder.why.endswith("Its maker says every 60 days.")


@pytest.mark.parametrize(("late", "is_due"), [(-1, False), (0, True), (5, True), (10, True)])
def test_it_is_due_on_its_day_and_while_the_grace_lasts(late, is_due):
    today = date(2027, 5, 13) + timedelta(days=late)
    found = due(home(filter_17()), QUIET, today)
    assert [one.due_on for one in found] == [date(2027, 5, 13)] * is_due


def test_a_change_begins_anew():
    today = date(2027, 5, 13)
    assert due(home(filter_17()), QUIET, today)
    assert not due(home(filter_17(changed=date(2027, 5, 1))), QUIET, today)


def test_a_homeowner_who_does_not_answer_hears_again_after_the_interval():
    reminded = Sent("filter", "17", date(2027, 5, 13))
    assert not due(home(filter_17()), QUIET, date(2027, 6, 23), reminded)
    [again] = due(home(filter_17()), QUIET, date(2027, 6, 24), reminded)
    assert again.why.startswith("We last reminded you of your 16x25x1 inch filter on May 13")


def test_another_filters_reminder_does_not_count():
    other = Sent("filter", "18", date(2027, 5, 13))
    assert due(home(filter_17()), QUIET, date(2027, 5, 14), other)


def test_what_is_learnt_of_the_home_meanwhile_makes_no_second_occasion():
    today = date(2027, 5, 13)
    [before] = due(home(filter_17()), QUIET, today)
    [after] = due(home(filter_17(), pets=True), QUIET, today)
    assert before.occasion == after.occasion == "filter:17:2027-04-01"


def test_filters_of_unknown_age_are_asked_about_on_days_spread_over_four_weeks():
    unknown = [home(FilterFacts(id_, "", 1.0)) for id_ in range(280)]
    days = [date(2027, 4, 5) + timedelta(days=n) for n in range(28)]
    assert [sum(len(due(one, QUIET, day)) for one in unknown) for day in days] == [10] * 28


def test_a_filter_of_unknown_age_is_asked_about_by_its_thickness_alone():
    days = (date(2027, 4, 1) + timedelta(days=n) for n in range(28))
    found = [one for day in days for one in due(home(FilterFacts(3, "", 1.0)), QUIET, day)]
    assert found[0].why.startswith("We do not know when your 1 inch filter was last changed.")
    assert [one.about for one in found] == ["3"]


def test_a_filter_that_nobody_answers_for_is_asked_about_again_after_years():
    unknown = home(FilterFacts(3, "", 1.0))
    days = [date(year, 4, 1) + timedelta(days=n) for year in (2027, 2030) for n in range(28)]
    found = [one for day in days for one in due(unknown, QUIET, day)]
    assert len({one.occasion for one in found}) == 2


def test_a_filter_long_past_its_time_is_not_forgotten():
    old = home(filter_17(changed=date(2026, 4, 1)))
    days = [date(2027, 4, 1) + timedelta(days=n) for n in range(28)]
    found = [one for day in days for one in due(old, QUIET, day)]
    assert len({one.occasion for one in found}) == 1
    assert found[0].why.endswith("It is past its time.")


def test_a_change_in_the_future_is_a_slip_of_the_pen():
    slip, unknown = filter_17(changed=date(2028, 1, 1)), filter_17(changed=None)
    days = [date(2027, 4, 1) + timedelta(days=n) for n in range(28)]
    assert [due(home(slip), QUIET, day) for day in days] == [
        due(home(unknown), QUIET, day) for day in days
    ]


def test_a_home_without_a_system_has_no_filter_to_change():
    bare = home(filter_17(), cools=False, heats=False)
    assert due(bare, QUIET, date(2027, 5, 13)) == []


@given(homes, places, st.dates(date(2027, 1, 1), date(2028, 12, 31)))
def test_an_interval_is_never_under_four_weeks_nor_over_what_is_usual(one, place, since):
    [only] = one.filters
    days = interval_days(only, one, place, since)
    assert days >= 28
    if only.maker_days is None:
        assert days <= 180
        assert 28 <= days <= 42 or only.thickness_in >= 2


@given(homes, places, st.dates(date(2027, 1, 1), date(2027, 6, 1)))
def test_nobody_is_reminded_of_a_filter_more_often_than_every_four_weeks(one, place, first):
    sent = ()
    for day in (first + timedelta(days=n) for n in range(200)):
        for reminder in due(one, place, day, *sent):
            sent = (*sent, Sent("filter", reminder.about, day))
    gaps = [(later.on - earlier.on).days for earlier, later in pairwise(sent)]
    assert min(gaps, default=28) >= 28


@given(homes, places, st.dates(date(2027, 1, 1), date(2027, 6, 1)))
def test_a_one_inch_filter_is_never_forgotten(one, place, first):
    [only] = one.filters
    plain = home(replace(only, thickness_in=1.0, maker_days=None))
    in_by = max(first, only.last_changed_on or first)
    days = (in_by + timedelta(days=n) for n in range(70))  # six weeks and four to spread
    assert any(due(plain, place, day) for day in days)


@pytest.mark.parametrize("wrong", [{"thickness_in": 0.0}, {"thickness_in": 30.0}])
def test_a_thickness_that_cannot_be_is_refused(wrong):
    with pytest.raises(ValueError, match="thickness_in"):
        filter_17(**wrong)


def test_a_makers_interval_that_cannot_be_is_refused():
    with pytest.raises(ValueError, match="maker_days"):
        filter_17(maker_days=0)
