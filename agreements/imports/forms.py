"""The forms of the import screens."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from crispy_forms.layout import Fieldset
from django import forms
from django.conf import settings
from django.core.exceptions import ValidationError

from agreements.imports.outcomes import Kind, RowOutcome
from customers.spreadsheet.columns import Matching, check_matching
from customers.spreadsheet.fields import FIELDS
from customers.spreadsheet.reading import Sheet, SheetRefused, read_sheet
from kit.web.forms import laid_out

SAMPLES = 3
NOT_IMPORTED = ("", "do not bring in")


class UploadForm(forms.Form):
    """A spreadsheet, checked to be one that can be read."""

    file = forms.FileField(
        label="Spreadsheet",
        help_text="CSV or XLSX, at most 20 MB and 50,000 rows, headings in the first row.",
        widget=forms.FileInput(attrs={"accept": ".csv,.txt,.tsv,.xlsx"}),
        error_messages={"required": "Choose the file first.", "empty": "This file is empty."},
    )
    helper = laid_out(Fieldset("The sheet you keep today", "file"))

    def clean_file(self) -> Any:
        file = self.cleaned_data["file"]
        if file.size > settings.SPREADSHEET_LIMIT_BYTES:
            raise ValidationError(
                f"“{file.name}” has {file.size / 1e6:.0f} MB; at most 20 MB can be read."
            )
        try:
            self.content = file.read()
            read_sheet(self.content, file.name)
        except SheetRefused as refused:
            raise ValidationError(str(refused)) from refused
        return file


class ColumnsForm(forms.Form):
    """Which field each column holds: one choice a heading, guessed, for the office to correct."""

    def __init__(self, *args: Any, sheet: Sheet, matching: Matching, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.sheet = sheet
        choices = [NOT_IMPORTED, *((f.id, _label(f.label, f.required)) for f in FIELDS)]
        for place, (heading, field_id) in enumerate(matching.pairs()):
            self.fields[f"column-{place}"] = forms.ChoiceField(
                choices=choices, required=False, label=heading, initial=field_id or ""
            )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if not self.errors:
            chosen = tuple(cleaned[name] or None for name in self.fields)
            self.matching = Matching(self.sheet.headers, chosen)
            if problems := check_matching(self.matching):
                raise ValidationError(problems)
        return cleaned

    def rows(self) -> Iterator[tuple[forms.BoundField, list[str]]]:
        """Each heading's choice beside the first values of its column."""
        for place, bound in enumerate(self):
            values = (row.cells[place].strip() for row in self.sheet.rows)
            yield bound, [value for value, _ in zip(filter(None, values), range(SAMPLES))]  # noqa: B905


class AnswersForm(forms.Form):
    """The answers to the offers of one page: keep apart, or one with whom."""

    def __init__(self, *args: Any, outcomes: list[RowOutcome], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for outcome in outcomes:
            if outcome.choices:
                self.fields[f"row-{outcome.row}"] = forms.ChoiceField(
                    choices=[("", "not decided"), *((c.value, c.words) for c in outcome.choices)],
                    required=False,
                    label=f"Row {outcome.row}: {outcome.who}",
                    initial=outcome.decision,
                )

    @property
    def decisions(self) -> dict[int, str]:
        """Row to answer, for the rows that were on the page."""
        return {
            int(name.removeprefix("row-")): answer
            for name, answer in self.cleaned_data.items()
            if name in self.data
        }


class ShowForm(forms.Form):
    """Which rows of the dry run are shown; anything else shows them all."""

    show = forms.ChoiceField(required=False, choices=[("", ""), *((k, k) for k in Kind)])


def _label(label: str, required: bool) -> str:
    return f"{label} (needed)" if required else label
