"""The clock of a played demo: one moment for every process, and it goes on."""

import datetime as dt
import os

from kit.web.demo_clock import now, set_clock

EASTER = dt.datetime(2027, 3, 28, 12, 0, tzinfo=dt.UTC)


def test_without_a_file_it_is_now(tmp_path):
    before = dt.datetime.now(dt.UTC)
    assert before <= now(tmp_path / "clock") <= dt.datetime.now(dt.UTC)


def test_it_stands_at_the_moment_that_was_set_and_goes_on(tmp_path):
    file = tmp_path / "clock"
    set_clock(file, EASTER)
    an_hour_ago = dt.datetime.now(dt.UTC).timestamp() - 3600
    os.utime(file, (an_hour_ago, an_hour_ago))
    assert dt.timedelta(hours=1) <= now(file) - EASTER < dt.timedelta(hours=1, minutes=1)


def test_it_never_runs_backwards_when_the_machine_s_clock_does(tmp_path):
    file = tmp_path / "clock"
    set_clock(file, EASTER)
    tomorrow = dt.datetime.now(dt.UTC).timestamp() + 86_400
    os.utime(file, (tomorrow, tomorrow))
    assert now(file) == EASTER
