"""A letter's headers beside its subject: which one it is, how to stop it, that a program wrote it.

Every value is checked: none can break a line and add a header of its own.
"""

from __future__ import annotations

import re
from urllib.parse import urlsplit

from letters.addresses import check_email, check_host, check_key

# RFC 3834, section 5: mail that a program wrote unprompted. It keeps holiday replies away.
AUTOMATIC = {"Auto-Submitted": "auto-generated"}
# RFC 8058, section 3.1. The POST must work without a login; a GET must change nothing,
# because scanners open every link of a letter.
ONE_CLICK = "List-Unsubscribe=One-Click"

# The URI characters of RFC 3986 without the comma, which parts the addresses in the header.
_URL = re.compile(r"[A-Za-z0-9\-._~:/?#\[\]@!$&'()*+;=%]+", re.ASCII)
_AT_HOME = ("localhost", "127.0.0.1", "::1")  # a trial on one machine has no certificate


def message_id(letter_key: str, host: str) -> str:
    """The letter's Message-ID, with its angle brackets; the same however often it is sent.

    A receiver can drop a double by it, and a bounce names it. `letter_key` should be random:
    whoever can guess it can send us a bounce.
    """
    check_key("letter_key", letter_key)
    check_host("host", host)
    return f"<letter.{letter_key}@{host}>"


def list_unsubscribe(url: str, mailto: str | None = None) -> dict[str, str]:
    """List-Unsubscribe (RFC 2369) and List-Unsubscribe-Post (RFC 8058), name to value.

    `url` must be https, as RFC 8058 demands; `mailto` is a bare address or None. The signature
    of the mail system (DKIM) has to cover both headers.
    """
    _check_url(url)
    ways = [f"<{url}>"]
    if mailto is not None:
        check_email("mailto", mailto)
        ways.append(f"<mailto:{mailto}>")
    return {"List-Unsubscribe": ", ".join(ways), "List-Unsubscribe-Post": ONE_CLICK}


def _check_url(url: str) -> None:
    if not _URL.fullmatch(url):
        raise ValueError(f"url is {url!r}; it holds a character that must be percent-encoded.")
    parts = urlsplit(url)
    secure = parts.scheme == "https" or (parts.scheme == "http" and parts.hostname in _AT_HOME)
    if not secure or not parts.hostname:
        raise ValueError(f"url is {url!r}; it must begin with https:// and name a host.")
