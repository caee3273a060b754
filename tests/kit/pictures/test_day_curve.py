"""The day's picture: technicians' hours on the same axis as the temperature."""

import pytest

from kit import words
from kit.pictures.day_curve import DayBlock, DayHours, draw_day_curve

# One degree warmer each hour from 40 °F at midnight: 55 °F at 3 PM.
RISING_F = [40.0 + hour for hour in range(24)]


def block(start_min=9 * 60, end_min=10 * 60, warmth=0.9, label="Whitfield"):
    return DayBlock(start_min, end_min, "promised", "cooling", label, "/visit/1/", warmth)


def picture_of(*rows, middle_f=RISING_F, **more):
    lower, upper = [f - 5 for f in middle_f], [f + 5 for f in middle_f]
    return draw_day_curve(rows, lower, middle_f, upper, test_temperature_f=55, **more)


def test_it_says_from_what_hour_the_day_is_testable():
    picture = picture_of()
    assert picture.testable.replace(words.NARROW, " ") == "Testable from 3:00 PM"
    assert picture.testable_x == pytest.approx(picture.width * (15 - 7) / 12, abs=0.1)


@pytest.mark.parametrize(
    ("middle_f", "verdict", "strips"),
    [([70.0] * 24, "Testable all day", 0), ([40.0] * 24, "Too cold to test all day", 1)],
)
def test_it_says_when_the_whole_day_is_one_or_the_other(middle_f, verdict, strips):
    picture = picture_of(middle_f=middle_f)
    assert picture.testable == verdict
    assert len(picture.cold) == strips


def test_it_takes_the_testable_hours_that_it_is_given():
    picture = picture_of(testable=[(10 * 60, 17 * 60)])
    edges = [edge for strip in picture.cold for edge in (strip.x, strip.x + strip.width)]
    hour = picture.width / 12
    assert edges == pytest.approx([0, 3 * hour, 10 * hour, 12 * hour], abs=0.2)
    assert picture.testable.replace(words.NARROW, " ") == "Testable from 10:00 AM until 5:00 PM"


def test_it_does_not_call_a_warm_morning_a_warm_day():
    picture = picture_of(testable=[(0, 13 * 60)])
    assert picture.testable.replace(words.NARROW, " ") == "Testable until 1:00 PM"


def test_it_sets_a_visit_under_the_hour_at_which_it_starts():
    picture = picture_of(DayHours("Alvarez", (block(9 * 60, 10 * 60),)))
    (box,) = picture.lanes[0].boxes
    assert box.x == pytest.approx(picture.width * 2 / 12, abs=0.1)
    assert box.right < picture.width * 3 / 12


def test_it_widens_the_hours_shown_to_hold_an_early_and_a_late_visit():
    rows = DayHours("Alvarez", (block(6 * 60 + 20, 7 * 60), block(19 * 60, 20 * 60 + 5)))
    boxes = picture_of(rows).lanes[0].boxes
    assert boxes[0].x > 0
    assert boxes[1].right < picture_of(rows).width


def test_it_says_a_visit_in_words_for_those_who_do_not_see_it():
    (box,) = picture_of(DayHours("Alvarez", (block(),))).lanes[0].boxes
    assert box.name.replace(words.NARROW, " ") == (
        "9:00 AM to 10:00 AM, Whitfield, cooling check, promised, very likely warm enough (90 %)"
    )


def test_it_marks_a_visit_that_is_probably_too_cold():
    rows = DayHours("Alvarez", (block(warmth=0.5), block(11 * 60, 12 * 60, warmth=0.9)))
    boxes = picture_of(rows, least_warmth=0.7).lanes[0].boxes
    assert [box.too_cold for box in boxes] == [True, False]


def test_it_keeps_a_lane_for_a_technician_with_nothing_to_do():
    picture = picture_of(DayHours("Alvarez", (block(),)), DayHours("Fischer", lunch=(720, 750)))
    assert [lane.technician for lane in picture.lanes] == ["Alvarez", "Fischer"]
    assert picture.lanes[1].lunch.text == "lunch"


def test_it_refuses_a_curve_without_24_hours():
    with pytest.raises(ValueError, match="24 hourly temperatures"):
        picture_of(middle_f=RISING_F[:23])
