"""Forms of the books: what work costs, how long to search."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal, InvalidOperation
from typing import Any

from crispy_forms.layout import Row
from django import forms
from django.core.exceptions import ValidationError

from books.earned_reading import part_key
from books.models import CostRates, PartPrice
from kit.web.editing import WatchedForm
from kit.web.forms import laid_out
from shop.models import LEAST_DRIVING_PERCENT, MOST_DRIVING_PERCENT, Branch

MOST_HOUR_USD, MOST_MINUTE_USD, MOST_PART_USD = 500, 20, 5000


def _dollars(most: int, **more: Any) -> forms.DecimalField:
    words = f"0 to {most} dollars, with cents if you like: 12.50."
    return forms.DecimalField(
        min_value=0, max_value=most, max_digits=6, decimal_places=2, required=False,
        error_messages=dict.fromkeys(
            ("invalid", "min_value", "max_value", "max_decimal_places", "max_digits"), words
        ),
        **more,
    )  # fmt: skip


class CostsForm(WatchedForm):
    """Empty fields are not known, not nothing."""

    one_for = "branch"
    hour_usd = _dollars(
        MOST_HOUR_USD,
        label="An hour of a technician, USD",
        help_text="Wage with taxes, insurance and what else an hour costs. Empty: not known.",
    )
    drive_min_usd = _dollars(
        MOST_MINUTE_USD,
        label="A driven minute of the truck, USD",
        help_text="Fuel, tires, repairs and the truck's price; the technician's time comes on "
        "top. From a cost per mile: times the miles that you drive in a minute. Empty: not known.",
    )
    parts = forms.CharField(
        widget=forms.Textarea(attrs={"rows": 8}),
        required=False,
        label="What parts cost, USD each",
        help_text="A line for each part, in the words that technicians write, then = and what one "
        "costs the shop: Capacitor 45/5 = 11.20",
    )

    helper = laid_out(Row("hour_usd", "drive_min_usd"), "parts")

    class Meta:
        model = CostRates
        fields = ["hour_usd", "drive_min_usd"]

    def __init__(self, *args: Any, branch: Branch, **kwargs: Any) -> None:
        rates = CostRates.objects.filter(branch=branch).first() or CostRates(branch=branch)
        super().__init__(*args, instance=rates, **kwargs)
        self.initial["parts"] = _lines(_prices(branch))

    def stored(self, instance: CostRates) -> dict[str, Any]:
        """The prices of parts stand in rows of their own."""
        return super().stored(instance) | {"parts": _lines(_prices(instance.branch))}

    def prices(self) -> dict[str, Decimal]:
        """Price by key, of valid parts."""
        return self._prices

    def clean_parts(self) -> str:
        """In the order and words of what is kept. Every wrong line is told with its number."""
        found: dict[str, Decimal] = {}
        wrong: list[str] = []
        for number, line in enumerate(self.cleaned_data["parts"].splitlines(), start=1):
            if not line.strip():
                continue
            words, equals, amount = line.rpartition("=")
            key, usd = part_key(words), _amount(amount)
            if not equals or not key:
                wrong.append(f"Line {number}: write the part, then =, then its price.")
            elif usd is None:
                wrong.append(f"Line {number}: “{amount.strip()}” is no price; write 11.20.")
            elif key in found and found[key] != usd:
                wrong.append(f"Line {number}: “{key}” stands here twice with two prices.")
            else:
                found[key] = usd
        if wrong:
            raise ValidationError(wrong)
        self._prices = found
        return _lines(found)


def _prices(branch: Branch) -> dict[str, Decimal]:
    return dict(PartPrice.objects.filter(branch=branch).values_list("key", "usd"))


def _lines(prices: Mapping[str, Decimal]) -> str:
    return "\n".join(f"{key} = {usd:.2f}" for key, usd in sorted(prices.items()))


def _amount(text: str) -> Decimal | None:
    """A price up to MOST_PART_USD in whole cents; None: it is none."""
    try:
        usd = Decimal(text.strip().removeprefix("$").replace(",", ""))
    except InvalidOperation:
        return None
    whole = usd.is_finite() and 0 <= usd <= MOST_PART_USD
    return usd if whole and usd == round(usd, 2) else None


class CapacityForm(forms.Form):
    """How long each of the changed plans is searched."""

    seconds = forms.ChoiceField(
        choices=[("3", "quick"), ("8", "careful"), ("30", "thorough")],
        label="How careful",
        initial="3",
    )

    def clean_seconds(self) -> float:
        return float(self.cleaned_data["seconds"])


class PaceForm(forms.Form):
    """The pace to plan drives at, and the one that the button was pressed beside."""

    percent = forms.IntegerField(min_value=LEAST_DRIVING_PERCENT, max_value=MOST_DRIVING_PERCENT)
    seen = forms.IntegerField()

    words = f"Drives can count {LEAST_DRIVING_PERCENT} to {MOST_DRIVING_PERCENT} per cent."
