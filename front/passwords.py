"""Words that anybody would guess in a password of this shop."""

from __future__ import annotations

import re

from django.core.exceptions import ValidationError

from customers.search import folded
from shop.models import Branch, Role, User

OWN_WORDS = ("redbud", "password", "hvac", "heating", "cooling", "furnace", "technician")
LEAST_LETTERS = 4


class NotOurOwnWords:
    """Refuses a password that is little more than our own names; length does the rest."""

    def validate(self, password: str, user: User | None = None) -> None:
        rest = folded(password)
        for word in sorted(self._words(), key=len, reverse=True):
            rest = rest.replace(word, "")
        if len(rest) < LEAST_LETTERS * 2:
            raise ValidationError("Too much of it are words of this shop; add some of your own.")

    def get_help_text(self) -> str:
        return "More than the names of the shop, the trade and this program."

    def _words(self) -> set[str]:
        named = " ".join([*Branch.objects.values_list("name", flat=True), *OWN_WORDS, *Role.values])
        return {word for word in re.findall(r"\w+", folded(named)) if len(word) >= LEAST_LETTERS}
