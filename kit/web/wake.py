"""Waking a worker by a task's name, so that no lower piece imports the tasks."""

from __future__ import annotations

import logging

from celery import current_app
from kombu.exceptions import OperationalError

log = logging.getLogger(__name__)


def wake(task: str, *ids: int) -> None:
    """Send ids of rows to a worker. With the broker away, the sweep sends them later."""
    try:
        current_app.send_task(task, args=list(ids), retry=False)
    except OperationalError as trouble:
        log.warning("no worker woken for %s %s: %s", task, ids, trouble)
