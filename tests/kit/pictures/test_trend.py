"""One reading over the years."""

import datetime as dt

from hypothesis import given
from hypothesis import strategies as st

from kit.pictures.trend import HEIGHT, WIDTH, Reading, draw_trend

SPRINGS = [dt.date(year, 5, 1) for year in range(2023, 2028)]


def years(*values):
    return [Reading(day, value) for day, value in zip(SPRINGS, values, strict=False)]


def test_one_reading_is_no_line():
    assert draw_trend(years(38.9)) is None


def test_later_is_to_the_right_and_more_is_up():
    first, last = draw_trend(years(35, 40)).dots
    assert first.x < last.x
    assert first.y > last.y
    assert (first.last, last.last) == (False, True)


def test_the_limit_stands_on_the_height_of_its_value():
    picture = draw_trend(years(40, 37.6), limits=[37.6])
    assert picture.limits == (picture.dots[-1].y,)


def test_a_new_part_begins_a_new_line():
    old, weak, new = years(40, 36, 40.2)
    line = draw_trend([old, weak, Reading(new.day, new.value, anew=True)]).line
    assert [stroke for stroke in line if stroke.isalpha()] == ["M", "L", "M"]


def test_what_hardly_moved_looks_like_it():
    first, last = draw_trend(years(40.0, 40.1)).dots
    assert abs(first.y - last.y) < HEIGHT / 20


@given(st.lists(st.floats(-1e4, 1e4), min_size=2, max_size=5), st.floats(-1e4, 1e4))
def test_every_dot_and_limit_is_in_the_picture(values, limit):
    picture = draw_trend(years(*values), limits=[limit])
    assert all(0 <= dot.x <= WIDTH and 0 <= dot.y <= HEIGHT for dot in picture.dots)
    assert 0 <= picture.limits[0] <= HEIGHT


def test_two_readings_of_one_day_are_drawn():
    twice = [Reading(SPRINGS[0], 40), Reading(SPRINGS[0], 39)]
    assert len(draw_trend(twice).dots) == 2
