"""The branch that a signed-in person works in, and its clock."""

from __future__ import annotations

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.utils import timezone

from shop.models import Branch


def branch_of(request: HttpRequest) -> Branch | None:
    """The person's own branch; an owner's chosen one, else the first."""
    user = request.user
    if not user.is_authenticated:
        return None
    if user.branch is not None:
        return user.branch
    chosen = Branch.objects.filter(slug=request.session.get("branch", "")).first()
    return chosen or Branch.objects.first()


class BranchMiddleware:
    """Sets `request.branch` and shows every time of the request on that branch's clock."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        branch = branch_of(request)
        request.branch = branch  # type: ignore[attr-defined]  # see shop.access.StaffRequest
        if branch is None:
            return self.get_response(request)
        with timezone.override(branch.zone):
            return self.get_response(request)
