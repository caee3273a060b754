"""At the door: the second step, how often a stranger may knock, what browsers are told."""

from __future__ import annotations

import datetime as dt
import logging
from collections.abc import Callable

from django.conf import settings
from django.contrib.auth import logout
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.cache import add_never_cache_headers
from django_ratelimit.core import is_ratelimited
from redis.exceptions import RedisError

from front.addresses import visitor_address
from front.interface.problems import Refused, problem
from kit.web.clock import PUT_BACK

log = logging.getLogger(__name__)

# In the session of who had set one up when signing in, so that no page asks the database.
HAS_ONE = "second_step"


class SecondStepMiddleware:
    """Stands behind django-otp's middleware, which tells whether the code was given."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        owes = self._owes_a_step(request)
        if owes and request.path not in self._open_to_all():
            return redirect("front:second-step")
        # The head of the page offers no rooms to somebody who cannot enter them.
        request.owes_a_step = owes  # type: ignore[attr-defined]
        return self.get_response(request)

    def _owes_a_step(self, request: HttpRequest) -> bool:
        user = request.user
        if not user.is_authenticated or user.is_verified():  # type: ignore[attr-defined]  # django-otp's
            return False
        return user.role in settings.SECOND_STEP_FOR or request.session.get(HAS_ONE, False)

    def _open_to_all(self) -> set[str]:
        names = (
            "second-step",
            "set-up-second-step",
            "sign-out",
            "sign-in",
            "health",
            "ready",
            "metrics",
        )
        return {reverse(f"front:{name}") for name in names}


A_MINUTE_S = "60"


def _too_many(request: HttpRequest) -> HttpResponse:
    """For people a page, for programs a problem."""
    if request.path.startswith("/interface/"):
        words = "Too many questions from one address; wait a minute."
        return problem(Refused(429, words, Retry_After=A_MINUTE_S))
    return render(request, "front/too_many.html", status=429)


class VisitorRateMiddleware:
    """Counts the pages that people without a sign-in open, by address; too many answer 429."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if not request.user.is_authenticated and self._too_many(request):
            return _too_many(request)
        answer = self.get_response(request)
        if request.user.is_authenticated and not answer.has_header("Cache-Control"):
            add_never_cache_headers(answer)
        answer.headers["Permissions-Policy"] = "camera=(self), geolocation=(), microphone=()"
        return answer

    def _too_many(self, request: HttpRequest) -> bool:
        """With the cache away nobody is counted, and pages still open."""
        try:
            return self._counted_out(request)
        except (OSError, RedisError) as trouble:
            log.warning("visitors are not counted: %s", trouble)
            return False

    def _counted_out(self, request: HttpRequest) -> bool:
        return is_ratelimited(
            request,
            group="visitors",
            key=lambda _, asked: visitor_address(asked) or "unknown",
            rate=settings.VISITOR_RATE,
            increment=True,
        )


class SessionAgeMiddleware:
    """Signs out whoever signed in too long ago, however busy since; by role, SESSION_LASTS_H.

    A browser that was not used for SESSION_COOKIE_AGE is signed out too: the session is written
    again once a day while it is used, and each writing moves its end.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        since = request.session.get("since")  # written by front.views.sign_in
        if since and request.user.is_authenticated:
            now, began = timezone.now(), dt.datetime.fromisoformat(since)
            # One that began on a clock that ran ahead would last as much longer.
            if now - began > self._lasts(request.user.role) or began > now + PUT_BACK:
                logout(request)
                return redirect("front:sign-in")
            self._seen(request, now)
        return self.get_response(request)

    def _lasts(self, role: str) -> dt.timedelta:
        return dt.timedelta(hours=settings.SESSION_LASTS_H[role])

    def _seen(self, request: HttpRequest, now: dt.datetime) -> None:
        day = now.date().isoformat()
        if request.session.get("seen") != day:
            request.session["seen"] = day
