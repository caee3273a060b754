"""Screens that are a form: how it is laid out, and how a refused one is answered."""

from __future__ import annotations

from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Layout
from django import forms
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import render

REFUSED = 422
OVERTAKEN = 409


def laid_out(*parts: object) -> FormHelper:
    """Lay out the fields; `kit/form_screen.html` brings the <form> and its buttons."""
    helper = FormHelper()
    helper.form_tag = False
    helper.disable_csrf = True
    helper.render_hidden_fields = True  # the prints of kit.web.editing
    helper.layout = Layout(*parts)
    return helper


def posted(request: HttpRequest) -> QueryDict | None:
    """What was sent; None: the form is only being looked at."""
    return request.POST if request.method == "POST" else None


def form_screen(
    request: HttpRequest, *some_forms: forms.BaseForm, template: str = "kit/form_screen.html",
    **context: Any,
) -> HttpResponse:  # fmt: skip
    """Show forms, with everything that was typed; a refused one answers 422, an overtaken 409."""
    overtaken = any(getattr(form, "differences", ()) for form in some_forms)
    return render(
        request,
        template,
        {"forms": some_forms, "overtaken": overtaken, **context},
        status=OVERTAKEN if overtaken else form_status(*some_forms),
    )


def form_status(*some_forms: forms.BaseForm) -> int:
    return REFUSED if any(form.is_bound for form in some_forms) else 200


def model_choice(form: forms.BaseForm, name: str) -> forms.ModelChoiceField:
    """A field of a form, known to choose among rows."""
    field = form.fields[name]
    assert isinstance(field, forms.ModelChoiceField)
    return field


class DateInput(forms.DateInput):
    """The browser's own picker, which wants the ISO form."""

    input_type = "date"

    def __init__(self, attrs: dict[str, Any] | None = None) -> None:
        super().__init__(attrs, format="%Y-%m-%d")
