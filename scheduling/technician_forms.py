"""Forms of a technician: what she can do, where she starts, when she works."""

from __future__ import annotations

import datetime as dt
from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Fieldset, Layout, Row, Submit
from django import forms

from kit.web.forms import DateInput
from kit.when import WEEKDAY_NAMES
from scheduling.actions.technicians import Hours
from scheduling.models import Skill, Technician
from shop.models import Branch


def _time(label: str) -> forms.TimeField:
    return forms.TimeField(label=label, required=False, widget=forms.TimeInput({"type": "time"}))


class TechnicianForm(forms.ModelForm):
    """A weekday without a start and an end is not worked."""

    skills = forms.MultipleChoiceField(
        choices=Skill.choices, widget=forms.CheckboxSelectMultiple, required=False
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
        rows = [self._weekday(number, name) for number, name in enumerate(WEEKDAY_NAMES)]
        self.helper = FormHelper()
        self.helper.layout = Layout(
            "name", "skills", Row("latitude", "longitude"), "active",
            Fieldset("Hours of each weekday", *rows),
        )  # fmt: skip
        self.helper.add_input(Submit("", "Save"))

    def _weekday(self, number: int, name: str) -> Row:
        shift = None
        if self.instance.pk:
            shift = next((s for s in self.instance.shifts.all() if s.weekday == number), None)
        parts = {
            f"starts_{number}": (_time(f"{name}, start"), shift and shift.starts_at),
            f"ends_{number}": (_time(f"{name}, end"), shift and shift.ends_at),
            f"lunch_{number}": (
                forms.IntegerField(
                    label=f"{name}, lunch minutes", required=False, min_value=0, max_value=120
                ),
                shift.lunch_min if shift else 30,
            ),
        }
        for field_name, (field, initial) in parts.items():
            field.initial = initial
            self.fields[field_name] = field
        return Row(*parts)

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
