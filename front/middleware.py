"""The second step: nobody of a role that needs it goes further without."""

from __future__ import annotations

from collections.abc import Callable

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse

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
