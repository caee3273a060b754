"""What came from the phones and met a change made meanwhile: the office decides."""

from __future__ import annotations

from django.contrib import messages
from django.db import transaction
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from fieldwork.actions.phone import leave_aside, take_over
from fieldwork.actions.refusals import Asked, Kept
from fieldwork.events import BadEvent
from fieldwork.models import PhoneEvent
from fieldwork.pictures import BadPicture
from fieldwork.said import said_in_words
from shop.access import StaffRequest, office_only


@require_GET
@office_only
def conflicts(request: StaffRequest) -> HttpResponse:
    waiting = (
        PhoneEvent.objects.of(request.branch)
        .conflicts()
        .select_related("technician", "visit__owed_visit__agreement__home__customer")
    )
    rows = [(event, said_in_words(event)) for event in waiting]
    return render(request, "fieldwork/conflicts.html", {"nav": "today", "rows": rows})


@require_POST
@office_only
def settle(request: StaffRequest, pk: int, act: str) -> HttpResponse:
    event = get_object_or_404(PhoneEvent.objects.of(request.branch), pk=pk)
    now = timezone.now()
    try:
        if act == "take":
            with transaction.atomic():
                take_over(event=event, by=request.user, now=now)
            messages.success(request, "Taken over.")
        elif act == "leave":
            leave_aside(event=event, by=request.user, now=now)
            messages.success(request, "Left aside; it stays on record.")
        else:
            raise Http404
    except (Kept, Asked, BadEvent, BadPicture) as trouble:
        messages.error(request, f"It cannot be taken over: {trouble}")
    return redirect("fieldwork:conflicts")
