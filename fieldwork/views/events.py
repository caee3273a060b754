"""Where the phones send what was done: events in batches, pictures one by one."""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import asdict
from typing import Any

from django.http import HttpResponse, JsonResponse
from django.utils import timezone
from django.views.decorators.http import require_POST

from fieldwork.access import TechnicianRequest, technician_only
from fieldwork.actions.phone import Answer, Sender, take_event
from fieldwork.events import WITH_FILE, BadEvent, read_envelope, read_moment
from fieldwork.pictures import MOST_BYTES

# A phone that was away all day sends in several batches.
MOST_EVENTS = 100


@require_POST
@technician_only
def events(request: TechnicianRequest) -> HttpResponse:
    """Takes {"device", "now", "events": […]}; answers each event under its key, in order."""
    now = timezone.now()
    try:
        batch = json.loads(request.body)
        phone_now, sender = _sender(request, batch)
        raw = batch.get("events")
        if not isinstance(raw, list) or len(raw) > MOST_EVENTS:
            raise BadEvent(f"A batch is a list of at most {MOST_EVENTS} events.")
    except (BadEvent, ValueError, RecursionError) as bad:
        return _bad(str(bad) if isinstance(bad, BadEvent) else "This is no JSON.")
    answers = [_answer(one, sender, phone_now, now) for one in sorted(raw, key=_seq)]
    return JsonResponse({"now": _ms(now), "answers": [asdict(answer) for answer in answers]})


@require_POST
@technician_only
def picture(request: TechnicianRequest) -> HttpResponse:
    """One event with its file: fields "device", "now", "event" (JSON) and the file "picture"."""
    now = timezone.now()
    file = request.FILES.get("picture")
    try:
        batch = {"device": request.POST.get("device"), "now": _float(request.POST.get("now"))}
        phone_now, sender = _sender(request, batch)
        envelope = read_envelope(json.loads(request.POST.get("event", "")))
        if envelope.kind not in WITH_FILE:
            raise BadEvent("This does not come with a picture.")
        if file is None or (file.size or 0) > MOST_BYTES:
            raise BadEvent(f"A picture of at most {MOST_BYTES // 1024 // 1024} MB comes with it.")
    except (BadEvent, ValueError, RecursionError) as bad:
        return _bad(str(bad) if isinstance(bad, BadEvent) else "This is no JSON.")
    answer = take_event(
        envelope=envelope, sender=sender, phone_now=phone_now, now=now, file=file.read()
    )
    return JsonResponse({"now": _ms(now), "answers": [asdict(answer)]})


def _answer(raw: object, sender: Sender, phone_now: dt.datetime, now: dt.datetime) -> Answer:
    """One bad event does not hold up the others."""
    try:
        envelope = read_envelope(raw)
        if envelope.kind in WITH_FILE:
            raise BadEvent("A picture comes with its file.")
    except BadEvent as bad:
        key = raw.get("key") if isinstance(raw, dict) else ""
        return Answer(str(key)[:36], "refused", str(bad))
    return take_event(envelope=envelope, sender=sender, phone_now=phone_now, now=now)


def _sender(request: TechnicianRequest, batch: Any) -> tuple[dt.datetime, Sender]:
    if not isinstance(batch, dict):
        raise BadEvent("A batch is a JSON object.")
    device = str(batch.get("device") or "")
    if not 0 < len(device) <= 36:
        raise BadEvent("A batch names its phone.")
    return read_moment(batch.get("now")), Sender(request.technician, request.user, device)


def _seq(raw: object) -> int:
    """The order in which things were done on the phone."""
    seq = raw.get("seq") if isinstance(raw, dict) else None
    return seq if type(seq) is int else 0


def _float(text: str | None) -> object:
    try:
        return float(text or "")
    except ValueError:
        return text


def _bad(words: str) -> HttpResponse:
    return JsonResponse({"error": words}, status=400)


def _ms(moment: dt.datetime) -> int:
    return round(moment.timestamp() * 1000)
