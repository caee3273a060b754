"""What is done in the night: the backup, whose row shows on Today, and forgetting."""

from __future__ import annotations

import logging
from pathlib import Path

from celery import shared_task
from django.conf import settings
from django.utils import timezone

from front.actions.backups import make_backup
from front.actions.forgetting import forget

log = logging.getLogger(__name__)


@shared_task(name="front.back_up")
def back_up() -> None:
    """One encrypted file in the backup folder; whoever looks after it carries it elsewhere."""
    make_backup(
        folder=Path(settings.BACKUP_FOLDER),
        recipient=settings.BACKUP_RECIPIENT,
        database=settings.DATABASES["default"],
        media=Path(settings.MEDIA_ROOT),
        now=timezone.now(),
    )


@shared_task(name="front.forget")
def forget_old() -> dict[str, int]:
    """What was kept long enough goes; the log says how much."""
    counts = forget(kept_days=settings.KEPT_DAYS, now=timezone.now())
    log.info("forgotten: %s", counts)
    return counts
