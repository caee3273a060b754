"""The picture of a score over time."""

import re

from hypothesis import given
from hypothesis import strategies as st

from kit.pictures.curve import HEIGHT, WIDTH, draw_curve


def test_one_point_is_no_line():
    assert draw_curve([[0.7, 5000]], 15) is None


def test_it_steps_down_as_better_plans_are_found():
    picture = draw_curve([[0.7, 60_000, 90], [1.4, 12_000, 120], [15, 10_400, 120]], 15)
    heights = [float(v) for v in re.findall(r"V([\d.]+)", picture.line)]
    assert heights == sorted(heights)
    assert [tick.text for tick in picture.alongs] == ["0 s", "15 s"]
    assert "20,000" in [tick.text for tick in picture.ups]
    assert picture.description == (
        "After 15 s the score has come from 60,000 down to 10,400 minutes."
    )


@given(
    st.lists(st.tuples(st.floats(0, 4000), st.floats(0, 1e9)), min_size=2, max_size=40),
    st.floats(1, 3600),
)
def test_everything_lies_inside_the_picture(points, seconds):
    picture = draw_curve(sorted(points), seconds)
    numbers = [float(n) for n in re.findall(r"[MHV ]([\d.]+)", picture.line)]
    assert all(0 <= n <= WIDTH for n in numbers)
    assert 0 <= picture.end_y <= HEIGHT
    assert len(picture.ups) <= 6
