"""The pictures of the books: everything is in the frame, and the words say what is drawn."""

import datetime as dt
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from books.pictures.capacity import draw_capacity
from books.pictures.drives import draw_drives
from books.pictures.shares import draw_shares
from books.pictures.weeks import draw_weeks

FIRST, LAST = dt.date(2027, 4, 5), dt.date(2027, 6, 26)
COUNTS = st.dictionaries(
    st.dates(FIRST - dt.timedelta(days=20), LAST + dt.timedelta(days=20)), st.integers(0, 500),
    max_size=20,
)  # fmt: skip


@given(COUNTS, COUNTS, st.none() | st.dictionaries(st.integers(0, 11), st.integers(0, 500)))
def test_every_check_and_trip_is_in_one_week_and_in_the_frame(done, cold, before):
    picture = draw_weeks(FIRST, LAST, done, cold, before)
    assert sum(bar.done for bar in picture.bars) == sum(done.values())
    assert sum(bar.cold for bar in picture.bars) == sum(cold.values())
    for bar in picture.bars:
        assert 0 <= bar.done_y <= picture.line_y
        assert bar.cold_y <= picture.label_y
        assert bar.last_y is None or 0 <= bar.last_y <= picture.line_y


def test_a_week_is_told_with_last_seasons():
    picture = draw_weeks(FIRST, LAST, {FIRST: 3}, {}, {0: 5})
    assert picture.bars[0].name == "Week of Apr 5: 3 done, 0 lost to cold; last season 5 done"
    assert len(picture.bars) == 12


@given(st.lists(st.integers(0, 10_000), min_size=3, max_size=3))
def test_the_pieces_fill_the_bar(counts):
    parts = [(look, look, n) for look, n in zip(("warm", "other", "owed"), counts, strict=True)]
    picture = draw_shares("Spring", parts)
    if picture is None:
        assert not sum(counts)
        return
    assert sum(piece.count for piece in picture.pieces) == sum(counts)
    assert abs(sum(piece.width for piece in picture.pieces) - picture.width) < 0.5


def test_the_picture_of_capacity_says_what_fits_and_keeps_its_labels_apart():
    days = [FIRST + dt.timedelta(days=n) for n in range(83)]
    curves = [(c, [n * pace for n in range(83)]) for c, pace in ((0.5, 6), (0.8, 5.95), (0.95, 2))]
    picture = draw_capacity(days, curves, owed=300, springs=[[float(n) for n in range(83)]])
    assert picture is not None
    assert "300 visits owed" in picture.description
    assert "164 at 95" in picture.description
    ends = [curve.end_y for curve in picture.curves]
    assert all(lower - upper >= 14.0 for upper, lower in pairwise(ends))
    assert len(picture.springs) == 1
    assert 4 <= len(picture.ticks) <= 10


def test_without_a_day_there_is_no_picture():
    assert draw_capacity([], [(0.5, [])], owed=3) is None
    assert draw_shares("Spring", [("warm", "Warm", 0)]) is None


QUARTERS = st.lists(st.integers(0, 900), min_size=3, max_size=3).map(sorted)
MIDDLES = st.lists(st.tuples(st.floats(3.0, 150.0), st.integers(5, 500), QUARTERS), max_size=12)


@given(MIDDLES, st.integers(50, 300))
def test_every_middle_drive_is_in_the_frame_and_its_band_around_it(middles, planned):
    shown = [(x, drives, low, half, high) for x, drives, (low, half, high) in middles]
    picture = draw_drives(shown, planned)
    if picture is None:
        assert all(x > 60 for x, *_ in shown)
        return
    for one in picture.middles:
        assert picture.left <= one.x <= picture.right
        assert picture.top <= one.high_y <= one.y <= one.low_y <= picture.floor
    for x, y in (picture.expected[2:], picture.planned[2:]):
        assert x <= picture.right
        assert picture.top - 0.1 <= y <= picture.floor
