"""Read the mailbox to which undeliverable letters come back, now."""

from __future__ import annotations

import imaplib
import mailbox
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils import timezone

from letters.mailboxes import read_mailbox


class Command(BaseCommand):
    help = "Read bounces and complaints; addresses that they tell of get no more letters."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--url", help="maildir:///folder or imaps://… (default: BOUNCES_URL)")

    def handle(self, *args: object, **options: Any) -> None:
        url = options["url"] or settings.BOUNCES_URL
        if not url:
            raise CommandError("Set BOUNCES_URL, or name the mailbox with --url.")
        try:
            reading = read_mailbox(url, now=timezone.now())
        except (OSError, ValueError, mailbox.Error, imaplib.IMAP4.error) as trouble:
            raise CommandError(f"The mailbox cannot be read: {trouble}") from trouble
        self.stdout.write(f"{reading.read} mails read, {reading.believed} bad addresses noted")
