"""The forms about a home's equipment."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Any

from crispy_forms.layout import Fieldset, Row
from django import forms
from django.core.exceptions import ValidationError

from customers.forms.fields import read
from customers.models import Filter, System
from customers.spreadsheet.trade_words import read_filter
from kit.web.editing import WatchedForm
from kit.web.forms import DateInput, laid_out
from shop.models import LEAST_TEST_F, MOST_TEST_F


def not_after(today: dt.date, day: dt.date | None) -> dt.date | None:
    if day and day > today:
        raise ValidationError("This day is still to come.")
    return day


class SystemForm(WatchedForm):
    """A system of `instance.home`. `today` bounds what can have happened."""

    tons = forms.DecimalField(
        required=False, max_digits=3, decimal_places=1, min_value=Decimal("0.5"), max_value=20,
        help_text="0.5 to 20",
        error_messages={
            "min_value": "A home's system has 0.5 to 20 tons.",
            "max_value": "A home's system has 0.5 to 20 tons.",
        },
    )  # fmt: skip
    least_test_f = forms.IntegerField(
        required=False,
        label="Least outdoor temperature for a test, °F",
        help_text=f"The manufacturer's own, {LEAST_TEST_F} to {MOST_TEST_F}. Empty: the branch's.",
    )
    helper = laid_out(
        Fieldset("System", Row("kind", "installed_year"), Row("brand", "model_number", "serial")),
        Fieldset(
            "Facts for the test", Row("tons", "refrigerant"), "metering", "least_test_f"
        ),
        Fieldset("Last check", Row("last_checked_on", "last_checked_by"), "notes"),
    )  # fmt: skip

    class Meta:
        model = System
        fields = [
            "kind", "brand", "model_number", "serial", "installed_year", "tons", "refrigerant",
            "metering", "least_test_f", "last_checked_on", "last_checked_by", "notes",
        ]  # fmt: skip
        labels = {"metering": "Metering device", "installed_year": "Year installed"}
        widgets = {"last_checked_on": DateInput, "notes": forms.Textarea(attrs={"rows": 3})}

    def __init__(self, *args: Any, today: dt.date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today
        for name in ("refrigerant", "metering"):
            field = self.fields[name]
            assert isinstance(field, forms.ChoiceField)
            field.choices = [("", "not on file"), *self._meta.model._meta.get_field(name).choices]

    def clean_installed_year(self) -> int | None:
        year = self.cleaned_data["installed_year"]
        if year and year > self.today.year:
            raise ValidationError(f"At most {self.today.year}: it cannot stand there yet.")
        return year

    def clean_last_checked_on(self) -> dt.date | None:
        return not_after(self.today, self.cleaned_data["last_checked_on"])

    def clean_serial(self) -> str:
        serial = self.cleaned_data["serial"]
        others = self.instance.home.systems.exclude(pk=self.instance.pk)
        if serial and (twin := others.filter(serial=serial).first()):
            raise ValidationError(f"The {twin} of this home has this serial already.")
        return serial


class FilterForm(WatchedForm):
    """A filter of `instance.system`."""

    thickness_in = forms.DecimalField(
        required=False, label="Thickness, inches", max_digits=3, decimal_places=1,
        min_value=Decimal("0.5"), max_value=6,
        help_text="Empty: what the size says, else 1.",
        error_messages={
            "min_value": "A filter is 0.5 to 6 inches thick.",
            "max_value": "A filter is 0.5 to 6 inches thick.",
        },
    )  # fmt: skip
    helper = laid_out(
        Fieldset(
            "Filter", Row("size", "thickness_in", "count"), Row("where", "last_changed_on")
        )
    )  # fmt: skip

    class Meta:
        model = Filter
        fields = ["size", "thickness_in", "count", "where", "last_changed_on"]
        help_texts = {"size": "Inches as on its frame, for example 16x25."}
        widgets = {"last_changed_on": DateInput}

    def __init__(self, *args: Any, today: dt.date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today

    def clean_size(self) -> str:
        text = self.cleaned_data["size"]
        if not text:
            return ""
        size, self.third = read(read_filter, text)
        return size

    def clean_last_changed_on(self) -> dt.date | None:
        return not_after(self.today, self.cleaned_data["last_changed_on"])

    def clean(self) -> dict[str, Any]:
        """A size with three numbers gives the thickness, or must agree with it."""
        super().clean()
        cleaned = self.cleaned_data
        third, thickness = getattr(self, "third", None), cleaned.get("thickness_in")
        if thickness is None and "thickness_in" in cleaned:
            cleaned["thickness_in"] = third or Decimal(1)
        elif third is not None and thickness is not None and third != thickness:
            self.add_error(
                "thickness_in", f"The size says {third:f} inches, this says {thickness:f}."
            )
        return cleaned
