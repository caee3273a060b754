"""Bring a backup back, or prove that it would come back."""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory

import environ
from django.conf import settings
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils import timezone

from front.actions.backups import restore_backup, verify_backup
from front.backups.databases import NotKept


class Command(BaseCommand):
    help = (
        "Restore a backup into the configured database and media folder, which must be empty, and "
        "compare every table and file. With --verify: into a place that is thrown away."
    )
    requires_system_checks = ()
    requires_migrations_checks = False

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path)
        parser.add_argument("--key-file", type=Path, required=True, help="the age private key")
        parser.add_argument("--verify", action="store_true", help="only prove it")
        parser.add_argument(
            "--into", default="", help="database address for --verify; SQLite needs none"
        )

    def handle(self, *args: object, **options: object) -> None:
        file, key_file = Path(str(options["file"])), Path(str(options["key_file"]))
        if not key_file.is_file():
            raise CommandError(f"{key_file} is not there; it should hold the private key.")
        identity = _private_key(key_file)
        try:
            if options["verify"]:
                manifest = self._verify(file, identity, str(options["into"]))
            else:
                manifest = restore_backup(
                    file=file,
                    identity=identity,
                    database=settings.DATABASES["default"],
                    media=Path(settings.MEDIA_ROOT),
                )
        except NotKept as error:
            raise CommandError(str(error)) from error
        rows = sum(content.count for content in manifest.tables.values())
        self.stdout.write(
            f"{len(manifest.tables)} tables with {rows:,} rows and {len(manifest.media)} files "
            f"of {manifest.made_at} came back, every checksum the same."
        )

    def _verify(self, file: Path, identity: str, into: str):
        with TemporaryDirectory(prefix="verify-") as folder:
            address = into or f"sqlite:///{folder}/database.sqlite3"
            database = environ.Env.db_url_config(address)
            return verify_backup(
                file=file, identity=identity, database=database, now=timezone.now()
            )


def _private_key(file: Path) -> str:
    """The key's line; age writes comments above it."""
    lines = [line for line in file.read_text().splitlines() if line and not line.startswith("#")]
    return lines[0] if lines else ""
