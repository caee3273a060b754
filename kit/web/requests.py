"""One line in the log and one count for each request: which view, how it ended, how long it took.

The line names people by their number and pages by their view, never by address: an address holds
tokens and what was searched for.
"""

from __future__ import annotations

import logging
import time
from collections.abc import Callable
from uuid import uuid4

from django.http import HttpRequest, HttpResponse
from django.urls import Resolver404, resolve

from kit.web.logs import asked
from kit.web.metrics import count_request

log = logging.getLogger("redbud.request")
WATCHED = ("front:health", "front:ready", "front:metrics")  # asked every few seconds, no news


class RequestMiddleware:
    """Stands outermost, so that what every other one answers is counted too."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        began, name = time.monotonic(), uuid4().hex[:16]
        view = view_of(request)
        with asked(request=name, view=view):
            answer = self.get_response(request)
            seconds = time.monotonic() - began
            count_request(view, answer.status_code, seconds)
            if view not in WATCHED:
                user = getattr(request, "user", None)
                said = {
                    "method": request.method,
                    "status": answer.status_code,
                    "ms": round(1000 * seconds),
                    "user": getattr(user, "pk", None),
                }
                log.info("answered", extra={"said": said})
        answer.headers["X-Request-ID"] = name
        return answer


def view_of(request: HttpRequest) -> str:
    """The view's name, as `letters:outbox`; "none" for an address that leads nowhere."""
    try:
        return resolve(request.path_info).view_name or "unnamed"
    except Resolver404:
        return "none"
