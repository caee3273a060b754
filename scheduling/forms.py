"""Forms of the season: one form an act, cleaned into domain types."""

from __future__ import annotations

import datetime as dt
from functools import cache
from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Submit
from django import forms
from django.http import QueryDict
from django.utils import timezone

from customers.models import Home
from kit.web.forms import DateInput
from scheduling.actions.visits import stands_so
from scheduling.models import Season, State, Technician, Visit
from shop.models import Branch

TIME = forms.TimeInput(attrs={"type": "time", "step": 300})


def helper(button: str, *, method: str = "post", second: bool = False) -> FormHelper:
    """`second`: another form of the screen has the main button."""
    made = FormHelper()
    made.form_method = method
    made.add_input(Submit("", button, css_class="button--second" if second else None))
    return made


class SeasonForm(forms.Form):
    """Open a season."""

    name = forms.CharField(max_length=60, help_text="For example Spring 2027")
    starts_on = forms.DateField(label="First day", widget=DateInput)
    ends_on = forms.DateField(
        label="Last day", widget=DateInput, help_text="Before the first heat wave"
    )

    helper = helper("Open the season")

    def __init__(self, *args: Any, branch: Branch, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.branch = branch

    def clean_name(self) -> str:
        name = self.cleaned_data["name"]
        if Season.objects.filter(branch=self.branch, name=name).exists():
            raise forms.ValidationError(f"There is a season {name} already.")
        return name


class FilterForm(forms.Form):
    """Which visits of a season to look at. Anything unknown is ignored, not an error page."""

    def __init__(self, data: QueryDict, *, branch: Branch, kinds: list[tuple[str, str]]) -> None:
        super().__init__(data)
        self.fields["technician"] = forms.ModelChoiceField(
            Technician.objects.of(branch), required=False, empty_label="Every technician"
        )
        self.fields["kind"] = forms.ChoiceField(
            choices=[("", "Every kind"), *kinds], required=False
        )
        # Only when the choices are shown, or one was chosen: the ribbon alone needs none.
        areas = cache(lambda: [("", "Every area"), *_areas(branch)])
        self.fields["area"] = forms.ChoiceField(choices=areas, required=False)

    def narrow(self, visits):
        """The visits that the form asks for."""
        self.is_valid()
        chosen = self.cleaned_data
        if chosen.get("technician"):
            visits = visits.filter(technician=chosen["technician"])
        if chosen.get("kind"):
            visits = visits.filter(owed_visit__kind=chosen["kind"])
        if chosen.get("area"):
            visits = visits.filter(owed_visit__agreement__home__city=chosen["area"])
        return visits


def _areas(branch: Branch) -> list[tuple[str, str]]:
    cities = Home.objects.of(branch).order_by("city").values_list("city", flat=True).distinct()
    return [(city, city) for city in cities]


class SlotForm(forms.Form):
    """Give a visit a slot. `version`: how the visit stood when the form was shown."""

    version = forms.IntegerField(required=False, widget=forms.HiddenInput)
    technician = forms.ModelChoiceField(Technician.objects.none())
    day = forms.DateField(widget=DateInput)
    time = forms.TimeField(label="Start", widget=TIME)
    minutes = forms.IntegerField(min_value=10, max_value=480, label="Minutes")
    promised = forms.BooleanField(
        required=False, label="The customer has agreed to this time: it is promised"
    )

    helper = helper("Save this slot")

    def __init__(self, *args: Any, visit: Visit, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.visit, self.season = visit, visit.season
        self.fields["technician"] = forms.ModelChoiceField(
            Technician.objects.of(self.season.branch).active()
        )

    def clean_day(self) -> dt.date:
        day = self.cleaned_data["day"]
        if not self.season.starts_on <= day <= self.season.ends_on:
            raise forms.ValidationError(
                f"{self.season} runs from {self.season.starts_on:%B %-d} "
                f"to {self.season.ends_on:%B %-d, %Y}."
            )
        return day

    def is_overtaken(self) -> bool:
        """Somebody changed the visit meanwhile: say so once; sent again, it is meant."""
        seen, chosen = self.cleaned_data["version"], self.cleaned_data
        state = State.PROMISED if chosen["promised"] else State.PENCILLED
        if seen in (None, self.visit.version) or stands_so(
            self.visit, state, chosen["technician"], self.starts_at, chosen["minutes"]
        ):
            return False
        words = "Somebody changed this visit while you had it open: it is {}. Yours is below."
        self.add_error(None, words.format(self.visit.get_state_display()))
        assert isinstance(self.data, QueryDict)  # only what a browser sent is overtaken
        data = self.data.copy()
        data["version"] = str(self.visit.version)
        self.data = data
        return True

    @property
    def starts_at(self) -> dt.datetime:
        local = dt.datetime.combine(self.cleaned_data["day"], self.cleaned_data["time"])
        return timezone.make_aware(local, self.season.branch.zone)


class HoldForm(forms.Form):
    """Let a cooling check wait for warmth."""

    why = forms.CharField(max_length=200, label="Why it waits")
    release = forms.CharField(
        max_length=200, label="What will release it", initial="A warm enough day that suits"
    )
    helper = helper("Hold it", second=True)


class WaiveForm(forms.Form):
    """The customer lets the visit go."""

    why = forms.CharField(max_length=200, label="Why the customer lets it go")
    helper = helper("Waive it", second=True)
