"""Waking a worker by a task's name, so that no lower piece imports the tasks."""

from __future__ import annotations

import logging
import socket
from urllib.parse import urlsplit

from celery import current_app
from django.conf import settings
from kombu.exceptions import OperationalError

log = logging.getLogger(__name__)

# The client library tries an absent broker again for seconds; nobody should wait that long for a
# message that the next sweep makes up for.
PATIENCE_S = 0.3


def wake(task: str, *ids: int) -> None:
    """Send ids of rows to a worker. With the broker away, the sweep sends them later."""
    try:
        _knock()
        current_app.send_task(task, args=list(ids), retry=False)
    except (OperationalError, OSError) as trouble:
        log.warning("no worker woken for %s %s: %s", task, ids, trouble)


def broker_answers() -> bool:
    """Is anybody there to carry a message to a worker?"""
    try:
        _knock()
    except OSError:
        return False
    return True


def _knock() -> None:
    """Raise OSError at once when nobody answers at the broker's address."""
    address = urlsplit(settings.REDIS_URL)
    if address.scheme == "redis+socket":
        with socket.socket(socket.AF_UNIX) as knock:
            knock.settimeout(PATIENCE_S)
            knock.connect(address.path)
    else:
        where = address.hostname or "localhost", address.port or 6379
        socket.create_connection(where, PATIENCE_S).close()
