"""What the list of looks is narrowed to."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django import forms
from django.db.models import Q

from customers.models import Home, Screen
from customers.search import searched
from kit.web.forms import DateInput, model_choice
from kit.when import moment_at
from shop.models import Branch, User


class LooksForm(forms.Form):
    """Anything that cannot be read is said at its field, and nothing is narrowed."""

    q = forms.CharField(
        required=False, max_length=200, label="Customer or address",
        widget=forms.TextInput(attrs={"type": "search", "autocomplete": "off"}),
    )  # fmt: skip
    home = forms.ModelChoiceField(Home.objects.none(), required=False, widget=forms.HiddenInput)
    by = forms.ModelChoiceField(
        User.objects.none(), required=False, label="Who", empty_label="everybody"
    )
    screen = forms.ChoiceField(
        required=False, label="Where", choices=[("", "every screen"), *Screen.choices]
    )
    first = forms.DateField(required=False, label="From", widget=DateInput)
    last = forms.DateField(required=False, label="Until", widget=DateInput)

    def __init__(self, *args: Any, branch: Branch, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.branch = branch
        # Owners belong to no branch and look at every one's homes.
        staff = User.objects.filter(Q(branch=branch) | Q(branch=None))
        model_choice(self, "by").queryset = staff.order_by("first_name", "username")
        self.fields["by"].label_from_instance = (  # type: ignore[attr-defined]
            lambda user: user.get_full_name() or user.username
        )
        model_choice(self, "home").queryset = Home.objects.of(branch)

    def clean_q(self) -> str:
        return searched(self.cleaned_data["q"])

    def narrows(self) -> dict[str, Any]:
        """What was chosen, as a filter of HomeLook; days are the branch's."""
        chosen = self.cleaned_data
        found = {name: chosen[name] for name in ("home", "by", "screen") if chosen[name]}
        if chosen["first"]:
            found["at__gte"] = moment_at(chosen["first"], 0, self.branch.zone)
        if chosen["last"]:
            after = chosen["last"] + dt.timedelta(days=1)
            found["at__lt"] = moment_at(after, 0, self.branch.zone)
        return found
