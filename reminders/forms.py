"""What a homeowner and the office may send."""

from __future__ import annotations

import datetime as dt

from django import forms
from django.utils.translation import gettext_lazy as _

from customers.models import Home
from kit.web.forms import DateInput
from reminders.models import EventKind, Outcome
from reminders.no_start import CHECKS

FURTHEST_AHEAD = dt.timedelta(days=366)


LONGEST_AGO = dt.timedelta(days=366)
_COVER = [
    (EventKind.COVER_OFF, _("The cover is off")),
    (EventKind.COVER_ON, _("The cover is on")),
]


class CoverForm(forms.Form):
    kind = forms.ChoiceField(choices=_COVER)


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


class ToldForm(forms.Form):
    """What a customer said on the telephone that was done, and on which day."""

    on = forms.DateField(
        label="On which day was it done?",
        widget=DateInput,
        error_messages={
            "required": "Choose the day on which it was done.",
            "invalid": "Write the day like 2027-04-15.",
        },
    )
    done = forms.ChoiceField(error_messages={"invalid_choice": "Press one of the buttons below."})

    def __init__(self, *args, home: Home, today: dt.date, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.today, self.first = today, today - LONGEST_AGO
        self.filters = {
            f"filter:{filter_.pk}": filter_
            for system in home.systems.prefetch_related("filters")
            for filter_ in system.filters.all()
        }
        self.covers = _COVER if home.winter_cover else []
        choices = [*((key, key) for key in self.filters), *self.covers]
        done = self.fields["done"]
        assert isinstance(done, forms.ChoiceField)
        done.choices = choices
        days = {"min": self.first.isoformat(), "max": today.isoformat()}
        self.fields["on"].widget.attrs |= days

    def clean_on(self) -> dt.date:
        on: dt.date = self.cleaned_data["on"]
        if not self.first <= on <= self.today:
            raise forms.ValidationError("Choose today or a day of the past year.")
        return on
