"""The form that asks for a backtest."""

from __future__ import annotations

import gzip
import math
from typing import Any

from crispy_forms.layout import Fieldset, Row
from django import forms
from django.conf import settings
from django.core.exceptions import ValidationError

from kit.web.forms import laid_out
from shop.forms import PercentField, WholeNumber
from shop.models import LEAST_TEST_F, MOST_TEST_F, Branch
from weather.backtest import Policy, ReadingsRefused, Setup, read_readings
from weather.backtest.moments import Clock
from weather.backtest.slot_climate import from_climate, learnt_from_the_file
from weather.backtest.springs import cut_springs

GZIP = b"\x1f\x8b"
ZONE, UTC = "zone", "utc"
FILE, BRANCH = "file", "branch"
# Where a branch keeps a setting under the policy's name or another.
KEPT_AS = {"first_booking_limit": "least_warmth"}


class BacktestForm(forms.Form):
    """A file of hourly temperatures, how much work there is, and the settings to try."""

    file = forms.FileField(
        label="Hourly temperatures",
        help_text="CSV or CSV.gz with a column of times and one of °F, at most 20 MB. "
        "Two springs or more, or one whole year.",
        widget=forms.FileInput(attrs={"accept": ".csv,.txt,.gz"}),
        error_messages={"required": "Choose the file first.", "empty": "This file is empty."},
    )
    clock = forms.ChoiceField(label="Times without a UTC offset are")
    only = forms.CharField(
        required=False, max_length=80, label="Only rows with",
        help_text="COLUMN=VALUE, where a file holds several places.",
    )  # fmt: skip
    celsius = forms.BooleanField(required=False, label="The temperatures are °C")
    climate = forms.ChoiceField(label="What is usual there", choices=[])
    checks = WholeNumber(1, 2000, "checks", label="Cooling checks")
    technicians = WholeNumber(1, 30, "technicians", help_text="Each has four checks a day.")
    test_temperature_f = WholeNumber(
        LEAST_TEST_F, MOST_TEST_F, "°F", label="Test temperature, °F",
    )  # fmt: skip
    first_booking_limit = PercentField(
        1, 99, "per cent", label="Book from, %", help_text="Warmth on the last day of the notice."
    )
    hold_limit = PercentField(
        0, 99, "per cent", label="Hold below, %", help_text="A colder promised check waits."
    )
    pull_forward_limit = PercentField(
        1, 99, "per cent", label="Promise early from, %", help_text="Earlier than the notice asks."
    )
    notice_days = WholeNumber(0, 14, "days", label="Notice, days")
    promise_days = WholeNumber(
        1, 90, "days", label="Promise ahead, days", help_text="Calendar days."
    )
    short_notice_share = PercentField(
        0, 100, "per cent", label="At short notice, %", help_text="Customers who agreed to it."
    )
    helper = laid_out(
        Fieldset("Weather that was", "file", Row("clock", "only"), "celsius", "climate"),
        Fieldset("Work", Row("checks", "technicians", "test_temperature_f")),
        Fieldset(
            "Settings to try",
            Row("first_booking_limit", "hold_limit", "pull_forward_limit"),
            Row("notice_days", "promise_days", "short_notice_share"),
        ),
    )

    def __init__(self, *args: Any, branch: Branch, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.branch = branch
        _choices(self, "clock", [(ZONE, f"the clock of {branch.time_zone}"), (UTC, "UTC")])
        climates = [(FILE, "learn it from the file's other years")]
        if hasattr(branch, "climate"):
            climates.append((BRANCH, f"the branch's climate: {branch.climate.place}"))
        _choices(self, "climate", climates)
        policy = settings_of(branch)
        self.initial = {
            "checks": 200,
            "technicians": 2,
            "test_temperature_f": branch.test_temperature_f,
            **{name: getattr(policy, name) for name in self.fields if hasattr(policy, name)},
            **self.initial,
        }

    def clean_file(self) -> Any:
        file = self.cleaned_data["file"]
        if file.size > settings.SPREADSHEET_LIMIT_BYTES:
            raise ValidationError(
                f"“{file.name}” has {file.size / 1e6:.0f} MB; at most 20 MB can be read."
            )
        return file

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if not self.errors:
            self._take_settings(cleaned)
        if not self.errors:
            self._take_hours(cleaned)
        return cleaned

    def _take_settings(self, cleaned: dict[str, Any]) -> None:
        names = [name for name in self.fields if name in Policy.__dataclass_fields__]
        try:
            self.policy = Policy(**{name: cleaned[name] for name in names})
        except ValueError:
            self.add_error("promise_days", f"At least the notice, {cleaned['notice_days']} days.")
        self.setup = Setup(checks=cleaned["checks"], technicians=cleaned["technicians"])

    def _take_hours(self, cleaned: dict[str, Any]) -> None:
        utc = cleaned["clock"] == UTC
        clock = Clock(zone=self.branch.time_zone, naive_is_utc=utc)
        try:
            self.readings = read_readings(
                _text(cleaned["file"].read()),
                clock=clock,
                celsius=cleaned["celsius"],
                only=cleaned["only"],
            )
        except ReadingsRefused as refused:
            self.add_error("file", _for_the_screen(str(refused)))
            return
        self._check_springs(cleaned["climate"] == BRANCH)

    def _check_springs(self, branch_climate: bool) -> None:
        climate_of = (
            from_climate(self.branch.climate.climate(), self.policy.test_temperature_f)
            if branch_climate
            else learnt_from_the_file
        )
        springs, skipped = cut_springs(self.readings, climate_of)
        if not springs:
            why = " ".join(f"{one.year}: {one.why}" for one in skipped)
            self.add_error("file", f"No spring of this file can be used. {why}")


def settings_of(branch: Branch) -> Policy:
    """The branch's own settings, and good ones where it keeps none."""
    names = ("first_booking_limit", "hold_limit", "pull_forward_limit", "notice_days")
    usual = Policy()
    kept = {name: getattr(branch, KEPT_AS.get(name, name), getattr(usual, name)) for name in names}
    calendar_days = usual.promise_days
    if hasattr(branch, "promise_days"):  # a branch counts working days
        calendar_days = math.ceil(branch.promise_days * 7 / 5)
    kept["promise_days"] = max(calendar_days, kept["notice_days"])
    return Policy(**kept, test_temperature_f=branch.test_temperature_f)


def _choices(form: forms.Form, name: str, choices: list[tuple[str, str]]) -> None:
    field = form.fields[name]
    assert isinstance(field, forms.ChoiceField)
    field.choices = choices
    field.initial = choices[0][0]


def _text(raw: bytes) -> str:
    if raw.startswith(GZIP):
        try:
            raw = gzip.decompress(raw)
        except (OSError, EOFError):
            raise ReadingsRefused("This file says it is packed, and cannot be unpacked.") from None
    return raw.decode("utf-8", errors="replace")


def _for_the_screen(words: str) -> str:
    """The command's flags in the words of this form."""
    for flag, label in (
        (" (--celsius)", " (tick “The temperatures are °C”)"),
        ("with --only ", "with “Only rows with” "),
        (" (--temperature-column)", " “temp_f” in the file"),
    ):
        words = words.replace(flag, label)
    return words
