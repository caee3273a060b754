"""What became of something sent without a script, told on the next page."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest

from fieldwork.models import EventState


def tell(request: HttpRequest, state: str, words: str) -> None:
    if state == EventState.APPLIED:
        messages.success(request, "Kept.")
    else:
        messages.error(request, words or "This was kept, but not taken over.")
