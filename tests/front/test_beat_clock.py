"""The beat on a clock that is put forward and back: it never waits for the clock to catch up."""

import datetime as dt

import pytest
import time_machine
from celery import Celery

from front.beat import SteadyScheduler

NOON = dt.datetime(2027, 4, 1, 17, tzinfo=dt.UTC)
SECOND, HOUR, YEAR = dt.timedelta(seconds=1), dt.timedelta(hours=1), dt.timedelta(days=365)


@pytest.fixture
def file(tmp_path) -> str:
    return str(tmp_path / "beat")


class Beat(SteadyScheduler):
    """Writes down what it would send."""

    def __init__(self, file: str) -> None:
        self.sent: list[str] = []
        schedule = {"sweep": {"task": "letters.sweep", "schedule": 20.0}}
        app = Celery("clock", set_as_current=False, broker="memory://")
        app.conf.update(beat_schedule=schedule, enable_utc=True)
        super().__init__(app, schedule_filename=file)

    def apply_entry(self, entry, producer=None) -> None:
        self.sent.append(entry.name)

    def turns(self, moment: dt.datetime) -> int:
        """How often it sends within a minute from the moment."""
        before = len(self.sent)
        for second in range(61):
            with time_machine.travel(moment + second * SECOND, tick=False):
                while self.tick() == 0:
                    pass
        return len(self.sent) - before


@pytest.fixture
def beat(file):
    with time_machine.travel(NOON, tick=False):
        return Beat(file)


def test_it_sends_every_twenty_seconds(beat):
    assert beat.turns(NOON) in (3, 4, 5)


@pytest.mark.parametrize("jump", [HOUR, -HOUR, YEAR, -YEAR])
def test_after_a_jump_it_goes_on_at_once_and_at_its_pace(beat, jump):
    beat.turns(NOON)
    assert beat.turns(NOON + jump) in (3, 4, 5)
    assert beat.turns(NOON + 2 * HOUR) in (3, 4, 5)


def test_what_was_written_down_on_a_wrong_clock_does_not_silence_the_next_beat(beat, file):
    beat.turns(NOON + YEAR)
    beat.close()

    with time_machine.travel(NOON, tick=False):
        again = Beat(file)
    assert again.turns(NOON) in (3, 4, 5)
