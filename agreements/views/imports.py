"""A spreadsheet's way in: upload, match its columns, look at the dry run, bring it in."""

from __future__ import annotations

from django.contrib import messages
from django.core.paginator import Paginator
from django.db import IntegrityError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from agreements.imports import actions
from agreements.imports.forms import AnswersForm, ColumnsForm, ShowForm, UploadForm
from agreements.imports.outcomes import APART, Kind, counted
from agreements.imports.refused_rows import refused_rows_file
from agreements.models import SpreadsheetImport
from kit.web.forms import REFUSED, posted
from kit.web.once import once
from shop.access import StaffRequest, office_only

A_PAGE = 50
EARLIER = 10


@office_only
@require_http_methods(["GET", "HEAD", "POST"])
@once
def start(request: StaffRequest) -> HttpResponse:
    """Choose a file; below, the files of before."""
    form = UploadForm(posted(request), request.FILES if request.method == "POST" else None)
    if form.is_valid():
        sheet_import = actions.upload_spreadsheet(
            branch=request.branch,
            file_name=form.cleaned_data["file"].name,
            content=form.content,
            by=request.user,
        )
        return redirect("agreements:import-columns", sheet_import.pk)
    earlier = SpreadsheetImport.objects.of(request.branch).select_related("created_by")[:EARLIER]
    context = {"nav": "import", "form": form, "earlier": earlier}
    status = REFUSED if form.is_bound else 200
    return render(request, "agreements/import_start.html", context, status=status)


@office_only
@require_http_methods(["GET", "HEAD", "POST"])
def columns(request: StaffRequest, pk: int) -> HttpResponse:
    """Say which column holds what; the guess stands there already."""
    sheet_import = _mine(request, pk)
    sheet = actions.sheet_of(sheet_import)
    matching = actions.first_matching(sheet_import, sheet)
    form = ColumnsForm(posted(request), sheet=sheet, matching=matching)
    if form.is_valid():
        actions.settle_columns(sheet_import=sheet_import, matching=form.matching)
        return redirect("agreements:import-check", pk)
    context = {"nav": "import", "sheet_import": sheet_import, "form": form}
    status = REFUSED if form.is_bound else 200
    return render(request, "agreements/import_columns.html", context, status=status)


@office_only
@require_GET
def check(request: StaffRequest, pk: int) -> HttpResponse:
    """The dry run: what becomes of each row."""
    sheet_import = _mine(request, pk)
    if not sheet_import.matching:
        return redirect("agreements:import-columns", pk)
    planned = actions.dry_run(sheet_import=sheet_import, today=timezone.localdate())
    show = _shown(request)
    shown = [outcome for outcome in planned.outcomes if not show or outcome.kind == show]
    page = Paginator(shown, A_PAGE).get_page(request.GET.get("page"))
    counts = counted(planned.outcomes)
    context = {
        "nav": "import",
        "sheet_import": sheet_import,
        "tabs": _tabs(counts, show),
        "page": page,
        "answers": AnswersForm(outcomes=list(page)),
        "counts": counts,
        "to_write": counts[Kind.NEW] + counts[Kind.CHANGED],
        "new_plans": planned.work.plans,
        "all_renew": planned.work.agreements and "renews" not in sheet_import.matching.values(),
        "show": show,
    }
    return render(request, "agreements/import_check.html", context)


@office_only
@require_POST
def decide(request: StaffRequest, pk: int) -> HttpResponse:
    """Keep the answers to the offers of a page, or keep every undecided row apart."""
    sheet_import = _mine(request, pk)
    planned = actions.dry_run(sheet_import=sheet_import, today=timezone.localdate())
    offered = [outcome for outcome in planned.outcomes if outcome.choices]
    if "all-apart" in request.POST:
        decisions = {outcome.row: APART for outcome in offered if not outcome.decision}
    else:
        form = AnswersForm(request.POST, outcomes=offered)
        decisions = form.decisions if form.is_valid() else {}
    actions.decide_offers(sheet_import=sheet_import, decisions=decisions)
    messages.success(request, f"Kept: {_rows(len(decisions), 'answer')}.")
    return redirect(reverse("agreements:import-check", args=[pk]) + f"?show={_shown(request)}")


@office_only
@require_POST
def bring_in(request: StaffRequest, pk: int) -> HttpResponse:
    """Write it, in one transaction."""
    sheet_import = _mine(request, pk)
    if not sheet_import.matching:
        return redirect("agreements:import-columns", pk)
    try:
        counts = actions.bring_in(
            sheet_import=sheet_import, by=request.user, today=timezone.localdate()
        )
    except IntegrityError:
        messages.error(
            request,
            "Nothing was brought in: somebody changed the same homes meanwhile, or two homes of "
            "one customer would get the same address. Look at the rows again.",
        )
    else:
        messages.success(request, _done_words(counts))
    return redirect("agreements:import-check", pk)


@office_only
@require_GET
def refused(request: StaffRequest, pk: int) -> HttpResponse:
    """The refused rows as a spreadsheet with a column that says why, to correct and upload."""
    sheet_import = _mine(request, pk)
    planned = actions.dry_run(sheet_import=sheet_import, today=timezone.localdate())
    content = refused_rows_file(actions.sheet_of(sheet_import), planned.outcomes)
    headers = {"Content-Disposition": 'attachment; filename="rows-to-correct.csv"'}
    return HttpResponse(content, content_type="text/csv; charset=utf-8", headers=headers)


def _mine(request: StaffRequest, pk: int) -> SpreadsheetImport:
    """The import, if it is the branch's; 404 otherwise."""
    return get_object_or_404(SpreadsheetImport.objects.of(request.branch), pk=pk)


def _shown(request: StaffRequest) -> str:
    form = ShowForm(request.GET or request.POST)
    return form.cleaned_data["show"] if form.is_valid() else ""


def _tabs(counts: dict[str, int], show: str) -> list[dict[str, object]]:
    every: dict[str, object] = {
        "label": "all",
        "url": "?",
        "current": not show,
        "count": sum(counts.values()),
    }
    kinds: list[dict[str, object]] = [
        {
            "label": kind.value,
            "url": f"?show={kind}",
            "current": show == kind,
            "count": counts[kind],
        }
        for kind in Kind
    ]
    return [every, *kinds]


def _done_words(counts: dict[str, int]) -> str:
    taken = f"Brought in: {_rows(counts[Kind.NEW])} new, {_rows(counts[Kind.CHANGED])} changed."
    left = counts[Kind.REFUSED] + counts[Kind.ALIKE]
    return taken + (f" {_rows(left)} left out, to correct or decide." if left else "")


def _rows(count: int, noun: str = "row") -> str:
    return f"{count:,} {noun}{'' if count == 1 else 's'}"
