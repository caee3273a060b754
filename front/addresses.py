"""From where a visitor comes, behind our own proxies."""

from __future__ import annotations

from django.conf import settings
from django.http import HttpRequest


def visitor_address(request: HttpRequest) -> str:
    """The address that our outermost proxy saw; without a proxy, the connection's own.

    Only as many entries of X-Forwarded-For are believed as there are proxies of ours (PROXIES).
    """
    if settings.PROXIES:
        seen = [part.strip() for part in request.headers.get("X-Forwarded-For", "").split(",")]
        if len(seen) >= settings.PROXIES and seen[-settings.PROXIES]:
            return seen[-settings.PROXIES]
    return str(request.META.get("REMOTE_ADDR", ""))
