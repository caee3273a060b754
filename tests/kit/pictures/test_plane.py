"""Two figures against each other."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.pictures.plane import BOTTOM, HEIGHT, LEFT, RIGHT, TOP, WIDTH, Axis, PlaneMark, draw_plane

values = st.floats(0, 100)


def mark(x, y, label="one"):
    return PlaneMark(x, y, "mark-done", label, f"{label}: {x:g}, {y:g}")


def axes(marks):
    return (
        Axis.around([one.x for one in marks], 10, "across"),
        Axis.around([one.y for one in marks], 10, "up", high=100),
    )


def test_an_axis_goes_in_whole_steps_around_its_values():
    assert Axis.around([12, 37], 10, "days").ticks == (0, 10, 20, 30, 40)
    assert Axis.around([99.0], 10, "%", high=100).ticks == (90, 100)


def test_an_axis_of_nothing_is_refused():
    with pytest.raises(ValueError, match="at least one value"):
        Axis.around([], 10, "days")


def test_more_is_to_the_right_and_up():
    marks = [mark(20, 30), mark(70, 80)]
    low, high = draw_plane(marks, [], *axes(marks)).marks
    assert low.x < high.x
    assert low.y > high.y


def test_a_curve_joins_its_marks_in_their_order():
    curve = [mark(10, 10), mark(20, 40), mark(30, 50)]
    [line] = draw_plane([], [curve], *axes(curve)).lines
    assert line.startswith("M")
    assert line.count("L") == 2


def test_a_word_at_the_right_edge_is_written_before_its_mark():
    marks = [mark(0, 50), mark(100, 50, "perfect foresight")]
    assert draw_plane(marks, [], *axes(marks)).marks[1].anchor == "end"


def test_words_of_neighbouring_marks_keep_clear_of_each_other():
    marks = [mark(50, 50, "calendar"), mark(51, 50, "climate")]
    first, second = draw_plane(marks, [], *axes(marks)).marks
    assert second.label == "climate"
    assert abs(first.label_y - second.label_y) > 10


def test_a_word_without_room_is_left_to_the_marks_title():
    marks = [mark(50, 50, f"the {n}th of ten alike") for n in range(10)]
    last = draw_plane(marks, [], *axes(marks)).marks[-1]
    assert (last.label, last.name[:7]) == ("", "the 9th")


@given(st.lists(st.tuples(values, values), min_size=1, max_size=12))
def test_every_mark_lies_within_the_frame(pairs):
    marks = [mark(x, y) for x, y in pairs]
    for one in draw_plane(marks, [], *axes(marks)).marks:
        assert LEFT - 7 <= one.x <= WIDTH - RIGHT
        assert TOP - 7 <= one.y <= HEIGHT - BOTTOM
