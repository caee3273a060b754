"""Who may open a page. A stranger to a thing gets 404: its existence is nobody's business."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.http import Http404, HttpRequest
from django.http.response import HttpResponseBase
from django_htmx.middleware import HtmxDetails

from shop.models import Branch, Role, User


class StaffRequest(HttpRequest):
    """A request of someone signed in, as the middlewares have completed it."""

    user: User
    branch: Branch
    htmx: HtmxDetails


View = Callable[..., HttpResponseBase]


def _allow(*roles: str) -> Callable[[View], View]:
    def decorate(view: View) -> View:
        @wraps(view)
        def guarded(request: StaffRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
            if request.user.role not in roles or request.branch is None:
                raise Http404
            return view(request, *args, **kwargs)

        return guarded

    return decorate


office_only = _allow(Role.OFFICE, Role.OWNER)
staff_only = _allow(Role.OFFICE, Role.OWNER, Role.TECHNICIAN)
owner_only = _allow(Role.OWNER)
