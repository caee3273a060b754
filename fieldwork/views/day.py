"""My day: the technician's route, and what makes it open without a signal."""

from __future__ import annotations

import datetime as dt
from uuid import uuid4

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.templatetags.static import static
from django.utils import timezone
from django.views.decorators.gzip import gzip_page
from django.views.decorators.http import require_GET, require_POST

from customers.actions import note_looks
from customers.models import Screen
from fieldwork.access import TechnicianRequest, technician_only
from fieldwork.actions.phone import Sender, take_event
from fieldwork.day import days_beside, my_day
from fieldwork.events import BadEvent, Envelope, read_stamp
from fieldwork.models import EventState
from fieldwork.shell import SHELL, version_of_shell
from fieldwork.views.told import tell

# The "phone" of what is sent by a page without its script.
PAGE_PHONE = "page"


@gzip_page
@require_GET
@technician_only
def today(request: TechnicianRequest) -> HttpResponse:
    return _page(request, timezone.localdate())


@gzip_page
@require_GET
@technician_only
def other_day(request: TechnicianRequest, day: dt.date) -> HttpResponse:
    return _page(request, day)


def _page(request: TechnicianRequest, day: dt.date) -> HttpResponse:
    now = timezone.now()
    mine, is_today = my_day(request.technician, day, now), day == timezone.localdate(now)
    if is_today:  # codes and notes are for the day itself; what a phone fetches counts as seen
        homes = [stop.visit.owed_visit.home for stop in mine.stops]
        note_looks(homes=homes, by=request.user, screen=Screen.DAY, now=now)
    context = {"nav": "my-day", "mine": mine, "day": day, "is_today": is_today, "now": now}
    context["day_before"], context["day_after"] = days_beside(request.technician, day)
    return render(request, "fieldwork/my_day.html", context)


@require_POST
@technician_only
def stamp(request: TechnicianRequest, day: dt.date, pk: int) -> HttpResponse:
    """A button pressed where no script runs; the page's own key keeps a double press single."""
    now = timezone.now()
    payload = {"stamp": request.POST.get("stamp", ""), "why": request.POST.get("why", "")}
    try:
        read_stamp(payload)
        envelope = Envelope(
            key=uuid4(), seq=0, kind="stamp", visit=pk, day=day, phone_at=now, payload=payload
        )
    except BadEvent as bad:
        tell(request, EventState.REFUSED, str(bad))
        return redirect("fieldwork:visit", day, pk)
    sender = Sender(request.technician, request.user, PAGE_PHONE)
    answer = take_event(envelope=envelope, sender=sender, phone_now=now, now=now)
    tell(request, answer.state, answer.words)
    return redirect("fieldwork:other-day", day)


@require_GET
@login_not_required
def worker(request: HttpRequest) -> HttpResponse:
    """The phone's own worker; its address gives it My day and nothing else."""
    context = {"shell": [static(path) for path in SHELL], "version": version_of_shell()}
    answer = render(request, "fieldwork/worker.js", context, content_type="text/javascript")
    answer["Cache-Control"] = "no-cache"
    return answer


@require_GET
@login_not_required
def offline(request: HttpRequest) -> HttpResponse:
    """Shown for a page that was not kept on the phone before the signal went."""
    return render(request, "fieldwork/offline.html")


@require_GET
@login_not_required
def manifest(request: HttpRequest) -> HttpResponse:
    """Lets a phone put My day beside its other programs."""
    icons = [
        {"src": static(f"icons/my-day-{side}.png"), "sizes": f"{side}x{side}",
         "type": "image/png", "purpose": purpose}
        for side in (192, 512) for purpose in ("any", "maskable")
    ]  # fmt: skip
    about = {
        "name": "Redbud: my day",
        "short_name": "My day",
        "id": "/my-day/",
        "start_url": "/my-day/",
        "scope": "/my-day/",
        "display": "standalone",
        "background_color": "#faf7f2",
        "theme_color": "#35261d",
        "icons": icons,
    }
    return JsonResponse(about, content_type="application/manifest+json")
