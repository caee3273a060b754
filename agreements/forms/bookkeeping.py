"""The form about how a branch books."""

from __future__ import annotations

from collections import Counter
from typing import Any

from crispy_forms.layout import Fieldset, Row
from django import forms

from agreements.models import Bookkeeping
from kit.web.editing import WatchedForm
from kit.web.forms import laid_out

ACCOUNTS = ("cash", "receivable", "deferred", "revenue", "moved")


class BookkeepingForm(WatchedForm):
    """The rule by which a price is earned, and the account names of the shop's books."""

    one_for = "branch"
    helper = laid_out(
        Fieldset("When a price is earned", "recognition"),
        Fieldset(
            "Names of the accounts",
            Row("cash", "receivable"),
            Row("deferred", "revenue"),
            Row("moved"),
        ),
    )

    class Meta:
        model = Bookkeeping
        fields = ["recognition", *ACCOUNTS]
        labels = {
            "recognition": "Earned",
            "cash": "Money that came in",
            "receivable": "What customers owe",
            "deferred": "Billed and not earned yet",
            "revenue": "Earned",
            "moved": "Between two agreements",
        }
        help_texts = {
            "recognition": "Settle it with your accountant; it changes every month's figure.",
            "cash": "As your books write it, for example 1010 Checking.",
            "moved": "When one agreement goes on as another; its sum is 0.",
        }
        widgets = {"recognition": forms.RadioSelect}

    def clean(self) -> dict[str, Any]:
        super().clean()
        names = {name: self.cleaned_data.get(name, "").strip() for name in ACCOUNTS}
        often = Counter(name.casefold() for name in names.values() if name)
        for field, name in names.items():
            if often[name.casefold()] > 1:
                self.add_error(field, "Each account needs a name of its own.")
        return self.cleaned_data
