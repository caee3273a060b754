"""Templates become PDF files."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.template.loader import render_to_string


def pdf_of(template: str, context: dict[str, Any]) -> bytes:
    """Print a template, in the active language and zone."""
    # Loading WeasyPrint takes a second; without its libraries every other page still works.
    from kit.web.paper import printed

    return printed(render_to_string(template, context))


def pdf_answer(template: str, context: dict[str, Any], name: str) -> HttpResponse:
    """A PDF that opens in the browser and is kept under `name`."""
    answer = HttpResponse(pdf_of(template, context), content_type="application/pdf")
    answer["Content-Disposition"] = f'inline; filename="{name}.pdf"'
    return answer
