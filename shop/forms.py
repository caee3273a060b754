"""The form about a branch's rules for planning."""

from __future__ import annotations

from typing import Any

from crispy_forms.bootstrap import InlineCheckboxes
from crispy_forms.layout import Fieldset, Row
from django import forms
from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator

from kit.web.editing import WatchedForm
from kit.web.forms import laid_out
from kit.when import WEEKDAY_NAMES
from shop.models import (
    LEAST_DRIVING_PERCENT,
    LEAST_TEST_F,
    MOST_BROKEN_PROMISE_MIN,
    MOST_DRIVING_PERCENT,
    MOST_NOTICE_DAYS,
    MOST_PROMISE_DAYS,
    MOST_TEST_F,
    Branch,
)

LEAST_CHECK_MIN, MOST_CHECK_MIN = 10, 480
LEAST_WARMTH_PERCENT, MOST_WARMTH_PERCENT = 50, 95
LEAST_HOLD_PERCENT, MOST_PULL_FORWARD_PERCENT = 30, 99


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


class BranchForm(WatchedForm):
    """What each rule costs is the backtest's answer for two springs at Springfield, Illinois, one
    rule changed at a time (docs/decisions/0007-backtest.md); the Almanac tries one's own town.
    """

    test_temperature_f = WholeNumber(
        LEAST_TEST_F, MOST_TEST_F, "°F",
        "in colder air a cooling check is no test, and warmer days come too late.",
        label="Test temperature, °F outdoors",
        help_text="A cooling check below it is no test. Common practice is 50 to 60 °F. By the "
        "backtest: with 60 instead of 55 the season ends 14 days later, and of 200 checks 137 "
        "instead of 175 are tested before the first 85 °F.",
    )  # fmt: skip
    least_warmth = PercentField(
        LEAST_WARMTH_PERCENT, MOST_WARMTH_PERCENT, "per cent",
        label="Least warmth, per cent",
        help_text="A cooling check is planned only where it is at least this likely warm enough. "
        "By the backtest: 60 costs 32 moved promises in 200, 75 costs 15, 90 costs 3.",
    )  # fmt: skip
    hold_limit = PercentField(
        LEAST_HOLD_PERCENT, MOST_WARMTH_PERCENT, "per cent",
        label="Hold limit, per cent",
        help_text="When a promised check turns less likely warm than this, Redbud proposes "
        "another time, or to hold it. By the backtest: 60 moves 5 promises in 200 and tests 95.9 % "
        "warm, 85 moves 17 and tests 97.8 %.",
    )  # fmt: skip
    pull_forward_limit = PercentField(
        LEAST_WARMTH_PERCENT, MOST_PULL_FORWARD_PERCENT, "per cent",
        label="Pull-forward limit, per cent",
        help_text="A free time of the coming days is offered to customers on the short-notice "
        "list when it is at least this likely warm. It ends the season sooner. By the backtest: 80 "
        "costs 27 moved promises in 200, 90 costs 17, 97 costs 12.",
    )  # fmt: skip
    notice_days = WholeNumber(
        1, MOST_NOTICE_DAYS, "days",
        label="Notice, days",
        help_text="A customer learns of another day at least this long before it; who is on the "
        "short-notice list may be asked sooner. Cold times are decided on at this notice. By the "
        "backtest: 1 day moves 7 promises in 200, 2 days 12, 5 days 24.",
    )  # fmt: skip
    promise_days = WholeNumber(
        1, MOST_PROMISE_DAYS, "working days",
        label="Promised ahead, working days",
        help_text="Times are offered to customers this far ahead; later ones stay pencilled. "
        "Farther: customers know sooner. By the backtest, 2 to 10 days cost the same.",
    )  # fmt: skip
    broken_promise_min = WholeNumber(
        0, MOST_BROKEN_PROMISE_MIN, "minutes",
        label="Price of a broken promise, minutes",
        help_text="A plan that may move promised times moves one only when it saves as much "
        "driving; a cold trip counts 120 minutes. On 2,000 visits after a cold snap a price of 0 "
        "moved 205 promises, 10 moved 37, and 30 moved 27 and kept 85 % of the gain.",
    )  # fmt: skip
    driving_percent = WholeNumber(
        LEAST_DRIVING_PERCENT, MOST_DRIVING_PERCENT, "per cent",
        label="Driving time, per cent of the map's",
        help_text="Plans, offered times and the books reckon drives at so many per cent of what "
        "the map makes one expect. What the phones have timed stands in the books under Driving.",
    )  # fmt: skip
    test_only_min = WholeNumber(
        LEAST_CHECK_MIN, MOST_CHECK_MIN, "minutes",
        label="Test only, minutes",
        help_text="The short visit, for each system, after a day that was too cold to test.",
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
            "When the weather changes",
            Row("hold_limit", "pull_forward_limit"),
            Row("notice_days", "promise_days"),
            Row("broken_promise_min"),
        ),
        Fieldset(
            "When the branch works", InlineCheckboxes("working_days"), Row("opens_at", "closes_at")
        ),
        Fieldset(
            "How long a check takes",
            Row("cooling_check_min", "heating_check_min", "further_system_min"),
            Row("test_only_min"),
        ),
        Fieldset("How long drives take", Row("driving_percent")),
    )

    class Meta:
        model = Branch
        fields = [
            "test_temperature_f", "least_warmth", "hold_limit", "pull_forward_limit",
            "notice_days", "promise_days", "broken_promise_min",
            "working_days", "opens_at", "closes_at",
            "cooling_check_min", "heating_check_min", "further_system_min", "test_only_min",
            "driving_percent",
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
        least_warmth = cleaned.get("least_warmth")
        if least_warmth:
            self._keep_in_order(least_warmth, round(100 * least_warmth))
        return cleaned

    def _keep_in_order(self, least_warmth: float, percent: int) -> None:
        """Nothing is planned that would be held at once, or filled that would not be planned."""
        if self.cleaned_data.get("hold_limit", 0) > least_warmth:
            words = f"At most the least warmth, which is {percent} per cent."
            self.add_error("hold_limit", ValidationError(words))
        if self.cleaned_data.get("pull_forward_limit", 1) < least_warmth:
            words = f"At least the least warmth, which is {percent} per cent."
            self.add_error("pull_forward_limit", ValidationError(words))
