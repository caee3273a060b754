"""What a mail provider tells by webhook. Who may call is checked by anymail with its secret."""

from __future__ import annotations

from typing import Any

from anymail.signals import AnymailTrackingEvent
from django.utils import timezone

from letters.actions.stops import take_report
from letters.bounces import Bounce, Complaint


def take_event(event: AnymailTrackingEvent, **_: Any) -> None:
    """Hear of a letter that bounced or was reported as unwanted; other events say nothing."""
    letter = (event.metadata or {}).get("letter") or event.message_id
    if event.event_type == "bounced":
        # A provider tries soft bounces again by itself and calls them deferred.
        words = " ".join(str(event.mta_response or event.description or "").split())
        report: Bounce | Complaint = Bounce(
            recipient=event.recipient or "",
            permanent=event.reject_reason in (None, "bounced", "invalid"),
            still_trying=False,
            status="",
            diagnostic=words,
            message_id=letter,
        )
    elif event.event_type == "complained":
        report = Complaint(recipient=event.recipient or "", about="abuse", message_id=letter)
    else:
        return
    take_report(report=report, now=timezone.now())
