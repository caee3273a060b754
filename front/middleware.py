"""At the door: the second step, how often a stranger may knock, what browsers are told."""

from __future__ import annotations

import logging
from collections.abc import Callable

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django_ratelimit.core import is_ratelimited
from redis.exceptions import RedisError

from front.addresses import visitor_address

log = logging.getLogger(__name__)

# In the session of who had set one up when signing in, so that no page asks the database.
HAS_ONE = "second_step"


class SecondStepMiddleware:
    """Stands behind django-otp's middleware, which tells whether the code was given."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if self._owes_a_step(request):
            return redirect("front:second-step")
        return self.get_response(request)

    def _owes_a_step(self, request: HttpRequest) -> bool:
        user = request.user
        if not user.is_authenticated or user.is_verified():  # type: ignore[attr-defined]  # django-otp's
            return False
        needed = user.role in settings.SECOND_STEP_FOR or request.session.get(HAS_ONE, False)
        return needed and request.path not in self._open_to_all()

    def _open_to_all(self) -> set[str]:
        names = ("second-step", "set-up-second-step", "sign-out", "sign-in", "health", "ready")
        return {reverse(f"front:{name}") for name in names}


class VisitorRateMiddleware:
    """Counts the pages that people without a sign-in open, by address; too many answer 429."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if not request.user.is_authenticated and self._too_many(request):
            return render(request, "front/too_many.html", status=429)
        answer = self.get_response(request)
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
