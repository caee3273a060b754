"""The branch's own screen."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from kit.web.editing import saved
from kit.web.forms import form_screen, posted
from shop.access import StaffRequest, office_only
from shop.actions import change_branch
from shop.forms import BranchForm


@require_http_methods(["GET", "HEAD", "POST"])
@office_only
def branch(request: StaffRequest) -> HttpResponse:
    """The rules by which the branch plans."""
    form = BranchForm(posted(request), instance=request.branch)
    if form.is_valid() and saved(form, by=lambda: change_branch(branch=form.save(commit=False))):
        words = "Saved. Slots that stand already stay; the next plan goes by the new rules."
        messages.success(request, words)
        return redirect("shop:branch")
    return form_screen(
        request,
        form,
        title="Rules of the branch",
        about=f"{request.branch.name}. What a rule costs is the backtest's answer for two springs "
        "at Springfield, Illinois; try your own town's under Almanac.",
        back=reverse("front:today"),
    )
