"""The season's books: figures, the list behind each, files and paper."""

from __future__ import annotations

import datetime as dt

from django.core.paginator import Paginator
from django.http import FileResponse, Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.template.loader import render_to_string
from django.utils import timezone
from django.views.decorators.http import require_GET

from books.actions.digest import digest_records
from books.actions.tally import keep_tally
from books.lists import listed, rows_of, season_file
from books.models.digest import unread
from books.numbers import NUMBERS
from books.season_books import Earlier, SeasonBooks, before, books_of, earlier_books
from books.season_page import SeasonPage
from books.work_reading import ColdCost, cold_cost
from scheduling.models import Season
from shop.access import StaffRequest, office_only

A_PAGE = 30
# Read at once when the page is opened; more are left to the task, and the page says how many.
READ_AT_ONCE = 300


def season_of(request: StaffRequest, pk: int) -> Season:
    mine = Season.objects.filter(branch=request.branch).select_related("branch")
    return get_object_or_404(mine, pk=pk)


def _page(season: Season) -> SeasonPage:
    now = timezone.now()
    read = digest_records(season=season, now=now, most=READ_AT_ONCE)
    books, cost = _counted(season, now)
    last = before(season)
    return SeasonPage(
        books,
        _earlier(last, now) if last else None,
        cost,
        unread(season).count() if read == READ_AT_ONCE else 0,
    )


def _counted(season: Season, now: dt.datetime) -> tuple[SeasonBooks, ColdCost]:
    """Count the season, and keep what it came to for others to be compared with."""
    books, cost = books_of(season), cold_cost(season)
    keep_tally(books=books, cold_min=(cost.there_min, cost.drive_min), now=now)
    return books, cost


def _earlier(season: Season, now: dt.datetime) -> Earlier:
    """As kept, else counted now: that takes as long as the page itself, at most once a day."""
    if kept := earlier_books(season, now):
        return kept
    _counted(season, now)
    found = earlier_books(season, now)
    assert found is not None
    return found


def _context(season: Season) -> dict[str, object]:
    """What the screen and the paper both show."""
    return {"season": season, "page": _page(season), "today": timezone.localdate()}


@require_GET
@office_only
def newest(request: StaffRequest) -> HttpResponse:
    """The season under way or the last one that began; else an empty state."""
    seasons = Season.objects.filter(branch=request.branch)
    begun = seasons.filter(starts_on__lte=timezone.localdate()).first()
    season = begun or seasons.order_by("starts_on").first()
    if season is None:
        return render(request, "books/no_season.html", {"nav": "books"})
    return redirect("books:season", season.pk)


@require_GET
@office_only
def show(request: StaffRequest, pk: int) -> HttpResponse:
    others = Season.objects.filter(branch=request.branch).exclude(pk=pk)[:6]
    context = _context(season_of(request, pk)) | {"nav": "books", "tab": "season", "others": others}
    return render(request, "books/season.html", context)


@require_GET
@office_only
def pdf(request: StaffRequest, pk: int) -> HttpResponse:
    """The same on paper, for the owner's folder."""
    # Loading WeasyPrint takes a second; without its libraries every other page still works.
    from kit.web.paper import printed

    season = season_of(request, pk)
    html = render_to_string("print/season_books.html", _context(season))
    answer = HttpResponse(printed(html, "books-print.css"), content_type="application/pdf")
    name = f"season-books-{season.branch.slug}-{season.starts_on:%Y-%m-%d}"
    answer["Content-Disposition"] = f'inline; filename="{name}.pdf"'
    return answer


@require_GET
@office_only
def listing(request: StaffRequest, pk: int, name: str) -> HttpResponse:
    """The rows behind a number."""
    season = season_of(request, pk)
    number = NUMBERS.get(name)
    if number is None:
        raise Http404
    page = Paginator(rows_of(number, season), A_PAGE).get_page(request.GET.get("page"))
    context = {
        "nav": "books",
        "tab": "season",
        "season": season,
        "number": number,
        "page": page,
        "rows": listed(number, page.object_list, season.branch.zone),
    }
    return render(request, "books/list.html", context)


@require_GET
@office_only
def file(request: StaffRequest, pk: int, name: str, ending: str) -> FileResponse:
    """The same rows for a spreadsheet program."""
    return season_file(season_of(request, pk), name, ending, request.GET)
