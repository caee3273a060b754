"""What a homeowner and the office may send."""

from __future__ import annotations

import datetime as dt

from django import forms
from django.utils.translation import gettext_lazy as _

from kit.web.forms import DateInput
from reminders.models import EventKind, Outcome
from reminders.no_start import CHECKS

FURTHEST_AHEAD = dt.timedelta(days=366)


class CoverForm(forms.Form):
    kind = forms.ChoiceField(
        choices=[
            (EventKind.COVER_OFF, _("The cover is off")),
            (EventKind.COVER_ON, _("The cover is on")),
        ]
    )


class CheckForm(forms.Form):
    """How far the homeowner has come; sent along from check to check, kept only at the end."""

    at = forms.IntegerField(min_value=0, max_value=len(CHECKS), required=False)
    tried = forms.MultipleChoiceField(
        choices=[(check.id, check.id) for check in CHECKS], required=False
    )


class OutcomeForm(CheckForm):
    """The end of it, with the homeowner's own words."""

    outcome = forms.ChoiceField(choices=Outcome.choices)
    words = forms.CharField(
        label=_("What else should we know?"),
        help_text=_("For example what you hear or smell, or since when it does not start."),
        max_length=1000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
    )


class DayForm(forms.Form):
    """The day whose reminders are looked at."""

    day = forms.DateField(
        label="Day",
        widget=DateInput,
        error_messages={"invalid": "Write the day like 2027-04-15."},
    )

    def __init__(self, *args, today: dt.date, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.today = today
        last = today + FURTHEST_AHEAD
        self.fields["day"].widget.attrs |= {"min": today.isoformat(), "max": last.isoformat()}

    def clean_day(self) -> dt.date:
        day: dt.date = self.cleaned_data["day"]
        if not self.today <= day <= self.today + FURTHEST_AHEAD:
            raise forms.ValidationError("Choose today or a day of the coming year.")
        return day
