"""What an agreement earns, and what work costs: for the owner."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from django.contrib import messages
from django.http import FileResponse, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.text import capfirst
from django.views.decorators.http import require_GET, require_http_methods

from books.actions.costs import set_costs
from books.forms import CostsForm
from books.views.season import season_of
from books.work_reading import rates_of, work_of
from books.worth.sums import Row, WorkLine, table
from kit.lists import Column
from kit.web.editing import saved
from kit.web.forms import form_screen, posted
from kit.web.lists import Asked, ListFile, file_of
from scheduling.models import Season
from shop.access import StaffRequest, owner_only
from shop.models import Branch

Cut = Callable[[WorkLine], str]
BY: dict[str, tuple[str, Cut]] = {
    "plan": ("plan", lambda line: line.plan),
    "area": ("ZIP area", lambda line: line.area),
    "technician": ("technician", lambda line: line.technician),
}
MOST_ROWS = 25  # on the screen; the files hold them all
COLUMNS = (
    Column("Agreements", lambda row: row.agreements, "number"),
    Column("Trips", lambda row: row.trips, "number"),
    Column("Visits done", lambda row: row.done, "number"),
    Column("Minutes there", lambda row: row.there_min, "number"),
    Column("Minutes driven", lambda row: row.drive_min, "number"),
    Column("Earned", lambda row: row.earned, "money"),
    Column("Time", lambda row: row.time_usd, "money"),
    Column("Truck", lambda row: row.truck_usd, "money"),
    Column("Materials", lambda row: row.materials, "money"),
    Column("Left", lambda row: row.left, "money"),
    Column("Left a visit", lambda row: row.left_a_visit, "money"),
)


@require_GET
@owner_only
def show(request: StaffRequest, pk: int) -> HttpResponse:
    """Hours, travel and materials against the price: by plan, area and technician."""
    season, rates = season_of(request, pk), rates_of(request.branch)
    work = work_of(season)
    tables = [
        {"name": name, "label": label, "table": table(work.lines, rates, by, MOST_ROWS)}
        for name, (label, by) in BY.items()
    ]
    context = {
        "nav": "books",
        "tab": "worth",
        "season": season,
        "others": Season.objects.filter(branch=request.branch).exclude(pk=pk)[:6],
        "rates": rates,
        "work": work,
        "tables": tables,
        "whole": tables[0]["table"].whole,  # type: ignore[attr-defined]
        "unpriced": work.unpriced.most_common(20),
    }
    return render(request, "books/worth.html", context)


@require_GET
@owner_only
def file(request: StaffRequest, pk: int, name: str, ending: str) -> FileResponse:
    """One of the tables for a spreadsheet program, its sum in the last row."""
    season = season_of(request, pk)
    files = {
        f"worth-by-{key}": ListFile(
            f"What agreements earn by {label}, {season}",
            "Earned, costs and what is left.",
            (Column(capfirst(label), lambda row: row.name), *COLUMNS),
            partial(_rows, season, by),
        )
        for key, (label, by) in BY.items()
    }
    return file_of(files, f"worth-by-{name}", ending, season.branch, request.GET)


def _rows(season: Season, by: Cut, _branch: Branch, _asked: Asked) -> list[Row]:
    found = table(work_of(season).lines, rates_of(season.branch), by)
    return [*found.rows, found.whole]


@require_http_methods(["GET", "HEAD", "POST"])
@owner_only
def costs(request: StaffRequest) -> HttpResponse:
    """What an hour, a driven minute and parts cost this branch."""
    form = CostsForm(posted(request), branch=request.branch)

    def save() -> None:
        said = form.cleaned_data
        set_costs(
            branch=request.branch, hour_usd=said["hour_usd"], drive_min_usd=said["drive_min_usd"],
            parts=form.prices(),
        )  # fmt: skip

    if form.is_valid() and saved(form, by=save):
        messages.success(request, "Saved. The books reckon with these costs from now on.")
        return redirect("books:costs")
    return form_screen(
        request,
        form,
        nav="books",
        title="What work costs",
        about=f"{request.branch.name}. Only owners see these; all seasons are reckoned with them.",
        back=reverse("books:newest"),
    )
