"""A letter's state as a shape and a word."""

from __future__ import annotations

from django import template
from django.utils.html import format_html
from django.utils.safestring import SafeString

from letters.models import Letter, LetterState

register = template.Library()

# Shapes of kit/_shapes.svg that say the same of a letter as of a visit.
_SHAPES = {
    LetterState.WAITING: "owed",
    LetterState.CLAIMED: "pencilled",
    LetterState.SENDING: "offered",
    LetterState.SENT: "done",
    LetterState.UNSURE: "unsure",
    LetterState.FAILED: "missed",
    LetterState.WITHDRAWN: "waived",
}


@register.filter
def letter_state(letter: Letter) -> SafeString:
    """The state of a letter; the shapes are in kit/_shapes.svg."""
    return format_html(
        '<span class="state"><svg class="state__shape" viewBox="0 0 12 12" aria-hidden="true">'
        '<use href="#mark-{}"/></svg>{}</span>',
        _SHAPES[LetterState(letter.state)],
        letter.get_state_display().lower(),
    )
