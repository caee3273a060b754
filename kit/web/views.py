"""The developers' page: every token and every part on one screen, with make-believe content."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from kit.web import sample


@require_GET
def parts(request: HttpRequest) -> HttpResponse:
    messages.success(request, "14 visits pencilled for the week of 12 April.")
    return render(request, "kit/parts.html", sample.everything(request.GET))
