"""What a check found, a line a subject."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.pictures.verdicts import EDGE, HIGH, LOW, WIDTH, Finding, draw_verdicts, share_of_range

readings = st.floats(-1e6, 1e6)


def line(**more):
    facts = {"name": "Airflow", "sign": "within", "word": "in order"} | more
    return draw_verdicts([Finding(**facts)]).lines[0]


def test_a_reading_stands_where_it_lies_in_its_range():
    assert share_of_range(10, 10, 20) == LOW
    assert share_of_range(15, 10, 20) == 0.5
    assert share_of_range(20, 10, 20) == HIGH


def test_one_limit_alone_is_a_range_open_to_the_other_side():
    assert share_of_range(0.5, None, 0.5) == HIGH
    assert share_of_range(1.5, 1.5, None) == LOW
    assert share_of_range(3.0, 1.5, None) == 2 * LOW


@pytest.mark.parametrize(("low", "high"), [(None, None), (5, 5), (None, 0), (-1, None)])
def test_without_a_limit_to_measure_against_there_is_no_place(low, high):
    assert share_of_range(3, low, high) is None


@given(value=readings, low=st.floats(-100, 100), width=st.floats(0.1, 100))
def test_a_mark_is_never_cut_at_the_edge(value, low, width):
    share = share_of_range(value, low, low + width)
    assert EDGE <= share <= 1 - EDGE


@given(value=st.floats(0, 100), low=st.floats(1, 50), width=st.floats(1, 50))
def test_a_mark_is_inside_the_allowed_stretch_exactly_when_the_reading_is(value, low, width):
    share = share_of_range(value, low, low + width)
    assert (LOW <= share <= HIGH) == (low <= value <= low + width)


def test_an_open_range_is_drawn_to_the_edge():
    drawn = line(value=0.4, high=0.5).range
    assert (drawn.from_x, drawn.width, drawn.limits) == (0, HIGH * WIDTH, (HIGH * WIDTH,))


def test_what_has_no_number_has_a_word_and_no_range():
    seen = line(sign="watch", word="watch", plain="Plants are close.")
    assert (seen.word, seen.plain, seen.range) == ("watch", "Plants are close.", None)


def test_the_range_says_itself_in_words():
    assert line(value=12, low=10, high=20).range.name == "Airflow: in order"
