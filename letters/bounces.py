"""What comes back: a mail system's "not delivered" and a reader's "this is junk".

Sources: RFC 3464 (delivery status notifications), RFC 3463 (their status codes), RFC 5965
(complaints), RFC 6522 (the multipart/report around both). Anybody can send us such a mail:
believe one only when its Message-ID is a letter's of ours (`letters.headers.message_id`).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from email import message_from_bytes
from email.errors import MessageError
from email.header import decode_header, make_header
from email.message import Message
from email.utils import parseaddr

LONGEST_DIAGNOSTIC = 300
# A complaint of this type says the opposite: taken out of the junk folder (RFC 6430).
NOT_JUNK = "not-spam"

_STATUS = re.compile(r"\b([245])\.\d{1,3}\.\d{1,3}\b", re.ASCII)
_REPLY_CODE = re.compile(r"\b([45])\d\d\b", re.ASCII)
_MESSAGE_ID = re.compile(r"<[^<>\s]{1,250}>")


@dataclass(frozen=True)
class Bounce:
    """A letter that did not arrive.

    `permanent`: the address will not take it tomorrow either. `still_trying`: the mail system
    goes on by itself (Action: delayed), so sending again would make a double. `recipient` is the
    address we wrote to where the report tells it; "" when none can be read. `message_id` is our
    letter's with its angle brackets, None when the report does not quote it.
    """

    recipient: str
    permanent: bool
    still_trying: bool
    status: str  # such as "5.1.1"; "" when the report gives none
    diagnostic: str
    message_id: str | None


@dataclass(frozen=True)
class Complaint:
    """A letter that its reader called junk. `about` is the Feedback-Type, mostly "abuse"."""

    recipient: str  # "" when the mail system hides it
    about: str
    message_id: str | None


def read_bounce(raw: bytes) -> Bounce | Complaint | None:
    """What a mail that came back says; None for any other mail. Never raises."""
    try:
        mail = message_from_bytes(raw)
        return _complaint(mail) or _bounce(mail)
    except Exception:
        # The standard parser itself stumbles over some bytes (a NUL in an encoding's name, parts
        # nested a thousand deep). No mail system writes those, and a mailbox must be read on.
        return None


def _bounce(mail: Message) -> Bounce | None:
    report = _first_part(mail, "message/delivery-status")
    if report is None:
        return None
    for fields in _blocks(report):
        action = _words(fields, "Action").lower()
        if action in ("failed", "delayed"):
            return _failure(fields, action == "delayed", _original_id(mail))
    return None  # delivered, relayed, expanded: it arrived


def _failure(fields: Message, delayed: bool, message_id: str | None) -> Bounce:
    diagnostic = _after_type(_words(fields, "Diagnostic-Code"))[:LONGEST_DIAGNOSTIC]
    status = _STATUS.search(_words(fields, "Status"))
    code = status or _STATUS.search(diagnostic) or _REPLY_CODE.search(diagnostic)
    to = _words(fields, "Original-Recipient") or _words(fields, "Final-Recipient")
    return Bounce(
        recipient=_after_type(to).strip("<>"),
        # A mail system that gave up on a temporary trouble says failed with 4.x.x.
        permanent=not delayed and code is not None and code[1] == "5",
        still_trying=delayed,
        status=status[0] if status else "",
        diagnostic=diagnostic,
        message_id=message_id,
    )


def _complaint(mail: Message) -> Complaint | None:
    report = _first_part(mail, "message/feedback-report")
    if report is None:
        return None
    fields = next(_blocks(report), None)
    about = _words(fields, "Feedback-Type").lower() if fields else ""
    if fields is None or not about or about == NOT_JUNK:
        return None
    original = _original(mail)
    to = _words(fields, "Original-Rcpt-To") or (_words(original, "To") if original else "")
    return Complaint(parseaddr(to)[1], about, _original_id(mail))


def _first_part(mail: Message, content_type: str) -> Message | None:
    return next((part for part in mail.walk() if part.get_content_type() == content_type), None)


def _blocks(report: Message) -> Iterator[Message]:
    """The report's groups of fields, which the email package keeps as messages inside it."""
    payload = report.get_payload()
    if isinstance(payload, list):
        yield from (block for block in payload if isinstance(block, Message))


def _original(mail: Message) -> Message | None:
    """The headers of our letter, quoted whole or as bare headers."""
    whole = _first_part(mail, "message/rfc822")
    if whole is not None:
        return next(_blocks(whole), None)
    headers = _first_part(mail, "text/rfc822-headers")
    if headers is None:
        return None
    content = headers.get_payload(decode=True)
    return message_from_bytes(content) if isinstance(content, bytes) else None


def _original_id(mail: Message) -> str | None:
    """Our letter's Message-ID from the quoted headers, else from what the report answers to."""
    original = _original(mail)
    places = [(original, "Message-ID")] if original is not None else []
    for message, name in [*places, (mail, "In-Reply-To")]:
        found = _MESSAGE_ID.search(_words(message, name))
        if found:
            return found[0]
    return None


def _words(message: Message, name: str) -> str:
    """A header's text on one line, printable, whatever bytes stand in it; "" when missing."""
    value = str(message.get(name, ""))
    with suppress(MessageError, LookupError, ValueError):  # an unknown encoding stays as it came
        value = str(make_header(decode_header(value)))
    shown = "".join(letter if letter.isprintable() else " " for letter in value)
    return " ".join(shown.split())


def _after_type(value: str) -> str:
    """ "smtp; 550 no such user" -> "550 no such user"; a value without a type stays."""
    kind, semicolon, rest = value.partition(";")
    return rest.strip() if semicolon and " " not in kind.strip() else value
