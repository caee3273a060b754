"""How long things are kept, as config.settings.KEPT_DAYS says."""

from __future__ import annotations

from django.conf import settings

WHAT = {
    "letters": "Words and addresses of letters",
    "records": "Photos, signatures and notes of records",
    "looks": "Who looked at gate codes and notes",
    "sign_ins": "Sign-ins, also failed ones, with their addresses",
    "sheets": "Imported spreadsheets",
}


def kept_how_long() -> list[tuple[str, str]]:
    """What, and how long in words."""
    return [(words, _long(settings.KEPT_DAYS[name])) for name, words in WHAT.items()]


def _long(days: int) -> str:
    """0: until a customer's data are taken out."""
    if not days:
        return "for ever"
    years, rest = divmod(days, 365)
    if years and not rest:
        return "1 year" if years == 1 else f"{years} years"
    return f"{days:,} days"
