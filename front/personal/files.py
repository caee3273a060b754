"""Pictures and signatures on the disk, once their rows have let them go."""

from __future__ import annotations

from collections.abc import Iterable

from django.db.models.fields.files import FieldFile


def delete_files(files: Iterable[FieldFile]) -> None:
    """For after the transaction: a file that is gone already is no fault."""
    for file in files:
        if file.name:
            file.storage.delete(file.name)
