"""A stretch of days that a list is narrowed to."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.http import QueryDict

from kit.web.forms import DateInput


class PeriodForm(forms.Form):
    """Both days may be left out: from the beginning, and until today."""

    first = forms.DateField(required=False, label="From", widget=DateInput)
    last = forms.DateField(required=False, label="Until", widget=DateInput)

    def clean(self) -> dict[str, Any]:
        super().clean()
        first, last = self.cleaned_data.get("first"), self.cleaned_data.get("last")
        if first and last and last < first:
            self.add_error("last", ValidationError("Not before the first day."))
        return self.cleaned_data


def period_of(query: QueryDict, today: dt.date) -> tuple[dt.date | None, dt.date]:
    """First and last day that were asked for; a bad one counts as left out."""
    form = PeriodForm(query)
    form.is_valid()
    return form.cleaned_data.get("first"), form.cleaned_data.get("last") or today
