"""The nightly backup. The row that it leaves shows on Today."""

from __future__ import annotations

from pathlib import Path

from celery import shared_task
from django.conf import settings
from django.utils import timezone

from front.actions.backups import make_backup


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
