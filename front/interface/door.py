"""Who may ask: a program with a live key, for what the key opens, not too often."""

from __future__ import annotations

import logging
from collections.abc import Callable
from functools import wraps
from typing import Any

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, JsonResponse
from django.utils import timezone
from django.utils.cache import patch_cache_control
from django.views.decorators.csrf import csrf_exempt
from django_ratelimit.core import is_ratelimited
from redis.exceptions import RedisError

from front.actions.interface import digest_of, note_use
from front.interface.problems import Refused, problem
from front.models import InterfaceKey

log = logging.getLogger(__name__)
A_MINUTE_S = "60"


class KeyRequest(HttpRequest):
    """A request with a key that is live."""

    key: InterfaceKey


def keyed(view: Callable[..., dict[str, Any]]) -> Callable[..., JsonResponse]:
    """The view gives a JSON object or raises Refused; no session and no cookie counts here."""

    @csrf_exempt  # nothing is written, and no cookie lets anybody in
    @login_not_required
    @wraps(view)
    def guarded(request: KeyRequest, *args: Any, **kwargs: Any) -> JsonResponse:
        try:
            request.key = _key_of(request)
            _check_pace(request)
            if request.method not in ("GET", "HEAD"):
                raise Refused(405, f"{request.method} changes things.", Allow="GET, HEAD")
            answer = JsonResponse(view(request, *args, **kwargs))
        except Refused as refused:
            answer = problem(refused)
        patch_cache_control(answer, no_store=True, private=True)
        return answer

    return guarded


def check_scope(request: KeyRequest, scope: str) -> None:
    if scope not in request.key.scopes:
        raise Refused(403, f"This key does not open “{scope}”.")


def _key_of(request: HttpRequest) -> InterfaceKey:
    """From the header alone: an address with a key in it would stand in logs."""
    how, _, key = request.headers.get("Authorization", "").partition(" ")
    found = None
    if how.lower() == "bearer" and key:
        live = InterfaceKey.objects.live().select_related("branch")
        found = live.filter(digest=digest_of(key.strip())).first()
    if found is None:
        words = "Send a live key as “Authorization: Bearer rbk_…”."
        raise Refused(401, words, WWW_Authenticate='Bearer realm="Redbud"')
    note_use(key=found, now=timezone.now())
    return found


def _check_pace(request: KeyRequest) -> None:
    """With the cache away nobody is counted, and questions are still answered."""
    try:
        too_many = is_ratelimited(
            request,
            group="interface",
            key=lambda _, asked: f"{asked.key.pk}",
            rate=settings.INTERFACE_RATE,
            increment=True,
        )
    except (OSError, RedisError) as trouble:
        log.warning("questions are not counted: %s", trouble)
        return
    if too_many:
        words = f"One key may ask {settings.INTERFACE_RATE}; wait a minute."
        raise Refused(429, words, Retry_After=A_MINUTE_S)
