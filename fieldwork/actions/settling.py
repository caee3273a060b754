"""A conflict is decided once, whoever presses first."""

from __future__ import annotations

import datetime as dt

from fieldwork.models import EventState, PhoneEvent
from shop.models import User


def settle_conflict(*, event: PhoneEvent, by: User, now: dt.datetime, state: str) -> bool:
    """Give a kept event its end. False: it was no conflict, or no longer."""
    changed = PhoneEvent.objects.filter(pk=event.pk, state=EventState.CONFLICT).update(
        state=state, settled_at=now, settled_by=by
    )
    event.refresh_from_db()
    return bool(changed)
