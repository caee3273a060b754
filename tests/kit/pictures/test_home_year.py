"""The year of a home on one strip."""

import datetime as dt

from hypothesis import given
from hypothesis import strategies as st

from kit.pictures.home_year import (
    LEFT,
    MARK,
    MONTH,
    MONTHS,
    YearMark,
    YearRow,
    draw_home_year,
    first_month,
)

MAY = dt.date(2027, 5, 13)
days = st.dates(dt.date(2026, 1, 1), dt.date(2028, 12, 31))


def row(*marked: dt.date) -> YearRow:
    return YearRow("Visits", tuple(YearMark(day, "mark-done", str(day)) for day in marked))


def test_it_begins_two_months_back_and_lasts_a_year():
    picture = draw_home_year(MAY, [row()], None)
    assert [month.text for month in picture.months][:2] == ["Mar", "Apr"]
    assert len(picture.months) == MONTHS


def test_the_cooling_season_is_one_band_within_the_year():
    [band] = draw_home_year(MAY, [row()], ((5, 1), (10, 1))).bands
    assert (band.x, band.width) == (LEFT + 2 * MONTH, 5 * MONTH)


def test_a_season_that_is_half_over_is_cut_at_both_ends_of_the_strip():
    first, last = draw_home_year(dt.date(2027, 10, 13), [row()], ((5, 1), (10, 1))).bands
    assert first.x == LEFT
    assert last.x + last.width == LEFT + MONTHS * MONTH


def test_a_place_without_a_season_has_no_band():
    assert draw_home_year(MAY, [row()], None).bands == ()


def test_two_things_on_one_day_stand_one_above_the_other():
    [placed] = draw_home_year(MAY, [row(MAY, MAY)], None).rows
    assert placed.marks[0].y - placed.marks[1].y == MARK


@given(days, st.lists(days, max_size=12))
def test_every_mark_of_the_year_lies_on_the_strip_and_no_other_is_drawn(today, marked):
    picture = draw_home_year(today, [row(*marked)], None)
    [placed] = picture.rows
    first = first_month(today)
    inside = [day for day in marked if first <= day < first.replace(year=first.year + 1)]
    assert len(placed.marks) == len(inside)
    for mark in placed.marks:
        assert LEFT - MARK <= mark.x <= picture.width - MARK
        assert 0 <= mark.y <= picture.bottom_y - MARK
