"""The form about a new key."""

from __future__ import annotations

from crispy_forms.layout import Fieldset
from django import forms

from front.interface.resources import SCOPES
from kit.web.forms import laid_out


class KeyForm(forms.Form):
    name = forms.CharField(
        max_length=80, label="What it is for", help_text="For example: bookkeeping program."
    )
    scopes = forms.MultipleChoiceField(
        choices=list(SCOPES.items()),
        label="What it may read",
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": "Choose at least one."},
    )
    helper = laid_out(Fieldset("New key", "name", "scopes"))
