"""An archive, looked through before anything of it is believed."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from pathlib import PurePosixPath
from zipfile import BadZipFile, ZipFile

from front.company.manifest import MEMBER, CompanyRefused, Content, Manifest
from front.company.tables import company_tables, member_of, schema

A_BLOCK = 1024 * 1024
LONGEST_LINE = 64 * 1024 * 1024  # a spreadsheet of 20 MB as base64, and room


def manifest_of(archive: ZipFile) -> Manifest:
    """The manifest, once all that it says was found true. Raises CompanyRefused."""
    try:
        manifest = Manifest.from_json(archive.read(MEMBER))
    except KeyError as trouble:
        raise CompanyRefused(f"This is no export of a company: it has no {MEMBER}.") from trouble
    _check_schema(manifest)
    listed = {**manifest.tables, **manifest.media}
    names = [info.filename for info in archive.infolist()]
    if sorted(names) != sorted([*listed, MEMBER]):
        odd = sorted(set(names) ^ {*listed, MEMBER}) or ["a file that stands in it twice"]
        raise CompanyRefused(f"Archive and manifest differ: {odd[0]}.")
    for name, content in listed.items():
        _check_content(archive, name, content)
    for name in manifest.media:
        if not is_inside(name):
            raise CompanyRefused(f"{name} would lie outside the media folder.")
    return manifest


def _check_schema(manifest: Manifest) -> None:
    for room, here in schema().items():
        there = manifest.schema.get(room, "nothing")
        if there != here:
            raise CompanyRefused(
                f"The archive was made by another version of Redbud: {room} stands at {there} "
                f"there and at {here} here. Bring both to the same version, then export again."
            )
    expected = {member_of(model) for model in company_tables()}
    if odd := sorted(expected ^ set(manifest.tables)):
        raise CompanyRefused(f"The tables differ: {odd[0]}.")


def _check_content(archive: ZipFile, name: str, content: Content) -> None:
    if archive.getinfo(name).file_size != content.bytes:
        raise CompanyRefused(f"{name} has another size than the manifest says.")
    digest = hashlib.sha256()
    try:
        with archive.open(name) as member:
            while block := member.read(A_BLOCK):
                digest.update(block)
    except (BadZipFile, EOFError, OSError) as trouble:
        raise CompanyRefused(f"{name} is damaged: {trouble}") from trouble
    if digest.hexdigest() != content.sha256:
        raise CompanyRefused(f"{name} was changed: its checksum is not the manifest's.")


def is_inside(member: str) -> bool:
    """A plain path below media/."""
    path = PurePosixPath(member)
    return (
        path.parts[:1] == ("media",)
        and len(path.parts) > 1
        and not path.is_absolute()
        and not {"..", "."} & set(path.parts)
        and "\\" not in member
    )


def lines_of(archive: ZipFile, name: str) -> Iterator[tuple[int, bytes]]:
    """The lines of a table with their numbers, from 1."""
    with archive.open(name) as member:
        yield from enumerate(iter(lambda: member.readline(LONGEST_LINE), b""), start=1)
