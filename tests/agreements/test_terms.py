"""Terms follow each other without a gap, and what a term owes is due within it."""

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from agreements.terms import (
    BOTH,
    COOLING,
    FAIR_CHANCE_DAYS,
    HEATING,
    Term,
    due_window,
    owed_from,
    owed_in,
    term,
    window_around,
)

ONE_DAY = dt.timedelta(days=1)
anchors = st.dates(dt.date(1990, 1, 1), dt.date(2080, 12, 31))
months = st.integers(1, 60)
numbers = st.integers(0, 40)
kinds = st.sampled_from([COOLING, HEATING, BOTH])


@given(anchors, months, numbers)
def test_terms_follow_each_other_without_gap_or_overlap(anchor, length, number):
    now, following = term(anchor, length, number), term(anchor, length, number + 1)

    assert now.starts_on <= now.ends_on
    assert now.ends_on + ONE_DAY == following.starts_on


@given(anchors, numbers)
def test_a_year_long_term_begins_on_the_same_day_each_year(anchor, number):
    starts_on = term(anchor, 12, number).starts_on

    assert (starts_on.year, starts_on.month) == (anchor.year + number, anchor.month)
    assert starts_on.day == anchor.day or (anchor.day == 29 and starts_on.day == 28)


@given(anchors, months, numbers, kinds)
def test_the_due_window_lies_within_the_term(anchor, length, number, kind):
    of = term(anchor, length, number)

    due_from, due_until = due_window(kind, of)

    assert of.starts_on <= due_from <= due_until <= of.ends_on


@given(anchors, st.integers(12, 60), numbers, kinds)
def test_a_term_of_a_year_or_more_leaves_a_fair_chance_to_come(anchor, length, number, kind):
    due_from, due_until = due_window(kind, term(anchor, length, number))

    assert (due_until - due_from).days + 1 >= FAIR_CHANCE_DAYS


@given(anchors, st.integers(0, 4), st.integers(0, 4), st.booleans())
def test_every_check_of_the_plan_is_owed_once(anchor, cooling, heating, together):
    owed = owed_in(term(anchor, 12, 0), cooling=cooling, heating=heating, together=together)
    counts = {kind: sum(visit.kind == kind for visit in owed) for kind in (BOTH, COOLING, HEATING)}

    assert counts[BOTH] + counts[COOLING] == cooling
    assert counts[BOTH] + counts[HEATING] == heating
    assert counts[BOTH] == (min(cooling, heating) if together else 0)
    assert len({(visit.kind, visit.number) for visit in owed}) == len(owed)


def test_an_agreement_begun_on_a_leap_day_returns_to_it():
    leap_day = dt.date(2024, 2, 29)

    assert [term(leap_day, 12, number).starts_on for number in (1, 3, 4)] == [
        dt.date(2025, 2, 28),
        dt.date(2027, 2, 28),
        dt.date(2028, 2, 29),
    ]
    assert term(leap_day, 12, 0).ends_on == dt.date(2025, 2, 27)


def test_a_cooling_check_is_due_in_spring_and_a_heating_check_in_autumn():
    year = term(dt.date(2027, 1, 1), 12, 0)

    assert due_window(COOLING, year) == (dt.date(2027, 3, 1), dt.date(2027, 6, 15))
    assert due_window(BOTH, year) == (dt.date(2027, 3, 1), dt.date(2027, 6, 15))
    assert due_window(HEATING, year) == (dt.date(2027, 9, 1), dt.date(2027, 11, 30))


def test_a_term_begun_late_in_spring_owes_its_cooling_check_next_spring():
    year = term(dt.date(2027, 6, 1), 12, 0)

    assert due_window(COOLING, year) == (dt.date(2028, 3, 1), dt.date(2028, 5, 31))


def test_a_term_that_only_touches_spring_owes_its_check_in_what_there_is():
    summer = Term(0, dt.date(2027, 6, 10), dt.date(2027, 8, 9))

    assert due_window(COOLING, summer) == (dt.date(2027, 6, 10), dt.date(2027, 6, 15))


def test_a_winter_of_three_months_owes_its_check_on_any_day():
    winter = Term(0, dt.date(2026, 12, 1), dt.date(2027, 2, 28))

    assert due_window(COOLING, winter) == (winter.starts_on, winter.ends_on)


@given(anchors, st.integers(-60, 0))
def test_a_term_of_no_month_is_refused(anchor, length):
    with pytest.raises(ValueError, match="at least one month"):
        term(anchor, length, 0)


def windows(begins: dt.date) -> list[tuple[str, dt.date]]:
    """What is still owed to an agreement of 2027 that begins on a day: kind and first day."""
    owed = owed_from(YEAR_2027, begins, cooling=1, heating=1, together=False)
    return [(visit.kind, visit.due_from) for visit in owed]


YEAR_2027 = Term(0, dt.date(2027, 1, 1), dt.date(2027, 12, 31))


def test_who_begins_inside_a_term_is_owed_what_has_a_fair_chance():
    may = dt.date(2027, 5, 1)

    assert windows(may) == [(COOLING, may), (HEATING, dt.date(2027, 9, 1))]
    assert windows(dt.date(2027, 6, 1)) == [(HEATING, dt.date(2027, 9, 1))]
    assert windows(dt.date(2027, 11, 20)) == []


def around(first: dt.date, last: dt.date) -> tuple[dt.date, dt.date]:
    """The spring of 2027 with a pause in it."""
    return window_around(COOLING, dt.date(2027, 3, 1), dt.date(2027, 6, 15), first, last)


def test_a_pause_leaves_the_longer_fair_piece_of_a_window():
    late = around(dt.date(2027, 2, 1), dt.date(2027, 3, 31))
    early = around(dt.date(2027, 5, 20), dt.date(2027, 7, 1))

    assert late == (dt.date(2027, 4, 1), dt.date(2027, 6, 15))
    assert early == (dt.date(2027, 3, 1), dt.date(2027, 5, 19))


def test_a_pause_over_all_of_a_window_moves_it_to_the_next_spring():
    assert around(dt.date(2027, 2, 1), dt.date(2027, 9, 1)) == (
        dt.date(2028, 3, 1),
        dt.date(2028, 6, 15),
    )


def test_a_pause_beside_a_window_moves_nothing():
    assert around(dt.date(2027, 7, 1), dt.date(2027, 8, 1)) == (
        dt.date(2027, 3, 1),
        dt.date(2027, 6, 15),
    )


@given(kinds, anchors, st.integers(0, 400), st.integers(0, 400))
def test_nobody_is_due_in_a_pause_alone(kind, anchor, begins, length):
    due_from, due_until = due_window(kind, term(anchor, 12, 0))
    first = anchor + dt.timedelta(days=begins)
    last = first + dt.timedelta(days=length)

    moved_from, moved_until = window_around(kind, due_from, due_until, first, last)

    assert moved_from <= moved_until
    assert moved_until < first or moved_from > last
