"""Numbers as people read them."""

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit import words


def plain(text):
    return text.replace(words.NARROW, " ")


@pytest.mark.parametrize(
    ("minutes", "text"),
    [(85, "1 h 25 min"), (60, "1 h"), (5, "5 min"), (0, "0 min"), (59.7, "1 h")],
)
def test_a_length_of_time(minutes, text):
    assert plain(words.duration(minutes)) == text


@pytest.mark.parametrize(
    ("hour", "text"), [(0, "12:05 AM"), (9, "9:05 AM"), (12, "12:05 PM"), (13, "1:05 PM")]
)
def test_a_time_of_day(hour, text):
    assert plain(words.clock(dt.time(hour, 5))) == text
    assert plain(words.clock_at(60 * hour + 5)) == text


def test_half_a_per_cent_is_rounded_as_on_a_calculator():
    assert plain(words.percent(61 / 200)) == "31 %"


@given(st.floats(0, 1, exclude_min=True, exclude_max=True))
def test_a_chance_is_never_worded_as_certain(share):
    assert plain(words.percent(share)) not in ("0 %", "100 %")


@pytest.mark.parametrize(
    ("share", "text"),
    [
        (0.93, "very likely warm enough (93 %)"),
        (0.8, "likely warm enough (80 %)"),
        (0.6, "more likely warm enough than not (60 %)"),
        (0.5, "about as likely warm enough as not (50 %)"),
        (0.3, "probably too cold (30 %)"),
        (0.02, "very likely too cold (2 %)"),
        (None, "needs no warmth"),
    ],
)
def test_a_warmth(share, text):
    assert plain(words.warmth(share)) == text


def test_a_warmth_outside_zero_to_one_is_refused():
    with pytest.raises(ValueError, match="probability from 0 to 1, not 93"):
        words.warmth(93)


def test_a_cooling_check_nobody_has_looked_at_does_not_need_no_warmth():
    assert words.warmth_of_check("cooling", None) == "warmth not looked at yet"
    assert words.warmth_of_check("heating", None) == "needs no warmth"


def test_the_states_of_a_day_are_counted_in_the_order_of_a_visits_life():
    assert words.state_counts({"done": 2, "pencilled": 1}) == "1 pencilled, 2 done"
    assert words.counted(1, "visit") == "1 visit"
    assert words.counted(1200, "visit") == "1,200 visits"


def test_a_name_is_shortened_where_it_has_no_room():
    assert words.shortened("Whitfield", 9) == "Whitfield"
    assert words.shortened("Whitfield", 6) == "Whitf…"
    assert words.shortened("Whitfield", 2) == ""
