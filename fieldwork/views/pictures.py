"""Photos and signatures, served only to who may see the record."""

from __future__ import annotations

from django.db.models.fields.files import FieldFile
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET

from fieldwork.models import Photo, Record
from shop.access import StaffRequest, staff_only
from shop.models import Role


@require_GET
@never_cache
@staff_only
def photo(request: StaffRequest, pk: int) -> HttpResponse:
    found = get_object_or_404(Photo.objects.select_related("record"), pk=pk)
    _check(request, found.record_id)
    return _send(found.image, "image/jpeg")


@require_GET
@never_cache
@staff_only
def signature(request: StaffRequest, pk: int) -> HttpResponse:
    return _send(_check(request, pk).signature, "image/png")


def _check(request: StaffRequest, pk: int) -> Record:
    """A record of the branch; a technician sees only her own."""
    records = Record.objects.of(request.branch)
    if request.user.role == Role.TECHNICIAN:
        records = records.filter(technician__user=request.user)
    return get_object_or_404(records, pk=pk)


def _send(file: FieldFile, kind: str) -> HttpResponse:
    if not file:
        raise Http404
    answer = HttpResponse(file.read(), content_type=kind)
    answer["X-Content-Type-Options"] = "nosniff"
    answer["Content-Disposition"] = "inline"
    return answer
