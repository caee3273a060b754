"""Forms at the door."""

from __future__ import annotations

from typing import Any

from django import forms
from django_otp import devices_for_user, match_token
from django_otp.models import Device

from customers.models import Customer
from customers.search import folded
from kit.web.forms import model_choice
from shop.models import Branch, Role, User


class CodeForm(forms.Form):
    """Six digits of the authenticator, or one spare code. `device`: only this one counts."""

    code = forms.CharField(
        max_length=12,
        label="Code",
        help_text="Six digits from your authenticator, or one of your spare codes",
        widget=forms.TextInput(attrs={"autocomplete": "one-time-code", "inputmode": "numeric"}),
    )

    def __init__(self, *args: Any, user: User, device: Device | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.user, self.device = user, device
        if device is not None:  # one that is being set up: it has no spare codes yet
            self.fields["code"].help_text = "Six digits from your authenticator"

    def clean_code(self) -> str:
        code = self.cleaned_data["code"].replace(" ", "")
        if self.device is not None:
            if not self.device.verify_token(code):
                raise forms.ValidationError("That is not the code it shows now; try the next one.")
            return code
        if not all(device.verify_is_allowed()[0] for device in devices_for_user(self.user)):
            # Each wrong code makes the next one wait twice as long, whatever it is.
            raise forms.ValidationError("Too many wrong codes. Wait a minute and try again.")
        self.device = match_token(self.user, code)
        if self.device is None:
            wrong = "That is not the code it shows now; try the next one, or a spare code."
            raise forms.ValidationError(wrong)
        return code


class InviteForm(forms.ModelForm):
    """Someone new of the staff."""

    class Meta:
        model = User
        fields = ["username", "first_name", "last_name", "email", "role", "branch"]
        labels = {"username": "Name to sign in with"}
        help_texts = {"username": "Letters and digits", "branch": "An owner may leave it empty"}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["first_name"].required = True
        model_choice(self, "branch").queryset = Branch.objects.order_by("name")

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if cleaned.get("role") != Role.OWNER and not cleaned.get("branch"):
            self.add_error("branch", "Choose the branch; only an owner may have none.")
        return cleaned


class TakeOutForm(forms.Form):
    """The customer's name, typed, so that nobody is taken out by a slip."""

    name = forms.CharField(
        max_length=120,
        label="Name of the customer",
        help_text="Type it as it stands above.",
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )

    def __init__(self, *args: Any, customer: Customer, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.customer = customer

    def clean_name(self) -> str:
        name = self.cleaned_data["name"]
        if folded(name) != folded(self.customer.name):
            raise forms.ValidationError(f"Type the name as it stands above: {self.customer.name}.")
        return name
