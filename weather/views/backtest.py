"""The backtest: ask for one, watch it, read what it found."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from kit.web import asked
from kit.web.forms import REFUSED, posted
from kit.web.once import once
from shop.access import StaffRequest, office_only
from weather.backtest_actions import BacktestRefused, ask_for_backtest
from weather.backtest_forms import BRANCH, BacktestForm
from weather.backtest_run import BacktestRun
from weather.backtest_screen import found_on_screen

EARLIER = 10


def _run(request: StaffRequest, pk: int) -> BacktestRun:
    runs = BacktestRun.objects.filter(branch=request.branch).defer("hours")
    return get_object_or_404(runs, pk=pk)


@require_http_methods(["GET", "HEAD", "POST"])
@office_only
@once
def ask(request: StaffRequest) -> HttpResponse:
    """Choose a file and the settings to try; below, the backtests of before."""
    files = request.FILES if request.method == "POST" else None
    form = BacktestForm(posted(request), files, branch=request.branch)
    if form.is_valid():
        try:
            run = ask_for_backtest(
                branch=request.branch,
                by=request.user,
                file_name=form.cleaned_data["file"].name,
                readings=form.readings,
                policy=form.policy,
                setup=form.setup,
                branch_climate=form.cleaned_data["climate"] == BRANCH,
                now=timezone.now(),
            )
            return redirect("weather:backtest-run", run.pk)
        except BacktestRefused as refusal:
            form.add_error(None, str(refusal))
    runs = BacktestRun.objects.filter(branch=request.branch).defer("hours", "found")
    context = {"nav": "weather", "form": form, "earlier": runs[:EARLIER]}
    status = REFUSED if form.is_bound else 200
    return render(request, "weather/backtest.html", context, status=status)


@require_GET
@office_only
def show(request: StaffRequest, pk: int) -> HttpResponse:
    """The page asks for its own part every second while the run is under way."""
    run = _run(request, pk)
    context = {"nav": "weather", "run": run}
    if run.state == asked.AskedState.READY:
        context |= found_on_screen(run)
    part = "weather/backtest_run.html#run" if request.htmx else "weather/backtest_run.html"
    return render(request, part, context)


@require_POST
@office_only
def stop(request: StaffRequest, pk: int) -> HttpResponse:
    asked.stop(run=_run(request, pk), now=timezone.now())
    messages.info(request, "The backtest was stopped.")
    return redirect("weather:backtest")
