"""The JSON interface: lists, one row, revenue by month, and the document that describes them."""

from __future__ import annotations

from typing import Any

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, JsonResponse
from django.utils import timezone
from django.views.decorators.http import require_GET

from agreements.postings import revenue_by_month
from front.interface.asking import DAYS, MOST_KEY, check_names, days_of, page_of
from front.interface.door import KeyRequest, check_scope, keyed
from front.interface.fields import Resource
from front.interface.openapi import document
from front.interface.problems import Refused
from front.interface.resources import MONTH_FIELDS, RESOURCES


@keyed
def rows(request: KeyRequest, name: str) -> dict[str, Any]:
    resource = _resource(request, name)
    page = page_of(resource, resource.rows(request.key.branch), request)
    return {"data": [resource.said(row) for row in page.rows], "next": page.following}


@keyed
def one(request: KeyRequest, name: str, pk: str) -> dict[str, Any]:
    resource = _resource(request, name)
    check_names(request.GET, ())
    row = None
    if pk.isascii() and pk.isdecimal() and len(pk) < 20 and int(pk) <= MOST_KEY:
        row = resource.rows(request.key.branch).filter(pk=int(pk)).first()
    if row is None:
        raise Refused(404, f"This branch has no {resource.one} of that number.")
    return {"data": resource.said(row)}


@keyed
def revenue(request: KeyRequest) -> dict[str, Any]:
    check_scope(request, "money")
    check_names(request.GET, DAYS)
    first, last = days_of(request.GET)
    branch = request.key.branch
    months = revenue_by_month(branch, last or timezone.localdate(timezone=branch.zone))
    wanted = [month for month in months if not first or month.booked_on >= first]
    return {"data": [{f.name: f.said(month) for f in MONTH_FIELDS} for month in wanted]}


def _resource(request: KeyRequest, name: str) -> Resource:
    if name not in RESOURCES:
        raise Refused(404, f"There is no “{name}”; see /interface/openapi.json.")
    check_scope(request, RESOURCES[name].scope)
    return RESOURCES[name]


@login_not_required
@require_GET
def openapi(request: HttpRequest) -> JsonResponse:
    """Tells nothing of anybody, so it needs no key."""
    return JsonResponse(document(request.build_absolute_uri("/").rstrip("/")))
