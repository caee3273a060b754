"""When a day is warm enough, from its hourly or half-hourly values."""

from hypothesis import given
from hypothesis import strategies as st

from kit.pictures.warm_spans import warm_spans


@given(st.lists(st.floats(20, 90), min_size=24, max_size=24))
def test_its_warm_spans_are_apart_and_in_order(values):
    spans = warm_spans(values, 55)
    minutes = [minute for span in spans for minute in span]
    assert minutes == sorted(minutes)
    assert all(0 <= start < end <= 24 * 60 for start, end in spans)


@given(st.lists(st.sampled_from([0.5, 0.9]), min_size=48, max_size=48))
def test_each_half_hour_is_warm_just_when_its_own_value_says_so(values):
    spans = warm_spans(values, 0.7, step_min=30)
    for index, value in enumerate(values):
        inside = any(start <= 30 * index < end for start, end in spans)
        assert inside == (value >= 0.7)


def test_it_finds_the_minute_between_two_hours():
    assert warm_spans([50, 60, 50], 55) == ((30, 90),)
