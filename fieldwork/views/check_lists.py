"""The branch's check lists, and a new version of one."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from fieldwork.actions.check_lists import ListChanged, change_check_list, current_version
from fieldwork.forms import CheckListForm
from fieldwork.models import CheckListKind
from kit.web.forms import REFUSED, posted
from shop.access import StaffRequest, office_only


@require_GET
@office_only
def listing(request: StaffRequest) -> HttpResponse:
    now = timezone.now()
    newest = [current_version(branch=request.branch, kind=kind, now=now) for kind in CheckListKind]
    return render(request, "fieldwork/check_lists.html", {"nav": "today", "versions": newest})


@require_http_methods(["GET", "HEAD", "POST"])
@office_only
def edit(request: StaffRequest, kind: str) -> HttpResponse:
    if kind not in CheckListKind.values:
        raise Http404
    now = timezone.now()
    version = current_version(branch=request.branch, kind=CheckListKind(kind), now=now)
    form = CheckListForm(posted(request), version=version)
    if form.is_valid():
        try:
            made = change_check_list(version=version, items=form.items, by=request.user, now=now)
            words = f"{made} is made. Records that are begun from now on go by it."
            messages.success(request, words)
            return redirect("fieldwork:check-list", kind)
        except ListChanged as changed:
            form.add_error(None, str(changed))
    context = {"nav": "today", "form": form, "version": version}
    status = REFUSED if form.is_bound else 200
    return render(request, "fieldwork/check_list.html", context, status=status)
