"""The outbox as a file, narrowed as on its screen."""

from __future__ import annotations

from collections.abc import Iterator

from kit.lists import Column
from kit.web.lists import A_CHUNK, Asked, ListFile
from letters.forms import NarrowForm
from letters.models import Letter, LetterState
from letters.models.letter import LetterQuerySet
from shop.models import Branch


def narrowed(branch: Branch, form: NarrowForm) -> LetterQuerySet:
    letters = Letter.objects.of(branch)
    asked = form.cleaned_data if form.is_valid() else {}
    if asked.get("state"):
        waiting = asked["state"] == LetterState.WAITING
        letters = letters.waiting() if waiting else letters.filter(state=asked["state"])
    if asked.get("kind"):
        letters = letters.filter(kind=asked["kind"])
    if asked.get("q"):
        letters = letters.written_to(asked["q"])
    return letters


def _letters(branch: Branch, asked: Asked) -> Iterator[Letter]:
    found = narrowed(branch, NarrowForm(asked.query)).select_related("customer")
    return found.defer("body", "html", "facts", "invitation").iterator(chunk_size=A_CHUNK)


LETTERS = (
    Column("Customer", lambda letter: letter.customer.name),
    Column("E-mail", lambda letter: letter.to_email),
    Column("Letter", lambda letter: letter.label),
    Column("Subject", lambda letter: letter.subject),
    Column("State", lambda letter: letter.get_state_display()),
    Column("Written", lambda letter: letter.written_at, "moment"),
    Column("Due", lambda letter: letter.due_at, "moment"),
    Column("Sent", lambda letter: letter.sent_at, "moment"),
    Column("Remark", lambda letter: letter.trouble),
)

LISTS = {"letters": ListFile("Letters", "a letter, without its text", LETTERS, _letters)}
