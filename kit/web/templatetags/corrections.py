"""What is to correct in one form or in several that are sent together, as lines for one list."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from django import template
from django.forms import BaseForm, BoundField

register = template.Library()


class Line(NamedTuple):
    """`goes_to`: the id of the field, "" for what concerns no field that can be seen."""

    words: str
    goes_to: str = ""


@register.filter
def to_correct(asked: BaseForm | Iterable[BaseForm]) -> list[Line]:
    forms = [asked] if isinstance(asked, BaseForm) else list(asked)
    return [line for form in forms for line in _lines(form)]


def _lines(form: BaseForm) -> list[Line]:
    lines = [Line(str(error)) for error in form.non_field_errors()]
    for field in form:
        goes_to = "" if field.is_hidden else _id_of(field)
        lines += [Line(f"{field.label}: {error}", goes_to) for error in field.errors]
    return lines


def _id_of(field: BoundField) -> str:
    """A question with several answers is led to as a whole (redbud/field.html)."""
    return f"div_{field.auto_id}" if field.use_fieldset else field.id_for_label
