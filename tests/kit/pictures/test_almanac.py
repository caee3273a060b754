"""The days around today as a picture."""

import datetime as dt

import pytest

from kit.pictures.almanac import DAY_WIDTH, AlmanacDay, Range, draw_almanac

TODAY = dt.date(2027, 4, 28)
USUAL = Range(45.0, 60.0, 75.0)


def picture(**more):
    days = [AlmanacDay(TODAY + dt.timedelta(days=n), USUAL) for n in (-1, 0, 1)]
    days[0] = AlmanacDay(days[0].day, USUAL, **more)
    return draw_almanac(days, today=TODAY, test_temperature_f=55.0)


def test_warmer_lies_higher():
    column = picture(came_f=70.0, foretold_before_f=64.0).columns[0]
    assert column.came_y < column.before_y


def test_a_whisker_reaches_from_low_to_high():
    column = picture(foretold=Range(50.0, 58.0, 66.0)).columns[0]
    assert column.high_y < column.middle_y < column.low_y


def test_what_is_not_known_is_not_drawn():
    column = picture().columns[0]
    assert (column.came_y, column.before_y, column.middle_y) == (None, None, None)


def test_each_day_says_all_of_it_in_words():
    name = picture(came_f=70.0, foretold_before_f=64.0).columns[0].name.replace("\xa0", " ")
    assert name == ("Tue, Apr 27: usually 45, 60, 75 °F, the day before said 64 °F, came 70 °F")


def test_today_and_the_width_belong_to_the_days():
    found = picture()
    assert found.width == 3 * DAY_WIDTH
    assert found.today_x == 1.5 * DAY_WIDTH


def test_a_heat_that_was_never_usual_still_has_room():
    found = picture(came_f=110.0)
    assert found.columns[0].came_y >= found.top_y


def test_no_days_are_no_picture():
    with pytest.raises(ValueError, match="at least one value"):
        draw_almanac([], today=TODAY, test_temperature_f=float("nan"))
