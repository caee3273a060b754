"""Fields of the forms about homes, cleaned by the same readers as a spreadsheet's cells."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

from django import forms
from django.core.exceptions import ValidationError

from customers.spreadsheet.outcomes import CellRefused
from customers.spreadsheet.phones import read_phones
from kit.when import AFTERNOON, ALL_HALVES_MASK, MORNING, WEEKDAY_SHORT, WeekHalves

Read = TypeVar("Read")


def read(reader: Callable[..., Read], *texts: Any) -> Read:
    """Ask a reader of cells; its refusal becomes a field's error."""
    try:
        return reader(*texts)
    except CellRefused as refusal:
        words = refusal.words
        raise ValidationError(words[0].upper() + words[1:], code=refusal.code) from refusal


class PhoneField(forms.CharField):
    """One telephone number however it is written; cleaned to E.164, "" when left out."""

    widget = forms.TextInput(attrs={"inputmode": "tel", "autocomplete": "off"})

    def clean(self, value: Any) -> str:
        text = super().clean(value)
        if not text:
            return ""
        phones = read(read_phones, text)
        if len(phones) > 1:
            raise ValidationError("Write one number here; there is room for a second below.")
        if phones[0].extension:
            raise ValidationError("Leave the extension out here and write it in the notes.")
        return phones[0].e164


class HalvesWidget(forms.CheckboxSelectMultiple):
    """The week as a grid: a column a day, a row each for morning and afternoon."""

    template_name = "customers/halves.html"

    class Media:
        css = {"all": ["css/homes.css"]}

    def get_context(self, name: str, value: Any, attrs: dict[str, Any] | None) -> dict[str, Any]:
        context = super().get_context(name, value, attrs)
        boxes = [option for _, options, _ in context["widget"]["optgroups"] for option in options]
        context["days"] = WEEKDAY_SHORT
        context["rows"] = [("Morning", boxes[MORNING::2]), ("Afternoon", boxes[AFTERNOON::2])]
        return context


class HalvesField(forms.MultipleChoiceField):
    """The half days of the week that suit, cleaned to the mask of `kit.when.WeekHalves`."""

    widget = HalvesWidget

    def __init__(self, **kwargs: Any) -> None:
        words = [f"{day} {half}" for day in WEEKDAY_SHORT for half in ("morning", "afternoon")]
        kwargs.setdefault(
            "error_messages", {"required": "Leave at least one half day on which to come."}
        )
        super().__init__(choices=list(enumerate(words)), initial=ALL_HALVES_MASK, **kwargs)

    def prepare_value(self, value: Any) -> Any:
        if isinstance(value, int):
            return [2 * day + half for day, half in WeekHalves(value)]
        return value

    def clean(self, value: Any) -> int:
        return WeekHalves.of(divmod(int(bit), 2) for bit in super().clean(value)).mask
