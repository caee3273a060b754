"""The forms that find a home and write one."""

from __future__ import annotations

from typing import Any

from crispy_forms.layout import Fieldset, Row
from django import forms
from django.core.exceptions import ValidationError

from customers.forms.fields import HalvesField, read
from customers.models import Customer, Home, Precision
from customers.places import Place
from customers.search import searched
from customers.spreadsheet.addresses import check_in_state, read_point, read_state, read_zip
from customers.spreadsheet.streets import is_post_box
from customers.zip_codes import ZipCode
from kit.web.editing import WatchedForm
from kit.web.forms import laid_out

FACTS = {
    "pets": "Pets",
    "smokers": "Smokers",
    "winter_cover": "A winter cover is used",
    "ice_falls_on_unit": "Ice or snow falls on the condensing unit",
    "plants_near_unit": "Plants within 15 inches of the condensing unit",
    "high_low_returns": "High and low returns",
}
UNKNOWN_PLACE = "unknown"


class SearchForm(forms.Form):
    """What the list of homes is narrowed to; anything it cannot read narrows nothing."""

    q = forms.CharField(required=False, max_length=200, strip=True)
    place = forms.ChoiceField(
        required=False,
        label="Place",
        choices=[("", "all homes"), (UNKNOWN_PLACE, "without a known place")],
    )

    def clean_q(self) -> str:
        return searched(self.cleaned_data["q"])


class HomeForm(WatchedForm):
    """A home of `customer`; None: of one who is entered on the same page.

    After cleaning, `cleaned_data["point"]` is the exact place that was given, or None.
    """

    field_order = ("street", "unit", "city", "state", "zip", "latitude", "longitude")
    latitude = forms.CharField(
        required=False, help_text="Or both, as a map gives them: 43.2967, -87.9876"
    )
    longitude = forms.CharField(required=False)
    # Wide enough for "Wisconsin" and "53202-1234": both are understood.
    state = forms.CharField(max_length=30)
    zip = forms.CharField(label="ZIP", max_length=12)
    halves_mask = HalvesField(label="Half days that suit")
    helper = laid_out(
        Fieldset(
            "Address",
            Row("street", "unit"),
            Row("city", "state", "zip"),
            Row("latitude", "longitude", "elevation_ft"),
        ),
        Fieldset("On arrival", Row("gate_code", "dog"), "access_notes"),
        Fieldset("When we may come", "halves_mask", "short_notice"),
        Fieldset(
            "What the home needs",
            Row("pets", "smokers"),
            Row("winter_cover", "ice_falls_on_unit"),
            Row("plants_near_unit", "high_low_returns"),
        ),
    )

    class Meta:
        model = Home
        fields = [
            "street", "unit", "city", "state", "zip", "elevation_ft", "gate_code", "dog",
            "access_notes", *FACTS, "halves_mask", "short_notice",
        ]  # fmt: skip
        labels = FACTS | {
            "short_notice": "Comes with two days' notice, too",
            "elevation_ft": "Elevation, ft",
        }
        help_texts = {"short_notice": "", "dog": "What to know about it. Empty: no dog."}
        widgets = {"access_notes": forms.Textarea(attrs={"rows": 3})}

    def __init__(self, *args: Any, customer: Customer | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.customer = customer
        self.initial = {**self.initial, **_point_of(self.instance)}
        for name in FACTS:
            self.fields[name].widget.choices = [
                ("unknown", "not asked yet"), ("true", "yes"), ("false", "no")
            ]  # fmt: skip

    def stored(self, instance: Home) -> dict[str, Any]:
        return super().stored(instance) | _point_of(instance)

    def clean_street(self) -> str:
        if is_post_box(self.cleaned_data["street"]):
            raise ValidationError("A post box has no system; write the home's street.")
        return self.cleaned_data["street"]

    def clean_state(self) -> str:
        return read(read_state, self.cleaned_data["state"])

    def clean_zip(self) -> str:
        text = self.cleaned_data["zip"]
        if (
            text.isdecimal() and len(text) < 5
        ):  # a spreadsheet eats a leading zero, a person does not
            raise ValidationError(f"“{text}” is not a ZIP; it has five digits, as 53202.")
        self.code: ZipCode = read(read_zip, text)
        return self.code.digits

    def clean(self) -> dict[str, Any]:
        super().clean()
        cleaned = self.cleaned_data
        cleaned["point"] = None
        if "zip" in cleaned:
            self._check("zip", lambda: read(check_in_state, self.code, cleaned.get("state", "")))
            self._check("latitude", self._read_point)
        self._check("street", self._check_listed_once)
        return cleaned

    def _check(self, field: str, check: Any) -> None:
        try:
            check()
        except ValidationError as error:
            self.add_error(None if hasattr(error, "error_dict") else field, error)

    def _read_point(self) -> None:
        given = self.cleaned_data["latitude"], self.cleaned_data["longitude"]
        latitude, longitude = (part.strip() for part in given)
        if "," in latitude and not longitude:  # both, pasted from a map
            latitude, _, longitude = (part.strip() for part in latitude.partition(","))
        if bool(latitude) != bool(longitude):
            lacking = "longitude" if latitude else "latitude"
            raise ValidationError({lacking: "Give both latitude and longitude, or neither."})
        if latitude:
            point: Place = read(read_point, latitude, longitude, self.code)
            self.cleaned_data["point"] = point
            self.cleaned_data |= {"latitude": point.latitude, "longitude": point.longitude}

    def _check_listed_once(self) -> None:
        door = {name: self.cleaned_data.get(name) for name in ("street", "unit", "zip")}
        if self.customer and door["street"] and door["zip"]:
            twin = self.customer.homes.filter(**door).exclude(pk=self.instance.pk)
            if twin.exists():
                raise ValidationError(f"{self.customer} already has a home at this address.")


def _point_of(home: Home) -> dict[str, float | None]:
    """The place that people gave; the middle of a ZIP is nothing to show or to keep."""
    exact = home.precision == Precision.EXACT
    return {
        "latitude": home.latitude if exact else None,
        "longitude": home.longitude if exact else None,
    }
