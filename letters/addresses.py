"""What may stand in a header or an identifier: no line breaks, no blanks, nothing invisible.

A value that breaks a line can add headers of its own, so it is refused, not repaired.
"""

from __future__ import annotations

import re

# One "@", something before it, a dotted or local name behind it. Whether the mailbox exists is
# for the mail system to say.
_EMAIL = re.compile(r"[^\s@<>,;:\"()\[\]\\\x00-\x1f\x7f]+@[A-Za-z0-9.-]+", re.ASCII)
_HOST = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9.-]*[A-Za-z0-9])?", re.ASCII)
_KEY = re.compile(r"[A-Za-z0-9._-]{1,64}", re.ASCII)


def check_email(name: str, value: str) -> None:
    """Raise ValueError naming the field unless `value` is a bare address like pat@example.com."""
    if not _EMAIL.fullmatch(value):
        raise ValueError(f"{name} is {value!r}; it must be one address such as pat@example.com.")


def check_host(name: str, value: str) -> None:
    """Raise ValueError unless `value` is a host name like redbud.example.com."""
    if not _HOST.fullmatch(value):
        raise ValueError(f"{name} is {value!r}; it must be a host name such as example.com.")


def check_key(name: str, value: str) -> None:
    """Raise ValueError unless `value` is 1 to 64 letters, digits, dots, dashes, underscores."""
    if not _KEY.fullmatch(value):
        raise ValueError(
            f"{name} is {value!r}; it must be 1 to 64 letters, digits, dots, dashes or underscores."
        )
