"""Keep everything in one encrypted file."""

from __future__ import annotations

from pathlib import Path

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils import timezone
from pyrage import x25519

from front.actions.backups import make_backup
from front.backups.databases import NotKept


class Command(BaseCommand):
    help = (
        "Write database and media into one file, encrypted to BACKUP_RECIPIENT. "
        "With --new-key: make a pair of keys and print it once."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--to", default=settings.BACKUP_FOLDER, help="folder for the file")
        parser.add_argument("--new-key", action="store_true", help="print a new pair of keys")

    def handle(self, *args: object, **options: object) -> None:
        if options["new_key"]:
            self._new_key()
            return
        if not settings.BACKUP_RECIPIENT:
            raise CommandError("BACKUP_RECIPIENT is not set. Make keys with: backup --new-key")
        try:
            kept = make_backup(
                folder=Path(str(options["to"])),
                recipient=settings.BACKUP_RECIPIENT,
                database=settings.DATABASES["default"],
                media=Path(settings.MEDIA_ROOT),
                now=timezone.now(),
            )
        except NotKept as error:
            raise CommandError(str(error)) from error
        self.stdout.write(f"{kept.file}  {kept.bytes / 1e6:,.1f} MB")

    def _new_key(self) -> None:
        identity = x25519.Identity.generate()
        self.stdout.write(f"BACKUP_RECIPIENT={identity.to_public()}   (for the server)")
        self.stdout.write(f"{identity}")
        self.stdout.write(
            "The second line is the private key: keep it away from the server, twice. "
            "Without it no backup can be read."
        )
