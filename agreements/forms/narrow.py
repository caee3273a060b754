"""The form that narrows the list of agreements."""

from __future__ import annotations

from typing import Any

from django import forms

from agreements.models import Plan
from customers.search import searched
from kit.web.forms import model_choice
from shop.models import Branch

ENDING, ENDED, OVERDUE, EVERY = "ending", "ended", "overdue", "every"


class NarrowForm(forms.Form):
    """What the list is narrowed to; without a word, the agreements that run now or later."""

    q = forms.CharField(
        required=False, max_length=200, label="Name, street, phone or e-mail",
        widget=forms.TextInput(attrs={"type": "search", "autocomplete": "off"}),
    )  # fmt: skip
    plan = forms.ModelChoiceField(Plan.objects.none(), required=False, empty_label="all plans")
    show = forms.ChoiceField(
        required=False,
        label="Term",
        choices=[
            ("", "running or to begin"),
            (ENDING, "ending within 45 days, not renewed"),
            (ENDED, "ended, not renewed"),
            (OVERDUE, "owing an overdue visit"),
            (EVERY, "every term"),
        ],
    )

    def __init__(self, *args: Any, branch: Branch, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        model_choice(self, "plan").queryset = branch.plans.all()

    def clean_q(self) -> str:
        return searched(self.cleaned_data["q"])
