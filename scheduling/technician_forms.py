"""Forms of a technician: what she can do, where she starts, when she works."""

from __future__ import annotations

import datetime as dt
from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import HTML, Fieldset, Layout, Row, Submit
from django import forms

from kit.web.editing import WatchedForm
from kit.web.forms import DateInput
from kit.web.once import FORM_KEY
from kit.when import WEEKDAY_NAMES
from scheduling.actions.technicians import Hours
from scheduling.models import Skill, Technician
from shop.models import Branch


def _time(label: str) -> forms.TimeField:
    return forms.TimeField(label=label, required=False, widget=forms.TimeInput({"type": "time"}))


class TechnicianForm(WatchedForm):
    """A weekday without a start and an end is not worked."""

    skills = forms.MultipleChoiceField(
        choices=Skill.choices,
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": "Choose at least one: without a skill no visit fits."},
    )

    class Meta:
        model = Technician
        fields = ["name", "skills", "latitude", "longitude", "active"]
        help_texts = {
            "latitude": "Where she starts and ends the day; empty: at the branch",
            "longitude": "West is negative, for example -88.0045",
            "active": "Not active: no plan gives her visits",
        }

    def __init__(self, *args: Any, branch: Branch, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.instance.branch = branch
        hours = _hours_of(self.instance)
        rows = [self._weekday(number, name, hours) for number, name in enumerate(WEEKDAY_NAMES)]
        self.helper = FormHelper()
        self.helper.layout = Layout(
            HTML(FORM_KEY), "name", "skills", Row("latitude", "longitude"), "active",
            Fieldset("Hours of each weekday", *rows),
        )  # fmt: skip
        self.helper.render_hidden_fields = True
        self.helper.add_input(Submit("", "Save"))

    def _weekday(self, number: int, name: str, hours: dict[str, Any]) -> Row:
        parts = {
            f"starts_{number}": _time(f"{name}, start"),
            f"ends_{number}": _time(f"{name}, end"),
            f"lunch_{number}": forms.IntegerField(
                label=f"{name}, lunch minutes", required=False, min_value=0, max_value=120
            ),
        }
        for field_name, field in parts.items():
            field.initial = hours[field_name]
            self.fields[field_name] = field
        return Row(*parts)

    def stored(self, instance: Technician) -> dict[str, Any]:
        return super().stored(instance) | _hours_of(instance)

    def clean_name(self) -> str:
        name = self.cleaned_data["name"].strip()
        same = Technician.objects.of(self.instance.branch).filter(name=name)
        if same.exclude(pk=self.instance.pk).exists():
            raise forms.ValidationError(f"There is a technician {name} already.")
        return name

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if (cleaned.get("latitude") is None) != (cleaned.get("longitude") is None):
            self.add_error("longitude", "Give latitude and longitude, or neither.")
        for number, name in enumerate(WEEKDAY_NAMES):
            starts, ends = cleaned.get(f"starts_{number}"), cleaned.get(f"ends_{number}")
            if (starts is None) != (ends is None):
                self.add_error(f"ends_{number}", f"{name} needs a start and an end, or neither.")
            elif starts and ends <= starts:
                self.add_error(f"ends_{number}", f"{name} ends before it starts.")
        return cleaned

    @property
    def week(self) -> dict[int, Hours]:
        chosen = self.cleaned_data
        return {
            number: Hours(
                chosen[f"starts_{number}"], chosen[f"ends_{number}"], chosen[f"lunch_{number}"] or 0
            )
            for number in range(7)
            if chosen[f"starts_{number}"]
        }


def _hours_of(technician: Technician) -> dict[str, Any]:
    """The fields of each weekday as they are on file."""
    shifts = {shift.weekday: shift for shift in technician.shifts.all()} if technician.pk else {}
    hours: dict[str, Any] = {}
    for number in range(len(WEEKDAY_NAMES)):
        shift = shifts.get(number)
        hours[f"starts_{number}"] = shift and shift.starts_at
        hours[f"ends_{number}"] = shift and shift.ends_at
        hours[f"lunch_{number}"] = shift.lunch_min if shift else 30
    return hours


class DaysOffForm(forms.Form):
    """Days on which a technician does not drive."""

    first = forms.DateField(label="First day off", widget=DateInput)
    last = forms.DateField(label="Last day off", widget=DateInput)
    why = forms.CharField(max_length=80, required=False)

    def clean_last(self) -> dt.date:
        first, last = self.cleaned_data.get("first"), self.cleaned_data["last"]
        if first and last < first:
            raise forms.ValidationError("The last day off is before the first.")
        return last
