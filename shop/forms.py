"""The form about a branch's rules for planning."""

from __future__ import annotations

from typing import Any

from crispy_forms.bootstrap import InlineCheckboxes
from crispy_forms.layout import Fieldset, Row
from django import forms
from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator

from kit.web.forms import laid_out
from kit.when import WEEKDAY_NAMES
from shop.models import LEAST_TEST_F, MOST_TEST_F, Branch

LEAST_CHECK_MIN, MOST_CHECK_MIN = 10, 480
LEAST_WARMTH_PERCENT, MOST_WARMTH_PERCENT = 50, 95


def _between(least: int, most: int, words: str) -> list[Any]:
    return [MinValueValidator(least, words), MaxValueValidator(most, words)]


class WholeNumber(forms.IntegerField):
    """Whole numbers from `least` to `most`; `why` says what lies outside."""

    def __init__(self, least: int, most: int, unit: str, why: str = "", **kwargs: Any) -> None:
        words = f"{least} to {most} {unit}" + (f": {why}" if why else ".")
        super().__init__(validators=_between(least, most, words), **kwargs)
        self.widget.attrs |= {"min": least, "max": most}


class WeekdaysField(forms.MultipleChoiceField):
    """Days of the week, cleaned to a number whose lowest bit is Monday."""

    widget = forms.CheckboxSelectMultiple

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(choices=list(enumerate(WEEKDAY_NAMES)), **kwargs)

    def prepare_value(self, value: Any) -> Any:
        return [day for day in range(7) if value >> day & 1] if isinstance(value, int) else value

    def clean(self, value: Any) -> int:
        return sum(1 << int(day) for day in super().clean(value))


class PercentField(WholeNumber):
    """A share of one, shown and typed in per cent."""

    def prepare_value(self, value: Any) -> Any:
        return round(100 * value) if isinstance(value, float) else value

    def clean(self, value: Any) -> float:
        return super().clean(value) / 100


class BranchForm(forms.ModelForm):
    test_temperature_f = WholeNumber(
        LEAST_TEST_F, MOST_TEST_F, "°F",
        "in colder air a cooling check is no test, and warmer days come too late.",
        label="Test temperature, °F outdoors",
        help_text="A cooling check below it is no test. Common practice is 50 to 60 °F.",
    )  # fmt: skip
    least_warmth = PercentField(
        LEAST_WARMTH_PERCENT, MOST_WARMTH_PERCENT, "per cent",
        label="Least warmth, per cent",
        help_text="A cooling check is planned only where it is at least this likely warm enough.",
    )  # fmt: skip
    working_days = WeekdaysField(
        error_messages={"required": "Choose at least one day on which the branch works."}
    )
    cooling_check_min = WholeNumber(
        LEAST_CHECK_MIN, MOST_CHECK_MIN, "minutes", label="Cooling check, minutes"
    )
    heating_check_min = WholeNumber(
        LEAST_CHECK_MIN, MOST_CHECK_MIN, "minutes", label="Heating check, minutes"
    )
    further_system_min = WholeNumber(
        LEAST_CHECK_MIN, MOST_CHECK_MIN, "minutes", label="Each further system, minutes"
    )
    helper = laid_out(
        Fieldset("Warm enough to test", Row("test_temperature_f", "least_warmth")),
        Fieldset(
            "When the branch works", InlineCheckboxes("working_days"), Row("opens_at", "closes_at")
        ),
        Fieldset(
            "How long a check takes",
            Row("cooling_check_min", "heating_check_min", "further_system_min"),
        ),
    )

    class Meta:
        model = Branch
        fields = [
            "test_temperature_f", "least_warmth", "working_days", "opens_at", "closes_at",
            "cooling_check_min", "heating_check_min", "further_system_min",
        ]  # fmt: skip
        widgets = {
            name: forms.TimeInput(attrs={"type": "time"}, format="%H:%M")
            for name in ("opens_at", "closes_at")
        }

    def clean(self) -> dict[str, Any]:
        super().clean()
        cleaned = self.cleaned_data
        opens_at, closes_at = cleaned.get("opens_at"), cleaned.get("closes_at")
        if opens_at and closes_at and closes_at <= opens_at:
            self.add_error("closes_at", ValidationError("Closes after it opens."))
        return cleaned
