"""A real mail server on a free port of this machine, which does what the story asks for."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from email import message_from_bytes
from email.message import Message
from typing import Any

from aiosmtpd.controller import Controller
from django.core.mail import get_connection
from django.core.mail.backends.base import BaseEmailBackend

from tests.real.services import free_port


@dataclass
class Sink:
    """Keeps what it took. `answers` and `text_answers` are given in turn, then it says yes."""

    answers: list[str] = field(default_factory=list)  # to RCPT TO
    text_answers: list[str] = field(default_factory=list)  # to the mail's text; "drop" hangs up
    taken: list[Message] = field(default_factory=list)
    senders: list[str] = field(default_factory=list)
    patience_s: float = 0  # it keeps the text so long before it answers
    port: int = 0

    async def handle_RCPT(self, server, session, envelope, address, options):
        answer = self.answers.pop(0) if self.answers else "250 OK"
        if answer == "drop":
            server.transport.abort()
            await asyncio.sleep(0.2)
        if answer.startswith("250"):
            envelope.rcpt_tos.append(address)
        return answer

    async def handle_DATA(self, server, session, envelope):
        answer = self.text_answers.pop(0) if self.text_answers else "250 OK"
        await asyncio.sleep(self.patience_s)
        if answer.startswith(("250", "drop")):
            self.taken.append(message_from_bytes(envelope.content))
            self.senders.append(envelope.mail_from)
        if answer == "drop":
            server.transport.abort()
            await asyncio.sleep(0.2)
        return answer

    def connection(self, **more) -> BaseEmailBackend:
        """A connection of our own sort to this server, not opened yet."""
        where = {"host": "127.0.0.1", "port": self.port, "timeout": 5}
        return get_connection("letters.mail.SmtpBackend", **where | more)


@contextmanager
def mail_server(**answers: Any) -> Iterator[Sink]:
    sink = Sink(port=free_port(), **answers)
    logging.getLogger("mail.log").setLevel(logging.WARNING)
    controller = Controller(sink, hostname="127.0.0.1", port=sink.port)
    controller.start()
    try:
        yield sink
    finally:
        controller.stop()
