"""A home's reminders through the year."""

from collections import Counter
from datetime import date, timedelta

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from letters.kinds import KINDS
from reminders.cadence import due_on, due_reminders, year_of
from reminders.facts import FilterFacts, HomeFacts, Sent, about_of
from tests.reminders.homes import MILWAUKEE, filter_17, home

EVERYTHING = {
    "winter_cover": True,
    "ice_falls_on_unit": True,
    "plants_near_unit": True,
    "high_low_returns": True,
}
maybe = st.sampled_from([None, False, True])
dates_2027 = st.dates(date(2027, 1, 1), date(2027, 12, 31))
homes = st.builds(
    HomeFacts,
    id=st.just(1),
    filters=st.lists(
        st.builds(
            FilterFacts,
            id=st.integers(1, 999),
            size=st.just("16x20"),
            thickness_in=st.sampled_from([1.0, 2.0, 4.0]),
            last_changed_on=st.none() | dates_2027,
        ),
        max_size=2,
        unique_by=lambda one: one.id,
    ).map(tuple),
    **dict.fromkeys([*EVERYTHING, "pets", "smokers", "dusty", "constant_fan"], maybe),
    **dict.fromkeys(["cools", "heats", "heat_pump"], st.booleans()),
    next_cooling_check=st.none() | dates_2027,
)


def kinds_in_a_year(one) -> Counter:
    return Counter(reminder.kind for _, reminder in year_of(one, MILWAUKEE, date(2027, 1, 1)))


def test_a_year_of_a_home_that_does_everything():
    counts = kinds_in_a_year(home(filter_17(changed=date(2026, 12, 20)), pets=True, **EVERYTHING))
    once = {"cover_off": 1, "cover_on": 1, "plants": 1, "rinse": 1}
    assert counts == {**once, "returns": 2, "filter": counts["filter"]}
    assert 9 <= counts["filter"] <= 13


def test_the_year_is_told_in_order_and_begins_where_it_is_asked_to():
    days = [day for day, _ in year_of(home(filter_17(), **EVERYTHING), MILWAUKEE, date(2027, 6, 1))]
    assert days == sorted(days)
    assert date(2027, 6, 1) <= days[0]
    assert days[-1] < date(2028, 6, 1)


def test_kinds_that_the_customer_stopped_are_left_out():
    stopped = frozenset({"filter", "rinse"})
    counts = kinds_in_a_year(home(filter_17(), stopped_kinds=stopped, **EVERYTHING))
    assert not counts.keys() & stopped
    assert counts["cover_off"] == 1


def test_nothing_known_of_a_home_means_only_the_hose():
    assert kinds_in_a_year(home()) == {"rinse": 1}


def test_every_reminder_is_a_kind_of_letter_that_can_be_stopped():
    kinds = kinds_in_a_year(home(filter_17(), **EVERYTHING)).keys()
    # A lapsed agreement is the room of agreements' to remind of.
    assert kinds == {name for name, kind in KINDS.items() if kind.is_reminder} - {"lapsed"}


@settings(max_examples=25)
@given(homes)
def test_no_occasion_comes_twice(one):
    occasions = [found.occasion for _, found in year_of(one, MILWAUKEE, date(2027, 1, 1))]
    assert len(occasions) == len(set(occasions))


@settings(max_examples=25)
@given(homes, st.integers(1, 9))
def test_asking_only_now_and_then_loses_nothing_and_doubles_nothing(one, pause):
    """As when the sweep was down: every few days is as good as daily, but for the days."""
    sent, late = (), []
    for day in (date(2027, 1, 1) + timedelta(days=n) for n in range(0, 365, pause)):
        for found in due_reminders(one, MILWAUKEE, day, sent):
            late.append(found.occasion)
            sent = (*sent, Sent(found.kind, found.about, day))
    daily = [found.occasion for _, found in year_of(one, MILWAUKEE, date(2027, 1, 1), days=350)]
    assert len(late) == len(set(late))
    assert {o for o in daily if not o.startswith("filter")} <= set(late)


@given(homes, dates_2027)
def test_the_same_facts_give_the_same_reminders(one, today):
    first = due_reminders(one, MILWAUKEE, today)
    assert due_reminders(one, MILWAUKEE, today) == first
    assert all(found.due_on <= today and found.why and found.cautions for found in first)


@settings(max_examples=60)
@given(homes, dates_2027, st.integers(0, 120))
def test_a_coming_day_is_told_as_the_year_tells_it(one, today, days_ahead):
    assume(all((filter_.last_changed_on or today) <= today for filter_ in one.filters))
    day = today + timedelta(days=days_ahead)
    year = year_of(one, MILWAUKEE, today, days=days_ahead + 1)

    told = due_on(day, one, MILWAUKEE, today)

    assert [reminder for on, reminder in year if on == day] == list(told)


@given(homes, dates_2027)
def test_what_a_reminder_was_about_can_be_read_from_its_occasion(one, today):
    for _, reminder in year_of(one, MILWAUKEE, today, days=60):
        assert about_of(reminder.occasion) == reminder.about
