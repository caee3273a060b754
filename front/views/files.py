"""Everything that leaves Redbud as a file, on one screen, and each list as a file."""

from __future__ import annotations

from tempfile import TemporaryFile

from django.http import FileResponse, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_http_methods

from front.actions.company import let_out
from front.lists import LISTS, ROOMS
from front.models import CompanyExport
from kit.web.lists import file_of
from shop.access import StaffRequest, office_only, owner_only

LISTED = 20


@require_GET
@office_only
def files(request: StaffRequest) -> HttpResponse:
    return render(request, "front/files.html", {"nav": "files", "rooms": ROOMS})


@require_GET
@never_cache
@office_only
def list_file(request: StaffRequest, name: str, ending: str) -> FileResponse:
    """A list, narrowed by the same words as its screen."""
    return file_of(LISTS, name, ending, request.branch, request.GET)


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@owner_only
def company(request: StaffRequest) -> FileResponse | HttpResponse:
    """The whole company as one file; who took it out is written down."""
    if request.method != "POST":
        taken = CompanyExport.objects.select_related("made_by")[:LISTED]
        return render(request, "front/company.html", {"nav": "files", "taken": taken})
    file, now = TemporaryFile(), timezone.now()  # noqa: SIM115  (closed with the answer)
    let_out(file=file, by=request.user, now=now)
    file.seek(0)
    name = f"redbud-company-{timezone.localdate(now).isoformat()}.zip"
    return FileResponse(file, as_attachment=True, filename=name, content_type="application/zip")
