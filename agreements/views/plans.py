"""What the branch sells: the plans, and new terms for one."""

from __future__ import annotations

from django.contrib import messages
from django.db.models import Count, Q
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from agreements.actions.plans import change_plan_terms, open_plan, rename_plan
from agreements.forms.plan import NewPlanForm, PlanNameForm, PlanTermsForm
from agreements.models import Agreement, Plan
from agreements.promises import office_rules, promised
from agreements.renewals import without_a_next_term
from kit.web.editing import saved
from kit.web.forms import form_screen, posted
from kit.web.once import once
from shop.access import StaffRequest, office_only

form_methods = require_http_methods(["GET", "HEAD", "POST"])


@require_GET
@office_only
def plans(request: StaffRequest) -> HttpResponse:
    today = timezone.localdate()
    running = Q(agreements__starts_on__lte=today, agreements__ends_on__gte=today) & (
        Q(agreements__cancelled_on=None) | Q(agreements__cancelled_on__gt=today)
    )
    found = request.branch.plans.annotate(running=Count("agreements", filter=running))
    rows = [
        (plan, promised(plan), office_rules(plan))
        for plan in found.prefetch_related("versions").order_by("-active", "name")
    ]
    context = {"nav": "agreements", "tab": "plans", "rows": rows, "today": today}
    return render(request, "agreements/plans.html", context)


@form_methods
@office_only
@once
def new_plan(request: StaffRequest) -> HttpResponse:
    today = timezone.localdate()
    form = NewPlanForm(posted(request), branch=request.branch, today=today)
    if form.is_valid():
        plan = open_plan(
            branch=request.branch, name=form.cleaned_data["name"], code=form.code,
            terms=form.terms(), today=form.cleaned_data["valid_from"], by=request.user,
        )  # fmt: skip
        messages.success(request, f"{plan} is sold from now on.")
        return redirect("agreements:plans")
    return form_screen(
        request, form, nav="agreements", title="New plan", back=reverse("agreements:plans"),
        save_label="Sell this plan", template="agreements/plan_terms.html",
    )  # fmt: skip


@form_methods
@office_only
@once
def plan_terms(request: StaffRequest, pk: int) -> HttpResponse:
    """New terms from a day on; what that changes for whom is said beside the form."""
    plan, today = _plan(request, pk), timezone.localdate()
    form = PlanTermsForm(posted(request), instance=Plan.objects.get(pk=pk), today=today)

    def save() -> None:
        version = change_plan_terms(
            plan=plan, terms=form.terms(), valid_from=form.cleaned_data["valid_from"],
            today=today, by=request.user,
        )  # fmt: skip
        messages.success(request, f"{version} counts from {version.valid_from:%B %-d, %Y}.")

    if form.is_valid() and saved(form, by=save):
        return redirect("agreements:plans")
    running = Agreement.objects.filter(plan=plan).running_on(today)
    return form_screen(
        request, form, nav="agreements", title=f"New terms of {plan}",
        back=reverse("agreements:plans"), save_label="Write down the new terms",
        template="agreements/plan_terms.html", plan=plan,
        versions=plan.versions.select_related("made_by"),
        running=running.count(),
        renewing=without_a_next_term(running.filter(renews=True)).count(),
    )  # fmt: skip


@form_methods
@office_only
def plan_name(request: StaffRequest, pk: int) -> HttpResponse:
    plan = _plan(request, pk)
    form = PlanNameForm(posted(request), instance=plan)

    def save() -> None:
        said = form.cleaned_data
        rename_plan(plan=plan, name=said["name"], active=said["active"], by=request.user)

    if form.is_valid() and saved(form, by=save):
        messages.success(request, f"Saved: {plan}.")
        return redirect("agreements:plans")
    return form_screen(
        request, form, nav="agreements", title="Name of the plan",
        back=reverse("agreements:plans"), template="agreements/plan_name.html",
        events=plan.events.select_related("by"),
    )  # fmt: skip


def _plan(request: StaffRequest, pk: int) -> Plan:
    return get_object_or_404(request.branch.plans.all(), pk=pk)
