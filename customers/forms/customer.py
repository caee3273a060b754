"""The form about a customer."""

from __future__ import annotations

from crispy_forms.layout import Fieldset, Row
from django import forms

from customers.forms.fields import PhoneField
from customers.models import Customer
from kit.web.editing import WatchedForm
from kit.web.forms import laid_out


class CustomerForm(WatchedForm):
    phone = PhoneField(required=False, help_text="With the area code, for example 414-555-0123.")
    second_phone = PhoneField(required=False)
    helper = laid_out(
        Fieldset(
            "Customer",
            Row("name", "language"),
            Row("phone", "second_phone"),
            "email",
            "notes",
        )
    )

    class Meta:
        model = Customer
        fields = ["name", "phone", "second_phone", "email", "language", "notes"]
        labels = {"email": "E-mail", "language": "Language of letters"}
        widgets = {"notes": forms.Textarea(attrs={"rows": 3})}
