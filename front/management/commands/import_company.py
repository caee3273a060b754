"""Bring a whole company into an empty instance."""

from __future__ import annotations

from pathlib import Path

from django.core.management.base import BaseCommand, CommandError, CommandParser

from front.actions.company import import_company
from front.company.manifest import CompanyRefused
from shop.models import Role, User


class Command(BaseCommand):
    help = (
        "Bring in a FILE that export_company wrote. The instance must be empty and of the same "
        "version; all of it comes in, or nothing. Nobody of the staff has a password afterwards."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", metavar="FILE")

    def handle(self, *args: object, **options: object) -> None:
        try:
            with Path(str(options["file"])).open("rb") as file:
                manifest = import_company(file=file)
        except OSError as trouble:
            raise CommandError(f"{options['file']} cannot be read: {trouble}") from trouble
        except CompanyRefused as refusal:
            raise CommandError(str(refusal)) from refusal
        rows = sum(content.rows for content in manifest.tables.values())
        self.stdout.write(f"{rows:,} rows and {len(manifest.media):,} pictures came in.")
        owner = User.objects.filter(role=Role.OWNER, is_active=True).order_by("pk").first()
        name = owner.username if owner else "NAME"
        self.stdout.write(
            f"Nobody has a password yet. Give the owner one: manage.py changepassword {name}. "
            "She sends the others their links under Staff. Links in letters that were sent before "
            "work on only with the same SECRET_KEY."
        )
