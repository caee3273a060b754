"""What a search compares: one spelling for names, addresses and telephone numbers. Pure."""

from __future__ import annotations

import re
import unicodedata

_TELEPHONE = re.compile(r"\+?[\d().-]+")
_LEAST_DIGITS = 7  # a local number; shorter runs with hyphens are house numbers, as 12-14


def folded(text: str) -> str:
    """Lower case, without accents and apostrophes: "Núñez" is "nunez", "O'Brien" "obrien"."""
    letters = unicodedata.normalize("NFKD", text.casefold())
    return "".join(
        letter for letter in letters if not unicodedata.combining(letter) and letter not in "'’"
    )


def searched(typed: str) -> str:
    """What somebody typed into a search box, as it stands in `Home.search_text`.

    "+1 (414) 555-0123" becomes "414 5550123"; "St." becomes "st".
    """
    return " ".join(filter(None, (_word(word) for word in folded(typed).split())))


def _word(word: str) -> str:
    if word == "+1":
        return ""
    digits = re.sub(r"\D", "", word)
    if _TELEPHONE.fullmatch(word) and ("(" in word or len(digits) >= _LEAST_DIGITS):
        return digits[1:] if len(digits) == 11 and digits[0] == "1" else digits
    return word.strip(".,;")
