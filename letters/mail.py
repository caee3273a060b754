"""Handing a mail to the mail server, and what its answer means for a letter.

Replies by RFC 5321 (4.2.1: 4xx may go later, 5xx never will) and RFC 3463 (x.1.x: the address,
x.2.1: its mailbox is closed, x.7.x: policy, which says nothing against the address).
"""

from __future__ import annotations

import re
import smtplib
from contextlib import suppress

from anymail.exceptions import AnymailError, AnymailRecipientsRefused
from django.core.mail import EmailMultiAlternatives
from django.core.mail.backends.base import BaseEmailBackend
from django.core.mail.backends.smtp import EmailBackend

_ENHANCED = re.compile(r"\b5\.\d{1,3}\.\d{1,3}\b", re.ASCII)
_OF_THE_ADDRESS = re.compile(r"5\.(1\.\d+|2\.1)", re.ASCII)
# Without an enhanced code: mailbox unknown, not here, name not allowed (RFC 5321, 4.2.2).
_NO_SUCH_ADDRESS = (550, 551, 553)


class Unreachable(Exception):
    """No connection to the mail server; other letters would fare the same."""


class NotTaken(Exception):
    """The mail was not taken; a later try may do."""


class Refused(Exception):
    """The mail will never be taken. `bad_address`: because there is no such address."""

    def __init__(self, words: str, *, bad_address: bool) -> None:
        super().__init__(words)
        self.bad_address = bad_address


class InDoubt(Exception):
    """The server had the whole mail when the connection broke: nobody can know."""


class _Knowing:
    """Remembers whether the server has the mail's text and has not answered for it."""

    in_doubt = False

    def data(self, msg):
        self.in_doubt = True
        answer = super().data(msg)  # type: ignore[misc]  # of smtplib.SMTP
        self.in_doubt = False
        return answer


class _KnowingSMTP(_Knowing, smtplib.SMTP):
    pass


class _KnowingSMTPSSL(_Knowing, smtplib.SMTP_SSL):
    pass


class SmtpBackend(EmailBackend):
    """Django's own, with a connection that knows when it is in doubt."""

    @property
    def connection_class(self):
        return _KnowingSMTPSSL if self.use_ssl else _KnowingSMTP


def hand_over(mail: BaseEmailBackend, message: EmailMultiAlternatives) -> None:
    """Give one mail to the server; returns only when the server said yes.

    Raises Unreachable, NotTaken, Refused or InDoubt. After trouble the connection is closed, so
    that the next mail gets a fresh one.
    """
    try:
        mail.open()
    except (smtplib.SMTPException, OSError) as trouble:
        hang_up(mail)
        raise Unreachable(said(trouble)) from trouble
    try:
        mail.send_messages([message])
    except (smtplib.SMTPException, OSError, AnymailError) as trouble:
        meaning = meaning_of(trouble, in_doubt=_in_doubt(mail))
        hang_up(mail)
        raise meaning from trouble
    except ValueError as trouble:  # a header that cannot be written, so nothing was sent
        raise Refused(said(trouble), bad_address=False) from trouble


def hang_up(mail: BaseEmailBackend) -> None:
    """Close the connection, whatever state it is in."""
    with suppress(smtplib.SMTPException, OSError):
        mail.close()


def meaning_of(trouble: Exception, *, in_doubt: bool) -> NotTaken | Refused | InDoubt:
    """What an exception of the mail server tells about this one letter."""
    if isinstance(trouble, AnymailRecipientsRefused):
        return Refused(said(trouble), bad_address=True)
    if isinstance(trouble, AnymailError):
        status = trouble.status_code
        return NotTaken(said(trouble)) if status and status < 500 else InDoubt(said(trouble))
    if isinstance(trouble, smtplib.SMTPRecipientsRefused):
        code, words = next(iter(trouble.recipients.values()))
        return _refusal(code, _text(words), of_address=True)
    if isinstance(trouble, smtplib.SMTPDataError):
        return _refusal(trouble.smtp_code, _text(trouble.smtp_error), of_address=False)
    if isinstance(trouble, smtplib.SMTPResponseException):
        return NotTaken(said(trouble))  # our own name or password: a person can mend it
    return InDoubt(said(trouble)) if in_doubt else NotTaken(said(trouble))


def _refusal(code: int, words: str, *, of_address: bool) -> NotTaken | Refused:
    full = f"{code} {words}"
    if code < 500:
        return NotTaken(full)
    enhanced = _ENHANCED.search(words)
    unknown = _OF_THE_ADDRESS.fullmatch(enhanced[0]) if enhanced else code in _NO_SUCH_ADDRESS
    return Refused(full, bad_address=of_address and bool(unknown))


def _in_doubt(mail: BaseEmailBackend) -> bool:
    return bool(getattr(getattr(mail, "connection", None), "in_doubt", False))


def _text(words: bytes | str) -> str:
    said_words = words.decode("utf-8", "replace") if isinstance(words, bytes) else words
    return " ".join(said_words.split())


def said(trouble: Exception) -> str:
    """The trouble on one line, as the office reads it."""
    if isinstance(trouble, smtplib.SMTPResponseException):
        return f"{trouble.smtp_code} {_text(trouble.smtp_error)}"
    return " ".join(str(trouble).split())[:250] or type(trouble).__name__
