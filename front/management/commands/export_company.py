"""Write the whole company into one file."""

from __future__ import annotations

from pathlib import Path

from django.core.management.base import BaseCommand, CommandError, CommandParser

from front.company.writing import export_company


class Command(BaseCommand):
    help = (
        "Write every row and picture into FILE (a zip of JSON lines with a manifest), to bring it "
        "into another instance with import_company. It is not encrypted and holds gate codes: keep "
        "it as you keep your keys. Passwords, second steps and keys of the interface stay out."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", metavar="FILE")

    def handle(self, *args: object, **options: object) -> None:
        path = Path(str(options["file"]))
        new = path.with_name(f"{path.name}.new")
        try:
            with new.open("xb") as file:
                new.chmod(0o600)
                manifest = export_company(file)
        except OSError as trouble:
            raise CommandError(f"{new} cannot be written: {trouble}") from trouble
        new.replace(path)
        rows = sum(content.rows for content in manifest.tables.values())
        for name in manifest.missing:
            self.stderr.write(f"Not in the media folder any more: {name}")
        self.stdout.write(
            f"{path}: {rows:,} rows, {len(manifest.media):,} pictures, "
            f"{path.stat().st_size / 1e6:,.1f} MB"
        )
