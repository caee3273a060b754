"""Commands wait for whoever has the run, and no longer than they were told to."""

import pytest
from django.utils import timezone

from scheduling import waiting
from scheduling.models import RunState, SeasonRun
from tests.scheduling import spring

pytestmark = pytest.mark.django_db


def a_run(state: RunState) -> SeasonRun:
    now = timezone.now()
    season = spring.season()
    return SeasonRun.objects.create(
        season=season, state=state, asked_at=now, heard_at=now, seconds=1
    )


def test_a_command_waits_until_another_worker_has_ended_the_run(monkeypatch):
    run = a_run(RunState.RUNNING)

    def the_worker_ends_it(_: float) -> None:
        SeasonRun.objects.filter(pk=run.pk).update(state=RunState.READY)

    monkeypatch.setattr(waiting.time, "sleep", the_worker_ends_it)
    waiting.until_over(run, patience_s=30)

    assert run.state == RunState.READY


def test_a_command_does_not_wait_for_ever(monkeypatch):
    run = a_run(RunState.WAITING)
    moments = iter([0.0, 0.5, 9.0])
    monkeypatch.setattr(waiting.time, "monotonic", lambda: next(moments))
    monkeypatch.setattr(waiting.time, "sleep", lambda _: None)

    waiting.until_over(run, patience_s=2)

    assert run.under_way
