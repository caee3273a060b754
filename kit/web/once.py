"""A form that is sent twice counts once: a double click, a browser that tries again."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable
from functools import wraps
from typing import Any
from uuid import uuid4

from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone

from kit.web.models import SentForm

FIELD = "form_key"
FORM_KEY = "{% load redbud %}{% form_key %}"  # where a form is laid out in Python
KEPT_FOR = dt.timedelta(days=7)
_KEY = re.compile(r"[0-9a-f]{32}", re.ASCII)
View = Callable[..., HttpResponse]


def new_form_key() -> str:
    """What makes a second sending known; every form shown has its own."""
    return uuid4().hex


def once(view: View) -> View:
    """Let a view that answers success with a redirect take effect once for each form shown.

    The row with the key is written in the view's own transaction. A second sending at the same
    moment waits at the unique key until the first is through, and is then led where that was led.
    A form without a key (a script's) is taken as it comes.
    """

    @wraps(view)
    def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        key = request.POST.get(FIELD, "") if request.method == "POST" else ""
        if not _KEY.fullmatch(key):
            return view(request, *args, **kwargs)
        with transaction.atomic():
            now = timezone.now()
            sent, first = SentForm.objects.get_or_create(key=key, defaults={"sent_at": now})
            if not first:
                messages.info(request, "The form came twice and was taken once.")
                return redirect(sent.led_to or request.path)
            answer = view(request, *args, **kwargs)
            _settle(sent, answer, now)
            return answer

    return guarded


def _settle(sent: SentForm, answer: HttpResponse, now: dt.datetime) -> None:
    """Remember where it led; what was refused may be sent again with the same key."""
    led_to = answer.get("Location", "") if answer.status_code == 302 else ""
    if not led_to or len(led_to) > 200:
        sent.delete()
        return
    sent.led_to = led_to
    sent.save(update_fields=["led_to"])
    SentForm.objects.filter(sent_at__lt=now - KEPT_FOR).delete()
