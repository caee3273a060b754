"""An agreement on paper, in plain words and the customer's language, with a place to sign."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.template.loader import render_to_string
from django.utils import timezone, translation

from agreements.models import Agreement
from agreements.promises import how_it_ends, payment_words, promised


def agreement_pdf(agreement: Agreement) -> HttpResponse:
    """The PDF, opened in the browser."""
    # Loading WeasyPrint takes a second; without its libraries every other page still works.
    from kit.web.paper import printed

    branch = agreement.home.customer.branch
    with translation.override(agreement.home.customer.language), timezone.override(branch.zone):
        html = render_to_string("print/agreement.html", facts_of(agreement))
    answer = HttpResponse(printed(html), content_type="application/pdf")
    answer["Content-Disposition"] = f'inline; filename="agreement-{agreement.pk}.pdf"'
    return answer


def facts_of(agreement: Agreement) -> dict[str, Any]:
    """What paper and the customer's page say of an agreement, in the active language."""
    customer = agreement.home.customer
    return {
        "agreement": agreement,
        "home": agreement.home,
        "customer": customer,
        "language": customer.language,
        "sender": getattr(customer.branch, "sender", None),
        "systems": agreement.systems.all(),
        "promised": promised(agreement.version),
        "payment_words": payment_words(agreement),
        "dues": agreement.charges.standing().order_by("due_on"),
        "endings": how_it_ends(agreement),
    }
