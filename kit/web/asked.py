"""Long work that somebody asked for: a row is the queue of record, and what a worker says of it.

Every change of state is one conditional UPDATE whose row count decides, so a run has one worker.
A broker message only wakes one for it (kit.web.wake).
"""

from __future__ import annotations

import datetime as dt
from typing import Any, ClassVar, Self, TypeVar

from django.conf import settings
from django.db import models, transaction

from kit.web.clock import quiet_since

MOST_ATTEMPTS = 3
RESEND_AFTER = dt.timedelta(seconds=10)


class AskedState(models.TextChoices):
    WAITING = "waiting", "Waiting for a worker"
    RUNNING = "running", "At work"
    READY = "ready", "Ready"
    CANCELLED = "cancelled", "Stopped"
    FAILED = "failed", "Failed"


UNDER_WAY = (AskedState.WAITING, AskedState.RUNNING)


class AskedQuerySet(models.QuerySet):
    def under_way(self) -> Self:
        return self.filter(state__in=UNDER_WAY)

    def waiting_since(self, moment: dt.datetime) -> Self:
        return self.filter(quiet_since(moment), state=AskedState.WAITING)

    def silent_since(self, moment: dt.datetime) -> Self:
        """Runs whose worker has not been heard of: it was killed or cut off."""
        return self.filter(quiet_since(moment), state=AskedState.RUNNING)

    def held_by(self, run: Asked) -> Self:
        """The row, as long as the attempt that `run` was read in goes on."""
        return self.filter(pk=run.pk, state=AskedState.RUNNING, attempt=run.attempt)


class Asked(models.Model):
    """What every such run carries; a kind adds what it needs to know and what it found."""

    state = models.CharField(max_length=10, choices=AskedState.choices, default=AskedState.WAITING)
    asked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.SET_NULL, related_name="+"
    )
    asked_at = models.DateTimeField()
    heard_at = models.DateTimeField(help_text="Last sign of life")
    ended_at = models.DateTimeField(null=True, blank=True)
    attempt = models.PositiveSmallIntegerField(default=0)
    done = models.PositiveIntegerField(default=0, help_text="Steps done so far")
    total = models.PositiveIntegerField(default=0)
    found = models.JSONField(default=dict, blank=True, help_text="What came of it")
    trouble = models.TextField(blank=True)

    objects = AskedQuerySet.as_manager()
    # How long a worker may be silent, and which fields a run that is over keeps no longer.
    silent_after: ClassVar[dt.timedelta]
    emptied: ClassVar[dict[str, Any]] = {}

    class Meta:
        abstract = True
        ordering = ["-asked_at"]

    @property
    def under_way(self) -> bool:
        return self.state in UNDER_WAY


Run = TypeVar("Run", bound=Asked)


def claim(kind: type[Run], *, run_id: int, now: dt.datetime) -> Run | None:
    """Take a waiting run for this worker; None: another worker has it, or it is over."""
    claimed = kind.objects.filter(pk=run_id, state=AskedState.WAITING).update(
        state=AskedState.RUNNING, heard_at=now, done=0
    )
    return kind.objects.get(pk=run_id) if claimed else None


def report(*, run: Asked, done: int, total: int, now: dt.datetime) -> bool:
    """Write a sign of life; False: give up, the run was stopped or taken away."""
    return bool(_held(run).update(heard_at=now, done=done, total=total))


def end(*, run: Asked, found: dict, now: dt.datetime) -> bool:
    """Keep what was found; False: it was stopped meanwhile."""
    return bool(
        _held(run).update(
            state=AskedState.READY, found=found, ended_at=now, done=models.F("total"), **run.emptied
        )
    )


def fail(*, run: Asked, trouble: str, now: dt.datetime) -> None:
    """Say why nothing came of it."""
    _over(run, state=AskedState.FAILED, trouble=trouble, ended_at=now)


def stop(*, run: Asked, now: dt.datetime) -> None:
    """Nobody wants it any longer; its worker finds out at the next sign of life."""
    _over(run, state=AskedState.CANCELLED, ended_at=now)


@transaction.atomic
def rescue(kind: type[Asked], *, now: dt.datetime) -> list[int]:
    """Find runs that a lost message or a killed worker left; returns ids to wake workers for."""
    for run in kind.objects.silent_since(now - kind.silent_after):
        if run.attempt + 1 >= MOST_ATTEMPTS:
            fail(run=run, trouble="The worker was lost three times.", now=now)
        else:
            _held(run).filter(heard_at=run.heard_at).update(
                state=AskedState.WAITING, attempt=run.attempt + 1
            )
    waiting = list(kind.objects.waiting_since(now - RESEND_AFTER).values_list("pk", flat=True))
    kind.objects.filter(pk__in=waiting).update(heard_at=now)
    return waiting


def _held(run: Asked) -> AskedQuerySet:
    return type(run).objects.held_by(run)


def _over(run: Asked, **values: Any) -> None:
    type(run).objects.filter(pk=run.pk).under_way().update(**values, **run.emptied)
