"""The company into an archive: the same rows give the same bytes."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator
from typing import IO
from zipfile import ZIP_DEFLATED, ZIP_STORED, ZipFile, ZipInfo

from django.core.files.storage import default_storage

from front.company.manifest import MEMBER, Content, Manifest
from front.company.snapshot import one_moment
from front.company.tables import Model, company_tables, file_fields, member_of, schema
from front.company.values import line_of

A_CHUNK = 2000
A_BLOCK = 1024 * 1024
LONG_AGO = (1980, 1, 1, 0, 0, 0)  # in each file's place in the archive, so that bytes are equal


def export_company(file: IO[bytes]) -> Manifest:
    """Write everything into `file`, row by row; one moment of the database."""
    with ZipFile(file, "w") as archive, one_moment():
        tables, names = {}, set()
        for model in company_tables():
            tables[member_of(model)] = _write(archive, member_of(model), _lines(model))
            names |= _pictures(model)
        media, missing = {}, []
        for name in sorted(names):
            if default_storage.exists(name):
                member = f"media/{name}"
                media[member] = _write(archive, member, _blocks(name), packed=False)
            else:
                missing.append(name)
        manifest = Manifest(schema(), tables, media, missing)
        _write(archive, MEMBER, [manifest.to_json()])
    return manifest


def _write(archive: ZipFile, name: str, parts: Iterable[bytes], packed: bool = True) -> Content:
    """`packed` False: pictures do not become smaller."""
    info = ZipInfo(name, LONG_AGO)
    info.compress_type = ZIP_DEFLATED if packed else ZIP_STORED
    digest, size, lines = hashlib.sha256(), 0, 0
    with archive.open(info, "w", force_zip64=True) as member:
        for part in parts:
            member.write(part)
            digest.update(part)
            size += len(part)
            lines += 1
    return Content(size, digest.hexdigest(), lines if packed else 0)


def _lines(model: Model) -> Iterator[bytes]:
    for row in model._base_manager.order_by("pk").iterator(chunk_size=A_CHUNK):
        yield line_of(row)


def _pictures(model: Model) -> set[str]:
    """What the file fields of a table name."""
    found: set[str] = set()
    for field in file_fields(model):
        names = model._base_manager.exclude(**{field.name: ""}).values_list(field.name, flat=True)
        found |= set(names)
    return found


def _blocks(name: str) -> Iterator[bytes]:
    with default_storage.open(name) as picture:
        while block := picture.read(A_BLOCK):
            yield block
