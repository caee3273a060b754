"""The season's ribbon: every visit in its column, under its own weather."""

import datetime as dt
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit import words
from kit.pictures.ribbon import MARK, ROOMY_COLUMN, RibbonDay, RibbonVisit, draw_ribbon

MONDAY = dt.date(2027, 4, 12)


def visit(state="pencilled", kind="cooling", warmth=0.9):
    return RibbonVisit(kind, state, "Nora Whitfield, Ames", warmth=warmth)


def days_with(*counts, middle_f=60.0):
    return [
        RibbonDay(
            MONDAY + dt.timedelta(days=n), middle_f - 9, middle_f, middle_f + 9, (visit(),) * k
        )
        for n, k in enumerate(counts)
    ]


@given(st.lists(st.integers(0, 200), min_size=1, max_size=60))
@settings(max_examples=60)
def test_it_keeps_every_mark_inside_the_picture(counts):
    picture = draw_ribbon(days_with(*counts), 55)
    shrink = 0.5 if picture.compact else 1.0
    marks = [mark for column in picture.columns for mark in column.marks]
    assert all(picture.stack_y + (mark.y + MARK) * shrink <= picture.height for mark in marks)
    assert [column.count for column in picture.columns] == counts


@given(st.integers(1, 400), st.floats(100, 3000))
def test_it_lays_the_columns_side_by_side_over_the_whole_width(number, width):
    columns = draw_ribbon(days_with(*[0] * number), 55, width).columns
    assert columns[0].left == 0
    for before, after in pairwise(columns):
        assert after.left - before.left == pytest.approx(before.width, abs=0.2)
    assert columns[0].width >= MARK


def test_it_draws_all_columns_to_one_measure_when_a_single_day_is_crowded():
    roomy = draw_ribbon(days_with(3, ROOMY_COLUMN), 55)
    crowded = draw_ribbon(days_with(3, ROOMY_COLUMN + 1), 55)
    assert not roomy.compact
    assert crowded.compact
    assert [mark.x for mark in crowded.columns[0].marks] == [0, MARK, 0]


def test_it_lets_a_mark_stand_for_several_visits_when_the_shop_is_very_large():
    picture = draw_ribbon(days_with(120, 4), 55)
    assert picture.visits_a_mark == 5
    assert [len(column.marks) for column in picture.columns] == [24, 1]


def test_it_stacks_visits_in_the_order_of_their_life():
    day = RibbonDay(MONDAY, 50, 60, 70, (visit("done"), visit("promised"), visit("pencilled")))
    (column,) = draw_ribbon([day], 55).columns
    assert [mark.state for mark in column.marks] == ["pencilled", "promised", "done"]
    assert column.counts == "1 pencilled, 1 promised, 1 done"


def test_it_draws_visits_that_come_counted_as_if_they_came_one_by_one():
    day = (visit("done"), *[visit("promised")] * 7, *[visit("promised", warmth=0.2)] * 9)
    counted = (
        visit("done"),
        replace(visit("promised"), count=7),
        replace(visit("promised", warmth=0.2), count=9),
    )
    one_by_one, at_once = (
        draw_ribbon([RibbonDay(MONDAY, 50, 60, 70, visits)], 55) for visits in (day, counted)
    )
    assert one_by_one == at_once


def test_it_marks_a_standing_visit_that_is_probably_too_cold():
    visits = (visit(warmth=0.5), visit(warmth=0.9), visit("done", warmth=0.5))
    (column,) = draw_ribbon([RibbonDay(MONDAY, 50, 60, 70, visits)], 55, least_warmth=0.7).columns
    assert [mark.too_cold for mark in column.marks] == [True, False, False]


def test_it_tells_apart_a_check_that_needs_no_warmth_from_one_not_looked_at():
    visits = (visit(kind="heating", warmth=None), visit(kind="cooling", warmth=None))
    (column,) = draw_ribbon([RibbonDay(MONDAY, 50, 60, 70, visits)], 55).columns
    assert [mark.needs_warmth for mark in column.marks] == [False, True]
    assert column.marks[0].label.endswith("needs no warmth")
    assert column.marks[1].label.endswith("warmth not looked at yet")


def test_it_says_a_day_in_words():
    day = RibbonDay(MONDAY, 50, 60, 70, (visit(),), workday=False, holiday="Founders' Day")
    (column,) = draw_ribbon([day], 55).columns
    assert column.name.replace(words.NARROW, " ") == (
        "Mon, Apr 12 (Founders' Day), highs 50 °F to 70 °F, 1 visit: 1 pencilled"
    )


def test_it_finds_the_day_from_which_nine_highs_in_ten_are_warm_enough():
    lows_f = (50, 56, 54, 55, 57)
    days = [RibbonDay(MONDAY + dt.timedelta(n), f, f + 9, f + 18) for n, f in enumerate(lows_f)]
    picture = draw_ribbon(days, 55)
    assert picture.warm_label == "9 in 10 from Apr 15"
    assert picture.warm_x == picture.columns[3].left


def test_it_draws_no_such_day_when_the_season_stays_cold():
    picture = draw_ribbon(days_with(0, 0, middle_f=50), 55)
    assert picture.warm_x is None
    assert "fewer than nine highs in ten reach" in picture.description


def test_it_marks_today_only_when_today_is_in_the_season():
    days = days_with(0, 0, 0)
    assert draw_ribbon(days, 55, today=MONDAY - dt.timedelta(1)).today_x is None
    picture = draw_ribbon(days, 55, today=MONDAY)
    assert 0 < picture.today_x < picture.columns[1].left


def test_it_refuses_days_that_do_not_follow_each_other():
    days = days_with(0, 0, 0)
    with pytest.raises(ValueError, match="2027-04-14 is out of line"):
        draw_ribbon([days[0], days[2]], 55)
    with pytest.raises(ValueError, match="at least one day"):
        draw_ribbon([], 55)
