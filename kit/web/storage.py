"""Files that are there whole or not at all."""

from __future__ import annotations

import os
import tempfile
from contextlib import suppress
from pathlib import Path
from typing import Any

from django.core.files.base import File
from django.core.files.storage import FileSystemStorage


class _ToMove(File):
    """A file that Django's storage moves to its place instead of copying."""

    def __init__(self, path: str, name: str) -> None:
        super().__init__(None, name=name)
        self._path = path

    def temporary_file_path(self) -> str:
        return self._path


class WholeFiles(FileSystemStorage):
    """Write beside the place, see it through to the disk, and move it there in one step.

    A full disk or a killed server leaves no half picture that looks like a kept one.
    """

    def _save(self, name: str, content: Any) -> str:
        Path(self.location).mkdir(parents=True, exist_ok=True)
        number, beside = tempfile.mkstemp(dir=self.location, prefix=".part-")
        try:
            with os.fdopen(number, "wb") as part:
                for chunk in content.chunks():
                    part.write(chunk)
                part.flush()
                os.fsync(part.fileno())
            return str(super()._save(name, _ToMove(beside, name)))  # type: ignore[misc]
        finally:
            with suppress(FileNotFoundError):
                os.unlink(beside)
